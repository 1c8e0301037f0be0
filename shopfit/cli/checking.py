"""The command that measures a layout afresh, on the terminal and as a report to keep."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopfit.cli.guard import MET, VIOLATIONS, console, faults_said, print_json

if TYPE_CHECKING:
    from shopfit.model.finding import Finding
    from shopfit.model.layout import Layout
    from shopfit.model.scenario import Scenario

FOLDER = click.Path(path_type=Path)


@click.command()
@click.argument("scenario", type=FOLDER)
@click.argument("layout", type=FOLDER, required=False)
@click.option(
    "-o",
    "--out",
    type=FOLDER,
    help="Folder for findings.csv, findings.json, and the plan with every finding marked.",
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of tables.")
def check(scenario: Path, layout: Path | None, out: Path | None, as_json: bool) -> None:
    """Measure a layout afresh against the rulebook and the brief.

    LAYOUT is a layout file or an output folder; out/<scenario> if left out.
    """
    with faults_said(as_json):
        from shopfit import planning

        given, measured = read_both(scenario, layout)
        findings = planning.check(given, measured)
        files = planning.write_findings(given, measured, findings, out) if out is not None else ()
        if as_json:
            print_json({**planning.findings_data(given, findings), "files": list(files)})
        else:
            from shopfit.cli.tables import show_findings

            screen = console()
            show_findings(screen, given, findings)
            if files:
                screen.print(f"{len(files)} files written to {out}")
    sys.exit(judged(findings))


def default_out(scenario: Path) -> Path:
    """Give the output folder of a scenario that names none."""
    return Path("out") / scenario.resolve().name


def read_both(scenario: Path, layout: Path | None, strict: bool = False) -> tuple[Scenario, Layout]:
    """Read scenario and layout; where strict, every name of the layout must be known."""
    from shopfit import planning

    given = planning.load_scenario(scenario)
    path = layout if layout is not None else default_out(scenario)
    read = planning.read_layout(path, given if strict else None)
    if not planning.made_for(given, read):
        click.echo("Note: the scenario has changed since this layout was made.", err=True)
    return given, read


def judged(findings: tuple[Finding, ...]) -> int:
    """Give the exit code that goes with findings."""
    return VIOLATIONS if any(each.severity == "violation" for each in findings) else MET
