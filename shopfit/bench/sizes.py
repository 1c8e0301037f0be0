"""The five sizes of shop that are drawn, with the ranges that every number is drawn from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

SizeName = Literal["stall", "narrow", "corner", "store", "hall"]
SIZES: tuple[str, ...] = get_args(SizeName)  # small ones first

Span = tuple[float, float]
SCARCITY: Span = (0.85, 1.25)
MOST_FACINGS = 24  # of one line; the usual is 2 to 10
USUAL_FACINGS = 5.0  # goods are drawn larger, up to LARGEST times, where lines would need more
LARGEST = 1.5
MINIMUMS_SHARE = 0.4  # of the room, so that layouts exist


@dataclass(frozen=True)
class Size:
    """What a size of shop is drawn from; lengths in inches, areas in square feet.

    Parameters
    ----------
    name
        Its name.
    lines, categories
        How many the range has.
    step
        Step of the positions tried, in.
    seconds
        Default time budget of a solve.
    area
        Floor area, sq ft.
    height
        Height of the room, in.
    aisle, staff_aisle
        Of the brief, in.
    wall_depth
        Depth of fixtures against walls, in.
    cases
        Most glass cases that can be had.
    secured
        Part of the lines that is locked in them.
    eye
        Part of the lines that wants the height band ``eye``.
    islands
        Whether fixtures may stand away from walls.
    filled
        What such shops held in short solves, over the plain estimate of their faces.
    """

    name: SizeName
    lines: int
    categories: int
    step: float
    seconds: float
    area: Span
    height: Span
    aisle: Span
    staff_aisle: float
    wall_depth: Span
    cases: int
    secured: float
    eye: float
    islands: bool
    filled: float


# Usual sizes of small shops and of their fixtures (common practice, no source).
_TABLE = (
    Size(
        name="stall",
        lines=10,
        categories=2,
        step=6,
        seconds=10,
        area=(88, 125),
        height=(90, 96),
        aisle=(36, 40),
        staff_aisle=32,
        wall_depth=(14, 18),
        cases=1,
        secured=0.1,
        eye=0.1,
        islands=False,
        filled=1.2,
    ),
    Size(
        name="narrow",
        lines=60,
        categories=8,
        step=6,
        seconds=10,
        area=(285, 380),
        height=(92, 102),
        aisle=(36, 42),
        staff_aisle=32,
        wall_depth=(12, 16),
        cases=2,
        secured=0.05,
        eye=0.08,
        islands=False,
        filled=1.0,
    ),
    Size(
        name="corner",
        lines=120,
        categories=12,
        step=6,
        seconds=30,
        area=(700, 1_000),
        height=(102, 120),
        aisle=(38, 44),
        staff_aisle=34,
        wall_depth=(16, 18),
        cases=3,
        secured=0.05,
        eye=0.08,
        islands=True,
        filled=0.78,
    ),
    Size(
        name="store",
        lines=1_200,
        categories=40,
        step=12,
        seconds=120,
        area=(5_600, 6_400),
        height=(120, 144),
        aisle=(44, 50),
        staff_aisle=36,
        wall_depth=(16, 20),
        cases=10,
        secured=0.04,
        eye=0.05,
        islands=True,
        filled=0.8,
    ),
    Size(
        name="hall",
        lines=5_000,
        categories=100,
        step=24,
        seconds=600,
        area=(18_500, 21_500),
        height=(144, 192),
        aisle=(48, 54),
        staff_aisle=36,
        wall_depth=(16, 20),
        cases=24,
        secured=0.03,
        eye=0.04,
        islands=True,
        filled=0.8,
    ),
)
BY_NAME = {size.name: size for size in _TABLE}


def size_named(name: str) -> Size:
    """Give a size by name.

    Raises
    ------
    ValueError
        If there is none of that name.
    """
    for size in _TABLE:
        if size.name == name:
            return size
    raise ValueError(f"{name!r} is no size; allowed: {', '.join(SIZES)}")
