"""Wishes on the places of goods that only a floor with less on it can meet."""

from __future__ import annotations

from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.solver.fill import Filler
from shopfit.solver.fixing import fix
from shopfit.solver.floor import FloorAnswer
from shopfit.solver.held import Filled
from shopfit.solver.lesswall import with_less
from shopfit.solver.proving import WISHES
from shopfit.solver.run import Search
from shopfit.stopping import StopFlag

from . import build as b

HOOK = {"id": "hook", "kind": "hook", "depth": b.mm(300.0), "load": "2 kg", "price": 1}


def _filled(pins: list[dict[str, object]], at_least: int) -> Filled:
    """Give cabinets on three walls, two of which have slat-wall over them."""
    given = b.scenario(
        fixtures=[b.fixture(slat_above=True)],
        sheets=[b.SHEET],
        brackets=[HOOK],
        pins={"keep": pins},
        brief={"wanted": [{"fixture": "cab", "at_least": at_least}]},
    )
    problem, shown = b.floor(given)

    def at(wall: str, offset: float) -> int:
        return next(
            i
            for i, one in enumerate(problem.candidates)
            if (one.placement.wall, one.placement.offset_mm) == (wall, offset) and one.fixture
        )

    chosen = tuple(sorted((at("W", 0.0), at("N", 1500.0), at("E", 2000.0))))
    slat = tuple(i for i in chosen if problem.candidates[i].placement.wall != "E")
    floor = FloorAnswer(chosen, slat)
    fixed = fix(problem, floor)
    filler = Filler(problem.site, shown, fixed.faces, None)
    return Filled(problem, floor, fixed, filler, filler.start({}))


def test_slat_wall_goes_wall_by_wall_then_all_then_fixtures():
    """Two walls, both, and each of three cabinets with what hangs over it."""
    found = _filled([], 0)
    floors = list(with_less(found))
    assert [len(floor.slat) for floor in floors] == [1, 1, 0, 1, 1, 2]
    assert [len(floor.chosen) for floor in floors] == [3, 3, 3, 2, 2, 2]
    assert len(set(floors)) == len(floors)


def test_what_is_pinned_or_wanted_stays():
    """A pinned cabinet is never taken away, and no fixture where as many as stand are wanted."""
    keep = [{"fixture": "cab", "wall": "W", "offset": b.mm(0.0)}]
    gone = [set(_filled(keep, 0).floor.chosen) - set(f.chosen) for f in with_less(_filled(keep, 0))]
    assert sum(map(len, gone)) == 2
    wanted = list(with_less(_filled([], 3)))
    assert [len(floor.chosen) for floor in wanted] == [3, 3, 3]


def test_an_order_that_all_slat_wall_makes_impossible_is_met(kiosk: Scenario):
    """Linen before candles along the way: on the floor that shows most no filling keeps to it."""
    rules = kiosk.brief.merchandising.model_copy(update={"order": (("Linen", "Candles"),)})
    brief = kiosk.brief.model_copy(update={"merchandising": rules})
    shop = kiosk.shop.model_copy(update={"brief": brief})
    given = kiosk.model_copy(update={"shop": shop})
    options = SolveOptions(seconds=4, workers=1)
    found = Search(given, options, lambda progress: None, StopFlag()).run()
    assert found.layout is not None
    assert found.layout.proof is not None
    broken = {stage.objective: stage.value for stage in found.layout.proof.stages}
    assert broken[WISHES] == 0
