"""Divisions of a face's height against every division there is."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.solver.display import FaceClass
from shopfit.solver.patterns import Pattern, Span, patterns


def face(levels: int, bottom: float = 0.0) -> FaceClass:
    return FaceClass("shelf", levels, 100.0, bottom, 400.0, 100.0, 20.0)


def stacks(levels: int) -> Iterator[tuple[int, ...]]:
    """Give every sequence of rows of any height standing on one another that fits."""
    yield ()
    for steps in range(1, levels + 1):
        for rest in stacks(levels - steps):
            yield (steps, *rest)


def holding(
    rows: list[tuple[int, frozenset[int]]], needs: tuple[int, ...]
) -> list[tuple[int, frozenset[int]]]:
    """Give the most level steps of goods that each row holds, of rows that hold any."""
    most = [(max((n for n in needs if n <= steps), default=0), group) for steps, group in rows]
    return [(steps, group) for steps, group in most if steps]


def served(
    rows: tuple[int, ...], bottom: float, bands: tuple[tuple[float, float], ...]
) -> list[tuple[int, frozenset[int]]]:
    """Give each row's levels and the bands its middle is in."""
    level, found = bottom, []
    for steps in rows:
        middle = level + steps * 100.0 / 2
        found.append((steps, frozenset(k for k, (a, z) in enumerate(bands) if a <= middle <= z)))
        level += steps * 100.0
    return found


def covers(
    better: list[tuple[int, frozenset[int]]], other: list[tuple[int, frozenset[int]]]
) -> bool:
    """Say whether for every group and height one division has at least as many rows."""
    marks = {(group, steps) for steps, group in other}
    return all(
        sum(g == group and s >= steps for s, g in better)
        >= sum(g == group and s >= steps for s, g in other)
        for group, steps in marks
    )


needs_sets = st.sets(st.integers(1, 6), min_size=1, max_size=4).map(lambda s: tuple(sorted(s)))
edges = st.integers(0, 9).map(lambda k: k * 100.0)
some_bands = st.lists(
    st.tuples(edges, edges).map(lambda e: (min(e), max(e) + 60.0)), max_size=2
).map(tuple)


@settings(max_examples=80)
@given(levels=st.integers(1, 9), needs=needs_sets, bands=some_bands)
def test_kept_divisions_fit_and_none_is_better(
    levels: int, needs: tuple[int, ...], bands: tuple[tuple[float, float], ...]
):
    """Kept divisions fit, every other is covered by one of them, and none of them by another."""
    kept = patterns(face(levels), needs, tuple(Span(*band) for band in bands))
    every = [served(p.rows, 0.0, bands) for p in kept]
    own = [holding(rows, needs) for rows in every]
    for pattern, rows in zip(kept, every, strict=True):
        assert sum(pattern.rows) <= levels
        assert bands or set(pattern.rows) <= set(needs)
        assert list(pattern.groups) == [group for _, group in rows]
    for rows in stacks(levels):
        other = holding(served(rows, 0.0, bands), needs)
        assert not other or any(covers(mine, other) for mine in own), rows
    for i, one in enumerate(own):
        assert not any(covers(other, one) for j, other in enumerate(own) if j != i)


@pytest.mark.parametrize("levels", [2, 3, 5, 6])
def test_height_left_is_under_the_least_need(levels: int):
    """Three-level and five-level goods: 2 levels take none, 3 and 5 one row, 6 two low rows."""
    kept = patterns(face(levels), (3, 5), ())
    expected = {2: set(), 3: {(3,)}, 5: {(5,)}, 6: {(5,), (3, 3)}}
    assert {pattern.rows for pattern in kept} == expected[levels]


def test_without_needs_there_is_no_division():
    """A category that cannot be shown on a face has no block there."""
    assert patterns(face(5), (), ()) == ()
    assert patterns(face(5), (6,), ()) == ()


def test_taller_rows_lie_lower():
    """Without bands heavy tall goods stand low."""
    for pattern in patterns(face(9), (2, 3, 4), ()):
        assert list(pattern.rows) == sorted(pattern.rows, reverse=True)


@pytest.mark.parametrize(("top", "inside"), [(249.9, False), (250.0, True), (250.1, True)])
def test_a_row_is_in_a_band_by_its_middle(top: float, inside: bool):
    """Rows of one level on a face from 200 mm have their first middle at 250 mm."""
    (pattern,) = patterns(face(1, bottom=200.0), (1,), (Span(0.0, top),))
    assert pattern.groups == (frozenset({0}) if inside else frozenset(),)


@pytest.mark.parametrize(("high", "inside"), [(299.9, False), (300.0, True), (300.1, True)])
def test_a_whole_row_below_a_height(high: float, inside: bool):
    """Heavy goods' rows end at or below their height, wherever their middle is."""
    (pattern,) = patterns(face(1, bottom=200.0), (1,), (Span(0.0, high, whole=True),))
    assert pattern.groups == (frozenset({0}) if inside else frozenset(),)


def test_order_matters_with_bands():
    """A tall row below moves the low row into the band, so both orders are kept."""
    kept = {p.rows for p in patterns(face(3), (1, 2), (Span(240.0, 260.0),))}
    assert kept == {(2, 1), (1, 2), (1, 1, 1)}


def test_counting_rows():
    """Rows of at least so many levels are counted within one group only."""
    eye: frozenset[int] = frozenset({0})
    pattern = Pattern((4, 2, 1), (frozenset(), eye, eye))
    assert [pattern.count(eye, least) for least in (1, 2, 3)] == [2, 1, 0]
    assert pattern.count(frozenset(), 1) == 1
