"""Lengths, masses and angles as people write them, and the one tolerance of the house."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from shopfit.numerals import NUMBER, UnitError, is_zero, number_of, plain_text, scaled, unsigned

INCH_MM = 25.4
FOOT_MM = 304.8
POUND_KG = 0.45359237  # exact by the international yard and pound agreement of 1959
POUND_FORCE_N = POUND_KG * 9.80665  # by standard gravity (3rd CGPM, 1901)
TOLERANCE_MM = 0.01

LengthStyle = Literal["ft-in", "in", "mm", "m"]

_LENGTH_FACTORS = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "in": INCH_MM,
    '"': INCH_MM,
    "ft": FOOT_MM,
    "'": FOOT_MM,
}
_MASS_FACTORS = {"kg": 1.0, "g": 0.001, "lb": POUND_KG, "lbs": POUND_KG, "oz": POUND_KG / 16}
_FORCE_FACTORS = {"n": 1.0, "lbf": POUND_FORCE_N}
_AREA_FACTORS = {
    "sq m": 1.0,
    "m2": 1.0,
    "m²": 1.0,
    "sq ft": 0.09290304,
    "ft2": 0.09290304,
    "ft²": 0.09290304,
}
# kPa.
_PRESSURE_FACTORS = {
    "kpa": 1.0,
    "kn/m2": 1.0,
    "kn/m²": 1.0,
    "psf": POUND_FORCE_N / 92.90304,
    "lb/sq ft": POUND_FORCE_N / 92.90304,
}
_PER_LENGTH_METRES = {"m": 1.0, "ft": 0.3048, "in": 0.0254}

_FEET_INCHES = re.compile(
    rf"^(?P<sign>-?)\s*(?P<feet>{NUMBER})\s*(?:'|ft)\s*-?\s*(?:(?P<inches>{NUMBER})\s*(?:\"|in))?$"
)

LENGTH_HELP = "a length with its unit, such as 7' 8 1/2\", 92.5 in, 2350 mm or 2.35 m"
MASS_HELP = "a mass with its unit, such as 12 oz, 5 lb, 350 g or 2.3 kg"
LINE_LOAD_HELP = "a load per length, such as 30 lb/ft or 45 kg/m"
ANGLE_HELP = "an angle in degrees, such as 90 or 90 deg"
SLOPE_HELP = "a slope, such as 1:48, 2 % or 0"
AREA_HELP = "an area with its unit, such as 32 sq ft or 3 m2"
SHARE_HELP = "a part of the whole, such as 10 % or 0.1"
PRESSURE_HELP = "a load per area, such as 100 psf or 4.8 kPa"
FORCE_HELP = "a force with its unit, such as 5 lbf or 22 N"


def parse_length(given: object) -> float:
    """Read a length in trade notation.

    Parameters
    ----------
    given
        Text such as ``7' 8 1/2"``, ``92.5 in``, ``2350 mm`` or ``2.35 m``; a bare zero is allowed.

    Returns
    -------
    Millimetres.

    Raises
    ------
    UnitError
        If the unit is missing or the text is not a finite length.
    """
    return _length(plain_text(given, LENGTH_HELP))


# A range of 100,000 rows holds few different lengths.
@lru_cache(maxsize=10_000)
def _length(text: str) -> float:
    if is_zero(text):
        return 0.0
    both = _FEET_INCHES.match(text)
    if both:
        feet = number_of(both["feet"])
        inches = number_of(both["inches"]) if both["inches"] else Fraction(0)
        length = float((feet * 12 + inches) * Fraction("25.4"))
        return -length if both["sign"] else length
    return scaled(text, _LENGTH_FACTORS, LENGTH_HELP)


def parse_mass(given: object) -> float:
    """Read a mass such as ``5 lb`` or ``350 g``.

    Returns
    -------
    Kilograms.

    Raises
    ------
    UnitError
        If the unit is missing or unknown.
    """
    return _mass(plain_text(given, MASS_HELP))


@lru_cache(maxsize=10_000)
def _mass(text: str) -> float:
    return 0.0 if is_zero(text) else scaled(text, _MASS_FACTORS, MASS_HELP)


def parse_line_load(given: object) -> float:
    """Read a load per length such as ``30 lb/ft`` or ``45 kg/m``.

    Returns
    -------
    Kilograms per metre.

    Raises
    ------
    UnitError
        If either unit is missing or unknown.
    """
    text = plain_text(given, LINE_LOAD_HELP)
    mass, slash, per = text.partition("/")
    metres = _PER_LENGTH_METRES.get(per.strip())
    if not slash or metres is None:
        raise UnitError(f"{given!r} is not {LINE_LOAD_HELP}")
    return scaled(mass.strip(), _MASS_FACTORS, LINE_LOAD_HELP) / metres


def parse_pressure(given: object) -> float:
    """Read a load per area such as ``100 psf`` or ``4.8 kPa``.

    Returns
    -------
    Kilopascals.

    Raises
    ------
    UnitError
        If the unit is missing or unknown.
    """
    return unsigned(plain_text(given, PRESSURE_HELP), _PRESSURE_FACTORS, PRESSURE_HELP)


def parse_angle(given: object) -> float:
    """Read an angle in degrees.

    Raises
    ------
    UnitError
        If it is not a finite number of degrees.
    """
    if isinstance(given, bool) or not isinstance(given, int | float | str):
        raise UnitError(f"{given!r} is not {ANGLE_HELP}")
    text = str(given).strip().removesuffix("deg").removesuffix("°").strip()
    try:
        angle = float(text)
    except ValueError:
        raise UnitError(f"{given!r} is not {ANGLE_HELP}") from None
    if not math.isfinite(angle):
        raise UnitError(f"{given!r} is not {ANGLE_HELP}")
    return angle


def parse_slope(given: object) -> float:
    """Read a slope such as ``1:48`` or ``2 %``; a bare number is rise over run.

    Returns
    -------
    Rise over run.

    Raises
    ------
    UnitError
        If it is no such slope, or falls.
    """
    text = plain_text(given, SLOPE_HELP)
    rise, colon, run = text.partition(":")
    percent = text.endswith("%")
    try:
        slope = float(rise) / float(run) if colon else float(text.rstrip("% "))
    except (ValueError, ZeroDivisionError):
        raise UnitError(f"{given!r} is not {SLOPE_HELP}") from None
    if not math.isfinite(slope) or slope < 0:
        raise UnitError(f"{given!r} is not {SLOPE_HELP}")
    return slope / 100 if percent else slope


def parse_force(given: object) -> float:
    """Read a force such as ``5 lbf`` or ``22 N``.

    Returns
    -------
    Newtons.

    Raises
    ------
    UnitError
        If the unit is missing or unknown.
    """
    text = plain_text(given, FORCE_HELP)
    return 0.0 if is_zero(text) else scaled(text, _FORCE_FACTORS, FORCE_HELP)


def parse_area(given: object) -> float:
    """Read an area such as ``32 sq ft`` or ``3 m2``.

    Returns
    -------
    Square metres.

    Raises
    ------
    UnitError
        If the unit is missing or unknown.
    """
    return unsigned(plain_text(given, AREA_HELP), _AREA_FACTORS, AREA_HELP)


def parse_share(given: object) -> float:
    """Read a part of the whole such as ``10 %``; a bare number is the part itself.

    Raises
    ------
    UnitError
        If it is no number from 0 to 1.
    """
    text = plain_text(given, SHARE_HELP)
    try:
        share = float(text.rstrip("% ")) / (100 if text.endswith("%") else 1)
    except ValueError:
        raise UnitError(f"{given!r} is not {SHARE_HELP}") from None
    if not 0 <= share <= 1:
        raise UnitError(f"{given!r} is not {SHARE_HELP}")
    return share


def format_area(area_m2: float, style: LengthStyle = "ft-in") -> str:
    """Write an area, square metres, in square feet beside inches.

    Parameters
    ----------
    area_m2
        Square metres.
    style
        The length style of the shop.
    """
    if style in ("ft-in", "in"):
        return f"{area_m2 / _AREA_FACTORS['sq ft']:.1f} sq ft"
    return f"{area_m2:.2f} m²"


def format_slope(slope: float) -> str:
    """Write a slope, rise over run, as 1 in so many."""
    return "level" if slope < 1e-9 else f"1:{_three_digits(1 / slope)}"


def format_force(force_n: float, style: LengthStyle = "ft-in") -> str:
    """Write a force, newtons, in pounds beside inches.

    Parameters
    ----------
    force_n
        Newtons.
    style
        The length style of the shop.
    """
    if style in ("ft-in", "in"):
        return f"{_three_digits(force_n / POUND_FORCE_N)} lbf"
    return f"{_three_digits(force_n)} N"


def format_length(length_mm: float, style: LengthStyle = "ft-in") -> str:
    """Write a length the way the user chose.

    Parameters
    ----------
    length_mm
        Millimetres.
    style
        ``ft-in`` and ``in`` round to 1/16 in, ``mm`` to 1 mm, ``m`` to 1 mm.
    """
    if style == "mm":
        return f"{length_mm:z.0f} mm"
    if style == "m":
        return f"{length_mm / 1000:z.3f} m"
    sixteenths = round(abs(length_mm) / INCH_MM * 16)
    sign = "-" if length_mm < 0 and sixteenths else ""
    inches, part = divmod(sixteenths, 16)
    fraction = f"{Fraction(part, 16)}" if part else ""
    if style == "in" or inches < 12:
        return sign + _join_inches(inches, fraction)
    feet, inches = divmod(inches, 12)
    rest = _join_inches(inches, fraction) if inches or fraction else '0"'
    return f"{sign}{feet}' {rest}"


def format_mass(mass_kg: float, style: LengthStyle = "ft-in") -> str:
    """Write a mass in pounds beside inches, in kilograms beside metres.

    Parameters
    ----------
    mass_kg
        Kilograms.
    style
        The length style of the shop.
    """
    if style in ("ft-in", "in"):
        return f"{mass_kg / POUND_KG:.1f} lb"
    return f"{mass_kg:.2f} kg"


def format_line_load(load_kg_per_m: float, style: LengthStyle = "ft-in") -> str:
    """Write a load per length in pounds per foot beside inches, in kg per metre beside metres.

    Parameters
    ----------
    load_kg_per_m
        Kilograms per metre.
    style
        The length style of the shop.
    """
    if style in ("ft-in", "in"):
        return f"{load_kg_per_m / POUND_KG * _PER_LENGTH_METRES['ft']:.1f} lb/ft"
    return f"{load_kg_per_m:.1f} kg/m"


def format_pressure(pressure_kpa: float, style: LengthStyle = "ft-in") -> str:
    """Write a load per area in pounds per square foot beside inches, in kPa beside metres.

    Parameters
    ----------
    pressure_kpa
        Kilopascals.
    style
        The length style of the shop.
    """
    if style in ("ft-in", "in"):
        return f"{pressure_kpa / _PRESSURE_FACTORS['psf']:.1f} psf"
    return f"{pressure_kpa:.2f} kPa"


def _three_digits(number: float) -> str:
    """Write a number to three digits, all of them where it is larger; never as a power of ten."""
    return f"{number:.0f}" if number >= 999.5 else f"{number:.3g}"


def _join_inches(inches: int, fraction: str) -> str:
    if fraction and inches:
        return f'{inches} {fraction}"'
    return f'{fraction or inches}"'
