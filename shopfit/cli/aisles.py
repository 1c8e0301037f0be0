"""The command that says what aisles need across a room, and what is left."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from shopfit.cli.guard import MET, VIOLATIONS, console, faults_said, print_json
from shopfit.cli.shared import as_json

if TYPE_CHECKING:
    from rich.table import Table

    from shopfit.model.aisles import AisleAnswer, AisleRow


@click.command()
@click.option(
    "--scenario",
    type=click.Path(path_type=Path),
    help="Shop whose fixtures, aisle, units and room are taken.",
)
@click.option("--room", help="Clear width of the room across the aisles.")
@click.option("--left", help="What stands along one wall: a depth, or a fixture's id.")
@click.option("--right", help="What stands along the other wall.")
@click.option("--island", help="An island, front to front: a depth, or a fixture's id.")
@click.option("--back-to-back", is_flag=True, help="An island is two of these back to back.")
@click.option("--aisle", help="Least width wanted of every aisle.  [default: that of the brief]")
@click.option("--rows", help="Rows of islands.  [default: none, one, and so on while they fit]")
@click.option("--end", help="Clear way round the ends of islands.")
@click.option("--length", help="Length of an aisle, to count passing spaces.")
@click.option("--units", help="How lengths are written: ft-in, in, mm or m.")
@click.option("--rulebook", help="A rulebook, or a YAML file of own values on top of one.")
@as_json
def aisle(
    scenario: Path | None,
    back_to_back: bool,
    rulebook: str | None,
    as_json: bool,
    **typed: Any,
) -> None:
    """Say what fixtures and aisles need across a room, what is left, and what binds.

    Exit codes: 0 it fits; 1 it does not, or not even without islands; 2 something given is at
    fault.
    """
    with faults_said(as_json):
        from shopfit.access.aisles import aisles
        from shopfit.files.aislefile import read_aisle_task
        from shopfit.planning import load_scenario
        from shopfit.planning import rulebook as load

        given = load_scenario(scenario) if scenario is not None else None
        task = read_aisle_task(typed, given, back_to_back)
        answer = aisles(task, load(rulebook or task.rulebook))
        if as_json:
            print_json(answer.model_dump(mode="json"))
        else:
            from shopfit import wording

            screen = console()
            screen.print(aisle_table(answer))
            screen.print(summary(answer))
            for note in answer.notes:
                screen.print(note)
            screen.print(wording.CAUTION, style="dim")
    sys.exit(MET if answer.rows[0].fits else VIOLATIONS)


def aisle_table(answer: AisleAnswer) -> Table:
    """Give what each number of rows needs and leaves as a table."""
    from shopfit.cli.tables import plain_table
    from shopfit.units import format_length

    say = answer.task.units
    columns = ["rows of\nislands", "fixtures", "aisles", "needed", "left", "each\naisle", "binds"]
    if answer.task.length is not None:
        columns.insert(6, "passing")
    # What is the same in every row stands in the title, so that all fits in 100 columns.
    told = [f"Aisles across {format_length(answer.task.room, say)}"]
    told.append(answer.rows[0].words.partition(", ")[0])
    told += [f"at least {format_length(end, say)} round ends" for end in _ends(answer)]
    table = plain_table(", ".join(told), [(name, name != "binds") for name in columns])
    table.padding = (0, 1, 0, 0)
    for column in table.columns:
        column.no_wrap = False  # a length in two lines is a length, one that is cut short is none
    table.columns[-1].min_width = len("aisle wanted")
    for row in answer.rows:
        cells = [
            str(row.rows or "none"),
            format_length(row.fixtures_mm, say),
            f"{row.aisles} × {format_length(row.aisle_mm, say)}",
            format_length(row.needed_mm, say),
            format_length(row.spare_mm, say) if abs(row.spare_mm) > 0.01 else "none",
            format_length(row.shared_mm, say),
            _binds(row),
        ]
        if answer.task.length is not None:
            cells.insert(6, str(row.passing or 0))
        table.add_row(*cells, style="" if row.fits else "dim")
    return table


def _ends(answer: AisleAnswer) -> list[float]:
    """Give the clear way round the ends of islands, where there are any, mm."""
    return [row.end_mm for row in answer.rows if row.end_mm is not None][:1]


def _binds(row: AisleRow) -> str:
    names = {"brief": "aisle wanted", "route": "route", "turn": "turn round ends"}
    clause = row.clause.rpartition(", ")[2]
    return f"{names[row.binds]}{f' ({clause})' if clause else ''}"


def summary(answer: AisleAnswer) -> str:
    """Say in words what fits, by how much it does or lacks, and which number binds."""
    from shopfit.units import format_length

    say, last = answer.task.units, answer.rows[-1]
    told = []
    if answer.most is None:
        told.append("Not even an aisle without islands fits.")
    elif answer.task.island is not None:
        told.append(f"The most rows of islands that fit: {answer.most}.")
    if last.fits:
        told.append(
            f"{_capital(last.words)}: it fits with {format_length(last.spare_mm, say)} left."
        )
        return " ".join(told)
    if last.spare_mm < -0.01:
        told.append(
            f"{_capital(last.words)}: {format_length(-last.spare_mm, say)} are lacking; what binds "
            f"is the {_binds(last)} of {format_length(last.aisle_mm, say)}, {last.aisles} times."
        )
    if last.end_spare_mm is not None and last.end_spare_mm < -0.01:
        told.append(
            f"The way round the ends lacks {format_length(-last.end_spare_mm, say)} to turn back."
        )
    return " ".join(told)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
