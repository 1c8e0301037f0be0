"""Low parts of sales counters."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import check
from shopfit.model.fixtures import KneeRoom
from shopfit.model.layout import Placement
from shopfit.units import INCH_MM, parse_length

from . import build as b


@pytest.mark.parametrize(
    ("height", "width", "found"),
    [
        (36.0, 36.0, []),
        (35.0, 40.0, []),
        (36.001, 36.0, ["counter-height"]),
        (36.0, 35.999, ["counter-width"]),
        (38.0, 30.0, ["counter-height", "counter-width"]),
    ],
)
def test_low_part_is_36_in_high_and_36_in_long(
    height: float, width: float, found: list[str]
) -> None:
    """2010 ADA Standards, 904.4.1, parallel approach."""
    scenario = b.refitted(
        b.scenario(), "till", service_height=height * INCH_MM, service_width=width * INCH_MM
    )
    findings = check(scenario, b.layout())
    assert b.codes(findings) == found
    assert all("904.4.1" in f.clause for f in b.faults(findings))


def test_a_low_part_without_a_length_is_as_long_as_the_counter() -> None:
    """No other length is known."""
    scenario = b.refitted(b.scenario(), "till", service_width=None)
    assert b.codes(check(scenario, b.layout())) == []


def test_a_counter_without_heights_is_not_checked() -> None:
    """The finding says what to add."""
    findings = check(b.refitted(b.scenario(), "till", service_height=None), b.layout())
    missing = [f for f in findings if f.code == "counter-not-checked"]
    assert [f.severity for f in missing] == ["not checked"]
    assert "service_height of till" in missing[0].message
    assert "fixtures.yaml" in missing[0].mend


_KNEES = {
    "width": 30 * INCH_MM,
    "height": 27 * INCH_MM,
    "depth": 11 * INCH_MM,
    "depth_high": 8 * INCH_MM,
    "toes": 17 * INCH_MM,
}


def _till(**update: Any) -> Any:
    return b.refitted(b.scenario(), "till", **update)


@pytest.mark.parametrize(
    ("height", "width", "found"),
    [(36.0, 30.0, []), (36.01, 30.0, ["counter-height"]), (36.0, 29.99, ["counter-width"])],
)
def test_low_part_for_driving_up_forward(height: float, width: float, found: list[str]) -> None:
    """2010 ADA Standards, 904.4.2: 36 in high and 30 in long."""
    scenario = _till(
        service_approach="forward",
        knees=KneeRoom(**{key: f"{size} mm" for key, size in _KNEES.items()}),
        service_height=height * INCH_MM,
        service_width=width * INCH_MM,
    )
    assert b.codes(check(scenario, b.layout())) == found


@pytest.mark.parametrize(
    ("field", "inches", "code"),
    [
        ("width", 30.0, "counter-knees"),
        ("height", 27.0, "counter-knees"),
        ("depth", 11.0, "counter-knees"),
        ("depth_high", 8.0, "counter-knees"),
        ("toes", 17.0, "counter-toes"),
    ],
)
def test_room_for_knees_and_toes(field: str, inches: float, code: str) -> None:
    """2010 ADA Standards, 306.2 and 306.3: 30 in wide, 27 in high, 11 and 8 in deep, toes 17 in."""
    for off, missed in ((-0.01, True), (0.0, False), (0.01, False)):
        sizes = {**_KNEES, field: (inches + off) * INCH_MM}
        scenario = _till(
            service_approach="forward",
            knees=KneeRoom(**{key: f"{size} mm" for key, size in sizes.items()}),
        )
        assert (code in b.codes(check(scenario, b.layout()))) is missed


@pytest.mark.parametrize(
    ("knees", "toes", "width", "found"),
    [
        # Depth that counts is 24 in (18 for knees and 6 beyond them): no deep alcove.
        (18.0, 24.0, 30.0, False),
        (19.0, 24.5, 36.0, False),
        (19.0, 24.5, 35.99, True),
    ],
)
def test_deep_room_for_knees_is_wider(knees: float, toes: float, width: float, found: bool) -> None:
    """2010 ADA Standards, 305.7.1: 36 in wide where it is more than 24 in deep."""
    sizes = {**_KNEES, "depth": knees * INCH_MM, "toes": toes * INCH_MM, "width": width * INCH_MM}
    scenario = _till(
        service_approach="forward",
        knees=KneeRoom(**{key: f"{size} mm" for key, size in sizes.items()}),
    )
    assert ("counter-alcove" in b.codes(check(scenario, b.layout()))) is found


@pytest.mark.parametrize(("width", "found"), [(24.0, []), (23.99, ["counter-width"])])
def test_low_part_of_altered_counters(width: float, found: list[str]) -> None:
    """2010 ADA Standards, 904.4, exception: 24 in."""
    scenario = _till(service_altered=True, service_width=width * INCH_MM)
    assert b.codes(check(scenario, b.layout())) == found


# The till's front lies on y 2000, from x 4800 to 6000; its left end, as faced, is the east one.
@pytest.mark.parametrize(("gap", "found"), [(762.0, False), (761.9, True)])
def test_clear_floor_alongside_is_30_in_deep(gap: float, found: bool) -> None:
    """2010 ADA Standards, 904.4.1 and 305.3: 30 by 48 in alongside the low part."""
    block = Placement(id="X", fixture="table-4", x_mm=4800, y_mm=2000 + gap + 800, angle_deg=0)
    findings = check(b.scenario(), b.added(b.layout(), block))
    got = [f for f in findings if f.code == "counter-floor"]
    assert bool(got) is found
    for each in got:
        assert each.severity == "barrier to review"
        assert each.clause.endswith("305.3")
        assert "north" in each.mend
        assert each.drawn_mm


@pytest.mark.parametrize(
    ("edge", "offset", "codes"),
    [
        # 48 in of clear floor from x 6000 westward.
        (6000.0 - 1219.2, None, []),
        # Only 1,100 mm are left at the wall: nowhere.
        (6000.0 - 1100.0, None, ["counter-floor"]),
        (6000.0 - 1219.0, None, ["counter-floor"]),
    ],
)
def test_clear_floor_alongside_is_48_in_long(
    edge: float, offset: str | None, codes: list[str]
) -> None:
    """2010 ADA Standards, 305.3: 48 in along the counter, up to the wall in its corner."""
    block = Placement(id="X", fixture="table-4", x_mm=edge - 1200, y_mm=2801, angle_deg=0)
    findings = check(b.scenario(), b.added(b.layout(), block))
    assert [f.code for f in findings if f.code.startswith("counter")] == codes


@pytest.mark.parametrize(
    ("offset", "found"),
    [
        (None, "counter-place-not-checked"),
        ("0 in", None),
        # 36 in beginning 59 in from the east end of a counter of 96 in: under the table's edge.
        ("59 in", "counter-floor"),
    ],
)
def test_where_the_low_part_is_matters(offset: str | None, found: str | None) -> None:
    """Clear before one end and not the other: asked for, and then judged by the place given."""
    place = None if offset is None else parse_length(offset)
    scenario = b.refitted(
        b.scenario(), "till", width=96 * INCH_MM, service_offset=place, service_width=36 * INCH_MM
    )
    # A table before the western half.
    block = Placement(id="X", fixture="table-4", x_mm=6000 - 2438.4 - 300, y_mm=2801, angle_deg=0)
    findings = check(scenario, b.added(b.layout(), block))
    got = [f.code for f in findings if f.code in ("counter-floor", "counter-place-not-checked")]
    assert got == ([found] if found else [])


def test_a_counter_shut_in_on_both_sides_wants_60_in() -> None:
    """2010 ADA Standards, 305.7.2: an alcove more than 15 in deep is 60 in long."""
    for length, deep, found in (
        (1524.0, 500.0, False),
        (1523.0, 500.0, True),
        (1523.0, 380.0, False),
        (1523.0, 382.0, True),
    ):
        # Between wall E and a fixture that stands out beyond the counter's front.
        scenario = b.refitted(b.scenario(), "table-4", width=200.0, depth=deep)
        wing = Placement(
            id="X", fixture="table-4", x_mm=6000 - length - 200, y_mm=2000 + deep, angle_deg=0
        )
        layout = b.layout()
        rest = tuple(p for p in layout.placements if p.id != "F4")
        blocks = tuple(x for x in layout.blocks if x.host != "F4")
        layout = layout.model_copy(update={"placements": (*rest, wing), "blocks": blocks})
        codes = [f.code for f in check(scenario, layout)]
        assert ("counter-floor" in codes) is found, (length, deep)


def _second(x: float, **update: Any) -> tuple[Any, Any]:
    """Add a second counter, too high, whose west end is at x."""
    scenario = b.scenario()
    high = next(f for f in scenario.catalogue.fixtures if f.id == "till")
    high = high.model_copy(update={"id": "high", "service_height": 1100.0, **update})
    catalogue = scenario.catalogue.model_copy(
        update={"fixtures": (*scenario.catalogue.fixtures, high)}
    )
    place = Placement(id="F6", fixture="high", x_mm=x + 1200, y_mm=1400, angle_deg=180)
    return scenario.model_copy(update={"catalogue": catalogue}), b.added(b.layout(), place)


@pytest.mark.parametrize(
    ("x", "service", "severity"),
    [
        # The till's west end is at 4800: nearer than 36 in is one place, farther another.
        (4800.0 - 914.0 - 1200.0, None, "advice"),
        (4800.0 - 915.0 - 1200.0, None, "violation"),
        (4800.0 - 1200.0, None, "advice"),
        (4800.0 - 1200.0, "repairs", "violation"),
    ],
)
def test_one_low_part_of_each_kind_at_each_place(
    x: float, service: str | None, severity: str
) -> None:
    """2010 ADA Standards, 227.3: one of each kind, dispersed where counters are."""
    findings = check(*_second(x, service=service))
    got = [f for f in findings if f.code == "counter-height"]
    assert [f.severity for f in got] == [severity]


@pytest.mark.parametrize(
    ("update", "found"),
    [
        ({"service_height": 38 * INCH_MM, "edge": 2 * INCH_MM}, []),
        ({"service_height": 38.01 * INCH_MM}, ["checkout-height", "checkouts"]),
        ({"service_height": 38 * INCH_MM, "edge": 2.01 * INCH_MM}, ["checkout-edge", "checkouts"]),
        ({"service_height": 34 * INCH_MM, "writing_height": 34 * INCH_MM}, []),
        (
            {"service_height": 34 * INCH_MM, "writing_height": 34.01 * INCH_MM},
            ["checkout-writing", "checkouts"],
        ),
        ({"service_height": 34 * INCH_MM, "writing_height": 28 * INCH_MM}, []),
        (
            {"service_height": 34 * INCH_MM, "writing_height": 27.99 * INCH_MM},
            ["checkout-writing", "checkouts"],
        ),
    ],
)
def test_check_out_aisles(update: dict[str, float], found: list[str]) -> None:
    """2010 ADA Standards, 904.3.2 and 904.3.3: 38 in, edge 2 in, writing surface 28 to 34 in."""
    findings = check(_till(checkout=True, **update), b.layout())
    assert sorted(b.codes(findings)) == sorted(found)


def test_of_two_check_out_aisles_in_a_small_shop_one_is_enough() -> None:
    """2010 ADA Standards, 227.2: one where the selling space is under 5,000 sq ft."""
    scenario, layout = _second(3600.0, checkout=True)
    scenario = b.refitted(scenario, "till", checkout=True)
    codes = [f.code for f in check(scenario, layout)]
    assert not {"checkouts", "checkout-height"} & set(codes)


def test_knees_that_were_not_measured_are_asked_for() -> None:
    """Driving up forward cannot be judged without them."""
    findings = check(_till(service_approach="forward"), b.layout())
    missing = [f for f in findings if f.code == "counter-not-checked"]
    assert len(missing) == 1
    assert "knees of till" in missing[0].message
