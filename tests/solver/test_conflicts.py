"""Which positions exclude one another, compared pair by pair with plain geometry."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, STRtree

from shopfit.geometry.footprint import footprint, rectangle, side_band
from shopfit.model.fixtures import Fixture, Side
from shopfit.model.layout import Placement
from shopfit.solver.candidate import Candidate, Corners
from shopfit.solver.candidates import candidates, plain_candidate, wall_candidate, with_room
from shopfit.solver.conflicts import cliques, conflicting
from shopfit.solver.site import Site

from . import build as b
from .slowly import largest_sets

OUTWARD: dict[Side, float] = {"front": -90.0, "back": 90.0, "left": 180.0, "right": 0.0}


def candidate(
    x: float,
    y: float,
    width: float,
    depth: float,
    angle: float,
    bands: Sequence[tuple[Side, float]],
    room: float | None = None,
) -> Candidate:
    """Make a candidate from its back left corner, its turn, and the depth of each band.

    With room it is an island that keeps so much clear all round.
    """
    own: Fixture = b.fixture(width=b.mm(width), depth=b.mm(depth))
    place = Placement(id="", fixture=own.id, x_mm=x, y_mm=y, angle_deg=angle)
    return Candidate(
        fixture=own.id,
        placement=place,
        body_at=corners(footprint(own, place)),
        bands_at=tuple(
            ((angle + OUTWARD[side]) % 360.0, corners(side_band(own, place, side, deep)), deep)
            for side, deep in bands
        ),
        faces=(),
        frame=angle % 90.0,
        around_at=None
        if room is None
        else corners(rectangle(place, -room, width + room, -room, depth + room)),
    )


def corners(shape: Polygon) -> Corners:
    """Give the corners of a rectangle."""
    return np.array(shape.exterior.coords[:4])


def excluded(found: Sequence[Candidate]) -> set[tuple[int, int]]:
    """List the pairs that the cliques exclude."""
    pairs: set[tuple[int, int]] = set()
    for group in cliques(found):
        members = group.tolist()
        assert members == sorted(set(members))
        pairs |= set(itertools.combinations(members, 2))
    return pairs


def overlap(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    """Say whether two upright boxes (left, bottom, right, top) share floor."""
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def clash(one: Candidate, other: Candidate) -> bool:
    """Say by whole numbers whether two upright candidates exclude one another."""

    def bounds(shape: object) -> tuple[float, ...]:
        return tuple(round(x) for x in shape.bounds)  # type: ignore[attr-defined]

    bodies = bounds(one.body), bounds(other.body)
    if overlap(*bodies):
        return True
    return any(overlap(bodies[1], bounds(s)) for _, s, _ in one.bands) or any(
        overlap(bodies[0], bounds(s)) for _, s, _ in other.bands
    )


tens = st.integers(0, 40).map(lambda k: 50.0 * k)
sizes = st.sampled_from([200.0, 300.0, 450.0, 600.0])
sides = st.lists(
    st.tuples(st.sampled_from(list(OUTWARD)), st.sampled_from([300.0, 450.0, 800.0])),
    max_size=2,
    unique_by=lambda entry: entry[0],
)


def positions(angles: Sequence[float]) -> st.SearchStrategy[Candidate]:
    return st.builds(candidate, tens, tens, sizes, sizes, st.sampled_from(angles), sides)


UPRIGHT = (0.0, 90.0, 180.0, 270.0)
# Half of the deepest band, so that it holds the near halves of all of them.
ROOM = st.sampled_from([None, 400.0])


@settings(max_examples=100)
@given(
    st.lists(
        st.builds(candidate, tens, tens, sizes, sizes, st.sampled_from(UPRIGHT), sides, ROOM),
        max_size=25,
    ),
    st.booleans(),
)
def test_sets_are_the_largest_that_share_a_cell(found: list[Candidate], careful: bool):
    """Sets found where boxes begin are those found by looking at every cell, and come once."""
    groups = [frozenset(group.tolist()) for group in cliques(found, careful)]
    assert len(set(groups)) == len(groups)
    assert set(groups) == largest_sets(found, careful)


@settings(max_examples=25)
@given(st.lists(positions((0.0, 90.0, 30.0, 300.0)), max_size=16))
def test_sets_in_turned_frames(found: list[Candidate]):
    """Each frame has its own largest sets; what is left are pairs of two frames."""
    groups = {frozenset(group.tolist()) for group in cliques(found)}
    own = largest_sets(found)
    assert own <= groups
    assert all(len({found[i].frame for i in pair}) == 2 for pair in groups - own)


@settings(max_examples=80)
@given(st.lists(positions(UPRIGHT), min_size=2, max_size=14))
def test_cliques_exclude_exactly_the_pairs_that_clash(found: list[Candidate]):
    """In one frame: bodies clear of bodies and of bands, counted in whole millimetres."""
    pairs = set(itertools.combinations(range(len(found)), 2))
    expected = {(i, j) for i, j in pairs if clash(found[i], found[j])}
    assert excluded(found) == expected
    assert {(i, j) for i, j in pairs if conflicting(found[i], found[j])} == expected


@settings(max_examples=30)
@given(st.lists(positions((0.0, 90.0, 30.0, 210.0)), min_size=2, max_size=12))
def test_cliques_across_frames(found: list[Candidate]):
    """With walls at two angles the pairs are those of exact geometry, too."""
    pairs = itertools.combinations(range(len(found)), 2)
    expected = {(i, j) for i, j in pairs if conflicting(found[i], found[j])}
    assert excluded(found) == expected


def test_positions_of_a_shop_exclude_what_they_must():
    """Walls, islands, dividers with staff behind them and bare slat-wall in one room."""
    isle = b.fixture(
        "isle",
        width=b.mm(600.0),
        stands=["island"],
        faces=[b.face("table", side=side) for side in ("front", "back")],
    )
    counter = b.fixture("till", kind="counter", stands=["divider"], faces=[])
    shop = b.scenario(
        fixtures=[b.fixture(slat_above=True), isle, counter],
        sheets=[b.SHEET],
        brackets=[{"id": "hook", "kind": "hook", "depth": b.mm(90.0), "load": "1 kg", "price": 1}],
        zones=[{"id": "till", "kind": "staff", "corners": b.box(0.0, 2600.0, 3000.0, 4000.0)}],
        width=3000.0,
        depth=4000.0,
        brief={"step": b.mm(600.0)},
    )
    found = candidates(Site(shop))
    assert {c.fixture for c in found} == {"cab", "isle", "till", None}
    near = STRtree([c.body.buffer(1000.0) for c in found]).query(
        [c.body.buffer(1000.0) for c in found], predicate="intersects"
    )
    maybe = {(int(i), int(j)) for i, j in near.T if i < j}
    expected = {(i, j) for i, j in maybe if conflicting(found[i], found[j])}
    assert excluded(found) == expected


@pytest.mark.parametrize(("gap", "together"), [(899.0, False), (900.0, True), (901.0, True)])
def test_two_fronts_share_their_aisle(gap: float, together: bool):
    """Fronts face each other over one aisle, not two."""
    below = candidate(1000.0, 0.0, 1000.0, 500.0, 180.0, [("front", 900.0)])
    above = candidate(0.0, 1000.0 + gap, 1000.0, 500.0, 0.0, [("front", 900.0)])
    assert (excluded([below, above]) == set()) is together


@pytest.mark.parametrize(("gap", "together"), [(899.0, False), (900.0, True), (901.0, True)])
def test_the_wider_of_two_aisles_counts(gap: float, together: bool):
    """Between fronts that want 500 and 900 mm there are 900 mm, not the mean."""
    below = candidate(1000.0, 0.0, 1000.0, 500.0, 180.0, [("front", 500.0)])
    above = candidate(0.0, 1000.0 + gap, 1000.0, 500.0, 0.0, [("front", 900.0)])
    assert (excluded([below, above]) == set()) is together


@pytest.mark.parametrize(("step", "together"), [(-1.0, False), (0.0, True), (1.0, True)])
def test_touching_is_allowed(step: float, together: bool):
    """Cabinets stand side by side without a gap."""
    one = candidate(0.0, 500.0, 600.0, 400.0, 0.0, [("front", 900.0)])
    other = candidate(600.0 + step, 500.0, 600.0, 400.0, 0.0, [("front", 900.0)])
    assert (excluded([one, other]) == set()) is together


def test_a_corner_may_be_shared():
    """At an inside corner one cabinet may end against the other's front only out of its band."""
    north = candidate(0.0, 3000.0, 1000.0, 500.0, 0.0, [("front", 900.0)])
    beside = candidate(0.0, 1600.0, 1000.0, 500.0, 90.0, [("front", 900.0)])
    assert excluded([north, beside]) == {(0, 1)}
    far = candidate(0.0, 600.0, 1000.0, 500.0, 90.0, [("front", 900.0)])
    assert excluded([north, far]) == set()


def test_no_clique_lies_in_another():
    """Sets that another set covers only slow the search; the largest come first."""
    found = [candidate(50.0 * k, 500.0, 600.0, 400.0, 0.0, [("front", 900.0)]) for k in range(30)]
    groups = cliques(found)
    assert {frozenset(group.tolist()) for group in groups} == {
        frozenset(range(k, k + 12)) for k in range(19)
    }
    mixed = [*found, candidate(0.0, 3000.0, 600.0, 400.0, 0.0, [("front", 300.0)])]
    mixed += [candidate(50.0, 3000.0, 600.0, 400.0, 0.0, [("front", 300.0)])]
    assert [group.size for group in cliques(mixed)] == [12] * 19 + [2]


def test_islands_keep_apart_only_with_care():
    """Half an aisle round each of two islands; without care their bare ends may be close."""
    first = candidate(0.0, 1000.0, 600.0, 400.0, 0.0, [("front", 800.0)], room=400.0)
    for gap, apart in ((799.0, False), (800.0, True)):
        other = candidate(600.0 + gap, 1000.0, 600.0, 400.0, 0.0, [("front", 800.0)], room=400.0)
        assert cliques([first, other]) == []
        assert (cliques([first, other], careful=True) == []) is apart


def test_careful_floors_leave_an_aisle_past_corners_at_walls():
    """An island off the corner of a cabinet, neither before it nor beside it, keeps away."""
    cab = b.fixture(width=b.mm(1000.0), depth=b.mm(500.0))
    isle = b.fixture("isle", width=b.mm(600.0), depth=b.mm(600.0), stands=["island"], faces=[])
    site = Site(b.scenario(fixtures=[cab, isle], width=5000.0, depth=5000.0))
    wall = site.shell.wall("N")
    # Two that end where the island's corner is looked at, and one that ends sooner.
    low = b.fixture("low", width=b.mm(700.0), depth=b.mm(500.0))
    ends = [wall_candidate(site, wall, cab, 0.0), wall_candidate(site, wall, low, 300.0)]
    short = wall_candidate(site, wall, low, 0.0)
    for gap, apart in ((899.0, False), (901.0, True)):
        # Its back left corner as its front looks south; the cabinets end 500 mm off the wall.
        place = Placement(id="", fixture="isle", x_mm=1000 + gap, y_mm=4500 - gap, angle_deg=0.0)
        island = with_room(site, isle, plain_candidate(site, isle, place))
        found = [*ends, short, island]
        with_island = {frozenset(g.tolist()) for g in cliques(found, careful=True) if 3 in g}
        assert with_island == (set() if apart else {frozenset({0, 1, 3})})
        assert not any(3 in group for group in cliques(found))


def test_nothing_to_exclude():
    """No positions, or one alone, make no clique."""
    assert cliques([]) == []
    assert cliques([candidate(0.0, 500.0, 600.0, 400.0, 0.0, [])]) == []
