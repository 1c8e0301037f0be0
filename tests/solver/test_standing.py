"""What stands among the positions: kept as it is, altered or lost, and moves counted alike."""

from __future__ import annotations

import pytest

from shopfit.model.layout import Layout, Placement
from shopfit.model.scenario import KeepClear, Scenario
from shopfit.solver.candidates import Candidate, candidates
from shopfit.solver.conflicts import cliques
from shopfit.solver.counting import MoveProgram
from shopfit.solver.floor import FloorAnswer, FloorProblem, floor_problem
from shopfit.solver.keeping import fix_standing
from shopfit.solver.range_display import display
from shopfit.solver.site import Site
from shopfit.solver.standing import MoveCount, Standing, candidate_at, standing, unsound
from tests.solver import build

BOARD = {
    "id": "board",
    "length": build.mm(1200.0),
    "depth": build.mm(300.0),
    "load": "30 kg",
    "price": 10,
}


def nook(**changes) -> Scenario:
    """Give a room with cabinets under slat-wall; a jar stands on either."""
    return build.scenario(
        [build.line(max_facings=60)],
        [build.fixture(slat_above=True, available=2)],
        [build.SHEET],
        shelves=[BOARD],
        **changes,
    )


@pytest.fixture(scope="module")
def layout() -> Layout:
    """Give a layout with two cabinets, slat-wall over both."""
    found = build.run(nook(), 0.3).layout
    assert found is not None
    assert len(found.placements) == 2
    assert any(run.over for run in found.runs)
    return found


def stands(given: Scenario, layout: Layout) -> tuple[Standing, FloorProblem]:
    site = Site(given)
    now = standing(site, layout)
    return now, floor_problem(site, now.candidates, cliques(now.candidates))


def as_it_is(now: Standing) -> FloorAnswer:
    chosen = tuple(sorted({*now.same, *now.hung}))
    return FloorAnswer(chosen, tuple(i for i in chosen if now.candidates[i].slat))


def test_all_that_stands_is_found_and_counts_nothing(layout: Layout) -> None:
    """The layout's own positions are no move, and fixing them gives the same tags and runs."""
    now, problem = stands(nook(), layout)
    assert now.lost == ()
    assert sorted(now.same.values()) == sorted(p.id for p in layout.placements)
    floor = as_it_is(now)
    assert now.moves.of(floor) == 0
    fixed = fix_standing(problem, now, floor)
    assert fixed.placements == layout.placements
    assert fixed.runs == layout.runs


def test_positions_are_not_doubled(layout: Layout) -> None:
    """What stands takes the place of its twin on the grid; none is lost and none there twice."""
    site = Site(nook())
    now = standing(site, layout)

    def key(candidate: Candidate, hung: bool = True) -> tuple:
        p = candidate.placement
        spans = tuple(part.wall_span for part in candidate.slat) if hung else ()
        place = (round(p.x_mm, 2), round(p.y_mm, 2), round(p.angle_deg, 3))
        return (candidate.fixture, *place, spans)

    found = [key(candidate) for candidate in now.candidates]
    assert len(found) == len(set(found))
    grid = {key(candidate, False) for candidate in candidates(site) if candidate.fixture}
    assert grid == {key(candidate, False) for candidate in now.candidates if candidate.fixture}


def test_a_fixture_off_the_grid_has_a_position_of_its_own(layout: Layout) -> None:
    """A cabinet 13 mm off every step can stay, and moving it counts one."""
    first = layout.placements[0]
    wall = Site(nook()).shell.wall(first.wall or "")
    offset = (first.offset_mm or 0.0) + 13.0
    x, y = wall.point(offset)
    off = first.model_copy(update={"x_mm": x, "y_mm": y, "offset_mm": offset})
    odd = layout.model_copy(
        update={"placements": (off,), "runs": (), "blocks": ()},
    )
    now, problem = stands(nook(), odd)
    assert list(now.same.values()) == [off.id]
    kept = FloorAnswer(tuple(now.same), ())
    assert now.moves.of(kept) == 0
    assert fix_standing(problem, now, kept).placements == (off,)
    elsewhere = next(i for i, c in enumerate(now.candidates) if c.fixture and i not in now.same)
    assert now.moves.of(FloorAnswer((elsewhere,), ())) == 1


def test_what_cannot_stay_is_told(layout: Layout) -> None:
    """A fixture on floor that must stay empty, or gone from the list, is lost and says why."""
    first = layout.placements[0]
    body = candidate_at(Site(nook()), first)
    assert body is not None
    x, y = body.body.centroid.coords[0]
    clear = KeepClear.model_validate(
        {"id": "meter", "corners": build.box(x - 10, y - 10, x + 10, y + 10)}
    )
    given = nook()
    pins = given.pins.model_copy(update={"clear": (clear,)})
    now, _ = stands(given.model_copy(update={"pins": pins}), layout)
    assert [each.tag for each in now.lost if each.tag.startswith("F")] == [first.id]
    strange = first.model_copy(update={"fixture": "crate"})
    other = layout.model_copy(update={"placements": (strange,), "runs": (), "blocks": ()})
    now, _ = stands(nook(), other)
    assert [(each.tag, each.why) for each in now.lost] == [(first.id, "it is not in the list")]
    assert now.moves.of(FloorAnswer((), ())) == 1


@pytest.mark.parametrize(
    ("lower_by", "reason"), [(0.0, ""), (0.01, ""), (0.02, "it reaches too high")]
)
def test_a_run_that_reaches_too_high(layout: Layout, lower_by: float, reason: str) -> None:
    """Just at the display top and within the tolerance it stays; just above it must come down."""
    run = next(run for run in layout.runs if run.over)
    given = nook(brief={"display_top": build.mm(run.top_mm - lower_by)})
    assert unsound(Site(given), layout, run) == reason
    now, _ = stands(given, layout)
    over = {i for i, tag in now.same.items() if tag in run.over}
    assert bool(over) is (reason == "")


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"wall": "X"}, "its wall takes no slat-wall"),
        ({"sheet": "board"}, "its sheet is not in the list"),
        ({"to_mm": 99_999.0}, "it reaches past its wall"),
        ({"first_groove_mm": 1.0}, "its grooves are not where its sheet has them"),
        ({"over": ()}, ""),
    ],
)
def test_why_a_run_cannot_stay(layout: Layout, changes: dict, reason: str) -> None:
    """Each way a run can fail is told in words; over nothing it may hang higher than it must."""
    run = next(run for run in layout.runs if run.over).model_copy(update=changes)
    assert unsound(Site(nook()), layout, run) == reason


def test_a_run_keeps_its_rest_where_one_below_leaves(layout: Layout) -> None:
    """Of a run over two cabinets, one of which goes, the stretch over the other stays hung."""
    wall = Site(nook()).shell.wall("N")
    both = []
    for n, offset in enumerate((0.0, 1000.0)):
        x, y = wall.point(offset)
        both.append(
            Placement(
                id=f"F{n + 1}",
                fixture="cab",
                x_mm=x,
                y_mm=y,
                angle_deg=wall.angle_deg,
                wall="N",
                offset_mm=offset,
            )
        )
    run = layout.runs[0].model_copy(
        update={
            "id": "R1",
            "wall": "N",
            "from_mm": 0.0,
            "to_mm": 2000.0,
            "bottom_mm": 850.0,
            "top_mm": 2000.0,
            "first_groove_mm": 890.0,
            "over": ("F1", "F2"),
        }
    )
    given = layout.model_copy(update={"placements": tuple(both), "runs": (run,), "blocks": ()})
    now, problem = stands(nook(), given)
    stays = next(i for i, tag in now.same.items() if tag == "F2")
    fixed = fix_standing(problem, now, FloorAnswer((stays,), (stays,)))
    assert [p.id for p in fixed.placements] == ["F2"]
    assert [(r.id, r.from_mm, r.to_mm, r.over) for r in fixed.runs] == [
        ("R1", 1000.0, 2000.0, ("F2",))
    ]
    # The cabinet taken out is one move; what hung over it goes with it.
    assert now.moves.of(FloorAnswer((stays,), (stays,))) == 1


def test_counting_moves() -> None:
    """One that leaves and one that comes are one move; more of either count each."""
    count = MoveCount(groups=(((5, 6, 7), (0, 1), 2),), added=(8,), left=(9,), bared=(0,), always=1)

    def of(*chosen: int, slat: tuple[int, ...] = (0,)) -> int:
        return count.of(FloorAnswer(chosen, slat))

    assert of(0, 1, 9) == 1
    assert of(0, 5, 9) == 2
    assert of(0, 1, 5, 9) == 2
    assert of(0, 5, 6, 9) == 3
    assert of(1, 9) == 2
    assert of(0, 1) == 2
    assert of(0, 1, 8, 9) == 2
    assert of(0, 1, 9, slat=()) == 2


def test_the_program_counts_as_the_list_does(layout: Layout) -> None:
    """The fewest moves of the program are those of its answer, and none where all may stay."""
    now, problem = stands(nook(), layout)
    shown = display(problem.site, problem.classes)
    worth = {line.line: 1.0 for line in problem.site.scenario.lines}

    def fewest(least: float) -> tuple[int, FloorAnswer]:
        program = MoveProgram(problem, shown, worth)
        program.at_least(least)
        program.fewest(now.moves)
        answer = program.solve(build.LIMITS, build.StopFlag())
        assert answer.floor is not None
        return round(answer.value), answer.floor

    count, floor = fewest(float(layout.claims.facings))
    assert count == 0 == now.moves.of(floor)
    few = layout.model_copy(
        update={"placements": layout.placements[:1], "runs": (), "blocks": ()},
    )
    now, problem = stands(nook(), few)
    count, floor = fewest(float(layout.claims.facings))
    assert count == now.moves.of(floor) > 0
    program = MoveProgram(problem, shown, worth)
    program.at_least(float(layout.claims.facings))
    program.at_most(count - 1, now.moves)
    assert program.solve(build.LIMITS, build.StopFlag()).impossible
