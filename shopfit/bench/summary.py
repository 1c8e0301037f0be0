"""Puts records together: medians over seeds, the best bound of each shop, and contradictions."""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shopfit.bench.measure import Case, Record
from shopfit.bench.sizes import SIZES

_SLACK = 1e-6


@dataclass(frozen=True)
class Summary:
    """One solver on the shops of one size; medians over seeds.

    A median is none where half the runs or more never got there.

    Parameters
    ----------
    shops, solver
        Kind of shop, and who was measured.
    runs, layouts, violations
        Runs taken, how many led to a layout without violations, and violations found in all.
    value, gap
        Worth, and the solver's own gap.
    short
        How far the worth is below the best that is known to bound it, from whichever solver or by
        construction, as a part of that bound.
    first_seconds, one_percent_seconds, proof_seconds, seconds
        To the first layout, to its own gap of 1 %, to its own proof, and in all.
    peak_bytes
        Most memory held at once.
    """

    shops: str
    solver: str
    runs: int
    layouts: int
    violations: int
    value: float | None
    gap: float | None
    short: float | None
    first_seconds: float | None
    one_percent_seconds: float | None
    proof_seconds: float | None
    seconds: float | None
    peak_bytes: float | None


def best_bounds(records: Iterable[Record]) -> dict[Case, float]:
    """Give for each shop the lowest of all bounds told, or the optimum where it is known."""
    found: dict[Case, float] = {}
    for record in records:
        for bound in (record.bound, record.optimum):
            if bound is not None:
                found[record.case] = min(found.get(record.case, math.inf), float(bound))
    return found


def contradictions(records: Sequence[Record]) -> tuple[str, ...]:
    """Say where a layout without violations is worth more than somebody proved possible."""
    found = []
    for record in records:
        for other in records:
            if record.value is None or other.case != record.case:
                continue
            if other.bound is not None and record.value > other.bound + _SLACK:
                found.append(
                    f"{record.case.name} {record.seed}: {record.solver} found {record.value:g}, "
                    f"but {other.solver} told a bound of {other.bound:g}"
                )
        if record.value is not None and record.optimum and record.value > record.optimum + _SLACK:
            found.append(
                f"{record.case.name} {record.seed}: {record.solver} found {record.value:g}, but "
                f"the optimum is {record.optimum}"
            )
    return tuple(dict.fromkeys(found))


def summaries(records: Sequence[Record]) -> tuple[Summary, ...]:
    """Give a summary for every kind of shop and solver, small shops first."""
    bounds = best_bounds(records)
    groups: dict[tuple[str, str], list[Record]] = {}
    for record in sorted(records, key=lambda each: SIZES.index(each.size)):
        groups.setdefault((record.case.name, record.solver), []).append(record)
    shops = list(dict.fromkeys(shop for shop, _ in groups))
    solvers = list(dict.fromkeys(record.solver for record in records))
    return tuple(
        _summary(shop, solver, groups[shop, solver], bounds)
        for shop in shops
        for solver in solvers
        if (shop, solver) in groups
    )


def _summary(shop: str, solver: str, group: Sequence[Record], bounds: dict[Case, float]) -> Summary:
    return Summary(
        shops=shop,
        solver=solver,
        runs=len(group),
        layouts=sum(1 for each in group if each.value is not None),
        violations=sum(each.violations or 0 for each in group),
        value=median([None if each.value is None else -each.value for each in group], -1.0),
        gap=median([each.gap for each in group]),
        short=median([_short(each, bounds) for each in group]),
        first_seconds=median([each.first_seconds for each in group]),
        one_percent_seconds=median([each.one_percent_seconds for each in group]),
        proof_seconds=median([each.proof_seconds for each in group]),
        seconds=median([each.seconds for each in group]),
        peak_bytes=median([each.peak_bytes for each in group]),
    )


def _short(record: Record, bounds: dict[Case, float]) -> float | None:
    bound = bounds.get(record.case)
    if record.value is None or not bound:
        return None
    return (bound - record.value) / bound


def median(sizes: Sequence[float | None], factor: float = 1.0) -> float | None:
    """Give the median of sizes of which less is better, times a factor.

    What was never reached counts as worse than everything; none if that reaches the middle.
    """
    middle = statistics.median([math.inf if size is None else float(size) for size in sizes])
    return None if math.isinf(middle) else factor * middle
