"""The command that rearranges what stands, and its tables."""

from __future__ import annotations

import math
import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopfit.cli.guard import MET, NO_LAYOUT, VIOLATIONS, console, faults_said, print_json
from shopfit.cli.shared import FOLDER, as_json, seconds_option, seed_option, workers_option

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from shopfit.model.moves import BlockMove, MoveRow, Moves
    from shopfit.planning import Plan
    from shopfit.units import LengthStyle


def _finite(
    context: click.Context, parameter: click.Parameter, value: float | None
) -> float | None:
    if value is not None and not math.isfinite(value):
        raise click.BadParameter(f"{value} is not a number of facings or value, such as 12")
    return value


@click.command()
@click.argument("scenario", type=FOLDER)
@click.argument("layout", type=FOLDER)
@click.option(
    "--gain",
    type=float,
    callback=_finite,
    help="Facings to gain, or value where the brief asks for value, over what of today's goods "
    "is still in the range.  [default: the minimums are enough]",
)
@click.option(
    "--most-moves",
    type=click.IntRange(0, 10_000),
    help="Most moves of fixtures and slat-wall; 0 changes goods only. Without --gain: show the "
    "most that so many moves allow.",
)
@click.option(
    "-o", "--out", type=FOLDER, help="Output folder.  [default: out/<scenario>-rearranged]"
)
@seconds_option
@workers_option
@seed_option
@as_json
def rearrange(
    scenario: Path,
    layout: Path,
    gain: float | None,
    most_moves: int | None,
    out: Path | None,
    seconds: float,
    workers: int,
    seed: int,
    as_json: bool,
) -> None:
    """Meet a changed scenario with the fewest moves.

    LAYOUT is the layout file or output folder of what stands today; SCENARIO is what is wanted
    now, with another range, catalogue or brief, or with the same. Everything that `solve` writes
    is written, and moves.csv: what to take down, move, hang and change, line by line.
    """
    with faults_said(as_json):
        from shopfit import planning
        from shopfit.cli.solving import solve_at_terminal
        from shopfit.files.writing import require_folder
        from shopfit.model.options import SolveOptions

        folder = out if out is not None else Path("out") / f"{scenario.resolve().name}-rearranged"
        _keep_apart(layout, folder)
        given, stands = planning.load_scenario(scenario), planning.read_layout(layout)
        require_folder(folder)
        options = SolveOptions(seconds=seconds, workers=workers, seed=seed)

        def search(given: object, options: object, **more: object) -> Plan:
            ask = partial(planning.rearrange, gain=gain, most_moves=most_moves)
            return ask(given, stands, options, **more)  # type: ignore[arg-type]

        plan = solve_at_terminal(given, options, search)
        files = planning.write_outputs(plan, folder) if plan.layout is not None else ()
        if as_json:
            print_json(planning.plan_data(plan, files))
        else:
            screen = console()
            show_moves(screen, plan)
            if files:
                screen.print(f"{len(files)} files written to {folder}")
    if plan.layout is None:
        sys.exit(NO_LAYOUT)
    sys.exit(VIOLATIONS if plan.violations else MET)


def _keep_apart(layout: Path, folder: Path) -> None:
    """Refuse to write over the layout that stands."""
    stands = layout / "layout.json" if layout.is_dir() else layout
    if stands.resolve() == (folder / "layout.json").resolve():
        raise click.BadParameter(
            f"{folder} holds the layout that stands; allowed is any other folder",
            param_hint="--out",
        )


def show_moves(screen: Console, plan: Plan) -> None:
    """Print what has to be moved and changed, what was found, or why there is no layout."""
    from shopfit import wording
    from shopfit.cli.tables import show_clash, show_findings
    from shopfit.quantities.movelist import move_rows

    layout, moves, shop = plan.layout, plan.moves, plan.scenario.shop
    if layout is None or moves is None:
        show_clash(screen, plan.solution.clash, plan.solution.stopped)
        return
    if plan.solution.stopped:
        screen.print("Stopped on request; this is the nearest layout so far.")
    screen.print(wording.moved(moves, layout.proof))
    rows = [row for row in move_rows(plan.scenario, moves) if row.step != "kept"]
    places = [row for row in rows if row.part in ("fixture", "slat-wall")]
    if places:
        screen.print(_places(places, shop.units))
    changed = [row for row in moves.blocks if row.step not in ("kept", "carried along")]
    if changed:
        screen.print(_goods(changed))
    if holders := [row for row in rows if row.part == "holder"]:
        screen.print(_holders(holders))
    screen.print(_kept(moves))
    claims = layout.claims
    cost = wording.money(claims.cost, shop.currency)
    screen.print(
        f"{claims.facings:,} facings, {claims.units:,} units held; all of it costs {cost}."
    )
    show_findings(screen, plan.scenario, plan.findings)


def _places(rows: list[MoveRow], style: LengthStyle) -> Table:
    from shopfit.cli.tables import plain_table
    from shopfit.units import format_length

    table = plain_table(
        "Fixtures and slat-wall",
        [
            ("tag", False),
            ("name", False),
            ("step", False),
            ("before", False),
            ("after", False),
            ("moved by", False),
            ("moves", True),
        ],
    )
    for row in rows:
        by = "" if row.moved_mm is None else format_length(row.moved_mm, style)
        turn = "" if row.turned_deg is None else f"turned {row.turned_deg:.6g}°"
        told = ", ".join(part for part in (by, turn) if part)
        count = f"{row.moves}" if row.moves else ""
        table.add_row(row.tag, row.name, row.step, row.before, row.after, told, count)
    return table


def _goods(rows: list[BlockMove]) -> Table:
    from shopfit.cli.tables import plain_table

    table = plain_table(
        "Blocks that change or shift",
        [("block", False), ("category", False), ("on", False), ("step", False), ("facings", False)],
    )
    for row in rows:
        on = row.host_after or row.host_before or ""
        if row.host_before and row.host_after and row.host_before != row.host_after:
            on = f"{row.host_before}, now {row.host_after}"
        side = "" if row.side == "front" else f", {row.side}"
        lines = "; ".join(f"{line.line} {line.before} → {line.after}" for line in row.lines)
        tag = row.tag_after or row.tag_before or ""
        table.add_row(tag, row.category, f"{on}{side}", row.step, lines)
    return table


def _holders(rows: list[MoveRow]) -> Table:
    from shopfit.cli.tables import plain_table

    table = plain_table(
        "Brackets and shelf boards on slat-wall",
        [("item", False), ("name", False), ("before", True), ("after", True), ("", False)],
    )
    for row in rows:
        table.add_row(row.tag, row.name, f"{row.pieces_before}", f"{row.pieces_after}", row.step)
    return table


def _kept(moves: Moves) -> str:
    counts = (
        (sum(row.step == "kept" for row in moves.fixtures), len(moves.fixtures), "fixtures"),
        (sum(row.step == "kept" for row in moves.runs), len(moves.runs), "runs"),
        (sum(row.step == "kept" for row in moves.blocks), len(moves.blocks), "blocks"),
    )
    told = ", ".join(f"{kept} of {every} {what}" for kept, every, what in counts)
    return f"Kept as they are: {told}."
