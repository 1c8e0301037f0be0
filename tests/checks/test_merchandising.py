"""Where goods stand among one another and along the customer's way."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import check
from shopfit.model.brief import Merchandising
from shopfit.model.finding import Finding
from shopfit.model.layout import Block, Layout
from shopfit.model.scenario import Scenario

from . import build as b

# East along the middle of the room: a face's station is the x of its middle. R1 lies at 2219.2,
# F1 at 1609.6, the table F4 at 2600, the glass case F3 at 5500, and R2, on the west wall, at 0.
WAY = (("0 mm", "2 m"), ("6 m", "2 m"))


def asked(given: Scenario | None = None, **wishes: Any) -> Scenario:
    """Give the shop with wishes on where goods stand."""
    rules = Merchandising.model_validate(wishes)
    return b.briefed(given or b.scenario(), merchandising=rules)


def codes(layout: Layout, given: Scenario | None = None, **wishes: Any) -> list[str]:
    """List the codes of what is wrong with a layout under such wishes."""
    return b.codes(check(asked(given, **wishes), layout))


def only(layout: Layout, given: Scenario | None = None, **wishes: Any) -> Finding:
    """Give the one thing that is wrong with a layout under such wishes."""
    found = b.faults(check(asked(given, **wishes), layout))
    assert len(found) == 1, found
    return found[0]


def short_by(gap: float) -> Layout:
    """Give the layout with a gap between the paper, on the left, and the home goods on R1."""
    return b.reblocked(b.layout(), "B1", to_mm=1219.2 - gap)


def lapped(shared: float) -> Layout:
    """Give the layout with paper on R1 and wool on F1 below it that share so much width."""
    layout = b.reblocked(b.layout(), "B1", to_mm=500.0)
    start = 500.0 - shared
    layout = b.reslotted(layout, "B4", from_mm=start, to_mm=start + 360.0)
    return b.reblocked(layout, "B4", from_mm=start)


def halved() -> Layout:
    """Give the layout with the home goods in two blocks: mugs on R1, umbrellas at its other end."""
    layout = b.layout()
    kept = next(block for block in layout.blocks if block.id == "B2")
    low = kept.model_copy(update={"to_mm": 1960.0, "rows": kept.rows[:1]})
    slots = (kept.rows[1].slots[0].model_copy(update={"from_mm": 2120.0, "to_mm": 2360.0}),)
    row = kept.rows[1].model_copy(update={"slots": slots})
    high = kept.model_copy(update={"id": "B9", "from_mm": 2112.3, "rows": (row,)})
    blocks = [each for each in layout.blocks if each.id != "B2"]
    return layout.model_copy(update={"blocks": (*blocks, low, high)})


def without(layout: Layout, tag: str) -> Layout:
    """Give a layout without a block, its claims told anew by the reader."""
    kept = tuple(block for block in layout.blocks if block.id != tag)
    return layout.model_copy(update={"blocks": kept})


def of_merchandising(found: tuple[Finding, ...]) -> list[str]:
    """List the codes of what was found under these rules alone."""
    return [each.code for each in found if each.clause.startswith("brief > merchandising")]


def test_nothing_is_asked_by_default() -> None:
    """A brief without such wishes finds nothing in any layout."""
    assert of_merchandising(check(b.scenario(), halved())) == []


@pytest.mark.parametrize(("gap", "found"), [(152.3, []), (152.4, ["blocks-scattered"])])
def test_blocks_of_a_category_keep_together(gap: float, found: list[str]) -> None:
    """Two blocks on one face are one place while less than 152.4 mm lie between them (M1)."""
    layout = b.reblocked(halved(), "B9", from_mm=1960.0 + gap)
    assert codes(layout, blocks={"home": 1}) == found
    assert codes(layout, blocks={"home": 2}) == []


def test_a_scattered_category_names_its_places() -> None:
    """What stands apart is named, counted and pointed at (M1)."""
    layout = b.reblocked(halved(), "B9", from_mm=2119.0)
    found = only(layout, blocks={"home": 1})
    assert (found.required, found.measured, found.unit) == (1.0, 2.0, "places")
    assert "B2 on R1; B9 on R1" in found.message
    assert found.subject == "category home"
    assert (found.wall, found.source) == ("N", "brief")
    # The umbrellas lie from 2119 to 2438.4 on a run that begins at 1000.
    assert found.at_mm == pytest.approx((3278.7, 4800.0))


@pytest.mark.parametrize("gap", [0.0, 152.38])
def test_neighbours_on_a_face_touch(gap: float) -> None:
    """Wanted to touch they meet the wish, wanted apart they do not (M2, M3)."""
    layout = short_by(gap)
    assert codes(layout, touch=[("home", "paper")]) == []
    assert codes(layout, apart=[("home", "paper")]) == ["blocks-together"]


@pytest.mark.parametrize("gap", [152.4, 152.41, 400.0])
def test_a_wide_gap_parts_neighbours(gap: float) -> None:
    """From 152.4 mm on they do not touch (M2, M3)."""
    layout = short_by(gap)
    assert codes(layout, touch=[("home", "paper")]) == ["blocks-parted"]
    assert codes(layout, apart=[("home", "paper")]) == []


@pytest.mark.parametrize(
    ("shared", "touches"), [(152.41, True), (152.4, True), (152.38, False), (0.0, False)]
)
def test_goods_over_goods_touch(shared: float, touches: bool) -> None:
    """A run's block touches that of the cabinet below if they share 152.4 mm (M2, M3)."""
    layout = lapped(shared)
    assert codes(layout, touch=[("wool", "paper")]) == ([] if touches else ["blocks-parted"])
    assert codes(layout, apart=[("wool", "paper")]) == (["blocks-together"] if touches else [])


def test_one_pair_of_blocks_is_enough_to_touch() -> None:
    """Mugs touch the paper, umbrellas do not: the categories touch (M2)."""
    assert codes(halved(), touch=[("paper", "home")]) == []
    found = only(halved(), apart=[("paper", "home")])
    assert found.measured == 1.0
    assert "B1 on R1 and B2 on R1" in found.message


def test_only_touch_asks_for_what_is_not_shown() -> None:
    """A category without goods breaks no rule but that (M1 to M6)."""
    layout = without(b.layout(), "B5")
    scenario = b.relined(b.scenario(), "ring", min_facings=0, new=True)
    wishes: dict[str, Any] = {
        "blocks": {"gold": 1},
        "apart": [("gold", "paper")],
        "order": [("clay", "gold", "home")],
        "heavy_over": "1 g",
        "heavy_top": "3 m",
        "new_within": "1 mm",
        "way": WAY,
    }
    found = check(asked(scenario, **wishes), layout)
    # The table, at 2600, is asked to come before the home goods, at 2219.2, whatever is between.
    assert of_merchandising(found) == ["order"]
    found = check(asked(scenario, touch=[("paper", "gold")]), layout)
    assert of_merchandising(found) == ["blocks-parted"]
    assert "nothing of gold is shown" in next(f for f in found if f.code == "blocks-parted").message


@pytest.mark.parametrize(
    ("x", "found"), [(1619.1, []), (1619.2, []), (1619.205, []), (1619.23, ["order"])]
)
def test_categories_follow_one_another_along_the_way(x: float, found: list[str]) -> None:
    """The table's middle must not come after that of the run, at 2219.2 (M4)."""
    layout = b.moved(b.layout(), "F4", x_mm=x)
    assert codes(layout, order=[("clay", "home")], way=WAY) == found


def test_categories_on_one_face_may_stand_in_any_order() -> None:
    """A face is passed as a whole (M4)."""
    wishes = [("paper", "home"), ("home", "paper")]
    assert codes(b.layout(), order=wishes, way=WAY) == []


def test_every_face_of_the_earlier_comes_before_every_face_of_the_later() -> None:
    """One block out of order is enough, and both places are told (M4)."""
    assert codes(b.layout(), order=[("gifts", "wool", "paper", "clay", "gold")], way=WAY) == []
    found = only(b.layout(), order=[("gifts", "gold", "paper")], way=WAY)
    assert (found.required, found.measured) == pytest.approx((2219.2, 5500.0))
    assert found.subject == "categories gold and paper"
    assert "B5 on F3" in found.message
    assert "B1 on R1" in found.message


def test_without_a_way_the_distance_from_the_entrance_counts() -> None:
    """The middle of the door is at (3042.8, 0): the table is 2707 away, the run 4870 (M4)."""
    assert codes(b.layout(), order=[("clay", "paper")]) == []
    found = only(b.layout(), order=[("paper", "clay")])
    assert found.measured == pytest.approx(((3042.8 - 2219.2) ** 2 + 4800**2) ** 0.5)
    assert found.required == pytest.approx(((3042.8 - 2600) ** 2 + 2700**2) ** 0.5)


def test_without_way_and_entrance_nothing_is_measured() -> None:
    """A door that is no entrance does not count, and that is said (M4, M6)."""
    door = {**b.SHOP["doors"][0], "use": "staff"}
    scenario = b.relined(b.scenario(doors=[door]), "ring", new=True)
    wishes: dict[str, Any] = {"order": [("paper", "clay")], "new_within": "1 m"}
    found = check(asked(scenario, **wishes), b.layout())
    assert of_merchandising(found) == ["way-unknown", "way-unknown"]


@pytest.mark.parametrize(
    ("over", "top", "found"),
    [
        ("999 g", "1160 mm", []),
        ("999 g", "1159.995 mm", []),
        ("999 g", "1159.98 mm", ["heavy-high"]),
        ("1 kg", "100 mm", []),
    ],
)
def test_heavy_goods_stand_low(over: str, top: str, found: list[str]) -> None:
    """The bowls weigh 1 kg each; their row ends at 1160 (M5)."""
    assert codes(b.layout(), heavy_over=over, heavy_top=top) == found


def test_heavy_goods_are_named_with_their_row() -> None:
    """Line, block, heights and place are told (M5)."""
    found = only(b.layout(), heavy_over="900 g", heavy_top="1 m")
    assert found.subject == "line bowl in block B6 on F4"
    assert (found.required, found.measured) == (1000.0, 1160.0)
    assert found.clause == "brief > merchandising > heavy_top"


@pytest.mark.parametrize(
    ("within", "found"), [("5500.1 mm", []), ("5500 mm", []), ("5499.98 mm", ["new-far"])]
)
def test_new_goods_stand_near_the_entrance(within: str, found: list[str]) -> None:
    """The rings lie in the glass case, 5500 along the way (M6)."""
    scenario = b.relined(b.scenario(), "ring", new=True)
    assert codes(b.layout(), scenario, new_within=within, way=WAY) == found
    assert codes(b.layout(), new_within=within, way=WAY) == []


def test_new_goods_far_in_are_told_once_a_face() -> None:
    """Face, lines and both lengths are named (M6)."""
    scenario = b.relined(b.relined(b.scenario(), "mug", new=True), "umbrella", new=True)
    found = only(b.layout(), scenario, new_within="1 m", way=WAY)
    assert found.subject == "new goods on R1"
    assert "mug, umbrella" in found.message
    assert (found.required, found.measured) == pytest.approx((1000.0, 2219.2))


def test_an_empty_block_shows_nothing() -> None:
    """A block without goods neither touches nor scatters a category."""
    empty = Block(id="B0", host="R2", side="front", category="home", from_mm=900, to_mm=1100)
    layout = b.layout()
    layout = layout.model_copy(update={"blocks": (*layout.blocks, empty)})
    assert codes(layout, blocks={"home": 1}) == []
    assert codes(layout, touch=[("home", "gifts")]) == ["blocks-parted"]
