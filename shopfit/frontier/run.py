"""A whole curve: points read, solved, told of each other, drawn and written."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from shopfit import wording
from shopfit.files.columns import PlainColumn, shown_length
from shopfit.files.layouts import layout_text
from shopfit.files.tables import plain_csv
from shopfit.files.writing import Bundle
from shopfit.frontier.axis import Axis
from shopfit.frontier.chart import chart_files
from shopfit.frontier.curve import CurvePoint, told_of_each_other, trace
from shopfit.model.base import plain
from shopfit.model.options import SolveOptions
from shopfit.stopping import StopFlag
from shopfit.sweep.holding import held
from shopfit.sweep.settle import Settled, runner
from shopfit.sweep.store import Store

SEARCHES = "searches"


@dataclass(frozen=True)
class Curve:
    """What a curve came to.

    Parameters
    ----------
    axis, points
        What it runs over, and its points in the order asked for.
    undone
        Labels of points that a stop left out.
    """

    axis: Axis
    points: tuple[CurvePoint, ...]
    undone: tuple[str, ...] = ()


def run_frontier(
    axis: Axis,
    values: Sequence[float],
    options: SolveOptions,
    *,
    out: Path | str | None = None,
    processes: int | None = None,
    address: str | None = None,
    stop: StopFlag | None = None,
    told: Callable[[Settled, int], None] | None = None,
    look: Callable[[], None] | None = None,
    noted: Callable[[str], None] | None = None,
) -> Curve:
    """Solve a curve point by point and write table, drawing and layouts.

    Parameters
    ----------
    axis, values
        What it runs over, and where; see `shopfit.frontier.axis.read_axis`.
    options
        How hard each point is searched.
    out
        Folder for ``frontier.csv``, ``.json``, ``.png``, ``.svg``, a folder a point with its
        layout, and ``searches`` with what each point's own search came to; nothing is written if
        left out.
    processes, address
        Where points are solved; see `shopfit.sweep.settle.runner`.
    stop
        Raised to end early; with a folder, the same call goes on another time.
    told
        Hears of each search that ended, with the number of all.
    look
        Called several times a second.
    noted
        Hears what is worth knowing before the first search.
    """
    stop = stop if stop is not None else StopFlag()
    store = None if out is None else Store(Path(out) / SEARCHES)
    hear = None if told is None else lambda settled: told(settled, len(values))
    with held(out, noted), runner(processes, address, stop, look, options.workers) as by:
        solved = trace(axis, values, options, by, store, hear)
    found = told_of_each_other(axis, solved)
    ended = {each.at for each in solved if each.answer.status != "stopped"}
    undone = tuple(axis.label(value) for value in values if value not in ended)
    curve = Curve(axis, tuple(point for point, _ in found), undone)
    if out is not None:
        with Bundle(out) as bundle:
            for point, layout in found:
                if layout is not None:
                    bundle.write_text(f"{point.folder}/layout.json", layout_text(layout))
            bundle.write_text("frontier.csv", curve_csv(curve))
            text = json.dumps(curve_data(curve), indent=2, ensure_ascii=False, allow_nan=False)
            bundle.write_text("frontier.json", text + "\n")
            for name, data in chart_files(axis, curve.points).items():
                bundle.write_bytes(name, data)
    return curve


def curve_data(curve: Curve) -> dict[str, Any]:
    """Give a curve as plain data, for scripts."""
    return {
        "scenario": curve.axis.scenario.folder,
        "over": curve.axis.over,
        "values are": {"length": "mm", "money": curve.axis.scenario.shop.currency}.get(
            curve.axis.measure, "a number of fixtures"
        ),
        "objective": curve.axis.scenario.brief.objective,
        "points": [plain(point) for point in curve.points],
        "undone": list(curve.undone),
    }


def curve_csv(curve: Curve) -> str:
    """Write the points of a curve as comma-separated text."""
    axis, shop = curve.axis, curve.axis.scenario.shop
    own: tuple[PlainColumn, ...] = (
        PlainColumn(f"{axis.title.capitalize()}", lambda point: point.at, "count"),
    )
    if axis.measure == "length":
        own = (
            PlainColumn("Aisle", lambda point: shown_length(point.at, shop.units), "text"),
            PlainColumn("Aisle (mm)", lambda point: point.at, "length"),
        )
    elif axis.measure == "money":
        own = (PlainColumn(f"Budget ({shop.currency})", lambda point: point.at, "money"),)
    found = wording.aim(shop.brief.objective, shop.brief.weighted)
    columns = (
        *own,
        PlainColumn("Facings", lambda point: point.facings, "count"),
        PlainColumn("Value", lambda point: point.value, "count"),
        PlainColumn(f"{found.capitalize()} found", lambda p: p.worth, "count"),
        PlainColumn("Bound", lambda point: point.bound, "count"),
        PlainColumn("Gap, as a part of the bound", lambda point: point.gap, "text"),
        PlainColumn("Proved", lambda point: "yes" if point.proved else "no", "text"),
        PlainColumn(f"Cost ({shop.currency})", lambda point: point.cost, "money"),
        PlainColumn("Values checked that are not met", lambda p: p.violations, "count"),
        PlainColumn("Layout found at", lambda point: point.layout_of, "text"),
        PlainColumn("Bound proved at", lambda point: point.bound_of, "text"),
        PlainColumn("Ended with", lambda point: point.status, "text"),
        PlainColumn("Seconds", lambda point: point.seconds, "count"),
        PlainColumn("Folder", lambda point: point.folder, "text"),
        PlainColumn("Message", lambda point: point.message, "text"),
    )
    return plain_csv(columns, curve.points)
