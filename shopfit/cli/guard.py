"""Exit codes, and faults of the user said without a traceback."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, NoReturn

import click

from shopfit.errors import Fault, InputFaults, ShopfitError

if TYPE_CHECKING:
    from rich.console import Console

MET, VIOLATIONS, BAD_INPUT, NO_LAYOUT = 0, 1, 2, 3
BROKEN_OFF = 130
WIDTH = 100


def console(stderr: bool = False) -> Console:
    """Give a console that prints text as it stands, at most 100 columns wide."""
    from rich.console import Console

    made = Console(stderr=stderr, markup=False, highlight=False, emoji=False)
    made.width = min(made.width, WIDTH) if made.is_terminal else WIDTH
    return made


def print_json(data: Any) -> None:
    """Print JSON on the standard output."""
    click.echo(json.dumps(data, indent=2, ensure_ascii=False, sort_keys=False))


@contextmanager
def faults_said(as_json: bool = False) -> Iterator[None]:
    """Say every fault of the input and leave with its exit code, instead of a traceback."""
    try:
        yield
    except InputFaults as caught:
        _leave(caught.faults, as_json)
    except ShopfitError as caught:
        _fail(str(caught), as_json)
    except BrokenPipeError:
        # The reader went away, as `head` does; Python would complain again at exit.
        sys.stdout = None
        sys.exit(MET)
    except OSError as caught:
        name = f"{caught.filename}: " if caught.filename else ""
        _fail(f"{name}{caught.strerror or caught}", as_json)


def _leave(faults: tuple[Fault, ...], as_json: bool) -> NoReturn:
    if as_json:
        print_json({"faults": [fault_row(fault) for fault in faults]})
    count = len(faults)
    click.echo(f"{count} fault{'s' if count != 1 else ''} in what was given:", err=True)
    for fault in faults:
        click.echo(err=True)
        click.echo(f"  {fault.file}: {fault.where}", err=True)
        click.echo(f"    given    {fault.given}", err=True)
        click.echo(f"    allowed  {fault.allowed}", err=True)
        click.echo(f"    mend     {fault.mend}", err=True)
    sys.exit(BAD_INPUT)


def _fail(message: str, as_json: bool) -> NoReturn:
    if as_json:
        print_json({"error": message})
    click.echo(f"Not done: {message}", err=True)
    sys.exit(BAD_INPUT)


def fault_row(fault: Fault) -> dict[str, str]:
    """Give a fault as plain data."""
    return {
        "file": fault.file,
        "where": fault.where,
        "given": fault.given,
        "allowed": fault.allowed,
        "mend": fault.mend,
    }
