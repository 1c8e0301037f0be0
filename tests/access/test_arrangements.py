"""What every arrangement has to be, measured apart from what made it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon, box

from shopfit.access.answer import ramps
from shopfit.model.rampsite import RampTask
from shopfit.standards import load
from shopfit.units import INCH_MM

from . import build as b

IN = INCH_MM


@settings(max_examples=25, deadline=None, derandomize=True)
@given(
    rise=st.integers(4, 44),
    along=st.integers(10, 50),
    out=st.integers(8, 30),
    swing=st.sampled_from(["in", "out", "sliding"]),
    hinge=st.sampled_from(["left", "right"]),
    width=st.sampled_from(["36 in", "44 in", "60 in"]),
)
def test_everything_given_fits_and_keeps_the_values(
    rise: int, along: int, out: int, swing: str, hinge: str, width: str
) -> None:
    """Ground, overlaps, slopes, rises, landings and heights, looked at afresh."""
    door = {"swing": swing, "hinge": hinge, "closer": True}
    asked = b.task(
        f"{rise} in",
        f"{along} ft",
        f"{out} ft",
        door=door,
        limits={"width": width, "slopes": [12], "most_turns": 1, "steps": "if they fit"},
    )
    for one in ramps(asked, load("us")).arrangements:
        assert b.faults(one, asked) == []


def _slots(asked: RampTask, first: float, second: float, back: bool) -> bool:
    """Lay a ramp of two runs down by hand from a 36 in door, and say whether it fits."""
    e, w, land = 2.75 * IN, 36 * IN, 60 * IN
    ground = b.site(asked).buffer(0.02, join_style="mitre")
    x = asked.door.offset or 0.0
    parts = [
        box(x - e, -(land + e), x + w + e, 0),
        box(x - e, -(land + first), x + w + e, -land),
    ]
    end = -(land + first)
    if back:
        parts.append(box(x - e, end - land - e, x + 2 * w + 3 * e, end + e))
        lane = (x + w + e, x + 2 * w + 3 * e)
        parts.append(box(lane[0], end, lane[1], end + second + land))
        if end + second + land > -(land + e) and lane[0] < x + w + e - 0.1:
            return False
    else:
        corner = (x, x + land)
        parts.append(box(corner[0] - e, end - land - e, corner[1] + e, end + e))
        parts.append(box(corner[1], end - land - e, corner[1] + second + land, end - land + w + e))
    return all(part.difference(ground).area < b.SLACK for part in parts)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(
    rise=st.integers(8, 30),
    along=st.integers(90, 420),
    out=st.integers(150, 420),
    share=st.integers(1, 99),
    back=st.booleans(),
)
def test_what_can_be_laid_down_by_hand_is_found(
    rise: int, along: int, out: int, share: int, back: bool
) -> None:
    """Any split of the rise, off the grid too: where a two-run ramp fits, one of its way is found.

    On a rectangle the limits of the ground are among the lengths tried, so none is missed.
    """
    asked = b.task(
        f"{rise} in",
        f"{along} in",
        f"{out} in",
        door={"offset": "2.75 in"},
        limits={"slopes": [12], "fewest_turns": 1, "most_turns": 1, "step": "24 in"},
    )
    length = rise * 12 * IN
    first = length * share / 100
    least = min(asked.limits.step, length / 2)
    if not least <= first <= length - least or not _slots(asked, first, length - first, back):
        return
    way = "straight out, back left" if back else "straight out, left turn"
    assert way in {one.way for one in ramps(asked, load("us")).arrangements}


@settings(max_examples=25, deadline=None, derandomize=True)
@given(rise=st.integers(8, 40), along=st.integers(160, 700), out=st.integers(60, 420))
def test_more_ground_never_takes_a_way_down_away(rise: int, along: int, out: int) -> None:
    """What fits some ground fits ground that goes further out."""
    more = {"door": {"offset": "60 in"}, "limits": {"slopes": [12], "most_turns": 1}}
    small = b.ask(f"{rise} in", f"{along} in", f"{out} in", **more)
    large = b.ask(f"{rise} in", f"{along} in", f"{out + 36} in", **more)
    assert {one.way for one in small.arrangements} <= {one.way for one in large.arrangements}


def test_all_forms_are_tried() -> None:
    """Straight, L to both hands, switchbacks to both hands, U, Z and mixed ones."""
    found = b.all_kinds()
    assert {one.form for one in found} == {"straight", "L", "switchback", "U", "Z", "mixed"}
    ways = {one.way for one in found}
    for start in ("straight out", "left along the wall", "right along the wall"):
        assert {start, f"{start}, back left", f"{start}, back right"} & ways
    assert {"straight out, left turn", "straight out, right turn"} <= ways
    assert len(ways) == len(found)


def test_smallest_and_cheapest_are_so() -> None:
    """By trying all that are listed; the list is in order of ground."""
    asked = b.task(
        "30 in", "60 ft", "30 ft", prices={"handrail": 400, "deck": 1}, limits={"slopes": [12, 14]}
    )
    found = ramps(asked, load("us"))
    areas = [round(one.footprint_m2, 6) for one in found.arrangements]
    assert found.smallest == found.arrangements[0].id
    assert areas == sorted(areas)
    costs = {one.id: one.cost or 0.0 for one in found.arrangements}
    assert costs[found.cheapest or ""] == min(costs.values())
    assert found.tried >= found.fitted >= len(found.arrangements) > 1


def test_areas_are_those_of_the_shapes() -> None:
    """Ground covered, deck and foot against the union of the parts."""
    for one in b.all_kinds():
        ramp = [part for part in one.parts if not part.kind.startswith("steps")]
        whole = box(0, 0, 0, 0)
        for part in ramp:
            whole = whole.union(Polygon(part.whole))
        assert one.footprint_m2 == pytest.approx(whole.area / 1e6, rel=1e-6)
        slopes = sum(math.hypot(a, c) for a, c in zip(one.runs_mm, one.rises_mm, strict=True))
        assert one.ramp_m2 == pytest.approx(slopes * 41.5 * IN / 1e6, rel=1e-9)
        west, south, east, north = whole.bounds
        assert (one.along_mm, one.out_mm) == pytest.approx((east - west, north - south))


def test_handrails_keep_to_the_edges_of_what_is_walked_on() -> None:
    """They run along sides of clear surfaces, never across one, and 12 in beyond both ends."""
    for one in b.all_kinds():
        clear = [Polygon(part.clear) for part in one.parts if part.kind != "foot"]
        shrunk = [shape.buffer(-5.0) for shape in clear]
        first, last = one.rails[0].points, one.rails[1].points
        assert abs(first[0][2] - 30 * IN) < 0.01
        assert abs(last[-1][2]) < 0.01
        for rail in one.rails[:2]:
            # The level end before the first run lies over the landing at the door.
            for start, end in zip(rail.points[1:], rail.points[2:], strict=False):
                line = LineString([start[:2], end[:2]])
                assert not any(line.intersects(shape) for shape in shrunk)
            assert rail.extension_mm == pytest.approx(24 * IN)
