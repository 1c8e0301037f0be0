"""Quantities as people write them, read exactly and written back."""

from __future__ import annotations

import contextlib
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfit import units
from shopfit.numerals import UnitError
from shopfit.units import (
    INCH_MM,
    LengthStyle,
    format_area,
    format_length,
    format_mass,
    format_pressure,
    parse_angle,
    parse_area,
    parse_length,
    parse_line_load,
    parse_mass,
    parse_pressure,
    parse_share,
)


@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("7' 8 1/2\"", 2349.5),
        ("7'8\"", 2336.8),
        ("7 ft 8 in", 2336.8),
        ("7ft", 2133.6),
        ("7' 8-1/2\"", 2349.5),
        ("7′ 8½″".replace("½", " 1/2"), 2349.5),
        ("92.5 in", 2349.5),
        ('3/4"', 19.05),
        ("1 1/2 in", 38.1),
        (".5 in", 12.7),
        ("2350 mm", 2350.0),
        ("235 cm", 2350.0),
        ("2.35 m", 2350.0),
        ("  2.35 M ", 2350.0),
        ("-3 in", -76.2),
        ("−3 in", -76.2),
        ("-1' 6\"", -457.2),
        ("0", 0.0),
        (0, 0.0),
        (0.0, 0.0),
        ("0.1 in", 2.54),
    ],
)
def test_lengths_are_read_exactly(text: object, millimetres: float) -> None:
    """Inches are exactly 25.4 mm in every notation of the trade."""
    assert parse_length(text) == millimetres


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("92", "has no unit"),
        (92, "has no unit"),
        ("1 1/2", "has no unit"),
        ("92 yd", "unknown unit 'yd'"),
        ("wide", "is not a length"),
        ("", "nothing given"),
        ("1/0 in", "divides by nought"),
        ("nan in", "is not a length"),
        ("inf mm", "is not a length"),
        (math.nan, "is not a length"),
        (math.inf, "is not a length"),
        ("1e3 mm", "is not a length"),
        ("1,5 m", "is not a length"),
        ("7' 8' ", "is not a length"),
        (True, "is not a length"),
        (None, "is not a length"),
        (["1 in"], "is not a length"),
        ("9" * 41 + " in", "is not a length"),
    ],
)
def test_what_is_no_length_is_refused(text: object, said: str) -> None:
    """The message names what was written and what may be written."""
    with pytest.raises(UnitError, match=said):
        parse_length(text)


@pytest.mark.parametrize(
    ("millimetres", "style", "text"),
    [
        (2349.5, "ft-in", "7' 8 1/2\""),
        (2336.8, "ft-in", "7' 8\""),
        (3657.6, "ft-in", "12' 0\""),
        (304.8 - 0.01, "ft-in", "1' 0\""),
        (19.05, "ft-in", '3/4"'),
        (38.1, "in", '1 1/2"'),
        (2349.5, "in", '92 1/2"'),
        (-76.2, "ft-in", '-3"'),
        (-0.1, "ft-in", '0"'),
        (0.0, "ft-in", '0"'),
        (2349.5, "mm", "2350 mm"),
        (2349.4, "mm", "2349 mm"),
        (2349.6, "m", "2.350 m"),
        (-0.1, "mm", "0 mm"),
        (-0.1, "m", "0.000 m"),
    ],
)
def test_lengths_are_written_as_chosen(millimetres: float, style: LengthStyle, text: str) -> None:
    """Inches go to the nearest sixteenth in lowest terms, metres to the millimetre."""
    assert format_length(millimetres, style) == text


@given(st.integers(-20_000, 20_000), st.sampled_from(["ft-in", "in"]))
def test_sixteenths_survive_the_round_trip(sixteenths: int, style: LengthStyle) -> None:
    """What is printed may be typed in again and means the same."""
    length = sixteenths * INCH_MM / 16
    assert parse_length(format_length(length, style)) == pytest.approx(length, abs=1e-9)


@given(st.integers(-9_999_999, 9_999_999), st.sampled_from(["mm", "m"]))
def test_millimetres_survive_the_round_trip(length: int, style: LengthStyle) -> None:
    """The same holds beside metres."""
    assert parse_length(format_length(length, style)) == pytest.approx(length, abs=1e-9)


@given(st.text(max_size=50))
def test_any_text_is_a_length_or_refused(text: str) -> None:
    """No text leads to anything but a finite number or a refusal."""
    with contextlib.suppress(UnitError):
        assert math.isfinite(parse_length(text))


@pytest.mark.parametrize(
    ("text", "kilograms"),
    [("5 lb", 2.26796185), ("16 oz", 0.45359237), ("350 g", 0.35), ("2.3 kg", 2.3), ("0", 0.0)],
)
def test_masses_are_read(text: str, kilograms: float) -> None:
    """The pound is exactly 0.45359237 kg (international agreement of 1959)."""
    assert parse_mass(text) == pytest.approx(kilograms, rel=1e-12)


@pytest.mark.parametrize("text", ["5", "5 stone", "lb", "5 in"])
def test_what_is_no_mass_is_refused(text: str) -> None:
    """A mass without a unit of mass is refused."""
    with pytest.raises(UnitError):
        parse_mass(text)


@pytest.mark.parametrize(
    ("text", "kilograms_per_metre"),
    [("30 lb/ft", 30 * 0.45359237 / 0.3048), ("45 kg/m", 45.0), ("1 lb/in", 0.45359237 / 0.0254)],
)
def test_loads_per_length_are_read(text: str, kilograms_per_metre: float) -> None:
    """Both units are read."""
    assert parse_line_load(text) == pytest.approx(kilograms_per_metre, rel=1e-12)


@pytest.mark.parametrize("text", ["30 lb", "30 lb/", "30 lb/yd", "/ft", "30/ft", 0])
def test_what_is_no_load_per_length_is_refused(text: object) -> None:
    """Either unit missing is refused."""
    with pytest.raises(UnitError, match=r"load per length|mass|nothing|unit"):
        parse_line_load(text)


@pytest.mark.parametrize(
    ("text", "square_metres"),
    [("32 sq ft", 32 * 0.3048**2), ("3 m2", 3.0), ("2 1/2 sq m", 2.5), ("10 ft²", 0.9290304)],
)
def test_areas_are_read(text: str, square_metres: float) -> None:
    """A foot is exactly 0.3048 m (international agreement of 1959)."""
    assert parse_area(text) == pytest.approx(square_metres, rel=1e-12)


@pytest.mark.parametrize("text", ["3", "3 m", "-3 m2", "sq ft", "x sq ft", "1e9 m2", None])
def test_what_is_no_area_is_refused(text: object) -> None:
    """An area has a unit of area and is not under nought."""
    with pytest.raises(UnitError, match="an area"):
        parse_area(text)


def test_areas_are_written_beside_the_lengths() -> None:
    """Square feet go with inches and square metres with metres."""
    assert format_area(2.97289728, "ft-in") == "32.0 sq ft"
    assert format_area(2.97289728, "m") == "2.97 m²"


@pytest.mark.parametrize(("text", "share"), [("10 %", 0.1), ("0.1", 0.1), (0, 0.0), ("100%", 1.0)])
def test_shares_are_read(text: object, share: float) -> None:
    """A part of the whole is a percentage or a number up to 1."""
    assert parse_share(text) == pytest.approx(share)


@pytest.mark.parametrize("text", ["10", "-1 %", "101 %", "nan", "inf", "ten", None])
def test_what_is_no_share_is_refused(text: object) -> None:
    """More than the whole, less than nothing and no number are refused."""
    with pytest.raises(UnitError, match="part of the whole"):
        parse_share(text)


@pytest.mark.parametrize(("text", "degrees"), [("90", 90.0), (45, 45.0), ("-22.5 deg", -22.5)])
def test_angles_are_read(text: object, degrees: float) -> None:
    """Degrees need no unit and may have one."""
    assert parse_angle(text) == degrees


@pytest.mark.parametrize("text", ["nan", "inf", "right", True, None, math.inf])
def test_what_is_no_angle_is_refused(text: object) -> None:
    """An angle is a finite number."""
    with pytest.raises(UnitError, match="an angle in degrees"):
        parse_angle(text)


def test_masses_are_written_beside_the_lengths() -> None:
    """Pounds go with inches and kilograms with metres."""
    assert format_mass(2.26796185, "ft-in") == "5.0 lb"
    assert format_mass(2.26796185, "m") == "2.27 kg"


@pytest.mark.parametrize(
    ("text", "kilopascals"),
    [("100 psf", 4.78802589803), ("100 lb/sq ft", 4.78802589803), ("4.8 kPa", 4.8), ("5 kN/m2", 5)],
)
def test_loads_per_area(text: str, kilopascals: float) -> None:
    """A pound of force on a square foot is 47.88 Pa."""
    assert parse_pressure(text) == pytest.approx(kilopascals, rel=1e-9)


@pytest.mark.parametrize("text", ["100", "100 lb", "psf", "-5 kPa", "", "5 psf/ft"])
def test_loads_per_area_that_are_none(text: str) -> None:
    """What is no load per area is refused with what is allowed."""
    with pytest.raises(UnitError, match="100 psf"):
        parse_pressure(text)


def test_loads_per_area_are_written_in_the_units_of_the_shop() -> None:
    """Pounds per square foot beside inches, kPa beside metres."""
    assert format_pressure(4.78802589803) == "100.0 psf"
    assert format_pressure(4.78802589803, "mm") == "4.79 kPa"


@pytest.mark.parametrize(
    ("given", "slope"),
    [("1:48", 1 / 48), ("1:12", 1 / 12), ("2 %", 0.02), ("2%", 0.02), ("0", 0.0), (0.05, 0.05)],
)
def test_slopes_are_read_as_rise_over_run(given: object, slope: float) -> None:
    """The ways that people write a slope."""
    assert units.parse_slope(given) == pytest.approx(slope)


@pytest.mark.parametrize("given", ["", "steep", "1:0", "1:x", "-1:48", "-2 %", None, True, "nan"])
def test_what_is_no_slope_is_refused(given: object) -> None:
    """With what may be written instead."""
    with pytest.raises(units.UnitError):
        units.parse_slope(given)


@pytest.mark.parametrize(
    ("given", "force"), [("5 lbf", 22.2411), ("22.2 N", 22.2), ("0", 0.0), ("1/2 lbf", 2.22411)]
)
def test_forces_are_read_in_newtons(given: object, force: float) -> None:
    """A pound-force is a pound under standard gravity."""
    assert units.parse_force(given) == pytest.approx(force, rel=1e-5)


@pytest.mark.parametrize("given", ["5", "5 lb", "lbf", ""])
def test_what_is_no_force_is_refused(given: object) -> None:
    """A mass is no force."""
    with pytest.raises(units.UnitError):
        units.parse_force(given)


def test_slopes_and_forces_are_written_for_people() -> None:
    """As they are printed in the clauses."""
    assert units.format_slope(1 / 48) == "1:48"
    assert units.format_slope(0.0) == "level"
    assert units.format_force(22.2411, "ft-in") == "5 lbf"
    assert units.format_force(22.2411, "mm") == "22.2 N"


@pytest.mark.parametrize(
    ("number", "written"), [(99.96, "100"), (999.4, "999"), (999.6, "1000"), (12345.0, "12345")]
)
def test_gentle_slopes_and_large_forces_have_no_powers_of_ten(number: float, written: str) -> None:
    """At a thousand and over, whole numbers."""
    assert units.format_slope(1 / number) == f"1:{written}"
    assert units.format_force(number, "mm") == f"{written} N"
