"""Runs the command line with ``python -m shopfit.cli``."""

from shopfit.cli.commands import main

main()
