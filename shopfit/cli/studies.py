"""Commands that solve many times: studies, curves, and what holds a shop back."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopfit.cli.checking import read_beside
from shopfit.cli.guard import (
    BROKEN_OFF,
    MET,
    NO_LAYOUT,
    VIOLATIONS,
    console,
    faults_said,
    print_json,
)
from shopfit.cli.shared import FOLDER, as_json, one_worker_option, seconds_option, seed_option

if TYPE_CHECKING:
    from shopfit.model.layout import Layout
    from shopfit.model.scenario import Scenario
    from shopfit.sweep.settle import Settled

ORDERS = ("study", "facings", "value", "bound", "gap", "cost", "violations", "seconds")
KINDS = ("sheet", "wall", "aisle", "panelboard", "money", "fixture", "minimum", "pin")

processes_option = click.option(
    "--processes",
    type=click.IntRange(0, 512),
    help="Solves at once; 0 uses no process but this one.  [default: by the cores there are]",
)
address_option = click.option(
    "--address", help="Scheduler of a Dask cluster to solve on, such as tcp://10.0.0.5:8786."
)


@click.command()
@click.argument("study", type=FOLDER)
@click.option("-o", "--out", type=FOLDER, help="Output folder.  [default: out/<study>]")
@processes_option
@address_option
@click.option(
    "--sort", type=click.Choice(ORDERS), default="study", show_default=True, help="Order of rows."
)
@as_json
def sweep(
    study: Path,
    out: Path | None,
    processes: int | None,
    address: str | None,
    sort: str,
    as_json: bool,
) -> None:
    """Solve every case of a study, several at once.

    STUDY is a YAML file that lists scenario folders and what is changed in them. Each case is
    written down as soon as it is solved; the same command goes on where it was broken off, and
    solves again only what has changed. Ctrl-C stops it.

    Exit codes: 0 every case has a layout that meets the values checked; 1 some do not; 2
    something given is at fault; 3 some case has no layout, failed, or was not solved.
    """
    with faults_said(as_json):
        from shopfit.sweep.study import run_study, study_data

        folder = out if out is not None else Path("out") / study.stem
        with _Watch() as watch:
            done = run_study(
                study,
                folder,
                processes=processes,
                address=address,
                order=sort,  # type: ignore[arg-type]
                stop=watch.stop,
                told=watch.told,
                look=watch.look,
                noted=watch.noted,
            )
        if as_json:
            print_json(study_data(done))
        else:
            from shopfit.cli.studytables import show_study

            show_study(console(), done, folder)
    lost = done.undone or any(row.status != "layout" for row in done.rows)
    sys.exit(_code(bool(lost), any(row.violations for row in done.rows)))


@click.command()
@click.argument("scenario", type=FOLDER)
@click.option(
    "--over",
    required=True,
    help="aisle, budget, islands, or a kind or the id of a fixture, of which at most so many.",
)
@click.option("--from", "first", required=True, help="One end, such as 36 in, 1500 or 0.")
@click.option("--to", "last", required=True, help="The other end.")
@click.option(
    "--steps", type=int, help="Steps between.  [default: 4, or every whole number of fixtures]"
)
@click.option("-o", "--out", type=FOLDER, help="Output folder.  [default: out/<scenario>-<over>]")
@seconds_option
@one_worker_option
@seed_option
@processes_option
@address_option
@as_json
def frontier(
    scenario: Path,
    over: str,
    first: str,
    last: str,
    steps: int | None,
    out: Path | None,
    seconds: float,
    workers: int,
    seed: int,
    processes: int | None,
    address: str | None,
    as_json: bool,
) -> None:
    """Show how facings go with the aisle, the budget, or the number of a fixture.

    Each point is solved from the best layout of its neighbours that meets its rules. Table,
    drawing and layouts are written; the same command goes on where it was broken off.

    Exit codes: 0 every layout meets the values checked; 1 some do not; 2 something given is at
    fault; 3 no point has a layout, or some were not solved.
    """
    with faults_said(as_json):
        from shopfit import planning
        from shopfit.frontier.axis import read_axis
        from shopfit.frontier.run import curve_data, run_frontier
        from shopfit.model.options import SolveOptions

        given = planning.load_scenario(scenario)
        axis, values = read_axis(given, over, first, last, steps)
        folder = out if out is not None else _out(scenario, over)
        options = SolveOptions(seconds=seconds, workers=workers, seed=seed)
        with _Watch() as watch:
            curve = run_frontier(
                axis,
                values,
                options,
                out=folder,
                processes=processes,
                address=address,
                stop=watch.stop,
                told=watch.told,
                look=watch.look,
                noted=watch.noted,
            )
        if as_json:
            print_json(curve_data(curve))
        else:
            from shopfit.cli.studytables import show_curve

            show_curve(console(), curve, folder)
    lost = curve.undone or all(point.facings is None for point in curve.points)
    sys.exit(_code(bool(lost), any(point.violations for point in curve.points)))


@click.command()
@click.argument("scenario", type=FOLDER)
@click.argument("layout", type=FOLDER, required=False)
@click.option(
    "--only",
    type=click.Choice(KINDS),
    multiple=True,
    help="Kinds of limits to move; may be given several times.  [default: all]",
)
@click.option("-o", "--out", type=FOLDER, help="Output folder.  [default: out/<scenario>-limits]")
@seconds_option
@one_worker_option
@seed_option
@processes_option
@address_option
@as_json
def limits(
    scenario: Path,
    layout: Path | None,
    only: tuple[str, ...],
    out: Path | None,
    seconds: float,
    workers: int,
    seed: int,
    processes: int | None,
    address: str | None,
    as_json: bool,
) -> None:
    """Say what holds a shop back: what one more of each limit gains.

    The shop is solved again with one more sheet, a foot more of wall, a narrower aisle, the
    panelboard elsewhere, more and less money, one more fixture, and each minimum and pin given
    up, one at a time, from LAYOUT on: a layout file or an output folder, out/<scenario> if there
    is one and it is left out. Gains are told as far as they are proved.

    Exit codes: 0 the layout meets the values checked; 1 it does not; 2 something given is at
    fault; 3 there is no layout, or some changes were not solved.
    """
    with faults_said(as_json):
        from shopfit import planning
        from shopfit.limits.run import report_data, run_limits
        from shopfit.model.options import SolveOptions

        given = planning.load_scenario(scenario)
        folder = out if out is not None else _out(scenario, "limits")
        with _Watch() as watch:
            report = run_limits(
                given,
                SolveOptions(seconds=seconds, workers=workers, seed=seed),
                _layout(scenario, layout, given),
                out=folder,
                only=only,  # type: ignore[arg-type]
                processes=processes,
                address=address,
                stop=watch.stop,
                told=watch.told,
                look=watch.look,
                noted=watch.noted,
            )
        if as_json:
            print_json(report_data(report))
        else:
            from shopfit.cli.studytables import show_limits

            show_limits(console(), report, folder)
    sys.exit(_code(report.now.layout is None or bool(report.undone), bool(report.now.violations)))


class _Watch:
    """Tells of settled cases on the error output, and of what went wrong; hears Ctrl-C."""

    def __init__(self) -> None:
        from shopfit.cli.interrupts import Keyboard
        from shopfit.stopping import StopFlag

        self.stop, self._keys, self._count = StopFlag(), Keyboard(), 0

    def __enter__(self) -> _Watch:
        self._keys.listen()
        return self

    def __exit__(self, *_: object) -> None:
        self._keys.leave()
        if self.stop.why:
            click.echo(f"Not done: {self.stop.why}; the same command goes on.", err=True)

    def told(self, settled: Settled, count: int) -> None:
        """Say in one line what a case came to; counted where it is known how many there are."""
        from shopfit.cli.studytables import settled_line

        self._count += 1 if count else 0
        place = f"{self._count} of {count}  " if count else ""
        click.echo(place + settled_line(settled), err=True)

    def noted(self, words: str) -> None:
        """Say what is worth knowing before the first search."""
        click.echo(words, err=True)

    def look(self) -> None:
        """Ask for a stop at the first Ctrl-C, and break off at the second."""
        self._keys.listen()
        if not self._keys.pressed():
            return
        if self.stop.requested:
            click.echo("Broken off; what was finished before is kept.", err=True)
            sys.exit(BROKEN_OFF)
        self.stop.request()
        click.echo(
            "Stopping; the same command goes on later. Ctrl-C again breaks off at once.", err=True
        )


def _layout(folder: Path, layout: Path | None, scenario: Scenario) -> Layout | None:
    from shopfit import planning

    if layout is not None:
        return read_beside(scenario, layout)
    usual = Path("out") / folder.resolve().name / "layout.json"
    if not usual.is_file():
        return None
    found = planning.read_layout(usual)
    return found if planning.made_for(scenario, found) else None


def _out(scenario: Path, what: str) -> Path:
    return Path("out") / f"{scenario.resolve().name}-{what.replace(' ', '-')}"


def _code(lost: bool, violations: bool) -> int:
    if lost:
        return NO_LAYOUT
    return VIOLATIONS if violations else MET
