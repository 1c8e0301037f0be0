"""Goods stand among one another and along the way as the brief wishes, and the witness agrees."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import check
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario

from . import build as b

# Into the room from the door and round it: past wall E, then wall N, then wall W.
WAY = [b.mm(1500.0, 0.0), b.mm(2400.0, 1500.0), b.mm(1500.0, 2400.0), b.mm(600.0, 1500.0)]


def wishing(names: str = "ABCD", each: int = 1, **wishes: Any) -> Scenario:
    """Give a bare room, some categories of two lines each, and wishes on their places."""
    lines = [
        b.line(
            f"{name}{n}",
            category=name,
            width=b.mm(100.0 + 30.0 * n + 10.0 * k),
            max_facings=14,
            min_facings=each,
        )
        for k, name in enumerate(names)
        for n in range(2)
    ]
    return b.scenario(lines, brief={"merchandising": wishes})


def solved(given: Scenario, seconds: float = 0.5) -> Layout:
    """Solve, and give the layout with nothing but the places of goods looked at."""
    solution = b.run(given, seconds=seconds)
    assert solution.layout is not None
    return solution.layout


def faults(given: Scenario, layout: Layout) -> list[str]:
    """List what the witness finds against wishes on places."""
    found = check(given, layout)
    return [one.code for one in found if one.clause.startswith("brief > merchandising")]


def broken_wishes(layout: Layout) -> float:
    """Give how many broken wishes the proof tells of."""
    assert layout.proof is not None
    stages = {stage.objective: stage.value for stage in layout.proof.stages}
    return stages["merchandising wishes broken"]


@pytest.mark.parametrize(
    "wishes",
    [
        {"blocks": {"A": 1, "B": 1, "C": 1, "D": 1}},
        {"touch": [("A", "D"), ("B", "D")]},
        {"apart": [("A", "B"), ("C", "D")]},
        {"order": [("D", "C", "B", "A")], "way": WAY},
        {"order": [("B", "A")]},
    ],
    ids=["blocks", "touch", "apart", "order along the way", "order from the door"],
)
def test_each_wish_is_met(wishes: dict[str, Any]):
    """Each rule alone can be met in this room, so the layout meets it."""
    given = wishing(**wishes)
    layout = solved(given)
    assert faults(given, layout) == []
    assert broken_wishes(layout) == 0
