"""Drawn shops: the same for a seed, within the ranges said, and fit for the files."""

from __future__ import annotations

import pytest
from shapely import Polygon

from shopfit.bench.capacity import capacity, hangs, scarcity, wanted_area
from shopfit.bench.dice import Dice
from shopfit.bench.goods import HOLDING_FACTOR, VALUE
from shopfit.bench.instances import instance
from shopfit.bench.shells import shell
from shopfit.bench.sizes import (
    BY_NAME,
    MINIMUMS_SHARE,
    MOST_FACINGS,
    SCARCITY,
    SIZES,
    Size,
    size_named,
)
from shopfit.files.crosscheck import crosscheck
from shopfit.files.parts import Parts
from shopfit.geometry.shell import survey
from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.planning import solve
from shopfit.units import FOOT_MM, INCH_MM

SMALL = ("stall", "narrow", "corner")
DRAWN = [(name, seed) for name in SMALL for seed in range(30)] + [("store", 0), ("hall", 0)]


@pytest.fixture(scope="module", params=DRAWN, ids=lambda each: f"{each[0]}-{each[1]}")
def drawn(request: pytest.FixtureRequest) -> tuple[Size, Scenario]:
    """Give a size and a scenario drawn of it."""
    name, seed = request.param
    return size_named(name), instance(name, seed)


def within(size: float, span: tuple[float, float], slack: float = 1e-6) -> bool:
    return span[0] - slack <= size <= span[1] + slack


@pytest.mark.parametrize("name", SMALL)
def test_a_seed_gives_the_same_shop_and_another_seed_another(name: str) -> None:
    """Records of different days are compared, so the shops have to be the same."""
    assert instance(name, 3) == instance(name, 3)
    assert instance(name, 3).shop != instance(name, 4).shop
    assert instance(name, 3).lines != instance(name, 4).lines


def test_a_shop_is_pinned() -> None:
    """Shows a change of the generator that nobody meant, which would spoil old records."""
    made = instance("stall", 1)
    first = made.lines[0]
    assert [door.offset for door in made.shop.doors] == [pytest.approx(38 * INCH_MM)]
    assert survey(made.shop).floor.bounds == pytest.approx((0, 0, 118 * INCH_MM, 144 * INCH_MM))
    assert made.catalogue.fixtures[0].price == 122
    assert (first.line, first.width, first.height) == ("Line 0001", 285.75, 444.5)
    assert sum(line.max_facings for line in made.lines) == 38


def test_the_files_take_it(drawn: tuple[Size, Scenario]) -> None:
    """A drawn shop has no fault that a person's files would be refused for."""
    _, made = drawn
    lines = dict(enumerate(made.lines, start=2))
    assert crosscheck(Parts(shop=made.shop, catalogue=made.catalogue, lines=lines)) == []


def test_shell_and_brief_keep_their_ranges(drawn: tuple[Size, Scenario]) -> None:
    """What the table of sizes says is what is drawn."""
    size, made = drawn
    brief = made.brief
    assert within(survey(made.shop).floor.area / FOOT_MM**2, size.area)
    assert within(made.shop.rooms[0].height / INCH_MM, size.height)
    assert within(brief.aisle / INCH_MM, size.aisle)
    assert brief.staff_aisle == pytest.approx(size.staff_aisle * INCH_MM)
    assert brief.step == pytest.approx(size.step * INCH_MM)
    assert brief.budget is None
    depths = [f.depth / INCH_MM for f in made.catalogue.fixtures if f.kind == "base-cabinet"]
    assert all(within(depth, size.wall_depth) for depth in depths)
    assert any("island" in f.stands for f in made.catalogue.fixtures) == size.islands


@pytest.mark.parametrize(("name", "seeds"), [("corner", (49, 55, 169)), ("store", (48, 179))])
def test_a_floor_drawn_too_small_or_too_large_is_drawn_again(
    name: str, seeds: tuple[int, ...]
) -> None:
    """The first draw of these seeds is outside the range; the shop is within."""
    size = size_named(name)
    for seed in seeds:
        made = shell(Dice(f"shell {name} {seed}"), size)
        assert within(
            sum(Polygon(each.corners).area for each in made.rooms) / FOOT_MM**2, size.area
        )


def test_lines_keep_their_ranges(drawn: tuple[Size, Scenario]) -> None:
    """Numbers of lines, categories, facings and units are those that are said."""
    size, made = drawn
    assert len(made.lines) == size.lines
    assert len(made.categories) == size.categories
    assert len({line.line for line in made.lines}) == size.lines
    for line in made.lines:
        assert 0 <= line.min_facings <= 2
        assert max(1, line.min_facings) <= line.max_facings <= MOST_FACINGS
        assert line.holding <= HOLDING_FACTOR * line.min_facings
        assert within(line.value, VALUE)
    secured = sum(line.secured for line in made.lines)
    assert secured == max(1, round(size.secured * size.lines))


def test_minimums_leave_room(drawn: tuple[Size, Scenario]) -> None:
    """Minimums ask for well under half of the room, so that layouts exist."""
    size, made = drawn
    room = capacity(made.shop, made.catalogue, size.filled)
    open_ = [line for line in made.lines if not line.secured]
    asked = sum(line.min_facings * wanted_area(line, hangs(line)) for line in open_)
    assert asked <= MINIMUMS_SHARE * room.total


def test_scarcity_is_drawn_from_its_range(drawn: tuple[Size, Scenario]) -> None:
    """Facings are scaled to a scarcity within the range, as near as whole ones allow."""
    size, made = drawn
    coarse = 0.1 if size.lines < 50 else 0.04
    assert within(scarcity(made, size.filled), SCARCITY, coarse)


@pytest.mark.parametrize("wanted", SCARCITY)
@pytest.mark.parametrize("name", ["narrow", "corner", "store"])
def test_a_scarcity_given_is_reached(name: str, wanted: float) -> None:
    """The knob that makes a shop easy or crowded does what it says."""
    made = instance(name, 1, scarcity=wanted)
    assert scarcity(made, BY_NAME[name].filled) == pytest.approx(wanted, rel=0.04)


def test_what_is_given_changes_only_itself() -> None:
    """A budget or a scarcity does not draw another shell."""
    plain = instance("narrow", 5)
    other = instance("narrow", 5, scarcity=1.1, budget=5000, lines=30, step=12, objective="value")
    assert (other.shop.rooms, other.shop.doors) == (plain.shop.rooms, plain.shop.doors)
    assert other.catalogue == plain.catalogue
    assert other.brief.budget == 5000
    assert other.brief.objective == "value"
    assert other.brief.step == pytest.approx(12 * INCH_MM)
    assert len(other.lines) == 30


def test_an_unknown_size_is_told() -> None:
    """A mistyped size is answered with those there are."""
    with pytest.raises(ValueError, match=", ".join(SIZES)):
        instance("castle", 0)


def test_what_is_shown_reacts_to_scarcity() -> None:
    """With room to spare all facings are shown; crowded, some are not."""
    shown = []
    for wanted in SCARCITY:
        made = instance("stall", 1, scarcity=wanted)
        plan = solve(made, SolveOptions(seconds=1, workers=1))
        assert plan.layout is not None
        assert plan.violations == ()
        shown.append(plan.layout.claims.facings / sum(line.max_facings for line in made.lines))
    assert shown[0] > 0.98
    assert shown[1] < 0.95
