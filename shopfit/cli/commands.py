"""The commands, their arguments and their exit codes."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopfit import __version__
from shopfit.cli.aisles import aisle
from shopfit.cli.checking import check, default_out, judged, read_both
from shopfit.cli.guard import NO_LAYOUT, console, faults_said, print_json
from shopfit.cli.measuring import bench
from shopfit.cli.ramping import ramp
from shopfit.cli.rearranging import rearrange
from shopfit.cli.sawing import cut
from shopfit.cli.shared import FOLDER, as_json, seconds_option, seed_option, workers_option
from shopfit.cli.studies import frontier, limits, sweep
from shopfit.cli.takeaway import finishes, labels, order, solids
from shopfit.cli.values import values

if TYPE_CHECKING:
    from shopfit.drawing import PageName
    from shopfit.model.layout import Layout

LISTS = ("fixtures", "shopping", "set-out", "cuts", "fixings", "covered")


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, message="shopfit %(version)s")
def main() -> None:
    """Plan, check, draw and price the fitting-out of a small shop.

    A scenario is a folder with shop.yaml, range.csv, fixtures.yaml and perhaps pins.yaml; start
    one with `shopfit new`. What is printed never replaces local code and licensed people.

    Exit codes: 0 the layout meets the values checked; 1 it does not; 2 something given is at
    fault; 3 there is no layout.
    """


main.add_command(check)
main.add_command(values)
main.add_command(rearrange)
main.add_command(sweep)
main.add_command(bench)
main.add_command(frontier)
main.add_command(limits)
main.add_command(order)
main.add_command(finishes)
main.add_command(labels)
main.add_command(solids)
main.add_command(ramp)
main.add_command(aisle)
main.add_command(cut)


@main.command()
@click.argument("scenario", type=FOLDER)
@click.option("-o", "--out", type=FOLDER, help="Output folder.  [default: out/<scenario>]")
@seconds_option
@workers_option
@seed_option
@click.option("--pins", type=FOLDER, help="Another pins.yaml than the scenario's own.")
@as_json
def solve(
    scenario: Path,
    out: Path | None,
    seconds: float,
    workers: int,
    seed: int,
    pins: Path | None,
    as_json: bool,
) -> None:
    """Lay a shop out and write plan, elevations, lists and findings.

    Ctrl-C stops the search and keeps the best layout so far. Where whole sheets and packs break
    the budget, it searches again, up to three times and for half as long each.
    """
    with faults_said(as_json):
        from shopfit import planning
        from shopfit.cli.solving import solve_at_terminal
        from shopfit.files.writing import require_folder
        from shopfit.model.options import SolveOptions

        given = planning.load_scenario(scenario, pins)
        folder = out if out is not None else default_out(scenario)
        require_folder(folder)
        options = SolveOptions(seconds=seconds, workers=workers, seed=seed)
        plan = solve_at_terminal(given, options)
        files = planning.write_outputs(plan, folder) if plan.layout is not None else ()
        if as_json:
            print_json(planning.plan_data(plan, files))
        else:
            from shopfit.cli.tables import show_plan

            screen = console()
            show_plan(screen, plan)
            if files:
                screen.print(f"{len(files)} files written to {folder}")
    sys.exit(NO_LAYOUT if plan.layout is None else judged(plan.findings))


@main.command()
@click.argument("scenario", type=FOLDER)
@click.argument("layout", type=FOLDER, required=False)
@click.option(
    "--list",
    "lists",
    type=click.Choice([*LISTS, "all"]),
    multiple=True,
    default=("fixtures", "shopping"),
    show_default=True,
    help="Which lists; may be given several times.",
)
@as_json
def quantities(scenario: Path, layout: Path | None, lists: tuple[str, ...], as_json: bool) -> None:
    """Print what to buy, stand, cut and hang.

    LAYOUT is a layout file or an output folder; out/<scenario> if left out.
    """
    with faults_said(as_json):
        from shopfit import planning

        given, measured = read_both(scenario, layout, strict=True)
        take_off = planning.quantities(given, measured)
        if as_json:
            print_json(take_off.model_dump(mode="json"))
            return
        from shopfit.cli.lists import quantity_tables

        screen = console()
        for table in quantity_tables(given.shop, take_off, LISTS if "all" in lists else lists):
            screen.print(table)


@main.command()
@click.argument("scenario", type=FOLDER)
@click.argument("layout", type=FOLDER, required=False)
@click.option("-o", "--out", type=FOLDER, help="Output folder.  [default: out/<scenario>]")
@click.option(
    "--paper",
    type=click.Choice(["letter", "tabloid", "a4", "a3"]),
    help="[default: Letter or A4 by the units; larger where a plan prints small]",
)
@click.option("--png", is_flag=True, help="Write every sheet as a picture too.")
def draw(
    scenario: Path, layout: Path | None, out: Path | None, paper: PageName | None, png: bool
) -> None:
    """Draw a layout to print at scale: cover, plan, ways, walls, way in, cutting, findings.

    LAYOUT is a layout file or an output folder; out/<scenario> if left out.
    """
    with faults_said():
        from shopfit import outputs, planning

        given, measured = read_both(scenario, layout, strict=True)
        folder = out if out is not None else default_out(scenario)
        findings = planning.check(given, measured)
        files = outputs.drawing_files(given, measured, findings, page=paper)
        if png:
            files |= outputs.pictures(files["drawings.pdf"])
        for name in outputs.write_drawing_files(files, folder):
            click.echo(str(folder / name))


@main.command()
@click.argument("first", type=FOLDER)
@click.argument("second", type=FOLDER)
@click.option(
    "--scenario", type=FOLDER, help="Scenario of both.  [default: the one it was made for]"
)
@click.option("--scenario-of-second", type=FOLDER, help="Scenario of the second, where it differs.")
@click.option("-o", "--out", type=FOLDER, help="Folder for changes.csv: buy, return, move.")
@as_json
def compare(
    first: Path,
    second: Path,
    scenario: Path | None,
    scenario_of_second: Path | None,
    out: Path | None,
    as_json: bool,
) -> None:
    """Put two layouts side by side: facings, cost, fixtures and purchases.

    FIRST and SECOND are layout files or output folders.
    """
    with faults_said(as_json):
        from shopfit import outputs, planning, takeaway

        before, after = planning.read_layout(first), planning.read_layout(second)
        old = planning.load_scenario(scenario or find_scenario(before, first))
        new_folder = scenario_of_second or scenario or find_scenario(after, second)
        comparison = planning.compare(old, before, planning.load_scenario(new_folder), after)
        if out is not None:
            outputs.write_some(takeaway.change_files(old.shop, comparison), out)
        if as_json:
            print_json(comparison.model_dump(mode="json"))
            return
        from shopfit.cli.lists import comparison_tables

        screen = console()
        for table in comparison_tables(old.shop, comparison):
            screen.print(table)


@main.command()
@click.argument("folder", type=FOLDER)
def new(folder: Path) -> None:
    """Start a scenario folder with files that explain themselves."""
    with faults_said():
        from shopfit.files.template import write_template

        for path in write_template(folder):
            click.echo(str(path))
        click.echo(f"Change these to your own, then: shopfit solve {folder}")


@main.command()
@click.argument("what", required=False)
def schema(what: str | None) -> None:
    """Print the JSON Schema of a file, for editors; without WHAT, say which there are."""
    from typing import get_args

    from shopfit.files import schemas

    names: tuple[schemas.What, ...] = get_args(schemas.What)
    if what is None:
        for name in names:
            click.echo(name)
        return
    for name in names:
        if name == what:
            print_json(schemas.schema(name))
            return
    allowed = ", ".join(names)
    raise click.BadParameter(f"{what!r} has no schema; allowed: {allowed}")


@main.command()
@click.option("--port", type=click.IntRange(1024, 65_535), default=8501, show_default=True)
@click.option(
    "--limits",
    type=click.Path(path_type=Path),
    help="A file of limits for a server that several people share; see README.",
)
def page(port: int, limits: Path | None) -> None:
    """Open the page in a browser: measure a shop, lay it out, try it, take the lists away."""
    with faults_said():
        from shopfit.ui.start import run_page

        sys.exit(run_page(port, limits))


def find_scenario(layout: Layout, given: Path) -> Path:
    """Look for the scenario folder that a layout was made for, near the layout and here.

    Raises
    ------
    InputFaults
        If there is none of that name.
    """
    from shopfit.errors import Fault, InputFaults

    near = given.resolve()
    for start in (Path.cwd(), *near.parents[:4]):
        for folder in (start / layout.scenario, start / "scenarios" / layout.scenario):
            if layout.scenario and (folder / "shop.yaml").is_file():
                return folder
    raise InputFaults(
        [
            Fault(
                str(given),
                "scenario",
                repr(layout.scenario),
                "the name of a scenario folder here, or in ./scenarios",
                "Name the scenario folder with --scenario.",
            )
        ]
    )
