"""Whole searches of a bare room: repeatable, stoppable, honest about what is proved."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Clash, Progress, Solution
from shopfit.model.proof import Timing
from shopfit.model.scenario import Scenario
from shopfit.solver import choosing, refusing, search, shares
from shopfit.solver.bettering import Betterer
from shopfit.solver.candidates import positions
from shopfit.solver.choosing import FloorChooser
from shopfit.solver.effort import Purse
from shopfit.solver.fill import Filler
from shopfit.solver.filling import Filling
from shopfit.solver.floor import FloorProblem
from shopfit.solver.jointanswer import JointAnswer
from shopfit.solver.run import solve
from shopfit.solver.site import Site
from shopfit.stopping import StopFlag

from . import build as b

HOOK = {"id": "hook", "kind": "hook", "depth": b.mm(180.0), "load": "6 kg", "price": 2, "pack": 5}


def awkward(**brief: Any) -> Scenario:
    """Give a range whose widths fill no row evenly, for shelves, tables and slat-wall."""
    widths = (70.0, 110.0, 130.0, 170.0, 190.0, 230.0)
    lines = [
        b.line(
            f"{category} {n}",
            category=category,
            width=b.mm(width),
            height=b.mm(90.0 + 40.0 * n),
            min_facings=1,
            max_facings=12,
            holding=6,
            value=6 - n,
            ways=["shelf", "hook", "table"] if n % 2 else ["shelf"],
        )
        for category in ("tea", "soap")
        for n, width in enumerate(widths)
    ]
    isle = b.fixture(
        "isle",
        kind="table",
        width=b.mm(600.0),
        stands=["island"],
        faces=[
            b.face("table", side=side, bottom=b.mm(700.0), top=b.mm(1000.0), depth=b.mm(250.0))
            for side in ("front", "back")
        ],
    )
    return b.scenario(
        lines,
        [b.fixture(slat_above=True, available=3), isle],
        sheets=[b.SHEET],
        brackets=[HOOK],
        brief={"budget": 600.0, **brief},
    )


HEARD: dict[tuple[str, int], list[Progress]] = {}


@cache
def solved(objective: str = "facings", workers: int = 1) -> Solution:
    """Solve the awkward range once for each way of asking, and keep what was heard meanwhile."""
    heard = HEARD[objective, workers] = []
    return b.run(awkward(objective=objective), seconds=0.6, workers=workers, listener=heard.append)


def found(solution: Solution) -> Layout:
    assert solution.outcome == "layout"
    assert solution.layout is not None
    return solution.layout


@pytest.mark.parametrize("workers", [1, 2])
def test_equal_runs_give_equal_layouts(workers: int):
    """The same scenario, seed and budget give the same layout; only the timing differs."""
    first = found(solved(workers=workers))
    again = found(b.run(awkward(), seconds=0.6, workers=workers))
    assert first.proof is not None
    assert first.proof.repeatable
    assert first.model_copy(update={"timing": Timing()}) == again.model_copy(
        update={"timing": Timing()}
    )


@pytest.mark.parametrize("objective", ["facings", "value"])
def test_claims_are_those_of_the_blocks(objective: str):
    """Facings, units and value are the sums over the slots, and every minimum is met."""
    given, layout = awkward(objective=objective), found(solved(objective))
    slots = [slot for block in layout.blocks for row in block.rows for slot in row.slots]
    assert layout.claims.facings == sum(slot.facings for slot in slots)
    assert layout.claims.units == sum(slot.units for slot in slots)
    assert layout.claims.value == pytest.approx(
        sum(slot.facings * given.line(slot.line).value for slot in slots)
    )
    for line in given.lines:
        own = [slot for slot in slots if slot.line == line.line]
        assert line.min_facings <= sum(slot.facings for slot in own) <= line.max_facings
        assert sum(slot.units for slot in own) >= line.holding


@pytest.mark.parametrize("objective", ["facings", "value"])
def test_proof_says_what_the_layout_is_worth(objective: str):
    """Objective, bound and gap fit each other, the claims and the stages."""
    layout = found(solved(objective))
    proof, claims = layout.proof, layout.claims
    assert proof is not None
    assert proof.objective == {"facings": claims.facings, "value": claims.value}[objective]
    assert proof.bound is not None
    assert proof.gap is not None
    assert proof.objective <= proof.bound + 1e-6
    assert proof.gap == pytest.approx((proof.bound - proof.objective) / proof.bound, abs=1e-6)
    assert proof.status == ("proved" if proof.gap == 0 else "within gap")
    if objective == "facings":
        assert proof.bound == math.floor(proof.bound)
    assert (proof.seed, proof.workers, proof.effort) == (0, 1, 0.6)
    assert proof.step_mm == 300.0
    assert proof.candidates > 0
    missed, first, second, cost = proof.stages
    assert (missed.value, missed.bound) == (0, 0)
    assert (first.objective, first.value, first.bound) == (
        objective,
        proof.objective,
        proof.bound,
    )
    assert second.value == {"facings": claims.value, "value": claims.facings}[objective]
    assert second.bound is not None
    assert second.value <= second.bound <= most_of(second.objective) + 1e-6
    assert cost.bound is not None
    # Sheets, hooks and boards by the piece, and no more than the budget.
    assert 0 < cost.bound <= cost.value <= 600.0
    for stage in (second, cost):
        most = max(stage.value, stage.bound or 0.0)
        assert stage.gap == pytest.approx(abs(stage.value - (stage.bound or 0.0)) / most, abs=1e-6)


def most_of(objective: str) -> float:
    """Give all that is wanted of the range, as facings or in value."""
    each = {line: line.value if objective == "value" else 1.0 for line in awkward().lines}
    return sum(line.max_facings * worth for line, worth in each.items())


@pytest.mark.parametrize(("objective", "claims"), [("facings", (20, 20)), ("value", (8, 40))])
def test_each_objective_is_served(objective: str, claims: tuple[int, float]):
    """Two rows of ten cheap facings, or two rows of two dear and two cheap ones: 40 by value."""
    lines = [b.line("cheap"), b.line("dear", width=b.mm(400.0), value=9)]
    given = b.scenario(lines, [b.fixture(available=1)], brief={"objective": objective})
    layout = found(b.run(given))
    assert (layout.claims.facings, layout.claims.value) == claims


def test_an_even_range_is_proved():
    """Five cabinets with two rows of ten jars each: 100 facings, and no more are possible."""
    layout = found(b.run(b.scenario()))
    assert layout.claims.facings == 100
    assert layout.proof is not None
    assert (layout.proof.status, layout.proof.gap) == ("proved", 0)
    assert layout.proof.bound == 100


@pytest.mark.parametrize(("gap", "facings"), [(0.2, 72), (0.19, 90)])
def test_a_gap_that_is_good_enough_ends_the_search(gap: float, facings: int):
    """A first, coarse floor shows 72 of 90 facings: good enough for 20 %, not for 19 %."""
    given = b.scenario([b.line(width=b.mm(110.0), max_facings=100)])
    layout = found(b.run(given, gap=gap))
    assert layout.claims.facings == facings
    assert layout.proof is not None
    assert layout.proof.bound == 90


def test_the_listener_hears_of_ever_more():
    """Without a minimum missed facings never fall, bounds never rise, time never goes back."""
    layout = found(solved())
    heard = HEARD["facings", 1]
    facings = [p.facings for p in heard if p.facings is not None and p.objective is not None]
    bounds = [progress.bound for progress in heard if progress.bound is not None]
    seconds = [progress.seconds for progress in heard]
    assert facings
    assert facings == sorted(facings)
    assert facings[-1] <= layout.claims.facings
    assert bounds == sorted(bounds, reverse=True)
    assert seconds == sorted(seconds)
    assert all(p.gap is None or 0 <= p.gap <= 1 for p in heard)
    assert heard[0].facings is None


def test_a_stop_keeps_the_best():
    """Stopped at the first layout told of, that layout or a better one is handed over."""
    stop, heard = StopFlag(), []

    def listen(progress: Progress) -> None:
        if progress.facings is not None:
            heard.append(progress.facings)
            stop.request()

    solution = b.run(awkward(), seconds=4.0, listener=listen, stop=stop)
    layout = found(solution)
    assert solution.stopped
    assert layout.claims.facings >= heard[0]
    assert layout.proof is not None
    assert layout.proof.status in ("stopped", "proved")
    assert not layout.proof.repeatable
    assert layout.timing.seconds < 20


def test_a_stop_before_the_start_proves_nothing():
    """Stopped at once, there may be no layout, but nothing is called impossible."""
    stop = StopFlag()
    stop.request()
    solution = b.run(awkward(), seconds=60.0, stop=stop)
    assert solution.stopped
    assert solution.layout is not None or (solution.clash is not None and not solution.clash.proved)


def test_timing():
    """The first layout that meets every minimum comes before the end."""
    timing = found(solved()).timing
    assert timing.first_layout_seconds is not None
    assert 0 < timing.first_layout_seconds <= timing.seconds


def test_whole_facings_that_do_not_fit_are_no_proof():
    """Shelves 1000 mm wide show one tray of 600 a row: three are wanted, and the layout is short.

    Divisible facings would fit, so nothing is proved impossible and the layout says what it lacks.
    """
    tray = b.line("tray", width=b.mm(600.0), min_facings=3, max_facings=3)
    solution = b.run(b.scenario([tray], [b.fixture(available=1)]))
    layout = found(solution)
    assert layout.proof is not None
    assert layout.claims.facings == 2
    assert layout.proof.stages[0].value == 1
    assert layout.proof.status != "proved"
    assert solution.clash is not None
    assert not solution.clash.proved
    assert "more seconds may find one" in solution.clash.reason


def test_a_minimum_is_worth_more_than_any_value():
    """One table of dear goods or one shelf with a line that must be shown: the shelf it is."""
    lines = [
        b.line("must", min_facings=1, max_facings=1, value=1),
        b.line("dear", ways=["table"], value=50_000, max_facings=20),
    ]
    stand = b.fixture("stand", kind="table", faces=[b.face("table")])
    given = b.scenario(lines, [b.fixture(), stand], brief={"objective": "value", "budget": 100.0})
    layout = found(b.run(given))
    assert [p.fixture for p in layout.placements] == ["cab"]
    assert layout.claims.facings == 1


def test_nothing_worth_showing():
    """A range of which nothing may be shown gives a layout without goods, not an error."""
    layout = found(b.run(b.scenario([b.line(max_facings=0)])))
    assert layout.claims.facings == 0
    assert layout.blocks == ()
    assert layout.proof is not None
    assert layout.proof.gap == 0


def test_pinned_fixtures_are_marked():
    """What the user pinned stands where it was pinned and says so."""
    keep = {"fixture": "cab", "wall": "N", "offset": b.mm(123.0)}
    layout = found(b.run(b.scenario(pins={"keep": [keep]})))
    pinned = [p for p in layout.placements if p.pinned]
    assert [(p.wall, p.offset_mm) for p in pinned] == [("N", 123.0)]


def test_tags_run_along_the_walls():
    """Fixtures are numbered wall by wall from the left, islands last, runs and blocks likewise."""
    layout = found(solved())
    order = ["W", "N", "E", "S", None]
    places = [(order.index(p.wall), p.offset_mm or 0.0) for p in layout.placements]
    assert [p.id for p in layout.placements] == [f"F{n + 1}" for n in range(len(places))]
    assert places == sorted(places)
    assert [block.id for block in layout.blocks] == [f"B{n + 1}" for n in range(len(layout.blocks))]
    assert len({run.id for run in layout.runs}) == len(layout.runs)
    hosts = {p.id for p in layout.placements} | {run.id for run in layout.runs}
    assert {block.host for block in layout.blocks} <= hosts
    assert {run.id for run in layout.runs} <= {block.host for block in layout.blocks}


def test_nothing_is_proved_of_a_layout_that_misses_a_minimum():
    """Two trays and a bowl are wanted; whole, one tray and two bowls fit, as many as the bound.

    The bound holds for layouts that meet the minimums, so reaching it while missing one proves
    nothing.
    """
    lines = [
        b.line("tray", width=b.mm(600.0), min_facings=2, max_facings=2),
        b.line("bowl", width=b.mm(450.0), min_facings=1, max_facings=2),
    ]
    layout = found(b.run(b.scenario(lines, [b.fixture(available=1)])))
    assert layout.proof is not None
    assert layout.proof.stages[0].value == 1
    assert layout.proof.status != "proved"


@pytest.mark.parametrize(("nearly", "floors"), [(0.0, 1), (2.0, 2)])
def test_a_large_floor_that_shows_nearly_all_is_not_chosen_again(
    nearly: float, floors: int, monkeypatch: pytest.MonkeyPatch
):
    """With a coarse floor that is enough no careful one is chosen; with one that is not, it is."""
    chosen: list[float] = []
    choose = FloorChooser.choose

    def noted(
        chooser: FloorChooser, gap: float, *needed: bool
    ) -> tuple[FloorProblem, JointAnswer | None]:
        chosen.append(gap)
        return choose(chooser, gap, *needed)

    monkeypatch.setattr(FloorChooser, "choose", noted)
    monkeypatch.setattr(FloorChooser, "provable", property(lambda _: False))
    monkeypatch.setattr(shares, "NEARLY_ALL", nearly)
    solution = solve(
        awkward(budget=None),
        SolveOptions(seconds=3.0),
        listener=lambda _: None,
        stop=StopFlag(),
    )
    assert solution.layout is not None
    assert len(chosen) == floors


def test_what_a_first_floor_begins_with_is_offered_at_once(monkeypatch: pytest.MonkeyPatch):
    """Before anything is filled further there is a layout already."""
    heard: list[Progress] = []
    there: list[bool] = []
    fill = Betterer.filled

    def noted(better: Betterer, *given: Any) -> Filling:
        there.append(any(progress.facings for progress in heard))
        return fill(better, *given)

    monkeypatch.setattr(Betterer, "filled", noted)
    found(b.run(b.scenario(), seconds=3.0, listener=heard.append))
    assert there[0]


@pytest.mark.parametrize(
    ("more", "seconds"), [(0, 3.0 * shares.SOON_SHARE), (-1, shares.FIRST_SECONDS)]
)
def test_a_first_floor_is_filled_briefly_where_the_next_is_there_soon(
    more: int, seconds: float, monkeypatch: pytest.MonkeyPatch
):
    """With as many positions as are few a hundredth of the seconds is enough; with one more not."""
    scenario = awkward(budget=None)
    few, _ = positions(Site(scenario), shares.FEW_POSITIONS, shares.COARSE_STEPS)
    lent: list[float] = []
    fill = Betterer.filled

    def noted(
        better: Betterer, filler: Filler, filling: Filling, depth: Any, own: Purse
    ) -> Filling:
        lent.append(own.left)
        return fill(better, filler, filling, depth, own)

    monkeypatch.setattr(Betterer, "filled", noted)
    monkeypatch.setattr(shares, "SOON_POSITIONS", len(few) + more)
    found(b.run(scenario, seconds=3.0))
    assert lent[0] == pytest.approx(seconds)


@pytest.mark.parametrize(("far", "gain", "times"), [(0.0, 0.5, 2), (2.0, 0.5, 1), (0.0, 0.0, 1)])
def test_a_floor_is_bettered_again_where_it_gained_and_is_far_from_the_bound(
    far: float, gain: float, times: int, monkeypatch: pytest.MonkeyPatch
):
    """A small gap is not worth it, nor is a floor that hardly gained anything."""
    asked: list[float] = []

    def bettered(
        chooser: FloorChooser, answer: JointAnswer, seconds: float, stop: StopFlag
    ) -> JointAnswer:
        asked.append(seconds)
        return replace(answer, value=answer.value + gain * abs(answer.value)) if gain else answer

    monkeypatch.setattr(FloorChooser, "bettered", bettered)
    monkeypatch.setattr(FloorChooser, "relaxed_bound", lambda _: math.inf)
    monkeypatch.setattr(shares, "FAR", far)
    # As long as the bound is all that could be wanted at most, there is a gap to close.
    monkeypatch.setattr(search, "everything", lambda *_: 1e6)
    found(b.run(awkward(budget=None), seconds=3.0))
    assert len(asked) == times
    assert asked[0] == pytest.approx(shares.BETTER_SHARE * 3.0)


@pytest.mark.parametrize(
    ("few", "most", "bound", "asked"),
    [
        (1000, 2500, 1e5, ["divisible", "whole"]),
        (0, 2500, 1e5, ["whole"]),
        (0, 2500, math.inf, ["whole", "divisible"]),
        (0, 0, 1e5, ["divisible"]),
    ],
)
def test_a_bound_is_sought_once_unless_one_is_there_at_once_or_none_is_found(
    few: int, most: int, bound: float, asked: list[str], monkeypatch: pytest.MonkeyPatch
):
    """One with divisible positions takes long in larger shops, and one with whole ones is less."""
    seen: list[str] = []

    def divisible(_: FloorChooser) -> float:
        seen.append("divisible")
        return 2e5

    def whole(_: FloorChooser) -> JointAnswer:
        seen.append("whole")
        return JointAnswer(None, bound=bound)

    monkeypatch.setattr(choosing, "FEW_POSITIONS", few)
    monkeypatch.setattr(choosing, "MOST_TO_PROVE", most)
    monkeypatch.setattr(FloorChooser, "relaxed_bound", divisible)
    monkeypatch.setattr(FloorChooser, "bounded", whole)
    monkeypatch.setattr(search, "everything", lambda *_: 1e6)
    proof = found(b.run(awkward(budget=None), seconds=1.0)).proof
    assert seen == asked
    assert proof is not None
    assert proof.bound == min({"divisible": 2e5, "whole": bound}[each] for each in asked)


@pytest.mark.parametrize("proved", [True, False])
def test_a_layout_that_misses_minimums_comes_with_what_clashes(
    proved: bool, monkeypatch: pytest.MonkeyPatch
):
    """Only a proof that there is none takes the layout away; what is in the way is told with it."""
    clash = Clash(reason="too many jars", proved=proved)
    monkeypatch.setattr(refusing, "explain", lambda *_: clash)
    given = b.scenario([b.line(min_facings=30)], [b.fixture(available=1)])
    found = b.run(given)
    assert found.clash == clash
    assert (found.layout is None) is proved
    if found.layout is not None:
        assert found.layout.proof is not None
        assert found.layout.proof.missed > 0
        assert found.layout.proof.bound is None


def test_a_layout_that_misses_nothing_comes_without_what_seemed_to_clash(
    monkeypatch: pytest.MonkeyPatch,
):
    """What was asked about after a first floor is forgotten where all is met in the end."""
    asked: list[Scenario] = []

    def explain(scenario: Scenario, *_: Any) -> Clash:
        asked.append(scenario)
        return Clash(reason="No layout was found yet.", proved=False)

    monkeypatch.setattr(refusing, "explain", explain)
    monkeypatch.setattr(refusing.Refuser, "plain", lambda *_: True)
    # Without a first layout the question is asked at once.
    monkeypatch.setattr(search.Search, "_first_floor", lambda _: None)
    found = b.run(b.scenario([b.line(min_facings=4)]))
    assert len(asked) == 1
    assert found.layout is not None
    assert found.clash is None


@pytest.mark.parametrize(("low", "high", "worth"), [(340.0, 360.0, 70.0), (0.1, 0.2, 30.0)])
def test_a_row_a_level_taller_reaches_a_band_that_counts(low: float, high: float, worth: float):
    """By hand: 3, 4 and 3 levels put the middle row at 350 mm, where none of 3 levels can lie.

    Ten facings of five times the worth and twenty of one make 70.
    """
    given = b.scenario(
        [b.line(height=b.mm(110.0), max_facings=30)],
        [b.fixture(available=1)],
        brief={"bands": [{"id": "eye", "bottom": b.mm(low), "top": b.mm(high), "weight": 5.0}]},
    )
    found = b.run(given)
    assert found.layout is not None
    proof = found.layout.proof
    assert proof is not None
    assert (proof.status, proof.objective, proof.bound) == ("proved", worth, worth)
