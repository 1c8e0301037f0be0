"""Tables of studies, curves and gains for the terminal, made to read well in 100 columns."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from rich.text import Text

from shopfit import wording
from shopfit.cli.tables import plain_table
from shopfit.frontier.run import Curve
from shopfit.limits.gains import Gain
from shopfit.limits.run import CAUTION, Report
from shopfit.sweep.settle import Settled
from shopfit.sweep.study import Done
from shopfit.sweep.work import Answer

if TYPE_CHECKING:
    from rich.console import Console


def settled_line(settled: Settled) -> str:
    """Say in one line what a case came to."""
    row = settled.row
    name = f"{row.case}: "
    before = ", from before" if settled.again else ""
    if row.status in ("no layout", "failed"):
        return f"{name}{row.status}{before}"
    parts = [f"{row.facings:,} facings" if row.facings is not None else row.status]
    if row.bound is not None:
        parts.append(f"bound {number(row.bound)}")
    if row.violations:
        parts.append(f"{row.violations} values checked not met")
    if row.status == "stopped":
        parts.append("stopped")
    return f"{name}{', '.join(parts)}, {row.seconds:.1f} s{before}"


def show_study(screen: Console, done: Done, folder: Path) -> None:
    """Print the cases of a study, and what went wrong."""
    briefs = [case.scenario.brief for case in done.cases]
    aims = dict.fromkeys(wording.aim(brief.objective, brief.weighted) for brief in briefs)
    apart = any(brief.objective == "sales" or brief.weighted for brief in briefs)
    currencies = list(dict.fromkeys(row.currency for row in done.rows))
    table = plain_table(
        f"{done.study.name}: {len(done.rows)} of {len(done.cases)} cases",
        [
            ("case", False),
            ("facings", True),
            ("value", True),
            *([("worth", True)] if apart else []),
            ("bound", True),
            ("gap", True),
            (f"cost, {currencies[0]}" if len(currencies) == 1 else "cost", True),
            ("not met", True),
            ("s", True),
        ],
    )
    for row in done.rows:
        ended = row.facings is None
        table.add_row(
            row.case,
            row.status if ended else f"{row.facings:,}",
            number(row.value),
            *([number(row.worth)] if apart else []),
            number(row.bound),
            "proved" if row.proved else ("" if ended else wording.percent(row.gap)),
            "" if row.cost is None else f"{row.cost:,.2f}",
            "" if ended else str(row.violations),
            f"{row.seconds:.1f}",
        )
    screen.print(table)
    told = f"{'Worth and bound' if apart else 'Bound'}: of {' or '.join(aims)}"
    _say(screen, f"{told}; no layout on the positions tried has more.")
    for row in done.rows:
        if row.message:
            _say(screen, f"{row.case}: {row.message}")
    _undone(screen, done.undone)
    screen.print(f"Tables and layouts are in {folder}")


def show_curve(screen: Console, curve: Curve, folder: Path) -> None:
    """Print the points of a curve, whose layout and bound each has, and where the drawing is."""
    axis, shop = curve.axis, curve.axis.scenario.shop
    objective, weighted = shop.brief.objective, shop.brief.weighted
    plain = objective == "facings" and not weighted
    named = [("facings", True), *([] if plain else [("worth" if weighted else objective, True)])]
    table = plain_table(
        f"{shop.name}: {wording.aim(objective, weighted)} against {axis.title}",
        [
            (axis.title, True),
            *named,
            ("bound", True),
            ("gap", True),
            (f"cost, {shop.currency}", True),
            ("not met", True),
            ("layout of", True),
            ("bound of", True),
        ],
    )
    for point in curve.points:
        lost = point.facings is None
        worth = [] if plain else [number(point.worth)]
        table.add_row(
            point.label,
            point.status if lost else f"{point.facings:,}",
            *worth,
            number(point.bound),
            "proved" if point.proved else ("" if lost else wording.percent(point.gap)),
            "" if point.cost is None else f"{point.cost:,.2f}",
            "" if lost else str(point.violations),
            point.layout_of or "",
            point.bound_of or "",
        )
    screen.print(table)
    if any(point.layout_of or point.bound_of for point in curve.points):
        less = {
            "length": "A wider aisle never shows more.",
            "money": "Less money never shows more.",
            "count": f"Fewer of {axis.over} never show more.",
        }[axis.measure]
        _say(
            screen,
            f"{less} A point shows the layout of another where that is better "
            "and meets its rules, and has the bound of an easier point where that is lower.",
        )
    for point in curve.points:
        if point.message:
            _say(screen, f"{point.label}: {point.message}")
    _undone(screen, curve.undone)
    screen.print(f"Drawing, tables and layouts are in {folder}")


def show_limits(screen: Console, report: Report, folder: Path) -> None:
    """Print what each change gains, as far as it is proved."""
    shop, now = report.scenario.shop, report.now
    if now.layout is None or not now.sound:
        screen.print(Text(_nothing(now), overflow="fold"))
        if now.message:
            _say(screen, now.message)
        return
    objective = wording.aim(shop.brief.objective, shop.brief.weighted)
    table = plain_table(
        f"{shop.name}: what holds it back, in {objective}",
        [
            ("change", False),
            ("now", True),
            ("then", True),
            ("found", True),
            ("gain is", False),
            ("which is", False),
        ],
    )
    for one in report.gains:
        table.add_row(
            one.change,
            known(one.now, one.now_most),
            known(one.then, one.then_most) or one.status,
            signed(one.found),
            interval(one),
            one.verdict,
        )
    screen.print(table)
    _say(
        screen,
        "Now and then: found, and the proved bound where it is higher. Found: how much more this "
        "search found, which may be luck. Gain: between what numbers it is proved to lie.",
    )
    if report.full:
        _say(screen, "Every line has as many facings as the range allows: only more would gain.")
    if report.fixed_walls:
        _say(
            screen,
            f"Not made longer: {', '.join(report.fixed_walls)}; every line across them crosses an "
            "opening, a column, a wall or the edge of a zone.",
        )
    if report.fixed_panels:
        _say(
            screen,
            f"Not moved: {', '.join(report.fixed_panels)}; on no other stretch of wall was a place "
            "found for it and its clear floor, off doors, windows, columns, what is pinned and, "
            "where it stands out far, customers' ways.",
        )
    for one in report.gains:
        if one.message or one.violations:
            missed = f"{one.violations} values checked are not met"
            _say(screen, f"{one.change}: {one.message or missed}")
    _undone(screen, report.undone)
    screen.print(Text(CAUTION, style="dim"))
    screen.print(f"Tables and layouts are in {folder}")


def _nothing(now: Answer) -> str:
    """Say why nothing is compared."""
    if now.layout is None:
        return "There is no layout that meets the values checked, so nothing is compared."
    count = now.violations
    return (
        f"The layout that there is does not meet {count} of the values checked, so nothing is "
        f"compared: `shopfit check` says which, and how to mend {'it' if count == 1 else 'them'}."
    )


def known(least: float | None, most: float | None) -> str:
    """Write what was found, up to what is proved; one number where the two are the same."""
    if least is None:
        return "" if most is None else f"up to {number(most)}"
    if most is None or most <= least + 1e-6:
        return number(least)
    return f"{number(least)}–{number(most)}"


def interval(one: Gain) -> str:
    """Write between what numbers a gain is proved to lie."""
    if one.least is None and one.most is None:
        return "not known"
    if one.least is None:
        return f"at most {signed(one.most)}"
    if one.most is None:
        return f"at least {signed(one.least)}"
    if one.most <= one.least + 1e-6:
        return signed(one.least)
    return f"{signed(one.least)} to {signed(one.most)}"


def signed(size: float | None) -> str:
    """Write a difference with its sign."""
    if size is None:
        return ""
    return f"{size:+,.6g}" if abs(size) > 1e-6 else "0"


def number(size: float | None) -> str:
    """Write a number without needless decimals."""
    return "" if size is None else f"{size:,.6g}"


def _say(screen: Console, words: str) -> None:
    screen.print(Text(words, style="dim"))


def _undone(screen: Console, names: tuple[str, ...]) -> None:
    if names:
        shown = ", ".join(names[:5]) + (f" and {len(names) - 5} more" if len(names) > 5 else "")
        screen.print(Text(f"Not solved yet: {shown}. The same command goes on."))
