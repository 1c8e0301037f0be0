"""Options that several commands have."""

from __future__ import annotations

import click
import pytest
from click.testing import CliRunner

from shopfit.cli import main


def with_numbers() -> list[tuple[str, str]]:
    """Give every option of a command that takes a number with decimals."""
    return [
        (name, option.opts[0])
        for name, command in main.commands.items()
        for option in command.params
        if isinstance(option.type, click.types.FloatParamType)
    ]


def test_every_search_has_its_seconds_among_the_numbers() -> None:
    """The options tried below are those that they are meant to be."""
    tried = {name for name, option in with_numbers() if option == "--seconds"}
    assert tried >= {"solve", "rearrange", "bench", "check", "frontier", "limits"}


@pytest.mark.parametrize(("command", "option"), with_numbers())
@pytest.mark.parametrize("given", ["nan", "inf", "-inf"])
def test_what_is_not_finite_is_refused(command: str, option: str, given: str) -> None:
    """No number, or one without end, is a bad option like any other."""
    asked = {"rearrange": ("shop", "layout"), "cut": ("parts", "stock"), "bench": ()}
    more = ("--over", "aisle", "--from", "1", "--to", "2") if command == "frontier" else ()
    words = (command, *asked.get(command, ("shop",)), *more, f"{option}={given}")
    done = CliRunner().invoke(main, list(words))
    assert done.exit_code == 2
    assert f"Invalid value for '{option}'" in done.stderr
    assert given.lstrip("-") in done.stderr
