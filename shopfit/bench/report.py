"""Writes a series of measurements down: all records, a table, and plots of growth."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from shopfit.bench.growth import MEASURED, MEBIBYTE, Growth, growth, growth_files
from shopfit.bench.machine import machine
from shopfit.bench.measure import Record
from shopfit.bench.summary import Summary, contradictions, summaries
from shopfit.files.writing import Bundle
from shopfit.model.base import plain

HEADINGS = (
    "shops",
    "solver",
    "met",
    "worth",
    "gap %",
    "below %",
    "first s",
    "1 % s",
    "proof s",
    "all s",
    "MiB",
    "viol.",
)
LEGEND = (
    "Medians over seeds. Met: layouts that meet the values checked, of so many runs. Gap: to what "
    "the solver itself proved. Below: under the best bound that any solver proved for the shop, or "
    "its known optimum. Seconds to the first layout, to an own gap of 1 %, to an own proof, and in "
    "all. MiB: most memory held at once. Viol.: violations that the checks found, in all runs. A "
    "dash: half the runs or more never got there."
)
_NONE = "–"


def report(records: Sequence[Record]) -> dict[str, Any]:
    """Give everything that was measured as plain data.

    Where records were made by several commits or versions, each says its own.
    """
    commits = sorted({each.commit for each in records if each.commit})
    versions = [dict(pair) for pair in {tuple(sorted(e.versions.items())) for e in records}]
    return {
        "machine": machine(),
        "commits": commits,
        "versions": sorted(versions, key=lambda each: sorted(each.items())),
        "contradictions": list(contradictions(records)),
        "summaries": [asdict(each) for each in summaries(records)],
        "growth": [asdict(each) for each in growth(records)],
        "records": [plain(each) for each in records],
    }


def write_report(records: Sequence[Record], folder: Path) -> tuple[str, ...]:
    """Write ``bench.json``, ``bench.md`` and the plots, all or none; gives their names."""
    files = {
        "bench.json": (json.dumps(report(records), indent=1, ensure_ascii=False) + "\n").encode(),
        "bench.md": markdown(records).encode(),
        **growth_files(growth(records)),
    }
    with Bundle(folder) as bundle:
        for name, data in files.items():
            bundle.write_bytes(name, data)
    return tuple(files)


def markdown(records: Sequence[Record]) -> str:
    """Give the table and the growth as Markdown, with what they were taken on."""
    rule = ("---", "---", *("---:" for _ in HEADINGS[2:]))
    rows = [HEADINGS, rule, *(cells(each) for each in summaries(records))]
    table = "\n".join(f"| {' | '.join(row)} |" for row in rows)
    parts = [taken_on(records), table, LEGEND]
    if fits := growth_lines(growth(records)):
        parts.append("Growth with the lines of the range, fitted on logarithms:")
        parts.append("\n".join(f"- {line}" for line in fits))
    parts += [f"Contradiction: {each}" for each in contradictions(records)]
    return "\n\n".join(parts) + "\n"


def taken_on(records: Sequence[Record]) -> str:
    """Say in a sentence or two what was measured on and with."""
    found = machine()
    memory = found["memory_bytes"]
    size = f", {memory / 2**30:.0f} GiB" if isinstance(memory, int) else ""
    workers = sorted({each.workers for each in records})
    threads = " or ".join(str(each) for each in workers) or "no"
    one = {(name, v) for each in records for name, v in each.versions.items()}
    libraries = ", ".join(f"{name} {v}" for name, v in sorted(one))
    commits = sorted({each.commit for each in records if each.commit})
    made_by = f" Commit {' and '.join(commits)}." if commits else ""
    taken = (
        f"Taken on {found['processor']}, {found['cores']} cores{size}, Python {found['python']}; "
        f"{threads} threads a solver. {libraries}.".replace(" .", ".")
    )
    return f"{taken}{made_by}"


def growth_lines(found: Sequence[Growth]) -> list[str]:
    """Say each exponent that could be fitted."""
    return [
        f"{each.solver}, {MEASURED[each.measured].rpartition(',')[0]}: lines^{each.exponent:.2f} "
        f"over {len(each.lines)} sizes"
        for each in found
        if each.exponent is not None
    ]


def cells(each: Summary) -> tuple[str, ...]:
    """Give a summary as the cells of a table row."""
    return (
        each.shops,
        each.solver,
        f"{each.layouts}/{each.runs}",
        _NONE if each.value is None else f"{each.value:,.6g}",
        _percent(each.gap),
        _percent(each.short),
        _seconds(each.first_seconds),
        _seconds(each.one_percent_seconds),
        _seconds(each.proof_seconds),
        _seconds(each.seconds),
        _NONE if each.peak_bytes is None else f"{each.peak_bytes / MEBIBYTE:,.0f}",
        str(each.violations),
    )


def _percent(part: float | None) -> str:
    return _NONE if part is None else f"{100 * part:.2f}"


def _seconds(seconds: float | None) -> str:
    if seconds is None:
        return _NONE
    return f"{seconds:.1f}" if seconds < 1000 else f"{seconds:,.0f}"
