"""How far one gets without turning back round a tight end, on floors where the answer is plain.

North gaps of 1100 mm let a traveller of 1066.8 mm by, and are less than the 1219.2 mm asked for.
"""

from __future__ import annotations

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point, Polygon, affinity, box

from shopfit.geometry.freefloor import travel
from shopfit.geometry.turning import Islands, narrow_ends, tight_ends
from shopfit.geometry.waysround import Reach, flanks, reached_without, turns

AISLE, UNDER, NEEDED, LANE = 1066.8, 1219.2, 1219.2, 1524.0


def _reach(
    room: Polygon,
    shapes: list[Polygon],
    start: tuple[float, float] | Point,
    *others: Polygon,
    turn: float = 0.0,
    width: float = AISLE,
) -> Reach:
    islands = Islands(shapes, [turn] * len(shapes))
    tight = tight_ends(narrow_ends(islands, UNDER, width), islands, others, [room], NEEDED)
    around = turns(tight, islands, others, [room], LANE)
    free = room
    for shape in (*shapes, *others):
        free = free.difference(shape)
    return reached_without(travel(free, width), [Point(start).buffer(30)], [], around)


def _gets_to(reach: Reach, *place: float) -> bool:
    return any(area.distance(Point(*place)) < 30.0 for area in reach.areas)


# One tongue from the south wall, with aisles west and east of it, and a way round its north end.
def _tongue(gap: float) -> tuple[Polygon, list[Polygon]]:
    return box(0, 0, 3400, 3000 + gap), [box(1200, 0, 2200, 3000)]


@pytest.mark.parametrize(
    ("gap", "found"), [(1100.0, False), (1219.1, False), (1219.2, True), (1500.0, True)]
)
def test_one_does_not_turn_back_where_it_is_tight(gap: float, found: bool) -> None:
    """From the aisle on one side to the aisle on the other there is only the way round the end."""
    room, islands = _tongue(gap)
    reach = _reach(room, islands, (600, 700))
    assert _gets_to(reach, 600, 1000)
    # Before the end one still gets to both corners.
    assert _gets_to(reach, 600, 3000 + gap / 2)
    assert _gets_to(reach, 2800, 3000 + gap / 2)
    assert _gets_to(reach, 2800, 1000) == found
    assert bool(reach.refused) == (not found)


@pytest.mark.parametrize("west", [True, False])
def test_who_comes_along_before_the_end_turns_in(west: bool) -> None:
    """From a door beside the end, both aisles are reached: a quarter turn is no half turn."""
    room, islands = _tongue(1100.0)
    start = (600, 3550) if west else (2800, 3550)
    reach = _reach(room, islands, start)
    assert _gets_to(reach, 600, 1000)
    assert _gets_to(reach, 2800, 1000)


def test_a_second_aisle_on_is_no_turn_back() -> None:
    """Past two tongues into the third aisle are two quarter turns; into the second, a half one."""
    room = box(0, 0, 5600, 4100)
    tongues = [box(1200, 0, 2200, 3000), box(3400, 0, 4400, 3000)]
    reach = _reach(room, tongues, (600, 700))
    assert not _gets_to(reach, 2800, 1000)
    assert _gets_to(reach, 5000, 1000)


def test_going_aside_and_coming_back_is_still_turning_back() -> None:
    """A bay beyond the end, where one could go in and out again, makes no difference."""
    room = box(0, 0, 3400, 4100).union(box(0, 4100, 1200, 7000))
    reach = _reach(room, [box(1200, 0, 2200, 3000)], (600, 700))
    assert _gets_to(reach, 600, 6000)
    assert not _gets_to(reach, 2800, 1000)


def test_another_way_is_taken() -> None:
    """Round the other end, where there is room, one gets to the same aisle."""
    room = box(0, 0, 3400, 5600)
    reach = _reach(room, [box(1200, 1500, 2200, 4500)], (600, 2500))
    assert _gets_to(reach, 2800, 3000)
    closed = _reach(room, [box(1200, 1500, 2200, 4500)], (600, 2500), box(1200, 0, 2200, 1500))
    assert not _gets_to(closed, 2800, 3000)


def test_between_islands_end_to_end_one_passes_but_does_not_turn() -> None:
    """The gap between two islands leads across, and not back along the other side."""
    room = box(0, 0, 6000, 8000)
    islands = [box(1200, 0, 2200, 3000), box(1200, 4100, 2200, 8000), box(3400, 0, 4400, 8000)]
    reach = _reach(room, islands, (600, 700))
    assert not _gets_to(reach, 2800, 1000)
    assert _gets_to(reach, 2800, 6000)
    # From the middle of the west aisle, beside the gap, both ways are quarter turns.
    reach = _reach(room, islands, (600, 3550))
    assert _gets_to(reach, 2800, 1000)
    assert _gets_to(reach, 2800, 6000)


def test_a_wide_leg_is_no_leg() -> None:
    """Who has swung out beyond the lane comes along before the end."""
    room = box(-3000, 0, 3400, 4100)
    reach = _reach(room, [box(1200, 0, 2200, 3000)], (-2400, 700))
    assert _gets_to(reach, 2800, 1000)


def test_gates_end_at_what_stands_beside() -> None:
    """A neighbour flush with the end, or standing back from it, ends the lane."""
    room = box(0, 0, 8000, 4100)
    shapes = [box(1200, 0, 2200, 3000), box(3300, 0, 4300, 3000)]
    islands = Islands(shapes, [0.0, 0.0])
    tight = tight_ends(narrow_ends(islands, UNDER, AISLE), islands, [], [room], NEEDED)
    first, second = turns(tight, islands, [], [room], LANE)
    lengths = [round(line.length) for line in (first.left, first.right, second.left, second.right)]
    # As one faces the end from the north, left is east.
    assert lengths == [1100, 1200, 1524, 1100]


def test_flanks_lie_beside_the_element() -> None:
    """Clear width along a leg is measured like depth before an end."""
    islands = Islands([box(1200, 0, 2200, 3000)], [0.0])
    room = box(0, 0, 3400, 4100)
    (end,) = (e for e in narrow_ends(islands, UNDER, AISLE) if e.outward == (0.0, 1.0))
    left, right = flanks(end, 1219.2)
    assert left.floor(500).bounds == pytest.approx((2200, 1780.8, 2700, 3000))
    assert right.floor(500).bounds == pytest.approx((700, 1780.8, 1200, 3000))
    found = tight_ends([left, right], islands, [box(0, 2000, 100, 2100)], [room], 1250.0)
    assert [round(one.depth, 3) for one in found] == [1200.0, 1100.0]
    short = Islands([box(1200, 2500, 2200, 3000)], [0.0])
    (end,) = (e for e in narrow_ends(short, UNDER, AISLE) if e.outward == (0.0, 1.0))
    assert [flank.length for flank in flanks(end, 1219.2)] == [500, 500]


def test_doors_lead_on() -> None:
    """Rooms joined by a door are one floor, and who comes through it has not turned."""
    room, islands = _tongue(1100.0)
    back = box(3500, 0, 5000, 3000)
    islands_ = Islands(islands, [0.0])
    tight = tight_ends(narrow_ends(islands_, UNDER, AISLE), islands_, [], [room, back], NEEDED)
    around = turns(tight, islands_, [], [room, back], LANE)
    areas = [*travel(room.difference(islands[0]), AISLE), *travel(back, AISLE)]
    door = (box(2300, 100, 3400, 1500), box(3500, 100, 4500, 1500))
    reach = reached_without(areas, [back], [door], around)
    assert _gets_to(reach, 2800, 1000)
    assert not _gets_to(reach, 600, 1000)
    reach = reached_without(areas, [box(0, 0, 1200, 500)], [door], around)
    assert not _gets_to(reach, 4200, 1000)


def test_a_way_exactly_as_wide_as_the_traveller_leads_on() -> None:
    """Aisles of no more than the traveller's width are hairs on the map, and still ways."""
    room = box(0, 0, 2 * AISLE + 1000, 3000 + AISLE)
    islands = [box(AISLE, 0, AISLE + 1000, 3000)]
    reach = _reach(room, islands, (AISLE / 2, 3000 + AISLE / 2))
    assert _gets_to(reach, AISLE / 2, 1000)
    assert _gets_to(reach, AISLE * 1.5 + 1000, 1000)
    reach = _reach(room, islands, (AISLE / 2, 700))
    assert not _gets_to(reach, AISLE * 1.5 + 1000, 1000)


@given(
    st.lists(st.sampled_from([1070.0, 1100.0, 1219.0, 1220.0, 1600.0]), min_size=6, max_size=6),
    st.integers(0, 3),
    st.floats(0, 360),
    st.tuples(st.integers(-9000, 9000), st.integers(-9000, 9000)),
)
@settings(max_examples=30)
def test_turning_and_shifting_the_shop_changes_nothing(
    gaps: list[float], corner: int, turn: float, shift: tuple[int, int]
) -> None:
    """A field of four islands with gaps of many widths, entered from any corner."""
    xs = [gaps[0], gaps[0] + 800 + gaps[1]]
    ys = [gaps[3], gaps[3] + 1400 + gaps[4]]
    room = box(0, 0, xs[1] + 800 + gaps[2], ys[1] + 1400 + gaps[5])
    islands = [box(x, y, x + 800, y + 1400) for x in xs for y in ys]
    x, y = room.exterior.coords[corner]
    middle = room.centroid
    start = Point(x + (535 if x < middle.x else -535), y + (535 if y < middle.y else -535))
    places = [(x - 540, y + 700) for x in xs] + [(x + 400, y + 1940) for x in xs for y in ys[:1]]
    places += [(xs[1] + 1340, y + 700) for y in ys]

    def move(shape):
        return affinity.translate(affinity.rotate(shape, turn, origin=(0, 0)), *shift)

    before = _reach(room, islands, start)
    after = _reach(move(room), [move(one) for one in islands], move(start), turn=turn)
    for place in places:
        (there,) = move(Point(place)).coords
        assert _gets_to(before, *place) == _gets_to(after, *there)


def test_a_hundred_tight_islands_take_under_a_second() -> None:
    """The fine search runs only where the quick one fails; the limit is for a busy machine."""
    shapes = [
        box(x, y, x + 1000, y + 2450)
        for x in range(1100, 22100, 2100)
        for y in range(1100, 36600, 3550)
    ]
    room = box(0, 0, 22100, 36600)
    start = time.process_time()
    reach = _reach(room, shapes, (545, 545))
    assert time.process_time() - start < 3.0
    assert len(shapes) == 100
    assert _gets_to(reach, 21550, 35000)
