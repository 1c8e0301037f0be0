"""Where fixtures stand: limits just under, at and over."""

from __future__ import annotations

import pytest

from shopfit.checks import check
from shopfit.model.layout import Placement
from shopfit.model.scenario import Keep, KeepClear, Pins
from shopfit.units import INCH_MM

from . import build as b


def _pinned(*keep: Keep, clear: tuple[KeepClear, ...] = ()):
    return b.scenario().model_copy(update={"pins": Pins(keep=keep, clear=clear)})


def _keep(**given: object) -> Keep:
    return Keep.model_validate(given)


def test_the_hand_drawn_layout_is_clean() -> None:
    """Every other test starts from a layout without faults."""
    assert b.codes(check(b.scenario(), b.layout())) == []


@pytest.mark.parametrize(("x", "found"), [(2219.2, []), (2219.2 - 0.02, ["overlap"])])
def test_cabinets_side_by_side_touch_but_do_not_overlap(x: float, found: list[str]) -> None:
    """Touching is fine; two hundredths of a millimetre are not (F1)."""
    layout = b.moved(b.layout(), "F2", x_mm=x, offset_mm=x)
    codes = b.codes(check(b.scenario(), layout))
    assert [code for code in codes if code == "overlap"] == found


def test_an_overlap_says_how_far_to_move() -> None:
    """The mend carries a number and a direction that cure the overlap."""
    layout = b.moved(b.layout(), "F2", x_mm=2219.2 - 25.4, offset_mm=2219.2 - 25.4)
    overlap = next(f for f in check(b.scenario(), layout) if f.code == "overlap")
    assert overlap.measured == pytest.approx(25.4)
    assert overlap.mend == 'Move F2 1" east.'
    assert "base cabinet F1 (base-48)" in overlap.subject


def test_a_fixture_outside_every_room_is_found() -> None:
    """A fixture that reaches out of the room is named with how far it reaches (F1)."""
    layout = b.moved(b.layout(), "F4", x_mm=-30.0)
    outside = next(f for f in check(b.scenario(), layout) if f.code == "outside-room")
    assert outside.measured == pytest.approx(30.0)
    assert outside.mend.endswith("east.")


@pytest.mark.parametrize(("y", "found"), [(300.0, False), (300.03, True), (330.0, True)])
def test_a_fixture_may_touch_a_column_but_not_stand_in_it(y: float, found: bool) -> None:
    """The column's south face is at y 300 (F1)."""
    extra = Placement(id="T", fixture="table-4", x_mm=500, y_mm=y, angle_deg=0)
    codes = b.codes(check(b.scenario(), b.added(b.layout(), extra)))
    assert ("overlap" in codes) is found


@pytest.mark.parametrize(("x", "found"), [(2600.0, False), (2600.03, True), (2700.0, True)])
def test_only_dividers_stand_in_the_staff_zone(x: float, found: bool) -> None:
    """The staff zone begins at x 3800; the table is 1200 wide (F8)."""
    layout = b.moved(b.layout(), "F4", x_mm=x, y_mm=1500.0)
    assert ("in-zone" in b.codes(check(b.scenario(), layout))) is found


@pytest.mark.parametrize(("height", "found"), [(1371.6, []), (1371.62, ["island-height"])])
def test_islands_are_at_most_as_tall_as_the_brief_allows(height: float, found: list[str]) -> None:
    """The default is 54 in, to keep sight of the shop (F9)."""
    scenario = b.refitted(b.scenario(), "table-4", height=height)
    assert b.codes(check(scenario, b.layout())) == found


def test_a_fixture_made_for_walls_does_not_stand_free() -> None:
    """What a fixture is made for is part of the catalogue."""
    scenario = b.refitted(b.scenario(), "table-4", stands=("wall",))
    assert b.codes(check(scenario, b.layout())) == ["stands"]


def test_a_pinned_fixture_that_is_too_tall_is_only_pointed_out() -> None:
    """What the user pinned is the user's choice (F9, F11)."""
    keep = _keep(fixture="table-4", at=b.mm(2000.0, 2700.0), angle=0)
    scenario = b.refitted(_pinned(keep), "table-4", height=1500.0)
    findings = check(scenario, b.moved(b.layout(), "F4", pinned=True))
    assert b.codes(findings) == []
    assert "island-height" in [f.code for f in findings if f.severity == "advice"]


@pytest.mark.parametrize(
    ("wanted", "found"),
    [
        ({"kind": "counter", "at_least": 1}, []),
        ({"kind": "counter", "at_least": 2}, ["wanted"]),
        ({"fixture": "base-48", "at_least": 2, "at_most": 2}, []),
        ({"fixture": "base-48", "at_most": 1}, ["wanted"]),
        ({"kind": "rack", "at_most": 0}, []),
    ],
)
def test_wanted_counts(wanted: dict[str, object], found: list[str]) -> None:
    """The brief's counts hold at both ends (F11)."""
    scenario = b.scenario(brief={**b.SHOP["brief"], "wanted": [wanted]})
    assert b.codes(check(scenario, b.layout())) == found


@pytest.mark.parametrize(
    ("available", "owned", "found"), [(1, 1, False), (0, 1, True), (2, 0, False)]
)
def test_no_more_fixtures_than_can_be_had(available: int, owned: int, found: bool) -> None:
    """Two cabinets stand in the layout; owned and available ones count together (F11)."""
    scenario = b.refitted(b.scenario(), "base-48", available=available, owned=owned)
    assert ("available" in b.codes(check(scenario, b.layout()))) is found


@pytest.mark.parametrize(
    ("keep", "found"),
    [
        ({"fixture": "base-48", "wall": "N", "offset": b.mm(1000.0)}, []),
        ({"fixture": "base-48", "wall": "N", "offset": b.mm(1000.02)}, ["pin-missing"]),
        ({"fixture": "case-48", "wall": "N", "offset": b.mm(1000.0)}, ["pin-missing"]),
        ({"fixture": "table-4", "at": b.mm(2000.0, 2700.0), "angle": 0}, []),
        ({"fixture": "table-4", "at": b.mm(2000.0, 2700.0), "angle": 360}, []),
        ({"fixture": "table-4", "at": b.mm(2000.0, 2700.0), "angle": 1}, ["pin-missing"]),
        ({"fixture": "base-48", "wall": "nowhere", "offset": b.mm(0.0)}, ["pin-missing"]),
    ],
)
def test_pins_are_kept_exactly(keep: dict[str, object], found: list[str]) -> None:
    """A pin that the layout moved is missing (F11)."""
    assert b.codes(check(_pinned(_keep(**keep)), b.layout())) == found


def test_two_equal_pins_want_two_fixtures() -> None:
    """One fixture cannot answer for two pins."""
    keep = _keep(fixture="table-4", at=b.mm(2000.0, 2700.0))
    assert b.codes(check(_pinned(keep, keep), b.layout())) == ["pin-missing"]


@pytest.mark.parametrize(("north", "found"), [(1900.0, []), (1900.03, ["keep-clear"])])
def test_nothing_stands_in_floor_kept_clear(north: float, found: list[str]) -> None:
    """The table's front is at y 1900 (F11)."""
    corners = [b.mm(2000.0, 1700.0), b.mm(3200.0, 1700.0), b.mm(3200.0, north), b.mm(2000.0, north)]
    clear = KeepClear.model_validate({"id": "hatch", "corners": corners})
    assert b.codes(check(_pinned(clear=(clear,)), b.layout())) == found


def test_a_mark_as_pinned_without_a_pin_is_pointed_out() -> None:
    """A layout may not call pinned what nobody pinned."""
    findings = check(b.scenario(), b.moved(b.layout(), "F4", pinned=True))
    assert [f.code for f in findings if f.code == "pin-unknown"] == ["pin-unknown"]


def test_mends_of_less_than_a_sixteenth_round_up() -> None:
    """A mend never reads as nought."""
    layout = b.moved(b.layout(), "F2", x_mm=2219.2 - 0.5, offset_mm=2218.7)
    overlap = next(f for f in check(b.scenario(), layout) if f.code == "overlap")
    assert overlap.mend == 'Move F2 1/16" east.'
    assert "0.50 mm" in overlap.message
    assert overlap.measured is not None
    assert overlap.measured < INCH_MM / 16
