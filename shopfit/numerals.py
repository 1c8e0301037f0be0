"""Numbers with a unit behind them, as people write them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction

NUMBER = r"(?:\d+\s*[-\s]\s*\d+/\d+|\d+/\d+|\d+(?:\.\d+)?|\.\d+)"
_SINGLE = re.compile(rf"^(?P<sign>-?)\s*(?P<number>{NUMBER})\s*(?P<unit>[a-z\"']+)$")
_PRIMES = str.maketrans({"′": "'", "’": "'", "″": '"', "”": '"', "“": '"', "−": "-"})


class UnitError(ValueError):
    """A quantity that cannot be read; the message says what is allowed."""


def plain_text(given: object, allowed: str) -> str:
    """Give what was written in small letters with plain primes.

    Raises
    ------
    UnitError
        If it is neither text nor number, empty or far too long; told with what is allowed.
    """
    if isinstance(given, bool) or not isinstance(given, int | float | str):
        raise UnitError(f"{given!r} is not {allowed}")
    text = str(given).translate(_PRIMES).strip().lower()
    if not text:
        raise UnitError(f"nothing given; wanted {allowed}")
    if len(text) > 40:
        raise UnitError(f"{text[:40]!r}… is not {allowed}")
    return text


def is_zero(text: str) -> bool:
    """Say whether it is a bare nought, which needs no unit."""
    return text in ("0", "0.0", "-0.0")


def number_of(text: str) -> Fraction:
    """Read a number with or without a fraction, such as ``8 1/2``.

    Raises
    ------
    UnitError
        If its fraction divides by nought.
    """
    total = Fraction(0)
    for part in re.split(r"\s*-\s*|\s+", text.strip()):
        if part.endswith("/0"):
            raise UnitError(f"{text!r} divides by nought")
        total += Fraction(part)
    return total


def unsigned(text: str, factors: Mapping[str, float], allowed: str) -> float:
    """Read a number not under nought in one of some units, which may be of several signs."""
    known = "|".join(re.escape(unit) for unit in factors)
    match = re.fullmatch(rf"(?P<number>{NUMBER})\s*(?P<unit>{known})", text)
    if match is None:
        bare = re.fullmatch(rf"-?\s*{NUMBER}", text)
        raise UnitError(f"{text!r} {'has no unit; write' if bare else 'is not'} {allowed}")
    return float(number_of(match["number"]) * Fraction(str(factors[match["unit"]])))


def scaled(text: str, factors: Mapping[str, float], allowed: str) -> float:
    """Read a number, perhaps under nought, in one of some units of letters or a prime.

    Raises
    ------
    UnitError
        If the unit is missing or none of these; told with what is allowed.
    """
    match = _SINGLE.match(text)
    if match is None:
        if re.fullmatch(rf"-?\s*{NUMBER}", text):
            raise UnitError(f"{text!r} has no unit; write {allowed}")
        raise UnitError(f"{text!r} is not {allowed}")
    factor = factors.get(match["unit"])
    if factor is None:
        raise UnitError(f"{text!r} has an unknown unit {match['unit']!r}; write {allowed}")
    # Fractions keep 7 ft 8 in at exactly 2336.8 mm.
    size = float(number_of(match["number"]) * Fraction(str(factor)))
    return -size if match["sign"] else size
