"""Doors, 404: the whole tables, and each limit just under, at and just over.

All of it by the 2010 ADA Standards for Accessible Design as published by the US Access Board.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfit.model.openings import Door
from shopfit.standards import load
from shopfit.standards.doors import front_approach
from shopfit.standards.hardware import (
    closing,
    double_door,
    glass_to_look_through,
    handle,
    opening_force,
    projection_into_doorway,
    smooth_push_side,
    threshold,
)
from shopfit.standards.manoeuvre import (
    floor_slope,
    is_recessed,
    other_doorway,
    room_between,
    swinging_door,
)
from shopfit.units import INCH_MM

US = load("us")
IN = INCH_MM

# approach, pull, closer, latch -> (depth, beyond the hinge side, beyond the latch side), inches.
TABLE_404_2_4_1: list[tuple[Any, bool, bool, bool, list[tuple[float, float, float]]]] = [
    ("front", True, False, False, [(60, 0, 18)]),
    ("front", True, True, False, [(60, 0, 18)]),
    ("front", True, False, True, [(60, 0, 18)]),
    ("front", True, True, True, [(60, 0, 18)]),
    # Note 1: add 12 in where closer and latch are provided.
    ("front", False, False, False, [(48, 0, 0)]),
    ("front", False, True, False, [(48, 0, 0)]),
    ("front", False, False, True, [(48, 0, 0)]),
    ("front", False, True, True, [(48, 0, 12)]),
    ("hinge", True, False, False, [(60, 0, 36), (54, 0, 42)]),
    ("hinge", True, True, True, [(60, 0, 36), (54, 0, 42)]),
    # Notes 2 and 3: add 6 in where closer and latch are provided; beyond the hinge side.
    ("hinge", False, False, False, [(42, 22, 0)]),
    ("hinge", False, True, False, [(42, 22, 0)]),
    ("hinge", False, False, True, [(42, 22, 0)]),
    ("hinge", False, True, True, [(48, 22, 0)]),
    # Note 4: add 6 in where a closer is provided.
    ("latch", True, False, False, [(48, 0, 24)]),
    ("latch", True, False, True, [(48, 0, 24)]),
    ("latch", True, True, False, [(54, 0, 24)]),
    ("latch", True, True, True, [(54, 0, 24)]),
    ("latch", False, False, False, [(42, 0, 24)]),
    ("latch", False, False, True, [(42, 0, 24)]),
    ("latch", False, True, False, [(48, 0, 24)]),
    ("latch", False, True, True, [(48, 0, 24)]),
]


@pytest.mark.parametrize(("approach", "pull", "closer", "latch", "floors"), TABLE_404_2_4_1)
def test_swinging_doors(
    approach: Any,
    pull: bool,
    closer: bool,
    latch: bool,
    floors: list[tuple[float, float, float]],
) -> None:
    """Table 404.2.4.1, every row with every combination of closer and latch that matters."""
    found = swinging_door(US, approach, pull, closer, latch)
    assert [
        tuple(round(mm / IN, 6) for mm in (one.depth_mm, one.hinge_side_mm, one.latch_side_mm))
        for one in found
    ] == floors
    assert all(one.clause.endswith("404.2.4.1") for one in found)


@pytest.mark.parametrize(
    ("approach", "width", "sliding", "floors"),
    [
        ("front", 34.0, True, [(48, 0, 0)]),
        ("hinge", 34.0, True, [(42, 22, 0)]),
        ("latch", 34.0, True, [(42, 0, 24)]),
        ("front", 40.0, True, [(48, 0, 0)]),
        ("front", 35.9, False, [(48, 0, 0)]),
        ("hinge", 35.9, False, [(42, 0, 0)]),
        ("latch", 35.9, False, [(42, 0, 0)]),
        ("front", 36.0, False, []),
        ("latch", 36.1, False, []),
    ],
)
def test_other_doorways(
    approach: Any, width: float, sliding: bool, floors: list[tuple[float, float, float]]
) -> None:
    """Table 404.2.4.2: sliding doors, and doorways less than 36 in wide without a door."""
    found = other_doorway(US, approach, width * IN, sliding)
    assert [
        tuple(round(mm / IN, 6) for mm in (one.depth_mm, one.hinge_side_mm, one.latch_side_mm))
        for one in found
    ] == floors


@given(
    swing=st.sampled_from(["in", "out"]),
    closer=st.booleans(),
    latch=st.booleans(),
    inside=st.booleans(),
)
def test_the_front_approach_of_a_door_is_the_row_of_the_table(
    swing: str, closer: bool, latch: bool, inside: bool
) -> None:
    """What is kept clear in the shop agrees with the table written down here a second time."""
    given_door = {"id": "d", "wall": "w", "offset": "0", "width": "36 in", "height": "80 in"}
    door = Door.model_validate({**given_door, "swing": swing, "closer": closer, "latch": latch})
    (row,) = swinging_door(US, "front", (swing == "in") == inside, closer, latch)
    assert front_approach(US, door, inside) == row


@pytest.mark.parametrize(
    ("out", "beside", "recessed"),
    [
        (7.9, 18.0, False),
        (8.0, 18.0, False),
        (8.1, 18.0, True),
        (8.1, 17.9, True),
        (8.1, 18.1, False),
        (40.0, 0.0, True),
    ],
)
def test_recessed_doors(out: float, beside: float, recessed: bool) -> None:
    """404.2.4.3: within 18 in of the latch, more than 8 in before the face of the door."""
    assert is_recessed(US, out * IN, beside * IN) is recessed


@pytest.mark.parametrize(("leaves", "room"), [((), 48), ((36,), 84), ((36, 34), 118)])
def test_doors_in_series(leaves: tuple[float, ...], room: float) -> None:
    """404.2.6: 48 in and the widths of doors that swing in."""
    assert room_between(US, sum(leaves) * IN) == pytest.approx(room * IN)


@pytest.mark.parametrize(("run", "met"), [(47.9, False), (48.0, True), (48.1, True)])
def test_slope_before_doors(run: float, met: bool) -> None:
    """404.2.4.4: 1:48."""
    assert floor_slope(US, 1 / run).met is met


@pytest.mark.parametrize(
    ("leaves", "met"),
    [((31.9, 31.9), False), ((32.0, 20.0), True), ((20.0, 32.1), True), ((), False)],
)
def test_double_doors(leaves: tuple[float, ...], met: bool) -> None:
    """404.2.2: one active leaf leaves 32 in; two halves do not add up."""
    assert double_door(US, [leaf * IN for leaf in leaves]).met is met


@pytest.mark.parametrize(
    ("height", "stop", "most"),
    [
        (33.9, False, 0.0),
        (34.0, False, 4.0),
        (34.1, False, 4.0),
        (80.0, False, 4.0),
        (80.1, False, math.inf),
        (77.9, True, 4.0),
        (78.0, True, math.inf),
        (78.1, True, math.inf),
    ],
)
def test_projections_into_doorways(height: float, stop: bool, most: float) -> None:
    """404.2.3 and its exception 2."""
    assert projection_into_doorway(US, height * IN, stop) == pytest.approx(most * IN)


@pytest.mark.parametrize(
    ("height", "existing", "bevelled", "met"),
    [
        (0.5, False, True, True),
        (0.51, False, True, False),
        (0.49, False, False, True),
        (0.74, True, True, True),
        (0.75, True, True, True),
        (0.76, True, True, False),
        (0.75, True, False, False),
    ],
)
def test_thresholds(height: float, existing: bool, bevelled: bool, met: bool) -> None:
    """404.2.5: 1/2 in, or 3/4 in for an existing one with bevels."""
    assert threshold(US, height * IN, existing, bevelled).met is met


@pytest.mark.parametrize(
    ("height", "met"),
    [(33.9, False), (34.0, True), (34.1, True), (47.9, True), (48.0, True), (48.1, False)],
)
def test_handles(height: float, met: bool) -> None:
    """404.2.7: 34 to 48 in."""
    assert all(one.met for one in handle(US, height * IN)) is met


@pytest.mark.parametrize(
    ("seconds", "spring", "met"),
    [
        (4.9, False, False),
        (5.0, False, True),
        (5.1, False, True),
        (1.4, True, False),
        (1.5, True, True),
        (1.6, True, True),
    ],
)
def test_closers(seconds: float, spring: bool, met: bool) -> None:
    """404.2.8.1 and 404.2.8.2."""
    assert closing(US, seconds, spring).met is met


@pytest.mark.parametrize(("pounds", "met"), [(4.99, True), (5.0, True), (5.01, False)])
def test_opening_force(pounds: float, met: bool) -> None:
    """404.2.9: 5 lbf."""
    assert opening_force(US, pounds * 4.4482216152605).met is met


@pytest.mark.parametrize(("height", "met"), [(9.9, False), (10.0, True), (10.1, True)])
def test_smooth_push_sides(height: float, met: bool) -> None:
    """404.2.10: 10 in from the floor."""
    assert smooth_push_side(US, height * IN).met is met


@pytest.mark.parametrize(
    ("bottom", "met"),
    [(42.9, True), (43.0, True), (43.1, False), (66.0, False), (66.1, None)],
)
def test_glass(bottom: float, met: bool | None) -> None:
    """404.2.11: 43 in at most, unless above 66 in."""
    found = glass_to_look_through(US, bottom * IN)
    assert (None if found is None else found.met) is met


@pytest.mark.parametrize(
    ("approach", "swing", "floor"),
    [
        ("front", "in", (60.0, 0.0, 18.0)),
        ("any", "in", (60.0, 0.0, 18.0)),
        ("hinge", "in", (60.0, 0.0, 36.0)),
        ("latch", "in", (48.0, 0.0, 24.0)),
        ("hinge", "out", (42.0, 22.0, 0.0)),
        ("hinge", "sliding", (42.0, 22.0, 0.0)),
        ("front", "none", (48.0, 0.0, 0.0)),
    ],
)
def test_the_floor_that_layouts_keep_clear(
    approach: Any, swing: Any, floor: tuple[float, float, float]
) -> None:
    """That of a front approach, unless the door says that people come along the wall."""
    door = Door.model_validate(
        {
            **{"id": "d", "wall": "w", "offset": "0 in", "width": "40 in", "height": "80 in"},
            **{"approach": approach, "swing": swing},
        }
    )
    found = front_approach(US, door, inside=True)
    assert (found.depth_mm, found.hinge_side_mm, found.latch_side_mm) == pytest.approx(
        tuple(each * IN for each in floor)
    )


@pytest.mark.parametrize(("leaf", "beside"), [("32 in", 0.0), ("50 in", 4.0), ("54 in", 8.0)])
def test_the_other_leaf_gives_room_beside_the_latch(leaf: str, beside: float) -> None:
    """404.2.2: with one leaf of 64 in open, the other lies beside its latch."""
    door = Door.model_validate(
        {
            **{"id": "d", "wall": "w", "offset": "0 in", "width": "64 in", "height": "80 in"},
            **{"leaves": 2, "leaf_width": leaf},
        }
    )
    assert front_approach(US, door, inside=True).latch_side_mm == pytest.approx(beside * IN)
