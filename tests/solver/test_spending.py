"""What layouts cost: what is owned, left out or cut from sheets is counted as it is."""

from __future__ import annotations

import pytest

from shopfit.model.scenario import Scenario
from shopfit.solver.facevalue import FaceValue, brought
from shopfit.solver.fill import Filler
from shopfit.solver.fixing import fix
from shopfit.solver.floor import FloorAnswer
from shopfit.solver.held import Filled
from shopfit.solver.spending import laid_out, least_cost, position_costs, slat_costs
from shopfit.solver.worth import worth

from . import build as b

HOOK = {"id": "hook", "kind": "hook", "depth": b.mm(180.0), "load": "6 kg", "price": 2, "pack": 5}


def filled(given: Scenario, chosen: tuple[int, ...], slat: tuple[int, ...] = ()) -> Filled:
    """Fill a floor of a scenario as the linear program says."""
    problem, shown = b.floor(given)
    floor = FloorAnswer(chosen, slat)
    faces = FaceValue(problem, shown, worth(given))
    found = faces.at(brought(problem, 0.0, 0.0).widths(floor), None)
    assert found is not None
    fixed = fix(problem, floor)
    filler = Filler(problem.site, shown, fixed.faces, None)
    return Filled(problem, floor, fixed, filler, filler.start(found.blocks))


def apart(given: Scenario, many: int) -> tuple[int, ...]:
    """Give positions of one cabinet each on as many walls."""
    problem, _ = b.floor(given)
    walls = ("W", "N", "E")[:many]
    return tuple(
        sorted(
            next(
                i
                for i, c in enumerate(problem.candidates)
                if c.fixture == "cab" and c.placement.wall == wall and c.placement.offset_mm == 900
            )
            for wall in walls
        )
    )


@pytest.mark.parametrize(("owned", "cost"), [(0, 300.0), (2, 100.0), (3, 0.0), (4, 0.0)])
def test_fixtures_owned_cost_nothing(owned: int, cost: float):
    """Three cabinets of 100 stand; those owned are not bought."""
    given = b.scenario(fixtures=[b.fixture(owned=owned)])
    found = filled(given, apart(given, 3))
    assert len(laid_out(found).placements) == 3
    assert least_cost(found) == pytest.approx(cost + found.score.cost)


def test_what_shows_nothing_is_not_paid_for():
    """Goods for one cabinet only: the other two are left out of the layout and of the money."""
    given = b.scenario([b.line(max_facings=10)])
    found = filled(given, apart(given, 3))
    assert found.score.worth == 10
    assert least_cost(found) == pytest.approx(100.0 + found.score.cost)


def test_slat_wall_and_what_hangs_on_it_are_counted_by_the_piece():
    """A run of 1000 by 1200 mm is a part of a sheet of 60; hooks are a fifth of a pack each."""
    given = b.scenario(
        [b.line(ways=["hook"], max_facings=5)],
        [b.fixture(slat_above=True)],
        sheets=[b.SHEET],
        brackets=[HOOK],
    )
    (position,) = apart(given, 1)
    found = filled(given, (position,), (position,))
    layout = laid_out(found)
    (run,) = layout.runs
    area = (run.to_mm - run.from_mm) * (run.top_mm - run.bottom_mm)
    assert layout.claims.facings == 5
    assert least_cost(found) == pytest.approx(100.0 + 60.0 * area / (2400.0 * 1200.0) + 5 * 2 / 5)


@pytest.mark.parametrize(
    ("owned", "standing", "each"), [(0, 1, 100.0), (1, 1, 100.0), (2, 1, 0.0), (2, 2, 100.0)]
)
def test_a_position_costs_nothing_while_more_are_owned_than_stand(
    owned: int, standing: int, each: float
):
    """The next cabinet is bought once as many stand as are owned."""
    given = b.scenario(fixtures=[b.fixture(owned=owned)])
    problem, _ = b.floor(given)
    costs = position_costs(problem, FloorAnswer(apart(given, standing), ()))
    assert set(costs) == {each}


@pytest.mark.parametrize(
    ("height", "part"), [(599.0, 1 / 2), (600.0, 1 / 2), (601.0, 1.0), (1200.0, 1.0)]
)
def test_slat_wall_is_priced_by_strips_of_a_sheet(height: float, part: float):
    """Of a sheet 1200 mm high two strips of 600 mm are cut, of anything higher only one."""
    top = 400.0 + height
    given = b.scenario(
        fixtures=[b.fixture(height=b.mm(350.0), faces=[], slat_above=True)],
        sheets=[b.SHEET],
        brackets=[HOOK],
        brief={"display_top": b.mm(top)},
    )
    problem, _ = b.floor(given)
    found = {
        round(cost, 6)
        for cost, one in zip(slat_costs(problem), problem.candidates, strict=True)
        if one.fixture == "cab" and one.slat
    }
    (wide,) = {p.width for c in problem.candidates if c.fixture == "cab" for p in c.slat}
    assert found == {round(60.0 * wide / 2400.0 * part, 6)}


def test_without_sheets_slat_wall_costs_nothing():
    """There is none to cut."""
    problem, _ = b.floor(b.scenario())
    assert set(slat_costs(problem)) == {0.0}
