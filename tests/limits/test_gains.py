"""Which limits are moved, and what a change is said to gain."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from solver import build as b

from shopfit.files.layouts import fingerprint
from shopfit.limits.easings import Easing, easings
from shopfit.limits.gains import Gain, Known, gain, ranked, shared, verdict
from shopfit.limits.run import run_limits
from shopfit.model.finding import Finding
from shopfit.model.layout import Claims, Layout, Placement
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Solution
from shopfit.model.proof import Proof
from shopfit.model.scenario import Scenario
from shopfit.planning import Plan
from shopfit.stopping import StopFlag
from shopfit.sweep.work import Answer, meets

QUICK = SolveOptions(seconds=0.5, workers=1)


def shop(**changes: Any) -> Scenario:
    """Give a shop in which every kind of limit is there."""
    panel = {"id": "panel", "kind": "panelboard", "wall": "W", "offset": b.mm(1200.0)}
    panel |= {"width": b.mm(400.0), "bottom": b.mm(1200.0), "top": b.mm(1900.0)}
    parts: dict[str, Any] = {
        "lines": [b.line(min_facings=2, max_facings=40), b.line("pot", category="clay")],
        "fixtures": [b.fixture(available=1, owned=1), b.fixture("box", price=60)],
        "sheets": [{**b.SHEET, "available": 3}],
        "brief": {
            "aisle": b.mm(1000.0),
            "budget": 450,
            "wanted": [{"fixture": "box", "at_least": 1, "at_most": 1}],
        },
        "obstructions": [panel],
        "pins": {
            "keep": [{"fixture": "cab", "wall": "N", "offset": b.mm(2000.0)}],
            "clear": [{"id": "prams", "corners": b.box(100.0, 100.0, 500.0, 500.0)}],
        },
        "units": "mm",
        **changes,
    }
    return b.scenario(**parts)


def placed(*fixtures: str, facings: int = 10, cost: float = 300.0, **proof: Any) -> Layout:
    """Give a layout that counts fixtures and claims something."""
    told = {"status": "within gap", "objective": float(facings), "bound": 20.0, "gap": 0.5}
    return Layout(
        scenario="nook",
        placements=tuple(
            Placement(id=f"F{n}", fixture=name, x_mm=0.0, y_mm=0.0, angle_deg=0.0)
            for n, name in enumerate(fixtures)
        ),
        claims=Claims(facings=facings, units=facings, value=float(facings), cost=cost),
        proof=Proof(**{**told, "grid": "", "rules": "", "step_mm": 1.0, "candidates": 1, **proof}),
    )


def found(scenario: Scenario, layout: Layout) -> dict[str, Easing]:
    """Give the easings by their words."""
    return {each.words: each for each in easings(scenario, layout)}


def test_every_limit_is_moved_once() -> None:
    """Sheets, walls, aisle, panelboard, money, stock, wishes, minimums and pins, each by itself."""
    given_, layout = shop(), placed("cab", "cab", "box")
    moved = found(given_, layout)
    assert set(moved) == {
        "1 sheet more of sheet, 4 in all",
        "300 mm more of room: W and E",
        "300 mm more of room: N and S",
        "an aisle of 950 mm instead of 1000 mm",
        "panel at 181 mm on N instead",
        "panel at 2131 mm on S instead",
        "USD 100.00 more to spend",
        "USD 100.00 less to spend",
        "1 more of cab to be had, 3 in all",
        "up to 2 of box instead of 1",
        "no need of box instead of at least 1",
        "no minimums for goods",
        "cab not pinned (pin 1)",
        "the floor 'prams' not kept empty",
    }
    for easing in moved.values():
        assert fingerprint(easing.scenario) != fingerprint(given_)
    assert moved["USD 100.00 more to spend"].scenario.brief.budget == 550
    assert moved["USD 100.00 less to spend"].scenario.brief.budget == 350
    assert moved["USD 100.00 less to spend"].tighter
    (panel,) = moved["panel at 181 mm on N instead"].scenario.shop.obstructions
    assert (panel.wall, panel.offset) == ("N", 181.0)
    assert moved["cab not pinned (pin 1)"].scenario.pins.keep == ()
    assert moved["no minimums for goods"].scenario.lines[0].min_facings == 0


def test_what_is_not_used_up_is_left_alone() -> None:
    """Stock to spare, numbers not reached and a shop without a budget are no limits."""
    spare = shop(brief={"aisle": b.mm(1000.0)}, sheets=[b.SHEET], obstructions=[], pins={})
    words = set(found(spare, placed("cab", "box", "box")))
    assert not {each for each in words if "cab" in each or "spend" in each or "sheet" in each}
    assert not {each for each in words if "panel" in each}


@pytest.mark.parametrize(
    ("aisle", "units", "expected"),
    [
        (914.4, "mm", None),
        (930.0, "mm", "an aisle of 914 mm instead of 930 mm"),
        (964.4, "mm", "an aisle of 914 mm instead of 964 mm"),
        (1016.0, "ft-in", "an aisle of 3' 2\" instead of 3' 4\""),
    ],
)
def test_an_aisle_is_never_eased_under_the_published_width(
    aisle: float, units: str, expected: str | None
) -> None:
    """Two inches or 50 mm less, down to the 36 in (914.4 mm) of a route, and not under it."""
    given_ = shop(brief={"aisle": b.mm(aisle)}, units=units)
    words = [each.words for each in easings(given_, placed()) if each.kind == "aisle"]
    assert words == ([expected] if expected else [])


def test_less_money_starts_from_the_layout_only_where_that_is_paid_for() -> None:
    """A layout that costs what is left exactly is a start; one a cent dearer is none."""
    words = "USD 100.00 less to spend"
    assert found(shop(), placed(cost=350.0))[words].start is not None
    assert found(shop(), placed(cost=350.01))[words].start is None
    poor = shop(brief={"aisle": b.mm(1000.0), "budget": 99})
    assert words not in found(poor, placed())


@pytest.mark.parametrize(
    ("least", "most", "tighter", "told"),
    [
        (1.0, 4.0, False, "gain proved"),
        (0.0, 4.0, False, "within the noise of the search"),
        (-2.0, 4.0, False, "within the noise of the search"),
        (0.0, 0.0, False, "proved to gain nothing"),
        (None, 0.0, False, "proved to gain nothing"),
        (None, -1.0, False, "loss proved"),
        (-3.0, -1.0, True, "loss proved"),
        (-3.0, 0.0, True, "within the noise of the search"),
        (0.0, 0.0, True, "proved to lose nothing"),
        (None, None, False, "not known"),
        (None, 3.0, False, "within the noise of the search"),
    ],
)
def test_a_verdict_says_no_more_than_the_bounds(
    least: float | None, most: float | None, tighter: bool, told: str
) -> None:
    """Only an interval wholly over or under nought proves a gain or a loss."""
    assert verdict(least, most, tighter) == told


def eased(kind: str = "aisle", **more: Any) -> Easing:
    """Give some easing."""
    scenario = shop()
    return Easing(**{"kind": kind, "words": kind, "scenario": scenario, "start": None, **more})


def ended(**more: Any) -> Answer:
    """Give some answer."""
    return Answer("x", "x", "layout", placed(**more))


def test_a_gain_is_an_interval_where_nothing_is_proved() -> None:
    """10 to 12 before and 14 to 15 after: at least 2 and at most 5 are gained, 4 were found."""
    told = gain(eased(), Known(10.0, 12.0), Known(14.0, 15.0), ended())
    assert (told.least, told.most, told.found, told.verdict) == (2.0, 5.0, 4.0, "gain proved")
    told = gain(eased(), Known(10.0, 12.0), Known(11.0, 15.0), ended())
    assert (told.least, told.most, told.found) == (0.0, 5.0, 1.0)
    assert told.verdict == "within the noise of the search"
    told = gain(eased(), Known(10.0, 10.0), Known(10.0, 10.0), ended())
    assert told.verdict == "proved to gain nothing"
    # A wall that grows moves the positions tried, so less may be found, and that is said too.
    told = gain(eased(nested=False), Known(10.0, 12.0), Known(9.0, 15.0), ended())
    assert (told.least, told.most, told.found) == (-3.0, 5.0, -1.0)


def test_what_is_known_of_one_problem_tells_of_the_others() -> None:
    """A bound after easing holds before it; a layout for less money is one for the whole."""
    tried = [
        (eased(), Known(11.0, 13.0)),
        (eased(), Known(8.0, 20.0)),
        (eased(nested=False), Known(9.0, 11.5)),
        (eased(tighter=True), Known(10.5, 12.0)),
    ]
    now, after = shared(Known(10.0, 14.0), tried)
    assert now == Known(10.5, 13.0)
    assert after == [Known(11.0, 13.0), Known(10.5, 20.0), Known(9.0, 11.5), Known(10.5, 12.0)]


def test_a_bound_holds_elsewhere_for_the_same_positions_only() -> None:
    """Islands in lanes stand on others with another aisle: the bound there says nothing here."""
    here, there = Known(10.0, 14.0, "lanes 60 in apart"), Known(11.0, 13.0, "lanes 58 in apart")
    now, after = shared(here, [(eased(), there)])
    assert now == here
    assert after == [there]
    tight = Known(9.0, 20.0, "lanes 62 in apart")
    assert shared(here, [(eased(tighter=True), tight)])[1] == [tight]


def test_a_layout_beyond_a_bound_leaves_none() -> None:
    """What stands off the positions of a bound shows that it does not hold for all layouts."""
    found = Known(15.0, 16.0, "other lanes")
    now, _ = shared(Known(10.0, 14.0, "lanes"), [(eased(tighter=True), found)])
    assert (now.least, now.most) == (15.0, None)


numbers = st.one_of(st.none(), st.integers(0, 20).map(float))


@given(st.integers(0, 9), st.integers(0, 9), numbers, numbers, numbers, numbers, st.booleans())
def test_an_interval_holds_the_true_gain(
    best: int,
    more: int,
    under: float | None,
    over: float | None,
    then_under: float | None,
    then_over: float | None,
    tighter: bool,
) -> None:
    """Whatever two searches found and proved, the gain of the true best lies in between."""
    then_best = max(0, best - more) if tighter else best + more
    now = Known(None if under is None else best - under, None if over is None else best + over)
    then = Known(
        None if then_under is None else then_best - then_under,
        None if then_over is None else then_best + then_over,
    )
    easing = eased(tighter=tighter)
    now, (then,) = shared(now, [(easing, then)])
    told = gain(easing, now, then, ended())
    assert told.least is None or told.least <= then_best - best
    assert told.most is None or told.most >= then_best - best
    if told.verdict == "gain proved":
        assert then_best > best
    if told.verdict == "loss proved":
        assert then_best < best
    if told.verdict in ("proved to gain nothing", "proved to lose nothing"):
        assert then_best == best


def test_gains_are_ranked_by_what_is_proved_then_by_what_was_found() -> None:
    """A small proved gain comes before a large one that may be noise; no layout comes last."""

    def made(name: str, least: float | None, found_: float | None, most: float | None) -> Gain:
        told = {"least": least, "found": found_, "most": most}
        return Gain(kind="aisle", change=name, status="layout", **told)

    gains = [
        made("none", None, None, None),
        made("loss", -5.0, -3.0, -1.0),
        made("noise", 0.0, 9.0, 12.0),
        made("small", 1.0, 1.0, 2.0),
        made("large", 4.0, 5.0, 6.0),
        made("nothing", 0.0, 0.0, 0.0),
    ]
    names = [each.change for each in ranked(gains)]
    assert names == ["large", "small", "noise", "nothing", "loss", "none"]


class Fake:
    """Stands for the solve: as many facings as a tenth of the budget, with a bound of five more."""

    def __init__(self) -> None:
        self.asked: list[Scenario] = []
        self.lost = False
        self.luck = 0
        # Where a panelboard has to be for the luck; anywhere if empty.
        self.lucky = ""

    def __call__(
        self,
        scenario: Scenario,
        options: SolveOptions,
        *,
        stop: StopFlag,
        start: Layout | None = None,
    ) -> Plan:
        """Answer with a layout of nothing."""
        self.asked.append(scenario)
        if self.lost:
            return Plan(scenario, Solution(outcome="no layout"))
        facings = int((scenario.brief.budget or 0) / 10)
        panels = [each.wall for each in scenario.shop.obstructions]
        lucky = self.lucky in ("", *panels)
        facings += self.luck if len(self.asked) > 1 and lucky else 0
        cost = scenario.brief.budget or 0.0
        layout = placed("cab", facings=facings, bound=facings + 5.0, cost=cost)
        layout = layout.model_copy(update={"fingerprint": fingerprint(scenario)})
        return Plan(scenario, Solution(outcome="layout", layout=layout), layout)


@pytest.fixture
def fake(monkeypatch: pytest.MonkeyPatch) -> Fake:
    """Put a fake in the place of the solve, and let the budget be all that is checked."""
    too_dear = Finding(code="budget", severity="violation", subject="brief", message="too dear")

    def check(scenario: Scenario, layout: Layout) -> tuple[Finding, ...]:
        return () if layout.claims.cost <= (scenario.brief.budget or 0.0) else (too_dear,)

    made = Fake()
    monkeypatch.setattr("shopfit.planning.solve", made)
    monkeypatch.setattr("shopfit.checks.check", check)
    return made


def test_limits_are_solved_ranked_and_written(fake: Fake, tmp_path: Path) -> None:
    """The shop is solved as it is, then with each change; lists come out in order."""
    report = run_limits(shop(), QUICK, out=tmp_path, only=("money", "aisle"), processes=0)
    assert report.now.worth == 45.0
    assert [(one.change, one.found, one.verdict) for one in report.gains] == [
        ("USD 100.00 more to spend", 10.0, "gain proved"),
        ("an aisle of 950 mm instead of 1000 mm", 0.0, "within the noise of the search"),
        ("USD 100.00 less to spend", -10.0, "loss proved"),
    ]
    assert len(fake.asked) == 4
    rows = list(csv.DictReader(io.StringIO((tmp_path / "gains.csv").read_text())))
    assert [row["Gain at least"] for row in rows] == ["5", "0", "-15"]
    data = json.loads((tmp_path / "gains.json").read_text())
    assert data["now"] == {"worth": 45.0, "bound": 50.0}
    assert [one["most"] for one in data["gains"]] == [15.0, 5.0, -5.0]
    again = run_limits(shop(), QUICK, out=tmp_path, only=("money", "aisle"), processes=0)
    assert len(fake.asked) == 4
    assert again.gains == report.gains


def test_luck_is_no_gain(fake: Fake) -> None:
    """A better layout found after a change, that needs no change, is had now as well."""
    fake.luck = 3
    report = run_limits(shop(), QUICK, only=("aisle", "money"), processes=0)
    assert report.now.worth == 48.0
    found_ = {one.change: (one.now, one.found) for one in report.gains}
    assert found_["an aisle of 950 mm instead of 1000 mm"] == (48.0, 0.0)
    assert found_["USD 100.00 more to spend"] == (48.0, 10.0)


def test_a_proved_layout_is_not_solved_again(fake: Fake) -> None:
    """A layout given with its proof stands for the shop as it is; another one is only a start."""
    given_ = shop()
    proved = placed("cab", facings=46, bound=46.0, status="proved", gap=0.0)
    proved = proved.model_copy(update={"fingerprint": fingerprint(given_)})
    report = run_limits(given_, QUICK, proved, only=("money",), processes=0)
    assert len(fake.asked) == 2
    assert report.now.layout == proved
    assert report.gains[0].least == 9.0
    strange = proved.model_copy(update={"fingerprint": "0" * 64})
    report = run_limits(given_, QUICK, strange, only=("aisle",), processes=0)
    assert len(fake.asked) == 4
    # It claims 46 facings and is kept, but its proof was for another shop: 50 is the bound here.
    assert (report.now.worth, report.now.bound) == (46.0, 50.0)


@pytest.mark.parametrize(("lucky", "place"), [("N", "181 mm on N"), ("S", "2131 mm on S")])
def test_of_the_places_of_a_panelboard_the_best_is_told(fake: Fake, lucky: str, place: str) -> None:
    """Two places are solved, and the one that gains more stands for both."""
    fake.luck, fake.lucky = 3, lucky
    report = run_limits(shop(), QUICK, only=("panelboard",), processes=0)
    assert len(fake.asked) == 3
    (one,) = report.gains
    assert one.change == f"panel at {place} instead, the best of 2 places tried"
    assert one.then == 48.0
    assert report.fixed_panels == ()


def test_a_panelboard_that_fits_nowhere_else_is_named(fake: Fake) -> None:
    """A column that fills the room but for a strip leaves no clear floor, and that is said."""
    column = {"id": "post", "at": b.mm(1845.0, 1500.0), "size": b.mm(2290.0, 2980.0)}
    report = run_limits(shop(columns=[column]), QUICK, only=("panelboard",), processes=0)
    assert report.fixed_panels == ("panel",)
    assert report.gains == ()
    assert run_limits(shop(), QUICK, only=("aisle",), processes=0).fixed_panels == ()


def test_a_shop_without_a_layout_has_no_gains(fake: Fake) -> None:
    """Where nothing fits there is nothing to compare with."""
    fake.lost = True
    report = run_limits(shop(), QUICK, processes=0)
    assert report.now.status == "no layout"
    assert report.gains == ()
    assert len(fake.asked) == 1


def test_walls_that_cannot_grow_are_named(fake: Fake) -> None:
    """A column across the whole room leaves no line that way, and that is said."""
    column = {"id": "post", "at": b.mm(1500.0, 1500.0), "size": b.mm(2990.0, 100.0)}
    report = run_limits(shop(columns=[column]), QUICK, only=("wall",), processes=0)
    assert report.fixed_walls == ("N", "S")
    assert [one.change for one in report.gains] == ["300 mm more of room: W and E"]
    assert run_limits(shop(), QUICK, only=("aisle",), processes=0).fixed_walls == ()


def test_a_shop_that_shows_all_it_may_is_told_so(fake: Fake) -> None:
    """Where the range itself is the limit, nothing else can gain."""
    few = shop(lines=[b.line(max_facings=45)])
    assert run_limits(few, QUICK, only=("money",), processes=0).full
    more = shop(lines=[b.line(max_facings=46)])
    assert not run_limits(more, QUICK, only=("money",), processes=0).full


def test_a_stop_leaves_changes_out_and_names_them(fake: Fake) -> None:
    """What was not solved is said, and what was is judged."""
    stop = StopFlag()

    def told(settled: Any, count: int) -> None:
        if count:
            stop.request()

    report = run_limits(shop(), QUICK, only=("money",), processes=0, stop=stop, told=told)
    assert [one.change for one in report.gains] == ["USD 100.00 more to spend"]
    assert report.undone == ("USD 100.00 less to spend",)


def test_more_stock_gains_in_a_real_solve() -> None:
    """One cabinet shows 20 jars, a second 20 more: the gain of the second is found and proved."""
    given_ = b.scenario(
        lines=[b.line(max_facings=40)],
        fixtures=[b.fixture(available=1)],
        brief={"aisle": b.mm(950.0)},
    )
    report = run_limits(given_, QUICK, only=("fixture",), processes=0)
    (told,) = report.gains
    assert told.change == "1 more of cab to be had, 2 in all"
    assert (told.now, told.then, told.least, told.most) == (20.0, 40.0, 20.0, 20.0)
    assert told.verdict == "gain proved"
    assert report.now.layout is not None
    assert meets(given_, report.now.layout)
    assert replace(report.now, violations=1).sound is False
