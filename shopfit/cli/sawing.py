"""The command that cuts a list of parts from a list of stock."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopfit.cli.guard import NO_LAYOUT, console, faults_said, print_json
from shopfit.cli.shared import FiniteRange, as_json

if TYPE_CHECKING:
    from shopfit.model.cutting import CutPlan
    from shopfit.units import LengthStyle

FILE = click.Path(path_type=Path)


@click.command()
@click.argument("parts", type=FILE)
@click.argument("stock", type=FILE)
@click.option("-o", "--out", type=FILE, help="Folder for lists and drawings.")
@click.option("--kerf", help="What the saw takes.  [default: 1/8 in]")
@click.option(
    "--keep",
    nargs=2,
    metavar="LENGTH WIDTH",
    help="Offcuts at least so large are kept.  [default: 12 in 4 in]",
)
@click.option(
    "--units",
    type=click.Choice(["ft-in", "in", "mm", "m"]),
    default="ft-in",
    show_default=True,
    help="How lengths are written.",
)
@click.option(
    "--effort",
    type=FiniteRange(0, 100, min_open=True),
    default=1.0,
    show_default=True,
    help="How hard to search; 1 is at most some ten seconds a material.",
)
@as_json
def cut(
    parts: Path,
    stock: Path,
    out: Path | None,
    kerf: str | None,
    keep: tuple[str, str] | None,
    units: LengthStyle,
    effort: float,
    as_json: bool,
) -> None:
    """Cut a list of parts from stock: sheets and lengths, for the least money and fewest cuts.

    PARTS is a CSV file with columns part, material, length, width, count, may_turn, for, groove;
    STOCK one with stock, name, material, length, width, price, available, trim, groove_pitch,
    first_groove. Lengths carry their unit and lie along the grain or the grooves; what has no
    width is a length of timber or trim. Exit code 3 if some parts could not be cut.
    """
    with faults_said(as_json):
        from shopfit.cutting.plan import cut as cut_from
        from shopfit.files.cutlists import read_cut_job

        plan = cut_from(read_cut_job(parts, stock, kerf, keep), effort)
        names: tuple[str, ...] = ()
        if out is not None:
            from shopfit import sawing

            names = sawing.write(sawing.plan_files(plan, units, parts.stem), out)
        if as_json:
            print_json({**plan.model_dump(mode="json"), "cost": plan.cost, "files": list(names)})
        else:
            _show(plan, units)
            if names:
                console().print(f"{len(names)} files written to {out}")
    sys.exit(NO_LAYOUT if plan.uncut else 0)


def _show(plan: CutPlan, units: LengthStyle) -> None:
    from shopfit.cli.cuttables import cut_tables, proof_sentences

    screen = console()
    for table in cut_tables(plan.boards, units):
        screen.print(table)
    for sentence in proof_sentences(plan):
        screen.print(sentence)
