"""Wishes one by one: what clashes is named, and eased by no more than it must be."""

from __future__ import annotations

import itertools
from typing import Any

import pytest

from shopfit.model.options import SolveOptions
from shopfit.model.progress import Clash
from shopfit.model.range import Line
from shopfit.model.scenario import Scenario
from shopfit.solver.explain import explain
from shopfit.solver.wishes import wishes
from shopfit.stopping import StopFlag

from . import build as b


def clash(given: Scenario) -> Clash:
    told = explain(given, SolveOptions(seconds=5, workers=1), StopFlag())
    assert told.proved
    return told


def eased(told: Clash) -> dict[str, str]:
    return {change.wish: change.change for change in told.changes}


def test_a_number_that_must_not_be_passed():
    """One cabinet holds 20 jars, and no second one is allowed: that clashes with 30 jars."""

    def allowed(most: int) -> Scenario:
        wanted = [{"kind": "base-cabinet", "at_most": most}]
        return b.scenario([b.line(min_facings=30)], brief={"wanted": wanted})

    told = clash(allowed(1))
    assert set(told.wishes) == {"at least 30 facings of jar", "no more than 1 of base-cabinet"}
    assert eased(told)["no more than 1 of base-cabinet"] == "allow 2 instead of 1"
    assert b.run(allowed(2)).outcome == "layout"


@pytest.mark.parametrize(("owned", "had"), [(0, 1), (1, 1), (1, 0)])
def test_what_can_be_had_of_a_fixture(owned: int, had: int):
    """Owned ones and those to be bought are counted together."""
    given = b.scenario([b.line(min_facings=41)], [b.fixture(available=had, owned=owned)])
    told = clash(given)
    now = f"{owned + had} of cab to be had"
    assert set(told.wishes) == {"at least 41 facings of jar", now}
    assert eased(told)[now] == f"have 3 instead of {owned + had}"


@pytest.mark.parametrize(
    ("pack", "words"), [(1, "0 sheets of sheet to be had"), (2, "0 packs of sheet to be had")]
)
def test_what_can_be_had_of_slat_wall(pack: int, words: str):
    """What hangs has no place without a sheet."""
    hook = {"id": "hook", "kind": "hook", "depth": b.mm(100.0), "load": "5 kg", "price": 1}
    sheet = {**b.SHEET, "available": 0, "pack": pack}
    bag = b.line("bag", ways=["hook"], depth=b.mm(20.0), min_facings=1)
    told = clash(b.scenario([bag], sheets=[sheet], brackets=[hook]))
    assert set(told.wishes) == {"at least 1 facing of bag", words}
    assert eased(told)[words] == "have 1 instead of 0"


@pytest.mark.parametrize("within", [100.0, 1000.0])
def test_new_goods_too_near_the_entrance(within: float):
    """The least distance told has a face for them, and half a foot less has none."""

    def near(size: float) -> Scenario:
        rules = {"new_within": b.mm(size)}
        jar = b.line(new=True, min_facings=1)
        return b.scenario([jar], brief={"merchandising": rules}, units="mm")

    told = clash(near(within))
    wish = f"new goods within {within:.0f} mm of the entrance"
    assert set(told.wishes) == {"at least 1 facing of jar", wish}
    least = float(eased(told)[wish].removeprefix("make it ").removesuffix(" mm"))
    assert b.run(near(least + 1.0)).outcome == "layout"
    assert b.run(near(least - 153.0)).outcome == "no layout"


def test_heavy_goods_that_end_too_low():
    """A jar wants four levels over the lowest shelf at 100 mm, so it ends at 300 mm."""

    def ending(top: float) -> Scenario:
        rules = {"heavy_over": "1 kg", "heavy_top": b.mm(top)}
        jar = b.line(weight="2 kg", min_facings=1)
        return b.scenario([jar], brief={"merchandising": rules}, units="mm")

    told = clash(ending(250.0))
    heavy = "goods over 1.00 kg no higher than 250 mm"
    assert set(told.wishes) == {"at least 1 facing of jar", heavy}
    # Four half inches, of which three are not enough.
    assert eased(told)[heavy] == "let them reach 301 mm"
    assert b.run(ending(300.0)).outcome == "layout"
    assert b.run(ending(299.0)).outcome == "no layout"


def pair(**changes: Any) -> list[Line]:
    return [b.line("mug", min_facings=2), b.line("jar", **changes)]


@pytest.mark.parametrize(
    ("jars", "changes"),
    [(98, []), (99, ["98 facings instead of 99"]), (200, ["98 facings instead of 200"])],
)
def test_the_most_facings_that_can_be_had(jars: int, changes: list[str]):
    """Five cabinets of 20 facings, two of which are mugs', have 98 for jars; mugs are not named."""
    given = b.scenario(pair(min_facings=jars))
    told = explain(given, SolveOptions(seconds=5, workers=1), StopFlag())
    named = [change.change for change in told.changes if change.wish.endswith("of jar")]
    assert named == changes
    assert told.proved is bool(changes)


def test_the_most_units_that_can_be_had():
    """Four jars stand behind one another, so the 18 facings beside the mugs hold 72."""
    told = clash(b.scenario(pair(holding=73), [b.fixture(available=1)]))
    assert eased(told)["at least 73 units of jar held"] == "72 units held instead of 73"


def test_facings_and_units_are_eased_in_step_where_neither_is_enough():
    """Twice as many facings as there are, and twice as many units: both are cut."""
    told = clash(b.scenario(pair(min_facings=36, holding=144), [b.fixture(available=1)]))
    wish = "at least 36 facings of jar and 144 units held"
    assert eased(told)[wish] == "18 facings instead of 36 and 72 units held instead of 144"


def test_a_line_that_has_no_place_at_all_is_given_up():
    """What is higher than any face cannot be eased."""
    told = clash(b.scenario(pair(height=b.mm(900.0), min_facings=1)))
    assert told.wishes == ("at least 1 facing of jar",)
    assert eased(told) == {"at least 1 facing of jar": "give it up"}


def test_many_lines_are_told_as_their_category_and_cut_alike():
    """Six lines of 20 facings have place for 100: at 84 % each wants 16, at 85 % it wants 17."""
    lines = [b.line(f"jar {k}", min_facings=20) for k in range(6)]
    told = clash(b.scenario(lines))
    wish = "the minimums of goods (120 facings, 0 units held)"
    assert wish in told.wishes
    assert eased(told)[wish] == "cut each to 84 % of it"


def test_the_one_secured_line_that_has_no_case_is_named():
    """Of two secured lines one is too high for the case, but not for the shelf."""
    lines = [
        b.line("ring", ways=["case"], secured=True, min_facings=1),
        b.line("vase", ways=["shelf", "case"], secured=True, min_facings=1, height=b.mm(300.0)),
    ]
    case = b.fixture("case", kind="glass-case", faces=[b.face("case", top=b.mm(350.0))])
    told = clash(b.scenario(lines, [b.fixture(), case]))
    assert set(told.wishes) == {"at least 1 facing of vase", "vase secured in a glass case"}


def test_the_one_line_that_has_no_row_in_its_band_is_named():
    """Of two lines that ask for a band only the high one has no row there."""
    band = {"id": "low", "bottom": b.mm(100.0), "top": b.mm(250.0)}
    lines = [
        b.line("jar", band="low", min_facings=1),
        b.line("vase", band="low", min_facings=1, height=b.mm(400.0)),
    ]
    told = clash(b.scenario(lines, brief={"bands": [band]}))
    assert set(told.wishes) == {"at least 1 facing of vase", "the height band low for vase"}


def test_like_pins_are_two_wishes():
    """To give up one of two pins that are alike leaves the other."""
    keep = [{"fixture": "cab", "wall": "N", "offset": b.mm(0.0)}] * 2
    given = b.scenario(pins={"keep": keep})
    pins = [wish for wish in wishes(given) if wish.pin is not None]
    assert [len(wish.drop(given).pins.keep) for wish in pins] == [1, 1]


@pytest.mark.parametrize("budget", [0.0, 0.2, 999.0, 2000.0, 123_456.78])
def test_money_is_raised_by_small_steps(budget: float):
    """Each amount is at most 1 % over the one before, up to a thousand times the budget."""
    given = b.scenario(brief={"budget": budget})
    (money,) = (wish for wish in wishes(given) if "budget" in wish.words)
    (way,) = money.ways(given)
    amounts = [easing.make().brief.budget or 0.0 for easing in way]
    assert amounts[0] > budget
    assert all(low < high <= low * 1.0101 for low, high in itertools.pairwise(amounts))
    assert amounts[-1] >= 1000 * budget


def test_dropping_each_wish_takes_it_away(kiosk: Scenario):
    """Every wish of the demo can be dropped, and is then no longer among the wishes."""
    for wish in wishes(kiosk):
        without = wish.drop(kiosk)
        assert wish.words not in [other.words for other in wishes(without)]


def test_parts_dropped_together_are_the_whole(kiosk: Scenario):
    """What a wish is split into is no less than the wish."""
    for wish in wishes(kiosk):
        less = kiosk
        for part in wish.split():
            less = part.drop(less)
        assert less in (kiosk, wish.drop(kiosk))


def test_easings_grow(kiosk: Scenario):
    """Each easing is another scenario, told in its own words, and the last one eases most."""
    for wish in wishes(kiosk):
        for way in wish.ways(kiosk):
            assert way
            assert len({easing.words for easing in way}) == len(way)
            assert [easing.part for easing in way] == sorted(easing.part for easing in way)
            assert kiosk not in (way[0].make(), way[-1].make())
