"""Draws a curve: what was found, what is proved, and what lies open between the two."""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from shopfit.frontier.axis import Axis
from shopfit.frontier.curve import CurvePoint

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# Blue and vermilion of Okabe and Ito 2008, Color Universal Design, which the colour-blind tell
# apart; from memory. Line and marker differ as well.
FOUND, BOUND = "#0072B2", "#D55E00"
WORDS = {
    "facings": "facings",
    "value": "value of the facings",
    "sales": "expected sales of the facings",
}
_MOST_TICKS = 9
_INCHES = (7.5, 4.8)


def chart_files(axis: Axis, points: Sequence[CurvePoint]) -> dict[str, bytes]:
    """Draw a curve as PNG and SVG; contents by file name.

    Parameters
    ----------
    axis
        What it runs over; its ticks are in the units of the shop.
    points
        Its points.
    """
    import matplotlib

    found = {}
    # Text stays text, and the same curve gives the same bytes.
    settings: Any = {"svg.fonttype": "none", "svg.hashsalt": "shopfit", "font.size": 9.5}
    with matplotlib.rc_context(settings):
        figure = _figure(axis, sorted(points, key=lambda each: each.at))
        for name, form, more in (
            ("frontier.png", "png", {"Software": None}),
            ("frontier.svg", "svg", {"Date": None}),
        ):
            page = io.BytesIO()
            figure.savefig(page, format=form, dpi=144, metadata=more)
            found[name] = page.getvalue()
    return found


def _figure(axis: Axis, points: Sequence[CurvePoint]) -> Figure:
    from matplotlib.figure import Figure
    from matplotlib.ticker import MaxNLocator

    figure = Figure(figsize=_INCHES, layout="constrained")
    plot = figure.subplots()
    if axis.measure != "count":
        # Between whole numbers there is nothing.
        _between(plot, axis, points)
    _at_points(plot, points)
    shown = points[:: max(1, -(-len(points) // _MOST_TICKS))]
    plot.set_xticks([each.at for each in shown], [_tick(axis, each) for each in shown])
    plot.yaxis.set_major_locator(MaxNLocator(integer=True))
    shop = axis.scenario.shop
    unit = f", {shop.currency}" if axis.measure == "money" else ""
    plot.set_xlabel(f"{axis.title}{unit}")
    weighted = ", weighted by height bands" if shop.brief.weighted else ""
    plot.set_ylabel(f"{WORDS[shop.brief.objective]}{weighted}")
    plot.set_title(f"{shop.name}: {plot.get_ylabel()} against {axis.title}", loc="left")
    plot.grid(visible=True, color="0.9")
    plot.set_axisbelow(True)
    for side in ("top", "right"):
        plot.spines[side].set_visible(False)
    if points:
        figure.legend(loc="outside lower center", frameon=False, ncols=2)
    return figure


def _tick(axis: Axis, point: CurvePoint) -> str:
    if axis.measure == "money":
        return f"{point.at:,.2f}".removesuffix(".00")
    return point.label


def _between(plot: Axes, axis: Axis, points: Sequence[CurvePoint]) -> None:
    """Draw what holds between two points: at least the harder's worth, at most the easier's bound.

    Lines straight from point to point would say more than is known; where the two were searched on
    other positions, nothing is known between them.
    """
    at: list[float] = []
    low: list[float] = []
    high: list[float] = []
    for one, other in pairwise(points):
        harder, easier = (other, one) if axis.more_is_harder else (one, other)
        apart = bool(harder.violations) or harder.grid != easier.grid
        if apart or harder.worth is None or easier.bound is None:
            at, low, high = [*at, one.at], [*low, math.nan], [*high, math.nan]
            continue
        at += [one.at, other.at]
        low += [harder.worth] * 2
        high += [easier.bound] * 2
    if at:
        plot.fill_between(at, low, high, color=BOUND, alpha=0.12, linewidth=0, label="not settled")
        plot.plot(at, high, color=BOUND, linestyle="--", linewidth=1.2)
        plot.plot(at, low, color=FOUND, linewidth=1.2)


def _at_points(plot: Axes, points: Sequence[CurvePoint]) -> None:
    bounds = [(each.at, each.bound) for each in points if each.bound is not None]
    met = [(p.at, p.worth) for p in points if p.worth is not None and not p.violations]
    missed = [(p.at, p.worth) for p in points if p.worth is not None and p.violations]
    _marks(plot, bounds, "proved: no layout has more", BOUND, marker="_", markersize=16)
    _marks(plot, met, "found", FOUND, marker="o")
    label = "found, does not meet all values checked"
    _marks(plot, missed, label, FOUND, marker="o", markerfacecolor="white")
    # On the axis itself, wherever that ends up: no layout has no worth, not even none.
    lost = [(each.at, 0.0) for each in points if each.worth is None]
    on_axis = plot.get_xaxis_transform()
    more: Any = {"marker": "x", "clip_on": False, "zorder": 5.0, "transform": on_axis}
    _marks(plot, lost, "no layout found", "black", **more)


def _marks(
    plot: Axes, places: Sequence[tuple[float, float]], label: str, color: str, **more: Any
) -> None:
    if places:
        at, size = zip(*places, strict=True)
        plot.plot(at, size, color=color, linestyle="", label=label, **more)
