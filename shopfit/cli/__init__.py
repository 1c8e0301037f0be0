"""The command line: what a person types, and what a script may read."""

from shopfit.cli.commands import main

__all__ = ["main"]
