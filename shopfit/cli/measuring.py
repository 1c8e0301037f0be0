"""The command that measures the solver and its peers on drawn shops."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopfit.bench.sizes import SIZES
from shopfit.cli.guard import BROKEN_OFF, MET, VIOLATIONS, console, faults_said, print_json
from shopfit.cli.shared import FiniteRange, as_json

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rich.table import Table

    from shopfit.bench.measure import Record
    from shopfit.bench.suite import Task


@click.command()
@click.option("--quick", is_flag=True, help="Small shops, one seed, 5 s each: minutes in all.")
@click.option(
    "--size",
    "sizes",
    type=click.Choice(SIZES),
    multiple=True,
    help="Sizes of shop; may be given several times.  [default: all]",
)
@click.option(
    "--seeds", type=click.IntRange(1, 1000), help="Shops of each size.  [default: 3, quick 1]"
)
@click.option(
    "--solver",
    "solvers",
    multiple=True,
    help="Who is measured; may be given several times.  [default: all there are]",
)
@click.option(
    "--seconds",
    type=FiniteRange(0, 86_400, min_open=True),
    help="Asked of every solver.  [default: by size, 10 to 600]",
)
@click.option(
    "--workers",
    type=click.IntRange(1, 64),
    default=2,
    show_default=True,
    help="Threads of every solver.",
)
@click.option(
    "-o",
    "--out",
    type=click.Path(path_type=Path),
    default=Path("out/bench"),
    show_default=True,
    help="Output folder; what is recorded there is not run again.",
)
@as_json
def bench(
    quick: bool,
    sizes: tuple[str, ...],
    seeds: int | None,
    solvers: tuple[str, ...],
    seconds: float | None,
    workers: int,
    out: Path,
    as_json: bool,
) -> None:
    """Measure the solver, and others on the same problem, on shops drawn by a seed.

    Writes records.jsonl, bench.json, bench.md and, where there are two sizes or more, growth.svg
    and growth.png. Every layout is judged by the checks. Ctrl-C keeps what is recorded; the same
    command goes on from there. Exit code 1 says that a run failed, that a layout had violations,
    or that a layout was worth more than somebody proved possible.
    """
    with faults_said(as_json):
        from shopfit.bench.report import report, write_report
        from shopfit.bench.suite import run, tasks
        from shopfit.files.writing import require_folder

        require_folder(out)
        chosen = _solvers(solvers)
        planned = tasks(
            chosen, sizes=sizes, seeds=seeds, seconds=seconds, workers=workers, quick=quick
        )
        try:
            records = run(planned, out, heard=_told)
        except KeyboardInterrupt:
            click.echo("Broken off; the same command goes on from here.", err=True)
            sys.exit(BROKEN_OFF)
        files = write_report(records, out)
        if as_json:
            print_json(report(records))
        else:
            _show(records)
            console().print(f"{len(files)} files written to {out}")
    sys.exit(VIOLATIONS if _amiss(records) else MET)


def _solvers(asked: tuple[str, ...]) -> tuple[str, ...]:
    from shopfit.bench.solvers import names

    known = names()
    for name in asked:
        if name not in known:
            raise click.BadParameter(
                f"{name!r} is no solver; allowed: {', '.join(known)}", param_hint="--solver"
            )
    return tuple(dict.fromkeys(asked)) or known


def _told(number: int, count: int, task: Task, record: Record | None) -> None:
    case = task.case
    what = f"{number}/{count}  {case.name} {case.seed}  {task.solver}"
    if record is None:
        click.echo(f"{what}  up to {task.options.seconds:g} s", err=True)
        return
    worth = "no layout" if record.value is None else f"worth {record.value:,.6g}"
    if record.violations:
        worth = f"{record.violations} violations"
    if record.ended != "answered":
        worth = f"{record.ended}: {record.error}"
    took = "" if record.seconds is None else f" in {record.seconds:.1f} s"
    click.echo(f"{what}  {worth}{took}", err=True)


def _amiss(records: Sequence[Record]) -> bool:
    from shopfit.bench.summary import contradictions

    wrong = any(each.ended != "answered" or each.violations for each in records)
    return wrong or bool(contradictions(records))


def _show(records: Sequence[Record]) -> None:
    from shopfit.bench.growth import growth
    from shopfit.bench.report import LEGEND, growth_lines
    from shopfit.bench.summary import contradictions

    screen = console()
    screen.print(measured_table(records))
    screen.print(LEGEND, style="dim")
    for line in growth_lines(growth(records)):
        screen.print(line)
    for each in contradictions(records):
        screen.print(f"Contradiction: {each}", style="bold red")


def measured_table(records: Sequence[Record]) -> Table:
    """Give the medians as a table that fits the width of the terminal."""
    from rich import box
    from rich.table import Table

    from shopfit.bench.report import HEADINGS, cells
    from shopfit.bench.summary import summaries

    table = Table(title="Measured", title_justify="left", box=box.SIMPLE_HEAD, pad_edge=False)
    table.padding = (0, 1, 0, 0)
    for column, heading in enumerate(HEADINGS):
        words = column < 2
        table.add_column(heading, justify="left" if words else "right", no_wrap=not words)
    for each in summaries(records):
        table.add_row(*cells(each))
    return table
