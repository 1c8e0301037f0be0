"""The command that finds every ramp that fits the ground before a door."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from shopfit.cli.guard import MET, VIOLATIONS, console, faults_said, print_json
from shopfit.cli.shared import as_json

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from shopfit.model.rampplan import Arrangement, RampAnswer
    from shopfit.model.rampsite import RampTask

FILE = click.Path(path_type=Path)
LISTED = 12
# Options by the field of the file that they stand for.
FIELDS: dict[str, tuple[str, ...]] = {
    "--rise": ("rise",),
    "--along": ("ground", "along"),
    "--away": ("ground", "away"),
    "--door-offset": ("door", "offset"),
    "--door-width": ("door", "width"),
    "--swing": ("door", "swing"),
    "--hinge": ("door", "hinge"),
    "--existing-site": ("existing_site",),
    "--width": ("limits", "width"),
    "--fewest-turns": ("limits", "fewest_turns"),
    "--most-turns": ("limits", "most_turns"),
    "--steps": ("limits", "steps"),
    "--units": ("units",),
}


@click.command()
@click.argument("file", type=FILE, required=False)
@click.option("--scenario", type=FILE, help="Shop whose door, floor height and units are taken.")
@click.option("--rise", help="Height of the floor at the door above the foot of the ramp.")
@click.option("--along", help="Length of the ground along the wall of the door.")
@click.option("--away", help="How far the ground goes out from that wall.")
@click.option("--door-offset", help="From the left end of the ground to the door, facing it.")
@click.option("--door-width", help="Clear opening of the door.")
@click.option("--swing", help="in, out, sliding or none.")
@click.option("--hinge", help="Side of the hinges facing the door from outside: left or right.")
@click.option("--existing-site", is_flag=True, default=None, help="The site leaves little space.")
@click.option("--width", help="Clear width wanted, between handrails.")
@click.option("--fewest-turns", help="Fewest turns between runs.")
@click.option("--most-turns", help="Most turns between runs.  [default: 2]")
@click.option("--steps", help="Steps beside it: yes, no or 'if they fit'.")
@click.option("--units", help="How lengths are written: ft-in, in, mm or m.")
@click.option("--rulebook", help="A rulebook, or a YAML file of own values on top of one.")
@click.option("-o", "--out", type=FILE, help="Folder for drawings, list and lines for shop.yaml.")
@click.option(
    "--best",
    type=click.IntRange(1, 50),
    default=3,
    show_default=True,
    help="How many arrangements are drawn.",
)
@click.option("--all", "every", is_flag=True, help="List every arrangement that fits.")
@as_json
def ramp(
    file: Path | None,
    scenario: Path | None,
    rulebook: str | None,
    out: Path | None,
    best: int,
    every: bool,
    as_json: bool,
    **options: Any,
) -> None:
    """Find every ramp that fits the ground before a door: straight, L, U, Z and switchback.

    FILE is a YAML file of the question, described by `shopfit schema ramp`; options count before
    it. With -o the smallest, the cheapest and others are drawn in plan and section.

    Exit codes: 0 something fits; 1 nothing does, and what would is said; 2 something given is at
    fault.
    """
    with faults_said(as_json):
        from datetime import date

        from shopfit.ramping import (
            answer_data,
            ramp_files,
            ramps,
            read_question,
            write_ramp_files,
        )

        shop, door = _shop(scenario)
        task, book = read_question(file, _typed(options), shop, rulebook)
        answer = ramps(task, book)
        files: tuple[str, ...] = ()
        if out is not None:
            made = ramp_files(answer, book, best, date.today().isoformat(), door)
            files = write_ramp_files(made, out)
        if as_json:
            print_json({**answer_data(answer), "files": list(files)})
        else:
            show_ramps(console(), answer, every)
            if files:
                click.echo(f"{len(files)} files written to {out}")
    sys.exit(MET if answer.arrangements or not answer.needed else VIOLATIONS)


def _shop(scenario: Path | None) -> tuple[Any, str | None]:
    if scenario is None:
        return None, None
    from shopfit.planning import load_scenario

    shop = load_scenario(scenario).shop
    entrances = [door.id for door in shop.doors if door.use == "entrance"]
    return shop, shop.approach.door or next(iter(entrances), None)


def _typed(options: dict[str, Any]) -> dict[tuple[str | int, ...], tuple[str, Any]]:
    typed: dict[tuple[str | int, ...], tuple[str, Any]] = {}
    for option, loc in FIELDS.items():
        value = options[option.removeprefix("--").replace("-", "_")]
        if value is not None:
            typed[loc] = (option, value)
    return typed


def show_ramps(screen: Console, answer: RampAnswer, every: bool = False) -> None:
    """Print what fits, for what that is proved, notes and cautions; or what is lacking."""
    from rich.text import Text

    if not answer.needed:
        screen.print(answer.notes[0])
        return
    listed = answer.arrangements if every else answer.arrangements[:LISTED]
    if listed:
        screen.print(_table(answer, listed))
        left = len(answer.arrangements) - len(listed)
        if left:
            screen.print(f"{left} more that fit are listed with --all.")
        screen.print(_proof(answer))
        if answer.smallest:
            _show_one(screen, answer, answer.smallest)
    else:
        _show_lacking(screen, answer)
    for sentence in answer.notes:
        screen.print(sentence)
    screen.print(Text(f"Tried: {'; '.join(answer.family)}.", style="dim"))
    screen.print(Text(f"Grid: {'; '.join(answer.grid)}.", style="dim"))
    for sentence in answer.cautions:
        screen.print(Text(sentence, style="bold"))


def _table(answer: RampAnswer, listed: tuple[Arrangement, ...]) -> Table:
    from shopfit.cli.tables import plain_table
    from shopfit.drawing.rampsheet import area_words
    from shopfit.units import format_length

    task, priced = answer.task, answer.cheapest is not None
    columns = [
        ("", False),
        ("way down", False),
        ("slope", True),
        ("runs", False),
        ("along × out", True),
        ("ground", True),
    ]
    if priced:
        columns.append((f"cost, {task.currency}", True))
    table = plain_table(f"{task.name}: ramps that fit", columns)
    table.padding = (0, 1, 0, 0)
    for one in listed:
        said = [format_length(run, task.units) for run in one.runs_mm]
        row = [
            one.id,
            f"{one.form}: {one.way}{_marks(one, answer)}",
            f"1:{one.ratio:g}",
            "\n".join(said),
            f"{format_length(one.along_mm, task.units)} × {format_length(one.out_mm, task.units)}",
            area_words(one.footprint_m2, task.units),
        ]
        table.add_row(*row, *([f"{one.cost:,.0f}"] if priced else []))
    table.columns[1].ratio = 1
    table.expand = True
    return table


def _marks(one: Arrangement, answer: RampAnswer) -> str:
    told = [
        word
        for word, which in (("smallest", answer.smallest), ("cheapest", answer.cheapest))
        if one.id == which
    ]
    return f" ({', '.join(told)})" if told else ""


def _proof(answer: RampAnswer) -> str:
    priced = " and the cheapest" if answer.cheapest else ""
    return (
        f"{answer.tried:,} arrangements tried, {answer.fitted:,} fit. The smallest{priced} proved "
        "by trying all of the family and grid below."
    )


def _show_one(screen: Console, answer: RampAnswer, wanted: str) -> None:
    """Print the parts of one arrangement with their sizes and heights."""
    from shopfit.cli.tables import plain_table
    from shopfit.units import format_length

    task = answer.task
    one = next(each for each in answer.arrangements if each.id == wanted)
    table = plain_table(
        f"{one.id} from the door down, clear sizes",
        [("part", False), ("along", True), ("across", True), ("from", True), ("to", True)],
    )
    for part in one.parts:
        if part.kind != "steps":
            sizes = (part.length_mm, part.width_mm, part.top_mm, part.bottom_mm)
            table.add_row(part.id, *(format_length(size, task.units) for size in sizes))
    screen.print(table)
    screen.print(f"{_lengths(one, task)}.")


def _lengths(one: Arrangement, task: RampTask) -> str:
    from shopfit.drawing.rampsheet import area_words
    from shopfit.units import format_length

    told = [f"Edge protection {format_length(one.edge_mm, task.units)}"]
    for rail in one.rails:
        told.append(
            f"{rail.id} {format_length(rail.length_mm, task.units)} with "
            f"{format_length(rail.extension_mm, task.units)} of ends, "
            f"{rail.bends} {'bend' if rail.bends == 1 else 'bends'}, {rail.posts} posts"
        )
    if one.guard_mm:
        told.append(f"guard wanted on {format_length(one.guard_mm, task.units)}")
    told.append(f"deck {area_words(one.deck_m2, task.units)}")
    told.append(f"ramp surface {area_words(one.ramp_m2, task.units)}")
    if one.steps:
        riser, tread = one.steps.riser_mm, one.steps.tread_mm
        told.append(
            f"steps: {one.steps.count} risers of {format_length(riser, task.units)}, treads of "
            f"{format_length(tread, task.units)}"
        )
    return "; ".join(told)


def _show_lacking(screen: Console, answer: RampAnswer) -> None:
    from shopfit.units import format_length

    task, lack = answer.task, answer.lacking
    screen.print(f"{task.name}: no ramp fits; {answer.tried:,} arrangements were tried.")
    if lack is None:
        return
    told = []
    for side, more in (
        ("to the left", lack.left_mm),
        ("to the right", lack.right_mm),
        ("further out", lack.out_mm),
    ):
        if more is not None:
            told.append(f"{format_length(more, task.units)} more ground {side}")
    if told:
        screen.print(f"Any one of these would be enough: {'; '.join(told)}.")
    if lack.along_mm is not None:
        screen.print(
            f"Shortest ground along the wall: {format_length(lack.along_mm, task.units)}, as deep "
            "as it is."
        )
    if lack.away_mm is not None:
        screen.print(
            f"Shortest ground out from the wall: {format_length(lack.away_mm, task.units)}, as "
            "long as it is."
        )
    rise = "no rise at all" if lack.rise_mm is None else format_length(lack.rise_mm, task.units)
    screen.print(f"Greatest rise that fits the ground as it is: {rise}.")
