"""Sheets cut against the fewest published, and lengths against a general solver.

Source: two-dimensional bin packing, Berkey and Wang (1987, classes 1 to 6) and Martello and Vigo
(1998, classes 7 to 10), the two instances of 20 pieces of each class; fewest sheets known without
turning, placed freely and in three guillotine stages, as tabulated in open data of packing
instances (MIT licence). The larger ones are measured by ``tests/bench/sheet_cutting.py``.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from bench.sheet_cutting import Instance, read
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from shopfit.cutting.bounds import fewest_boards
from shopfit.cutting.problem import Board, Form, Problem
from shopfit.cutting.solve import solve

INSTANCES = read(Path(__file__).with_name("sheet_cutting.csv"))


def test_all_instances_are_there() -> None:
    """Two of each of ten classes, twenty pieces each."""
    assert len(INSTANCES) == 20
    assert {len(each.pieces) for each in INSTANCES} == {20}


@pytest.mark.parametrize("each", INSTANCES, ids=lambda each: each.name)
def test_fewest_sheets_in_three_stages(each: Instance) -> None:
    """As many sheets as are known to be enough, never under the free optimum, bound included."""
    found = each.cut(0.05)
    assert found.cost == each.staged
    assert found.bound <= each.staged
    assert not found.uncut
    if found.any_cuts:
        assert found.bound <= each.free


@pytest.mark.parametrize("each", INSTANCES, ids=lambda each: each.name)
def test_free_bound_is_a_bound(each: Instance) -> None:
    """Weighing sides never asks for more sheets than are known to be enough for any placing."""
    forms = tuple((Form(width, height),) for width, height in each.pieces)
    board = Board(each.width, each.height, forms)
    assert fewest_boards(board, [1] * len(forms)) <= each.free


def _fewest_by_program(length: int, sizes: list[int], demands: list[int]) -> int:
    """Count lengths by one program: how many of each size on each length, if it is used."""
    kinds, most = len(sizes), sum(demands)
    columns = most * (kinds + 1)
    cost = np.zeros(columns)
    cost[most * kinds :] = 1.0
    rows, low, high = [], [], []
    for kind, demand in enumerate(demands):
        row = np.zeros(columns)
        row[kind : most * kinds : kinds] = 1.0
        rows.append(row)
        low.append(demand)
        high.append(demand)
    for bar in range(most):
        row = np.zeros(columns)
        row[bar * kinds : (bar + 1) * kinds] = sizes
        row[most * kinds + bar] = -length
        rows.append(row)
        low.append(-np.inf)
        high.append(0)
    found = milp(
        cost,
        constraints=LinearConstraint(np.array(rows), low, high),
        integrality=np.ones(columns),
        bounds=Bounds(0, [max(demands)] * (most * kinds) + [1] * most),
    )
    return round(found.fun)


@given(
    st.lists(st.tuples(st.integers(11, 50), st.integers(1, 4)), min_size=1, max_size=4),
)
@settings(max_examples=25, deadline=None, derandomize=True)
def test_lengths_against_a_program(wanted: list[tuple[int, int]]) -> None:
    """Lengths of 100 by patterns, and by a program that knows of none; both proved."""
    sizes = [size for size, _ in wanted]
    demands = [demand for _, demand in wanted]
    forms = tuple((Form(size, 1),) for size in sizes)
    found = solve(Problem(tuple(demands), (Board(100, 1, forms),)), 0.02)
    assert found.cost == _fewest_by_program(100, sizes, demands)
    assert found.proved
