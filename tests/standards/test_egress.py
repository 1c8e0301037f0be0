"""People, ways out, panelboards, sprinklers and loads: just under, at and just over.

Model code and federal rules, partly from memory, as each requirement says of itself.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfit.standards import egress, load, loads
from shopfit.standards.panels import working_depth
from shopfit.standards.sprinklers import below_ceiling, below_sprinklers
from shopfit.units import INCH_MM

US = load("us")
IN = INCH_MM
FT = 12 * IN
SQ_FT = 0.3048**2
PSF = 4.4482216152605 / 0.3048**2 / 1000


@pytest.mark.parametrize(
    ("sales", "stock", "people"),
    [
        (0.0, 0.0, 0),
        (60.0, 0.0, 1),
        (60.1, 0.0, 2),
        (2940.0, 0.0, 49),
        (2941.0, 0.0, 50),
        (2939.9, 0.0, 49),
        (2880.0, 300.0, 49),
        (2880.0, 300.1, 50),
    ],
)
def test_people(sales: float, stock: float, people: int) -> None:
    """IBC 2015, Table 1004.1.2: 60 and 300 sq ft a person, gross; parts are counted up."""
    assert egress.occupants(US, sales * SQ_FT, stock * SQ_FT) == people


def test_widths_of_ways_out() -> None:
    """IBC 1005.3: 0.2 in a person, 0.3 in on stairs."""
    assert egress.way_out_width(US, 100) == pytest.approx(20 * IN)
    assert egress.way_out_width(US, 100, stairs=True) == pytest.approx(30 * IN)


@pytest.mark.parametrize(
    ("people", "feet", "met"),
    [
        (48, 74.9, True),
        (49, 75.0, True),
        (50, 75.0, False),
        (49, 75.1, False),
    ],
)
def test_one_exit(people: int, feet: float, met: bool) -> None:
    """IBC 1006.2.1, Group M, from memory: 49 people and 75 ft, both."""
    found = egress.one_exit(US, people, feet * FT)
    assert all(one.met for one in found) is met
    assert {one.requirement.confidence for one in found} == {"memory"}


@pytest.mark.parametrize(
    ("feet", "sprinklers", "met"),
    [
        (199.9, False, True),
        (200.0, False, True),
        (200.1, False, False),
        (249.9, True, True),
        (250.0, True, True),
        (250.1, True, False),
    ],
)
def test_travel_distance(feet: float, sprinklers: bool, met: bool) -> None:
    """IBC 1017.2, Group M, from memory."""
    assert egress.travel_distance(US, feet * FT, sprinklers).met is met


@pytest.mark.parametrize(
    ("feet", "sprinklers", "met"),
    [(20.0, False, True), (20.1, False, False), (50.0, True, True), (50.1, True, False)],
)
def test_dead_ends(feet: float, sprinklers: bool, met: bool) -> None:
    """IBC 1020.5, from memory."""
    assert egress.dead_end(US, feet * FT, sprinklers).met is met


@pytest.mark.parametrize(
    ("inches", "people", "met"),
    [(43.9, 50, False), (44.0, 50, True), (36.0, 49, True), (35.9, 49, False), (44.1, 51, True)],
)
def test_corridors(inches: float, people: int, met: bool) -> None:
    """IBC 1020.3, from memory: 44 in, 36 in under 50 people."""
    assert egress.corridor(US, inches * IN, people).met is met


@pytest.mark.parametrize(
    ("inches", "people", "public", "met"),
    [
        (36.0, 10, True, True),
        (35.9, 10, True, False),
        (28.0, 49, False, True),
        (27.9, 49, False, False),
        (28.0, 50, False, False),
    ],
)
def test_aisles(inches: float, people: int, public: bool, met: bool) -> None:
    """IBC 1018.3 as adopted by California in 2013."""
    assert egress.aisle(US, inches * IN, people, public).met is met


@pytest.mark.parametrize(("people", "out"), [(49, False), (50, True), (51, True)])
def test_doors_swing_out(people: int, out: bool) -> None:
    """IBC 1010.1.2.1, from memory: from 50 people."""
    assert egress.door_swings_out(US, people) is out


@pytest.mark.parametrize(
    ("width", "ceiling", "met"),
    [(28.0, 90.0, True), (27.9, 90.0, False), (28.0, 89.9, False), (28.1, 90.1, True)],
)
def test_exit_access(width: float, ceiling: float, met: bool) -> None:
    """29 CFR 1910.36(g): 28 in wide, 7 ft 6 in high."""
    assert all(one.met for one in egress.exit_access(US, width * IN, ceiling * IN)) is met


@pytest.mark.parametrize(("drop", "wanted"), [(29.9, False), (30.0, False), (30.1, True)])
def test_guards_are_wanted(drop: float, wanted: bool) -> None:
    """IBC 1015.2: more than 30 in."""
    assert egress.guard_wanted(US, drop * IN) is wanted


@pytest.mark.parametrize(
    ("height", "sphere", "met"),
    [(42.0, 3.9, True), (41.9, 3.9, False), (42.0, 4.0, False), (42.1, 3.0, True)],
)
def test_guards(height: float, sphere: float, met: bool) -> None:
    """IBC 1015.3 and 1015.4, from memory."""
    assert all(one.met for one in egress.guard(US, height * IN, sphere * IN)) is met


@pytest.mark.parametrize(
    ("volts", "facing", "inches"),
    [
        (120.0, "live", 36),
        (150.0, "live", 36),
        (150.1, "nothing", 36),
        (150.1, "earthed", 42),
        (150.1, "live", 48),
        (600.0, "live", 48),
        (600.1, "live", None),
    ],
)
def test_working_space(volts: float, facing, inches: float | None) -> None:
    """29 CFR 1910.303(g)(1), Table S-1, from memory."""
    found = working_depth(US, volts, facing)
    assert (None if found is None else round(found.value / IN, 6)) == inches
    assert found is None or found.confidence == "memory"


def test_goods_below_sprinklers_and_ceilings() -> None:
    """29 CFR 1910.159(c)(10): 18 in; IFC 315.3.1: 24 in below ceilings, but not along walls."""
    assert below_sprinklers(US, 108 * IN).most_mm == pytest.approx(90 * IN)
    free = below_ceiling(US, 108 * IN, along_wall=False)
    assert free is not None
    assert free.most_mm == pytest.approx(84 * IN)
    assert free.requirement.clause.endswith("315.3.1")
    assert below_ceiling(US, 108 * IN, along_wall=True) is None


@pytest.mark.parametrize(
    ("psf", "storey", "met"),
    [
        (99.9, "first", True),
        (100.0, "first", True),
        (100.1, "first", False),
        (75.0, "upper", True),
        (75.1, "upper", False),
        (125.0, "wholesale", True),
        (125.1, "wholesale", False),
    ],
)
def test_floor_loads(psf: float, storey, met: bool) -> None:
    """IBC Table 1607.1, from memory: 100, 75 and 125 psf."""
    mass = psf * 0.45359237 * 10  # on 10 sq ft
    assert loads.pressure(mass, 10 * SQ_FT) == pytest.approx(psf * PSF)
    assert loads.mass_under(psf * PSF, 10 * SQ_FT) == pytest.approx(mass)
    assert loads.within_floor_load(US, mass, 10 * SQ_FT, storey) is met


@pytest.mark.parametrize(("pounds", "met"), [(999.9, True), (1000.0, True), (1000.1, False)])
def test_point_loads(pounds: float, met: bool) -> None:
    """IBC Table 1607.1, from memory: 1,000 lb."""
    assert loads.within_point_load(US, pounds * 0.45359237) is met


@pytest.mark.parametrize(
    ("left", "right", "first", "lines"),
    [
        (0.0, 48.0, 0.0, 4),
        (0.0, 47.9, 0.0, 3),
        (0.1, 48.0, 0.0, 3),
        (1.0, 15.0, 0.0, 0),
        (0.0, 96.0, 8.0, 6),
        (100.0, 148.0, -4.0, 3),
    ],
)
def test_lines_of_screws(left: float, right: float, first: float, lines: int) -> None:
    """Common practice, no source: a stud every 16 in, both ends counted."""
    assert loads.screw_lines(US, left * IN, right * IN, first * IN) == lines


@given(st.floats(0, 5000), st.floats(1, 5000), st.floats(-400, 400))
def test_lines_of_screws_are_those_counted_one_by_one(
    left: float, length: float, first: float
) -> None:
    """The count in one step is that of looking at every stud."""
    right = left + length
    studs = [first + k * 16 * IN for k in range(-5, 40)]
    counted = sum(left - 0.01 <= stud <= right + 0.01 for stud in studs)
    assert loads.screw_lines(US, left, right, first) == counted


def test_loads_of_grooves_brackets_and_lines() -> None:
    """What the maker allows less what hangs there."""
    assert loads.groove_margin(40.0, 20.0, 600.0) == pytest.approx(4.0)
    assert loads.groove_margin(40.0, 25.0, 600.0) == pytest.approx(-1.0)
    assert loads.bracket_margin(3.0, 4, 12.0) == pytest.approx(0.0)
    assert loads.load_per_line(60.0, 3) == pytest.approx(20.0)
    assert loads.load_per_line(60.0, 0) is None


@pytest.mark.parametrize(("height", "met"), [(1199.0, True), (1200.0, True), (1201.0, False)])
def test_tipping(height: float, met: bool) -> None:
    """Common practice, no source: three times as high as deep."""
    found = loads.tipping(US, height, 400.0)
    assert found.met is met
    assert found.requirement.confidence == "common practice, no source"
