"""Where a finished shop measured by tape is judged, listed and written down."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from shopfit.errors import Fault, InputFaults
from shopfit.model.layout import Layout
from shopfit.model.measured import AsBuilt
from shopfit.model.scenario import Scenario


@dataclass(frozen=True)
class Finished:
    """A finished shop measured by tape.

    Parameters
    ----------
    scenario, layout
        What stands, as far as it was measured.
    found
        Every measure with its drift and the tolerance left, and what is new.
    meets
        Whether no violation is among what a tape can tell of.
    """

    scenario: Scenario
    layout: Layout
    found: AsBuilt
    meets: bool


def as_built(
    scenario: Scenario, layout: Layout, measured: Path | str, *, seconds: float = 60.0
) -> Finished:
    """Judge a finished shop by a file of tape measurements.

    Parameters
    ----------
    scenario, layout
        What was planned.
    measured
        A file as `measuring_list` gives it, filled in.
    seconds
        How long the tolerances left may take.

    Raises
    ------
    InputFaults
        With every fault of the file.
    """
    from shopfit.asbuilt import as_built as judge
    from shopfit.asbuilt import stands
    from shopfit.files.measured import read_measured

    rows, blank = read_measured(Path(measured), scenario, layout)
    try:
        built, found = judge(scenario, layout, rows, unmeasured=blank, seconds=seconds)
    except ValueError as error:
        allowed, mend = "measures that a shop can have", "Measure it again."
        fault = Fault(Path(measured).name, "measured", str(error), allowed, mend)
        raise InputFaults([fault]) from None
    return Finished(built.scenario, built.layout, found, stands(found.findings))


def measuring_list(scenario: Scenario, layout: Layout) -> str:
    """Give a list of what to measure once a layout is built, to be filled in, as CSV."""
    from shopfit.asbuilt import what_to_measure
    from shopfit.files.measured import measuring_list_csv

    return measuring_list_csv(what_to_measure(scenario, layout), scenario.shop.units)


def write_measuring_list(scenario: Scenario, layout: Layout, path: Path | str) -> None:
    """Write the list of what to measure, whole or not at all."""
    from shopfit.files.writing import write_text

    write_text(path, measuring_list(scenario, layout))


def as_built_data(finished: Finished) -> dict[str, Any]:
    """Give a finished shop as plain data: measures, what is new, and all findings."""
    from shopfit.files.findings import findings_data
    from shopfit.files.measured import as_built_data as listed

    findings = findings_data(finished.scenario, finished.found.findings)
    return {**listed(finished.found), **findings}


def write_as_built(finished: Finished, folder: Path | str) -> tuple[str, ...]:
    """Write measures, findings and the plan of a finished shop; gives the files' names."""
    from shopfit.files.measured import as_built_json, drifts_csv
    from shopfit.outputs import findings_files, write_findings_files

    found, units = finished.found, finished.scenario.shop.units
    files = {
        "as-built.csv": drifts_csv(found, units).encode("utf-8"),
        "as-built.json": as_built_json(as_built_data(finished)).encode("utf-8"),
        **findings_files(finished.scenario, finished.layout, found.findings),
    }
    return write_findings_files(files, folder)
