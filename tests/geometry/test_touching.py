"""Which faces adjoin, and which blocks touch."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.geometry.faceplace import FaceKey, FacePlace
from shopfit.geometry.touching import (
    BlockPlace,
    block_places,
    groups,
    joint,
    joints,
    shared_width,
    touching,
)
from shopfit.model.layout import Block, Claims, Layout, Row, Slot


def face(
    host: str, left: float, right: float, out: float = 600.0, wall: str | None = "N", **more: Any
) -> FacePlace:
    """Make a front that looks south, on a wall along y = 6000, so far out of it."""
    given = {"side": "front", "bottom": 100.0, "top": 800.0, **more}
    return FacePlace(host, left=(left, 6000 - out), right=(right, 6000 - out), wall=wall, **given)


def hung(host: str, left: float, right: float, bottom: float = 850.0) -> FacePlace:
    """Make a run on that wall."""
    return face(host, left, right, 0.0, bottom=bottom, top=2000.0, hung=True)


def block(
    name: str, on: FacePlace, left: float, right: float, heights: Any = (100.0, 700.0)
) -> BlockPlace:
    """Make a block whose category is the first letter of its name."""
    return BlockPlace(name, name[0], on.key, left, right, *heights)


def pairs(faces: list[FacePlace], *blocks: BlockPlace) -> list[str]:
    """Name the pairs of blocks that touch."""
    found = touching(blocks, {each.key: each for each in faces})
    return [f"{one.id}-{other.id}" for one, other in found]


@pytest.mark.parametrize(
    ("gap", "adjoin"), [(0.0, True), (50.78, True), (50.8, False), (50.82, False), (-50.82, False)]
)
def test_faces_side_by_side_on_a_wall_go_on_in_one_another(gap: float, adjoin: bool) -> None:
    """However deep they are; nearer than 50.8 mm."""
    left, right = face("F1", 0, 1000), face("F2", 1000 + gap, 2000 + gap, out=450)
    found = joint(left, right)
    assert (found is not None) is adjoin
    assert joint(right, left) is None
    if found:
        assert (found.left, found.right) == (left.key, right.key)
        assert found.gap == pytest.approx(gap)


def test_faces_on_two_walls_or_back_to_back_do_not() -> None:
    """Neither round a corner of the room, nor round the end of an island."""
    one = face("F1", 0, 1000)
    assert joint(one, face("F2", 1000, 2000, wall="E")) is None
    assert joint(one, one) is None
    turned = FacePlace("F2", "front", (1000.0, 5400.0), (1000.0, 4400.0), 100.0, 800.0, "N")
    assert joint(one, turned) is None
    island = face("F3", 0, 1000, wall=None)
    back = replace(island, host="F4", side="back", left=island.right, right=island.left)
    assert joint(island, back) is None
    assert joint(back, island) is None


@pytest.mark.parametrize(("aside", "adjoin"), [(0.0, True), (50.0, True), (51.0, False)])
def test_islands_go_on_in_one_another_in_one_line(aside: float, adjoin: bool) -> None:
    """Their ends are nearer than 50.8 mm on the plan, sideways too."""
    left, right = face("F1", 0, 1000, wall=None), face("F2", 1000, 2000, 600 + aside, wall=None)
    assert (joint(left, right) is not None) is adjoin


@pytest.mark.parametrize(("degrees", "adjoin"), [(0.9, True), (1.1, False), (180.0, False)])
def test_faces_that_look_another_way_do_not_go_on(degrees: float, adjoin: bool) -> None:
    """A bend of more than a degree ends a line of fronts."""
    turn = math.radians(degrees)
    end = (1000 + 900 * math.cos(turn), 5400 + 900 * math.sin(turn))
    other = FacePlace("F2", "front", (1000.0, 5400.0), end, 100.0, 800.0)
    assert (joint(face("F1", 0, 1000, wall=None), other) is not None) is adjoin


@pytest.mark.parametrize(("bottom", "adjoin"), [(799.9, True), (800.0, False), (850.0, False)])
def test_faces_go_on_only_at_heights_that_both_have(bottom: float, adjoin: bool) -> None:
    """A run over one cabinet does not go on in the cabinet beside it."""
    found = joint(face("F1", 0, 1000), hung("R1", 1000, 2000, bottom))
    assert (found is not None) is adjoin


def test_all_joints_are_listed_by_left_and_right() -> None:
    """A row of three has two joints; a fourth beyond a gap and an island have none."""
    row = [face("F1", 0, 1000), face("F2", 1000, 2000), face("F3", 2000, 2900)]
    others = [face("F4", 3000, 3500), face("F5", 3500, 4000, wall=None)]
    found = [(each.left[0], each.right[0]) for each in joints([*row[::-1], *others])]
    assert sorted(found) == [("F1", "F2"), ("F2", "F3")]


@pytest.mark.parametrize(
    ("right", "shared"),
    [(1152.39, (847.6, 1000)), (1152.41, (847.6, 1000)), (5000.0, (847.6, 1000))],
)
def test_a_run_shares_width_with_a_fixture_below(right: float, shared: Any) -> None:
    """Told along the run."""
    assert shared_width(hung("R1", 0, 1000), face("F1", 847.6, right)) == pytest.approx(shared)


@pytest.mark.parametrize(
    "below",
    [
        face("F1", 847.7, 2000),
        face("F1", 0, 1000, wall="E"),
        face("F1", 0, 1000, wall=None),
        face("F1", 0, 1000, top=850.1),
        hung("R2", 0, 1000, 100.0),
    ],
)
def test_what_is_not_below_a_run_shares_nothing(below: FacePlace) -> None:
    """Too little width, another wall, an island, a face as high as the run, another run."""
    assert shared_width(hung("R1", 0, 1000), below) is None


@pytest.mark.parametrize(("gap", "found"), [(0.0, ["a-b"]), (152.3, ["a-b"]), (152.4, [])])
def test_blocks_side_by_side_touch(gap: float, found: list[str]) -> None:
    """With less than 152.4 mm between."""
    f = face("F1", 0, 1000)
    assert pairs([f], block("a", f, 0, 300), block("b", f, 300 + gap, 800)) == found


def test_a_block_between_keeps_two_apart() -> None:
    """However narrow it is."""
    f = face("F1", 0, 1000)
    blocks = block("a", f, 0, 300), block("b", f, 310, 350), block("c", f, 360, 800)
    assert pairs([f], *blocks) == ["a-b", "b-c"]


@pytest.mark.parametrize(("left", "found"), [(80.0, ["a-b"]), (82.38, ["a-b"]), (82.4, [])])
def test_blocks_touch_over_a_joint(left: float, found: list[str]) -> None:
    """With less than 152.4 mm in all: here 30 and 40, and the rest on the second face."""
    one, other = face("F1", 0, 1000), face("F2", 1040, 2000)
    blocks = block("a", one, 0, 970), block("b", other, left, 900)
    assert pairs([one, other], *blocks) == found
    assert pairs([other, one], *blocks[::-1]) == [pair[::-1] for pair in found]


@pytest.mark.parametrize("where", ["left", "right"])
def test_a_block_at_the_joint_keeps_two_apart(where: str) -> None:
    """On either side of it."""
    one, other = face("F1", 0, 1000), face("F2", 1000, 2000)
    third = block("c", one, 960, 990) if where == "left" else block("c", other, 10, 40)
    blocks = block("a", one, 0, 950), block("b", other, 50, 900), third
    assert pairs([one, other], *blocks) == ["a-c", "b-c"]


def test_blocks_do_not_touch_round_a_corner() -> None:
    """Faces that do not go on in one another part their blocks."""
    one, other = face("F1", 0, 1000), face("F2", 1000, 2000, wall="E")
    assert pairs([one, other], block("a", one, 0, 1000), block("b", other, 0, 900)) == []


@pytest.mark.parametrize(
    ("left", "found"), [(347.6, ["a-b"]), (347.605, ["a-b"]), (347.62, []), (500.0, [])]
)
def test_goods_over_goods_touch(left: float, found: list[str]) -> None:
    """A run's block and the one below share at least 152.4 mm, on faces that begin elsewhere."""
    run, below = hung("R1", 200, 2000), face("F1", 100, 1100)
    blocks = block("a", below, 0, 600), block("b", run, left, 1200, (900, 1500))
    assert pairs([run, below], *blocks) == found


@pytest.mark.parametrize(
    ("third", "found"),
    [
        (("R1", 0, 1000, (850, 1100)), ["a-c", "b-c"]),
        (("F1", 0, 1000, (400, 700)), ["a-c", "b-c"]),
        (("R1", 0, 290, (850, 1100)), ["a-b", "b-c"]),
        (("R1", 0, 320, (850, 1100)), ["b-c"]),
        (("F1", 0, 100, (700, 780)), ["a-b"]),
    ],
)
def test_goods_between_keep_two_apart(third: Any, found: list[str]) -> None:
    """On the run or on the fixture, where they take some of the width that is shared."""
    faces = {"R1": hung("R1", 0, 1000), "F1": face("F1", 0, 1000)}
    host, left, right, heights = third
    blocks = (
        block("a", faces["F1"], 300, 900, (100, 300)),
        block("b", faces["R1"], 0, 1000, (1200, 1500)),
        block("c", faces[host], left, right, heights),
    )
    assert pairs(list(faces.values()), *blocks) == found


def test_a_lower_run_keeps_goods_apart() -> None:
    """What hangs on the wall between a fixture and a higher run is between them."""
    below, low, high = face("F1", 0, 1000), hung("R1", 0, 1000), hung("R2", 0, 1000, 1500.0)
    low = replace(low, top=1400.0)
    blocks = [block("a", below, 0, 900), block("b", high, 0, 900, (1500, 1900))]
    assert pairs([below, low, high], *blocks) == ["a-b"]
    blocks.append(block("c", low, 0, 900, (900, 1300)))
    assert pairs([below, low, high], *blocks) == ["a-c"]


@pytest.mark.parametrize(("left", "found"), [(247.6, ["a-b"]), (247.7, [])])
def test_blocks_one_above_the_other_on_one_face_touch(left: float, found: list[str]) -> None:
    """Some people stack them; they share width as those on two faces do."""
    f = face("F1", 0, 1000)
    below = block("a", f, 0, 400, (100, 300))
    assert pairs([f], below, block("b", f, left, 800, (350, 700))) == found


def test_blocks_that_overlap_touch() -> None:
    """Such a layout has other faults; what stands together is not apart."""
    f = face("F1", 0, 1000)
    assert pairs([f], block("a", f, 0, 400), block("b", f, 100, 700)) == ["a-b"]


def test_groups_go_over_others_of_the_same_kind() -> None:
    """The first and the last of a chain are together; the widest group comes first."""
    f = face("F1", 0, 3000)
    blocks = [
        block("far", f, 2000, 2100),
        block("f1", f, 0, 300),
        block("f2", f, 300, 600),
        block("f3", f, 600, 900),
        block("g", f, 900, 1200),
        block("f4", f, 1200, 1250),
    ]
    found = touching(blocks, {f.key: f})
    mine = [each for each in blocks if each.category == "f"]
    named = [[each.id for each in group] for group in groups(mine, found)]
    assert named == [["f1", "f2", "f3"], ["far"], ["f4"]]


def test_blocks_are_as_high_as_their_goods() -> None:
    """Rows without goods do not count, nor blocks without rows or on no face."""
    slot = Slot(line="x", facings=1, from_mm=0, to_mm=10, way="shelf")
    rows = (
        Row(bottom_mm=100, top_mm=200),
        Row(bottom_mm=200, top_mm=300, slots=(slot,)),
        Row(bottom_mm=300, top_mm=450, slots=(slot,)),
    )
    b1 = Block(id="B1", host="F1", side="front", category="c", from_mm=5, to_mm=90, rows=rows)
    layout = Layout(
        scenario="t",
        blocks=(
            b1,
            b1.model_copy(update={"id": "B2", "rows": rows[:1]}),
            b1.model_copy(update={"id": "B3", "host": "F2"}),
        ),
        claims=Claims(facings=0, units=0, value=0, cost=0),
    )
    f = face("F1", 0, 1000)
    assert block_places(layout, {f.key: f}) == [BlockPlace("B1", "c", f.key, 5, 90, 200, 450)]


@st.composite
def walls(draw: st.DrawFn) -> tuple[dict[FaceKey, FacePlace], list[BlockPlace]]:
    """Draw a wall with cabinets, runs over them and blocks on both."""
    faces, blocks, at = [], [], 0.0
    for number in range(draw(st.integers(1, 4))):
        at += draw(st.sampled_from([0.0, 30.0, 60.0]))
        width = draw(st.sampled_from([400.0, 900.0]))
        faces += [face(f"F{number}", at, at + width), hung(f"R{number}", at, at + width)]
        at += width
    for on in faces:
        left = 0.0
        for heights in ((100.0, 700.0), (900.0, 1500.0)):
            left += draw(st.sampled_from([0.0, 100.0, 152.4]))
            right = left + draw(st.sampled_from([60.0, 200.0, 300.0]))
            category = draw(st.sampled_from("ab"))
            if right <= on.width and draw(st.booleans()):
                span = heights if on.hung else (100.0, 700.0)
                name = f"{category}{len(blocks)}"
                blocks.append(BlockPlace(name, category, on.key, left, right, *span))
                left = right
    return {each.key: each for each in faces}, blocks


@settings(max_examples=40)
@given(shop=walls(), angle=st.floats(-180, 180), order=st.randoms(use_true_random=False))
def test_touching_depends_on_nothing_but_where_things_are(
    shop: Any, angle: float, order: Any
) -> None:
    """The same wall turned on the plan, its faces and blocks named in another order."""
    places, blocks = shop
    turn = math.radians(angle)

    def turned(point: tuple[float, float]) -> tuple[float, float]:
        x, y = point
        return (
            x * math.cos(turn) - y * math.sin(turn) + 321.0,
            x * math.sin(turn) + y * math.cos(turn) - 77.0,
        )

    moved = [replace(f, left=turned(f.left), right=turned(f.right)) for f in places.values()]
    shuffled = list(blocks)
    order.shuffle(moved)
    order.shuffle(shuffled)
    before = {frozenset((one.id, other.id)) for one, other in touching(blocks, places)}
    after = touching(shuffled, {each.key: each for each in moved})
    assert before == {frozenset((one.id, other.id)) for one, other in after}
    assert all(len(pair) == 2 for pair in before)


@settings(max_examples=40)
@given(shop=walls())
def test_groups_part_the_blocks_of_a_category(shop: Any) -> None:
    """Every block is in one group, and blocks that touch are in the same."""
    places, blocks = shop
    found = touching(blocks, places)
    for category in "ab":
        mine = [each for each in blocks if each.category == category]
        parted = groups(mine, found)
        assert sorted(each.id for group in parted for each in group) == sorted(b.id for b in mine)
        at = {each: number for number, group in enumerate(parted) for each in group}
        assert all(at[a] == at[b] for a, b in found if a in at and b in at)
