"""Stretches of faces: every face once, each going on in the next."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfit.solver.adjoining import Link
from shopfit.solver.stretches import stretches

MOST = 8
LINKS = st.lists(
    st.tuples(st.integers(0, MOST - 1), st.integers(0, MOST - 1)).filter(
        lambda ends: ends[0] != ends[1]
    ),
    max_size=12,
)


@given(LINKS)
def test_every_face_stands_in_one_stretch_and_goes_on_in_the_next(ends: list[tuple[int, int]]):
    """Whatever faces adjoin, none is lost, none comes twice, and neighbours are linked."""
    found = stretches(MOST, [Link(left, right, 0.0) for left, right in ends])
    assert sorted(n for stretch in found for n in stretch) == list(range(MOST))
    assert all(pair in ends for stretch in found for pair in pairwise(stretch))


@pytest.mark.parametrize(
    ("ends", "expected"),
    [
        ([], [(0,), (1,), (2,), (3,)]),
        ([(1, 0), (0, 3)], [(1, 0, 3), (2,)]),
        ([(0, 1), (0, 2), (3, 1)], [(0, 1), (2,), (3,)]),
        ([(0, 1), (1, 2), (2, 0)], [(3,), (0, 1, 2)]),
    ],
    ids=["none", "along", "branching", "round a column"],
)
def test_stretches_do_not_branch(ends: list[tuple[int, int]], expected: list[tuple[int, ...]]):
    """Of several faces that one goes on in only the first counts; a ring begins anywhere."""
    assert stretches(4, [Link(left, right, 0.0) for left, right in ends]) == expected
