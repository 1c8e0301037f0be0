"""Why nothing fits: the smallest clash, the least changes, and no false alarm."""

from __future__ import annotations

from typing import Any, ClassVar

import pytest

from shopfit.files.scenario import load_scenario
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Clash
from shopfit.model.scenario import Scenario
from shopfit.solver import judging
from shopfit.solver.explain import explain, unmet
from shopfit.solver.judging import Judge
from shopfit.stopping import StopFlag

from . import build as b


def clash(given: Scenario, stop: StopFlag | None = None) -> Clash:
    return explain(given, SolveOptions(seconds=5, workers=1), stop or StopFlag())


@pytest.fixture(scope="module")
def impossible(request: pytest.FixtureRequest) -> Scenario:
    """Give the demo with impossible wishes."""
    folder = request.getfixturevalue("kiosk_folder")
    return load_scenario(folder.parent / "market-kiosk-impossible")


@pytest.fixture(scope="module")
def told(impossible: Scenario) -> Clash:
    """Explain the demo once."""
    return clash(impossible)


def test_the_demos_three_wishes_are_named(told: Clash):
    """The demo's own comment derives by hand that exactly these three clash."""
    assert told.proved
    assert set(told.wishes) == {
        "1 of counter",
        "at least 2 of glass-case",
        "an aisle of 4' 0\"",
    }
    assert all(wish in told.reason for wish in told.wishes)


def test_the_demos_least_changes(told: Clash):
    """By the comment's arithmetic: one case, no counter, or an aisle of 40 in."""
    assert {change.wish: change.change for change in told.changes} == {
        "1 of counter": "none",
        "at least 2 of glass-case": "want 1 instead of 2",
        "an aisle of 4' 0\"": "make it 3' 4\"",
    }


def test_few_positions_first_change_nothing(
    impossible: Scenario, told: Clash, monkeypatch: pytest.MonkeyPatch
):
    """Where there are many positions a few are asked first: wishes and changes are the same."""
    monkeypatch.setattr(judging, "_MANY_POSITIONS", 0)
    assert clash(impossible) == told


def test_each_change_helps_and_less_does_not(impossible: Scenario):
    """With an aisle of 40 in a layout is found; a sixteenth more, and there is none."""
    brief = impossible.brief
    for aisle, found in ((40 * 25.4, "layout"), (40.0625 * 25.4, "no layout")):
        shop = impossible.shop.model_copy(
            update={"brief": brief.model_copy(update={"aisle": aisle})}
        )
        given = impossible.model_copy(update={"shop": shop})
        assert b.run(given).outcome == found


def wanted(number: int, **more: Any) -> dict[str, Any]:
    return {"wanted": [{"fixture": "cab", "at_least": number}], **more}


def test_a_budget_clash():
    """Three cabinets at 100 want 300; with 200 the least raise of whole percents is named."""
    given = b.scenario(brief=wanted(3, budget=200.0))
    told = clash(given)
    assert told.proved
    assert set(told.wishes) == {"a budget of 200 USD", "at least 3 of cab"}
    changes = {change.wish: change.change for change in told.changes}
    assert changes["at least 3 of cab"] == "want 2 instead of 3"
    assert changes["a budget of 200 USD"] == "raise it to at least 300 USD"
    assert "Sheets and packs are bought whole" in told.reason
    assert b.run(b.scenario(brief=wanted(3, budget=300.0))).outcome == "layout"
    assert b.run(b.scenario(brief=wanted(3, budget=299.0))).outcome == "no layout"


def test_a_budget_far_too_small():
    """What is thirty times as much as there is, is found as near."""
    changes = clash(b.scenario(brief=wanted(3, budget=10.0))).changes
    assert "raise it to at least 300 USD" in [change.change for change in changes]


def test_a_counter_that_has_no_place():
    """No staff zone, so no edge for a divider: the counter alone is named, and nothing else."""
    counter = b.fixture("till", kind="counter", stands=["divider"], faces=[])
    given = b.scenario(
        fixtures=[b.fixture(), counter], brief={"wanted": [{"kind": "counter", "at_least": 1}]}
    )
    told = clash(given)
    assert told.proved
    assert told.wishes == ("at least 1 of counter",)
    assert [change.change for change in told.changes] == ["none"]


@pytest.mark.parametrize(
    ("zone", "changes"),
    [
        (1719.0, ["at least 1 of counter"]),
        (1720.0, ["at least 1 of counter", "door back opening inward"]),
        (2023.0, ["at least 1 of counter", "door back opening inward"]),
        (2024.0, []),
    ],
)
def test_a_door_that_leaves_no_floor_for_a_counter_is_named(zone: float, changes: list[str]):
    """Behind a counter 500 mm deep it wants 1524 mm if it opens inward, and 1219.2 outward."""
    counter = b.fixture("till", kind="counter", width=b.mm(1600.0), stands=["divider"], faces=[])
    back = {"id": "back", "wall": "N", "offset": b.mm(1050.0), "width": b.mm(900.0)}
    back |= {"height": b.mm(2100.0), "use": "staff", "swing": "in", "latch": False}
    corners = b.box(0.0, 4000.0 - zone, 3000.0, 4000.0)
    given = b.scenario(
        fixtures=[b.fixture(), counter],
        depth=4000.0,
        brief={"wanted": [{"kind": "counter", "at_least": 1}]},
        doors=[b.shop()["doors"][0], back],
        zones=[{"id": "staff", "kind": "staff", "corners": corners}],
    )
    told = clash(given)
    assert told.proved is bool(changes)
    assert [change.wish for change in told.changes] == changes


def test_more_than_the_room_holds():
    """Five cabinets go into the room; wanting seven alone is impossible, five is the mend."""
    told = clash(b.scenario(brief=wanted(7)))
    assert told.proved
    assert told.wishes == ("at least 7 of cab",) or told.wishes == (
        "at least 7 of cab",
        "an aisle of 900 mm",
    )
    assert ("at least 7 of cab", "want 5 instead of 7") in [
        (change.wish, change.change) for change in told.changes
    ]


def test_pins_that_overlap():
    """Two fixtures pinned onto each other are both named, and giving up either helps."""
    keep = [{"fixture": "cab", "wall": "N", "offset": b.mm(x)} for x in (0.0, 500.0)]
    told = clash(b.scenario(pins={"keep": keep}))
    assert told.proved
    assert len(told.wishes) == len(told.changes) == 2
    assert all("pinned" in wish for wish in told.wishes)


def test_minimums_that_need_more_face_than_there_is():
    """One cabinet holds 20 jars at most; 30 are wanted: both are named."""
    given = b.scenario(
        [b.line(min_facings=30), b.line("mug", category="mugs")],
        [b.fixture(available=1)],
    )
    told = clash(given)
    assert told.proved
    assert set(told.wishes) == {"at least 30 facings of jar", "1 of cab to be had"}
    assert {change.change for change in told.changes} == {
        "20 facings instead of 30",
        "have 2 instead of 1",
    }


def test_secured_lines_without_a_case():
    """What must be locked up has no place where no glass case is to be had."""
    line = b.line(ways=["shelf", "case"], secured=True, min_facings=1)
    told = clash(b.scenario([line]))
    assert told.proved
    assert len(told.wishes) == 2
    assert any("secured" in wish for wish in told.wishes)


@pytest.mark.parametrize(
    "brief",
    [
        {},
        wanted(5),
        wanted(3, budget=300.0),
        {"wanted": [{"kind": "base-cabinet", "at_least": 1, "at_most": 1}]},
    ],
)
def test_a_possible_scenario_is_never_called_impossible(brief: dict[str, Any]):
    """Where a layout exists, no clash is proved and no wish is blamed."""
    given = b.scenario([b.line(min_facings=4, holding=10)], brief=brief)
    told = clash(given)
    assert not told.proved
    assert told.wishes == ()
    assert told.changes == ()
    assert b.run(given).outcome == "layout"


def test_the_possible_kiosk_is_not_blamed(kiosk: Scenario):
    """The demo that has a layout is not called impossible either."""
    told = clash(kiosk)
    assert not told.proved
    assert told.wishes == ()


def test_a_stop_leaves_the_question_open():
    """Stopped before anything was found out, the clash is not called proved."""
    stop = StopFlag()
    stop.request()
    told = clash(b.scenario(brief=wanted(9)), stop)
    assert not told.proved


def test_what_is_not_enough_alone_is_marked():
    """Two lines want the case that cannot be had: without one of them the other still does."""
    lines = [
        b.line("ring", category="rings", ways=["case"], min_facings=1),
        b.line("pin", category="pins", ways=["case"], min_facings=1),
    ]
    case = b.fixture("case", kind="glass-case", faces=[b.face("case")], available=0)
    told = clash(b.scenario(lines, [case]))
    assert told.wishes == ("at least 1 facing of pin", "0 of case to be had")
    assert told.not_alone == ("at least 1 facing of pin",)
    assert [change.change for change in told.changes] == ["have 1 instead of 0"]
    assert "is not enough" not in told.reason


def test_all_that_is_not_enough_alone_is_said_in_the_reason():
    """Two pins lie over one another, and seven cabinets are too many: giving one up is no help."""
    keep = [{"fixture": "cab", "wall": "N", "offset": b.mm(x)} for x in (0.0, 500.0)]
    told = clash(b.scenario(pins={"keep": keep}, brief=wanted(7)))
    assert told.not_alone == told.wishes
    assert told.changes == ()
    assert told.reason.endswith("Giving it up is not enough; other wishes clash as well.")


class Scripted(Judge):
    """A judge that knows some verdicts, one after the other, and nothing from then on."""

    verdicts: ClassVar[list[bool | None]] = []

    def possible(self, scenario: Scenario, share: float = 1.0) -> bool | None:
        """Give the next verdict."""
        return self.verdicts.pop(0) if self.verdicts else None


@pytest.mark.parametrize(
    ("verdicts", "smallest"),
    [
        # There is no layout; without the one wish, that of the aisle; without the other.
        ([False, None], False),
        ([False, True, True, True], True),
    ],
)
def test_time_that_ran_out_is_not_told_as_no(
    monkeypatch: pytest.MonkeyPatch, verdicts: list[bool | None], smallest: bool
):
    """No layout stays proved where changes could not be judged, and none is said to fail."""
    monkeypatch.setattr("shopfit.solver.explain.Judge", Scripted)
    monkeypatch.setattr(Scripted, "verdicts", verdicts)
    told = clash(b.scenario(brief=wanted(7, aisle=b.mm(1200.0), staff_aisle=b.mm(700.0))))
    assert told.proved
    assert told.smallest is smallest
    assert not told.tried
    assert len(told.wishes) == 2
    assert told.not_alone == told.changes == ()
    assert "not enough" not in told.reason
    assert "not every change was tried to the end" in told.reason
    assert ("not settled whether each" in told.reason) is not smallest


def poor(lines: int) -> Scenario:
    """Want lines of as many categories as are said, and a cabinet, with 10 to spend."""
    goods = [b.line(f"l{n}", category=f"c{n}", min_facings=1) for n in range(lines)]
    return b.scenario(goods, brief=wanted(1, budget=10.0))


@pytest.mark.parametrize(("lines", "many"), [(1, False), (2, True)])
def test_too_little_money_is_told_alone_where_what_it_lacks_for_is_not_settled(
    monkeypatch: pytest.MonkeyPatch, lines: int, many: bool
):
    """With all else left open money is the one wish named; few others are named with it."""
    monkeypatch.setattr("shopfit.solver.explain.Judge", Scripted)
    # There is no layout; without the budget there is one.
    monkeypatch.setattr(Scripted, "verdicts", [False, True])
    told = clash(poor(lines))
    assert told.proved
    assert not told.smallest
    assert ("is too little for all else that is asked for" in told.reason) is many
    assert (told.wishes == ("a budget of 10 USD",)) is many
    assert "a budget of 10 USD" in told.wishes
    # Lines of the first row need no shelves: the cabinet is all that has to be paid for.
    assert told.changes[0].change == "raise it to at least 100 USD"


@pytest.mark.parametrize("lines", [1, 3])
def test_too_little_money_clashes_with_what_has_to_be_bought(lines: int):
    """Where time suffices the least clash is named: the cabinet alone costs more than there is."""
    told = clash(poor(lines))
    assert told.smallest
    assert set(told.wishes) == {"a budget of 10 USD", "at least 1 of cab"}


def test_a_pin_in_the_staff_zone_says_so():
    """The reason of a single pin names what it stands in."""
    zone = {"id": "back", "kind": "staff", "corners": b.box(0.0, 2000.0, 3000.0, 3000.0)}
    keep = [{"fixture": "cab", "wall": "N", "offset": b.mm(600.0)}]
    told = clash(b.scenario(pins={"keep": keep}, zones=[zone]))
    assert told.wishes == ("cab pinned where it stands (pin 1)",)
    assert told.reason.endswith("cannot be had: in its way is the staff zone 'back'.")
    assert [change.change for change in told.changes] == ["let it stand elsewhere"]


@pytest.mark.parametrize(
    ("budget", "told"),
    [
        (None, "narrower minimums."),
        (1040.0, "narrower minimums."),
        (1030.0, "30 USD of 1,030 USD is left."),
        (1000.0, "hardly anything of 1,000 USD is left."),
    ],
)
def test_what_may_help_where_nothing_is_known_to_clash(budget: float | None, told: str):
    """More money is named where hardly any is left of it: less than three parts of a hundred."""
    layout = b.run(b.scenario(lines=[b.line(min_facings=1)])).layout
    assert layout is not None
    assert layout.proof is not None
    *before, cost = layout.proof.stages
    assert cost.objective == "cost"
    stages = (*before, cost.model_copy(update={"value": 1000.0}))
    proof = layout.proof.model_copy(update={"stages": stages})
    given = b.scenario(brief={"budget": budget})
    clash = unmet(given, layout.model_copy(update={"proof": proof}))
    assert not clash.proved
    assert clash.reason.startswith("It is not proved that there is none")
    assert clash.reason.endswith(told)
