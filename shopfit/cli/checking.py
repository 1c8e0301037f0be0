"""The command that measures a layout afresh, on the terminal and as a report to keep."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopfit.cli.guard import MET, VIOLATIONS, console, faults_said, print_json
from shopfit.cli.shared import FOLDER, FiniteRange, as_json

if TYPE_CHECKING:
    from shopfit.finished import Finished
    from shopfit.model.finding import Finding
    from shopfit.model.layout import Layout
    from shopfit.model.scenario import Scenario


@click.command()
@click.argument("scenario", type=FOLDER)
@click.argument("layout", type=FOLDER, required=False)
@click.option(
    "-o",
    "--out",
    type=FOLDER,
    help="Folder for findings.csv, findings.json, and the plan with every finding marked.",
)
@click.option(
    "--measuring-list",
    "blank",
    type=FOLDER,
    help="Write a CSV of what to measure in the finished shop, to be filled in.",
)
@click.option(
    "--measured",
    type=FOLDER,
    help="A filled-in list: check the shop as built, and say what tolerance is left.",
)
@click.option(
    "--seconds",
    type=FiniteRange(0, 86_400),
    default=60.0,
    show_default=True,
    help="How long working out the tolerances left may take.",
)
@click.option("--full", is_flag=True, help="Say what to measure for all that was not checked.")
@as_json
def check(
    scenario: Path,
    layout: Path | None,
    out: Path | None,
    blank: Path | None,
    measured: Path | None,
    seconds: float,
    full: bool,
    as_json: bool,
) -> None:
    """Measure a layout afresh against the rulebook and the brief.

    LAYOUT is a layout file or an output folder; out/<scenario> if left out.
    """
    if blank is not None and measured is not None:
        raise click.UsageError("--measuring-list and --measured are steps one after the other.")
    with faults_said(as_json):
        from shopfit import finished, planning

        strict = blank is not None or measured is not None
        given, read = read_both(scenario, layout, strict)
        if blank is not None:
            finished.write_measuring_list(given, read, blank)
            click.echo(str(blank))
            return
        if measured is not None:
            built = finished.as_built(given, read, measured, seconds=seconds)
            _tell_built(built, out, as_json)
            sys.exit(MET if built.meets else VIOLATIONS)
        findings = planning.check(given, read)
        files = planning.write_findings(given, read, findings, out) if out is not None else ()
        if as_json:
            print_json({**planning.findings_data(given, findings), "files": list(files)})
        else:
            from shopfit.cli.tables import show_findings

            screen = console()
            show_findings(screen, given, findings, full)
            if files:
                screen.print(f"{len(files)} files written to {out}")
    sys.exit(judged(findings))


def _tell_built(built: Finished, out: Path | None, as_json: bool) -> None:
    """Print a finished shop, and write it down where a folder is given."""
    from shopfit import finished

    files = finished.write_as_built(built, out) if out is not None else ()
    if as_json:
        print_json({**finished.as_built_data(built), "files": list(files)})
        return
    from shopfit.cli.builttables import show_as_built

    screen = console()
    show_as_built(screen, built.scenario, built.found)
    if files:
        screen.print(f"{len(files)} files written to {out}")


def default_out(scenario: Path) -> Path:
    """Give the output folder of a scenario that names none."""
    return Path("out") / scenario.resolve().name


def read_both(scenario: Path, layout: Path | None, strict: bool = False) -> tuple[Scenario, Layout]:
    """Read scenario and layout; where strict, every name of the layout must be known."""
    from shopfit import planning

    given = planning.load_scenario(scenario)
    path = layout if layout is not None else default_out(scenario)
    return given, read_beside(given, path, strict)


def read_beside(given: Scenario, path: Path, strict: bool = True) -> Layout:
    """Read a layout beside a scenario; what it was made for is said before any fault."""
    from shopfit import planning
    from shopfit.files.origin import read_for

    read, note = read_for(path, given, strict)
    if note:
        click.echo(f"Note: {note}", err=True)
    return planning.read_layout(path, given) if strict else read


def judged(findings: tuple[Finding, ...]) -> int:
    """Give the exit code that goes with findings."""
    return VIOLATIONS if any(each.severity == "violation" for each in findings) else MET
