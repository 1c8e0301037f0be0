"""The demos: that they load, are as large as promised, and that their arithmetic comes out."""

from __future__ import annotations

import importlib.util
import math
import sys
from functools import cache
from pathlib import Path
from types import ModuleType

import pytest

from shopfit import standards
from shopfit.files.scenario import load_scenario
from shopfit.geometry.openings import door_rectangle
from shopfit.geometry.shell import survey
from shopfit.model.fixtures import Bracket, DisplayFace, Fixture, Sheet, ShelfBoard
from shopfit.model.range import Line
from shopfit.model.scenario import Scenario
from shopfit.standards.doors import front_approach
from shopfit.units import INCH_MM, TOLERANCE_MM

SCENARIOS = Path(__file__).parents[2] / "scenarios"
FOOT = 12 * INCH_MM

# Lines, categories, rooms, and the size of the plan in mm.
DEMOS = {
    "market-kiosk": (12, 4, 1, (10 * FOOT, 12 * FOOT)),
    "market-kiosk-impossible": (12, 4, 1, (10 * FOOT, 12 * FOOT)),
    "towpath-chandlery": (60, 12, 1, (11998.0, 2330.0)),
    "corner-yarn": (120, 15, 1, (8500.0, 7300.0)),
    "museum-gift": (1200, 40, 2, (100 * FOOT, 60 * FOOT)),
}
NAMES = sorted(DEMOS)


@cache
def demo(name: str) -> Scenario:
    """Load a demo once."""
    return load_scenario(SCENARIOS / name)


def inches(length: float) -> float:
    return length * INCH_MM


def test_every_demo_is_listed_here():
    """A demo nobody tests would rot."""
    found = {path.parent.name for path in SCENARIOS.glob("*/shop.yaml")}
    assert found == set(DEMOS)


@pytest.mark.parametrize("name", NAMES)
def test_demo_is_as_large_as_promised(name: str):
    """Readers are told how many lines and categories each demo has."""
    lines, categories, rooms, _ = DEMOS[name]
    scenario = demo(name)
    assert len(scenario.lines) == lines
    assert len(scenario.categories) == categories
    assert len(scenario.shop.rooms) == rooms


@pytest.mark.parametrize("name", NAMES)
def test_shell_has_the_size_in_its_comment(name: str):
    """A wall mistyped would shift everything and still load."""
    west, south, east, north = survey(demo(name).shop).floor.bounds
    size = DEMOS[name][3]
    assert (east - west, north - south) == pytest.approx(size, abs=TOLERANCE_MM)


@pytest.mark.parametrize("name", NAMES)
def test_door_spaces_lie_inside_the_shell(name: str):
    """The shell of a demo must not itself break the clearances that layouts are judged by."""
    shop = demo(name).shop
    plan, rulebook = survey(shop), standards.load(shop.rulebook)
    for door in shop.doors:
        wall = plan.wall(door.wall)
        space = front_approach(rulebook, door, inside=True)
        floor = door_rectangle(wall, door, space.hinge_side_mm, space.latch_side_mm, space.depth_mm)
        assert plan.rooms[wall.room].buffer(TOLERANCE_MM).covers(floor), door.id


# What can hold a line: its units a facing, and the steps of height it takes.
Holding = tuple[Sheet | DisplayFace, int, int]


def on_bracket(line: Line, bracket: Bracket, sheet: Sheet, gap: float) -> Holding:
    """Hang or stand a line on a bracket."""
    units = [math.floor(bracket.depth / line.depth + 1e-9)]
    if bracket.units is not None:
        units.append(bracket.units)
    if line.weight:
        units.append(math.floor(bracket.load * bracket.per_facing / line.weight + 1e-9))
    if bracket.kind == "cradle":
        steps = math.ceil((bracket.rise + line.height + gap) / sheet.groove_pitch - 1e-9)
    else:
        steps = math.ceil((bracket.rise + line.height) / sheet.groove_pitch - 1e-9) + 1
    return sheet, min(units), steps


def on_board(line: Line, board: ShelfBoard, sheet: Sheet, gap: float) -> Holding:
    """Stand a line on a shelf board."""
    units = math.floor(board.depth / line.depth + 1e-9)
    if line.weight:
        share = board.load * line.width / board.length
        units = min(units, math.floor(share / line.weight + 1e-9))
    need = board.thickness + line.height + gap
    return sheet, units, math.ceil(need / sheet.groove_pitch - 1e-9)


def on_face(line: Line, fixture: Fixture, face: DisplayFace, gap: float) -> Holding:
    """Stand a line on a fixture's own shelf, case or table."""
    table = face.kind == "table"
    room = face.top - face.bottom
    pitch = room if table else face.pitch
    steps = math.ceil(((0 if table else face.board) + line.height + gap) / pitch - 1e-9)
    fits = steps <= math.floor(room / pitch + 1e-6) and line.width <= (face.width or fixture.width)
    width_m = (face.width or fixture.width) / 1000
    units = math.floor(face.depth / line.depth + 1e-9)
    if line.weight:
        share = face.load / width_m * line.width / 1000
        units = min(units, math.floor(share / line.weight + 1e-9))
    return face, units if fits else 0, steps


def holdings(scenario: Scenario, line: Line) -> list[Holding]:
    """List everything in the catalogue that can hold at least one unit of a line."""
    goods, gap = scenario.catalogue, scenario.brief.finger_gap
    found: list[Holding] = []
    for sheet in goods.sheets:
        tallest = math.floor((sheet.height - sheet.first_groove) / sheet.groove_pitch + 1e-6)
        hung = [
            on_bracket(line, bracket, sheet, gap)
            for bracket in goods.brackets
            if bracket.kind in line.ways and not line.secured
        ]
        if "shelf" in line.ways and not line.secured:
            hung += [on_board(line, board, sheet, gap) for board in goods.shelves]
        found += [holding for holding in hung if holding[2] <= tallest]
    found += [
        on_face(line, fixture, face, gap)
        for fixture in goods.fixtures
        for face in fixture.faces
        if face.kind in line.ways and (face.kind == "case" or not line.secured)
    ]
    return [holding for holding in found if holding[1] >= 1]


@pytest.mark.parametrize("name", NAMES)
def test_every_line_has_something_that_holds_it(name: str):
    """A line that nothing in the catalogue can show would stay unplaced in every layout."""
    scenario = demo(name)
    assert [line.line for line in scenario.lines if not holdings(scenario, line)] == []


@pytest.mark.parametrize("name", NAMES)
def test_every_holding_can_be_met(name: str):
    """A holding above what the most facings can take would make a demo fail for nothing."""
    scenario = demo(name)
    short = [
        line.line
        for line in scenario.lines
        if line.holding > line.max_facings * max(units for _, units, _ in holdings(scenario, line))
    ]
    assert short == []


def in_band(scenario: Scenario, line: Line) -> bool:
    """Say whether a line's row can lie in the band it asks for, somewhere."""
    assert line.band is not None
    band, brief = scenario.brief.band(line.band), scenario.brief
    lowest = min(fixture.height for fixture in scenario.catalogue.fixtures if fixture.slat_above)
    for place, _, steps in holdings(scenario, line):
        if isinstance(place, DisplayFace):
            bottom, top = place.bottom, place.top
            pitch = top - bottom if place.kind == "table" else place.pitch
        else:
            bottom = lowest + brief.run_gap + place.first_groove
            top, pitch = brief.display_top, place.groove_pitch
        rows = math.floor((top - bottom) / pitch + 1e-6) - steps + 1
        middles = [bottom + (low + steps / 2) * pitch for low in range(rows)]
        if any(band.bottom <= middle <= band.top for middle in middles):
            return True
    return False


@pytest.mark.parametrize("name", NAMES)
def test_every_band_can_be_met(name: str):
    """A line wanted at eye height must have a place there."""
    scenario = demo(name)
    banded = [line for line in scenario.lines if line.band]
    assert banded
    assert [line.line for line in banded if not in_band(scenario, line)] == []


@pytest.mark.parametrize("name", NAMES)
def test_shelf_boards_pass_over_a_cabinet(name: str):
    """Boards and brackets deeper than every fixture below them could never be used."""
    goods = demo(name).catalogue
    below = max(fixture.depth for fixture in goods.fixtures if fixture.slat_above)
    assert max(item.depth for item in (*goods.brackets, *goods.shelves)) <= below


def across(scenario: Scenario) -> float:
    """Give the width of the first room from west to east, mm."""
    west, _, east, _ = survey(scenario.shop).floor.bounds
    return east - west


def edge(scenario: Scenario) -> float:
    """Give how far north the kiosk's staff zone begins, mm."""
    return min(y for _, y in scenario.shop.zones[0].corners)


def test_impossible_kiosk_is_impossible_by_the_arithmetic_of_its_comment():
    """The comment says why nothing fits; the figures must say so too."""
    scenario = demo("market-kiosk-impossible")
    case = scenario.catalogue.fixture("case-48")
    counter = scenario.catalogue.fixture("counter-84")
    assert 2 * case.width > edge(scenario)  # not both on one wall
    assert case.width > edge(scenario) - scenario.brief.aisle  # not before the counter
    assert 2 * case.depth + counter.width > across(scenario)  # not both beside the counter
    assert {fixture.id for fixture in scenario.catalogue.fixtures if fixture.kind == "counter"} == {
        "counter-84"
    }
    door = scenario.shop.doors[0]
    left, right = door.offset, across(scenario) - door.offset - door.width - inches(12)
    assert max(left, right) < case.width  # nor beside the door


def test_impossible_kiosk_has_room_once_one_wish_is_dropped():
    """Dropping any one of three wishes must help, so that the explanation has something to say."""
    scenario = demo("market-kiosk-impossible")
    case = scenario.catalogue.fixture("case-48")
    counter = scenario.catalogue.fixture("counter-84")
    gap = across(scenario) - counter.width
    assert gap >= scenario.brief.staff_aisle
    assert case.depth + counter.width <= across(scenario)  # one case
    assert 2 * case.depth + scenario.brief.aisle <= across(scenario)  # no counter
    assert edge(scenario) - inches(40) >= case.width - TOLERANCE_MM  # a narrower aisle


def test_chandlery_fits_across_as_its_comment_says():
    """The narrow shell is the point of the demo: 24 in faces 18 in, but never 24 in."""
    scenario = demo("towpath-chandlery")
    width, brief, goods = 2330.0, scenario.brief, scenario.catalogue
    shallow, deep = goods.fixture("cab-36").depth, goods.fixture("cab-36-deep").depth
    assert shallow + deep + brief.aisle <= width
    assert 2 * deep + brief.aisle > width
    counter, case = goods.fixture("counter-36"), goods.fixture("case-20")
    assert counter.width + case.width + brief.staff_aisle <= width


def test_chandlery_ramp_is_one_in_twelve():
    """The approach must reach the floor, at 1:12, with handrails since the rise is over 6 in."""
    approach = demo("towpath-chandlery").shop.approach
    (ramp,) = approach.ramps
    assert ramp.rise == pytest.approx(approach.floor_above_grade)
    assert ramp.run == pytest.approx(12 * ramp.rise)
    assert ramp.rise > inches(6)
    assert ramp.handrails


def generator() -> ModuleType:
    """Load the museum range's generator, which is no package."""
    path = SCENARIOS / "generate_museum_gift.py"
    spec = importlib.util.spec_from_file_location(path.stem, path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[path.stem] = module
    spec.loader.exec_module(module)
    return module


def test_museum_range_is_what_its_generator_makes(tmp_path: Path):
    """The committed range must be the generated one, byte for byte."""
    made = tmp_path / "range.csv"
    generator().write(made)
    assert made.read_bytes() == (SCENARIOS / "museum-gift" / "range.csv").read_bytes()
    assert [path.name for path in tmp_path.iterdir()] == ["range.csv"]
