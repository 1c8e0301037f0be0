"""Fits how times and memory grow with the size of a shop, and draws it."""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from shopfit.bench.measure import Record
from shopfit.bench.sizes import SIZES
from shopfit.bench.summary import median

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Measured = Literal["first_seconds", "one_percent_seconds", "peak_bytes"]
MEASURED: dict[Measured, str] = {
    "first_seconds": "to the first layout, s",
    "one_percent_seconds": "to a gap of 1 %, s",
    "peak_bytes": "peak memory, MiB",
}
MEBIBYTE = 2**20
# Okabe and Ito 2008, Color Universal Design, which the colour-blind tell apart; from memory.
_COLOURS = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00", "#56B4E9")
_MARKERS = "osD^vP"
_INCHES = (10.5, 4.2)


@dataclass(frozen=True)
class Growth:
    """How one measure of one solver grows with the number of lines.

    Parameters
    ----------
    solver, measured
        Whose, and which measure.
    lines, medians
        Median over seeds for every size that was reached: lines of the range, and seconds or
        bytes.
    exponent
        Slope of the straight line of least squares through the logarithms; none for fewer than
        three sizes.
    factor
        The fitted size at one line.
    """

    solver: str
    measured: Measured
    lines: tuple[float, ...]
    medians: tuple[float, ...]
    exponent: float | None
    factor: float | None


def fitted(lines: Sequence[float], sizes: Sequence[float]) -> tuple[float, float]:
    """Fit ``size = factor * lines ** exponent`` by least squares on the logarithms.

    Parameters
    ----------
    lines, sizes
        As many of each, at least two different lines, all above nought.

    Returns
    -------
    Exponent and factor.
    """
    exponent, level = np.polyfit(np.log(np.asarray(lines)), np.log(np.asarray(sizes)), 1)
    return float(exponent), math.exp(float(level))


def growth(records: Sequence[Record]) -> tuple[Growth, ...]:
    """Give the growth of every measure of every solver over drawn shops."""
    drawn = [each for each in records if not each.known]
    solvers = list(dict.fromkeys(each.solver for each in drawn))
    found = [_growth(drawn, solver, measured) for measured in MEASURED for solver in solvers]
    return tuple(each for each in found if each.lines)


def _growth(records: Sequence[Record], solver: str, measured: Measured) -> Growth:
    lines, medians = [], []
    for size in SIZES:
        group = [each for each in records if each.size == size and each.solver == solver]
        middle = median([getattr(each, measured) for each in group]) if group else None
        count = median([each.lines or None for each in group]) if group else None
        if middle is not None and middle > 0 and count is not None:
            lines.append(count)
            medians.append(middle)
    exponent, factor = fitted(lines, medians) if len(lines) >= 3 else (None, None)
    return Growth(solver, measured, tuple(lines), tuple(medians), exponent, factor)


def growth_files(found: Sequence[Growth]) -> dict[str, bytes]:
    """Draw growth as SVG and PNG, both axes logarithmic; contents by file name.

    Nothing is drawn where no solver was measured on two sizes.
    """
    if all(len(each.lines) < 2 for each in found):
        return {}
    import matplotlib
    from matplotlib.figure import Figure

    files = {}
    # Text stays text, and the same measurements give the same bytes.
    settings: Any = {"svg.fonttype": "none", "svg.hashsalt": "shopfit", "font.size": 9.0}
    with matplotlib.rc_context(settings):
        figure = Figure(figsize=_INCHES, layout="constrained")
        for plot, measured in zip(figure.subplots(1, len(MEASURED)), MEASURED, strict=True):
            _draw(plot, measured, [each for each in found if each.measured == measured], found)
        for name, form, more in (
            ("growth.svg", "svg", {"Date": None}),
            ("growth.png", "png", {"Software": None}),
        ):
            page = io.BytesIO()
            figure.savefig(page, format=form, dpi=144, metadata=more)
            files[name] = page.getvalue()
    return files


def _draw(plot: Axes, measured: Measured, own: Sequence[Growth], every: Sequence[Growth]) -> None:
    solvers = list(dict.fromkeys(each.solver for each in every))
    unit = MEBIBYTE if measured == "peak_bytes" else 1
    for each in own:
        style = solvers.index(each.solver)
        colour, marker = _COLOURS[style % len(_COLOURS)], _MARKERS[style % len(_MARKERS)]
        slope = "" if each.exponent is None else f", lines^{each.exponent:.2f}"
        sizes = [size / unit for size in each.medians]
        plot.plot(each.lines, sizes, marker, color=colour, label=f"{each.solver}{slope}")
        if each.exponent is not None and each.factor is not None:
            ends = (min(each.lines), max(each.lines))
            fit = [each.factor * end**each.exponent / unit for end in ends]
            plot.plot(ends, fit, "-", color=colour, linewidth=1.0)
    plot.set_xscale("log")
    plot.set_yscale("log")
    plot.set_xlabel("lines of the range")
    plot.set_title(MEASURED[measured], loc="left", fontsize=9.5)
    plot.grid(visible=True, color="0.9")
    plot.set_axisbelow(True)
    for side in ("top", "right"):
        plot.spines[side].set_visible(False)
    if own:
        plot.legend(frameon=False, fontsize=8)
