"""Searches with few seconds: a first layout all the same, and nothing begun that lasts longer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.solver import search, shares
from shopfit.solver.choosing import FloorChooser
from shopfit.solver.effort import Purse
from shopfit.solver.firstfloor import FirstFloor, first_floor
from shopfit.solver.laterbounds import Floors
from shopfit.solver.search import Search
from shopfit.solver.site import Site
from shopfit.solver.worth import worth

from . import build as b


def many() -> Scenario:
    """Give lines that no row is filled evenly by, so that no first layout ends the search."""
    widths = (70.0, 110.0, 130.0, 190.0)
    return b.scenario(
        [
            b.line(f"l{n}", width=b.mm(width), min_facings=1, max_facings=40)
            for n, width in enumerate(widths)
        ]
    )


def searched(seconds: float) -> Layout:
    found = b.run(many(), seconds=seconds)
    assert found.layout is not None
    return found.layout


@pytest.mark.parametrize(
    ("soon", "seconds", "quick"),
    [
        (0, 1.0, shares.FIRST_SECONDS),
        (0, 30.0, shares.FIRST_SECONDS),
        (0, 50.0, 50.0 * shares.FIRST_SHARE),
        (1000, 20.0, 20.0 * shares.SOON_SHARE),
    ],
)
def test_a_first_layout_gets_its_seconds_however_few_are_asked_for(
    soon: int, seconds: float, quick: float, monkeypatch: pytest.MonkeyPatch
):
    """Of many positions it has 3 s or a tenth; of few a careful floor is there as soon."""
    lent: list[tuple[bool, float]] = []

    def fill(self: Search, filler: Any, blocks: Any, quick: bool, purse: Purse) -> None:
        lent.append((quick, purse.left))
        self._offer(filler, filler.start(blocks))

    monkeypatch.setattr(shares, "SOON_POSITIONS", soon)
    monkeypatch.setattr(Search, "_fill_faces", fill)
    searched(seconds)
    first = [left for is_quick, left in lent if is_quick]
    assert first == [pytest.approx(quick)]


@pytest.mark.parametrize(("each", "floors"), [(0.0, 2), (1e6, 1)])
def test_no_floor_is_chosen_that_costs_more_than_is_left_where_there_is_a_layout(
    each: float, floors: int, monkeypatch: pytest.MonkeyPatch
):
    """The bound is there all the same, by divisible positions."""

    def priced(*given: Any) -> FirstFloor:
        return replace(first_floor(*given), each=each)

    whole: list[int] = []
    chosen: list[float] = []
    choose, bounded = FloorChooser.choose, FloorChooser.bounded

    def choosing(self: FloorChooser, gap: float) -> Any:
        chosen.append(gap)
        return choose(self, gap)

    def bounding(self: FloorChooser) -> Any:
        whole.append(1)
        return bounded(self)

    monkeypatch.setattr(search, "first_floor", priced)
    monkeypatch.setattr(FloorChooser, "choose", choosing)
    monkeypatch.setattr(FloorChooser, "bounded", bounding)
    # As long as the bound is more than there is there is a gap to close.
    monkeypatch.setattr(search, "everything", lambda *_: 1e6)
    monkeypatch.setattr(FloorChooser, "relaxed_bound", lambda _: 1e5)
    layout = searched(2.0)
    assert len(chosen) == floors
    assert bool(whole) is (each == 0.0)
    assert layout.proof is not None
    assert layout.proof.bound is not None
    assert layout.proof.bound <= 1e5
    assert layout.proof.missed == 0


@pytest.mark.parametrize(("share", "few"), [(0.9, True), (1.1, False)])
def test_later_stages_are_bounded_only_where_one_bound_costs_little(
    share: float, few: bool, monkeypatch: pytest.MonkeyPatch
):
    """A divisible bound that costs over a quarter of the seconds is not sought again for them."""
    asked: list[bool] = []
    relaxed = FloorChooser.relaxed_bound

    def costly(self: FloorChooser) -> float:
        before, bound = self.worked, relaxed(self)
        self.worked = before + share * shares.BOUND_SHARE * 2.0
        return bound

    def later(self: Search, floors: Floors) -> None:
        asked.append(floors.few)

    monkeypatch.setattr(FloorChooser, "relaxed_bound", costly)
    monkeypatch.setattr(Search, "_later_stages", later)
    searched(2.0)
    assert asked == [few]


def test_the_first_floor_knows_what_a_position_of_it_costs():
    """What choosing cost is shared among its positions; listing them costs besides."""
    given = many()
    told: list[str] = []
    tell: Callable[[str], None] = told.append
    options = SolveOptions(seconds=1, workers=1)
    first = first_floor(Site(given), worth(given), options, tell)
    assert first.chosen is not None
    count = len(first.chosen.chooser.problem.candidates)
    assert first.each * count == pytest.approx(first.chosen.chooser.worked)
    assert first.worked > first.each * count > 0
    assert told == ["setting out positions", "placing fixtures"]
