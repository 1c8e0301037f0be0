"""Draws the range: categories of goods, their sizes, and how many facings are wanted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from shopfit.bench.capacity import Capacity, hangs, wanted_area
from shopfit.bench.dice import Dice, inches, pounds
from shopfit.bench.sizes import (
    LARGEST,
    MINIMUMS_SHARE,
    MOST_FACINGS,
    USUAL_FACINGS,
    Size,
    Span,
)
from shopfit.model.range import Line, Way
from shopfit.units import INCH_MM


@dataclass(frozen=True)
class Goods:
    """A kind of goods: the ranges its lines are drawn from.

    Parameters
    ----------
    width, height, depth
        Of a facing, in.
    weight
        Of a unit, lb.
    ways
        Ways of display, the usual first.
    share
        How often a category is of this kind among those of its pool.
    """

    width: Span
    height: Span
    depth: Span
    weight: Span
    ways: tuple[Way, ...]
    share: float


# Usual sizes of packed goods (common practice, no source).
HUNG = (
    Goods((2.5, 6), (4, 12), (0.5, 3), (0.1, 1.2), ("hook",), 0.55),
    Goods((3, 7), (4, 9), (1, 3), (0.2, 1), ("hook", "shelf"), 0.2),
    Goods((8, 14), (12, 20), (0.5, 1.25), (0.3, 0.8), ("face-out",), 0.15),
    Goods((14, 22), (3, 6), (3, 6), (0.5, 3), ("cradle", "shelf"), 0.1),
)
STOOD = (
    Goods((3, 6), (3, 8), (3, 6), (0.4, 1.6), ("shelf",), 0.45),
    Goods((6, 12), (3, 10), (4, 10), (0.6, 3), ("shelf",), 0.25),
    Goods((5, 10), (8, 12), (0.5, 2), (0.3, 1.2), ("shelf",), 0.15),
    Goods((6, 12), (3, 7), (6, 10), (0.5, 2.5), ("shelf", "table"), 0.15),
)
LOCKED = Goods((2.5, 5), (2.5, 6), (2, 4), (0.1, 0.5), ("case",), 1.0)

TALLEST_HUNG, TALLEST_STOOD, WIDEST = 20.0, 12.25, 22.0  # in, however much larger
VALUE: Span = (1, 60)
HOLDING_FACTOR = 2  # units wanted for each facing of the minimum, at most


@dataclass(frozen=True)
class _Draft:
    line: Line
    liked: float


def goods(dice: Dice, size: Size, room: Capacity, scarcity: float, lines: int) -> tuple[Line, ...]:
    """Draw the lines of a range.

    Parameters
    ----------
    dice, size
        The source and the size of shop.
    room
        What the shell can give.
    scarcity
        Face wanted over face that the shell can give; most facings are scaled to reach it.
    lines
        How many.
    """
    kinds = _categories(dice, size, room)
    secured = max(1, round(size.secured * lines)) if size.secured else 0
    drafts = [
        _draft(dice, size, kinds[k % len(kinds)], k, locked=k >= lines - secured)
        for k in range(lines)
    ]
    open_ = [d for d in drafts if not d.line.secured]
    hung, stood = [d for d in open_ if hangs(d.line)], [d for d in open_ if not hangs(d.line)]
    drafts = [
        *_scaled(_larger(hung, room.slat * scarcity), room.slat * scarcity),
        *_scaled(_larger(stood, room.shelf * scarcity), room.shelf * scarcity),
        *(d for d in drafts if d.line.secured),
    ]
    ordered = sorted((d.line for d in drafts), key=lambda line: (line.category, line.line))
    return _few_minimums(ordered, room)


def _categories(dice: Dice, size: Size, room: Capacity) -> list[tuple[str, Goods]]:
    """Draw categories, hung and stood in the proportion of their faces."""
    count = size.categories
    hung = min(count - 1, max(1, round(count * room.slat / room.total)))
    kinds = [_weighted(dice, HUNG) for _ in range(hung)]
    kinds += [_weighted(dice, STOOD) for _ in range(count - hung)]
    return [(f"Category {k + 1:03d}", _within(dice, kind)) for k, kind in enumerate(kinds)]


def _weighted(dice: Dice, kinds: Sequence[Goods]) -> Goods:
    left = dice.part() * sum(kind.share for kind in kinds)
    for kind in kinds:
        left -= kind.share
        if left <= 0:
            return kind
    return kinds[-1]


def _within(dice: Dice, kind: Goods) -> Goods:
    """Narrow a kind to the goods of one category: about half of each range."""

    def half(span: Span) -> Span:
        low, high = span
        start = low + dice.part() * (high - low) / 2
        return (start, start + (high - low) / 2)

    return replace(kind, width=half(kind.width), height=half(kind.height), depth=half(kind.depth))


def _draft(
    dice: Dice, size: Size, category: tuple[str, Goods], number: int, locked: bool
) -> _Draft:
    name, kind = category
    kind = LOCKED if locked else kind
    fewest = dice.pick((0, 1, 1, 1, 1, 1, 2))
    tall = dice.between(kind.height, 0.25)
    # Goods in a band hang or stand on walls, where that height is.
    eye = not locked and dice.happens(size.eye) and kind.ways[0] in ("hook", "face-out")
    weight = dice.between(kind.weight)
    holding = dice.whole(0, HOLDING_FACTOR * fewest) if dice.happens(0.4) else 0
    line = Line(
        line=f"Line {number + 1:04d}",
        category=name,
        width=inches(dice.between(kind.width, 0.25)),
        height=inches(tall),
        depth=inches(dice.between(kind.depth, 0.25)),
        weight=pounds(weight),
        min_facings=min(fewest, 1) if locked or eye else fewest,
        max_facings=dice.whole(2, 4),
        holding=0 if locked else min(holding, fewest),
        value=round(dice.between(VALUE), 2),
        ways=kind.ways,
        band="eye" if eye else None,
        secured=locked,
    )
    return _Draft(line, dice.between((0.5, 1.5)))


def _larger(drafts: list[_Draft], room: float) -> list[_Draft]:
    """Draw goods of one pool larger where lines would need more than the usual facings."""
    if not drafts:
        return []
    usual = sum(USUAL_FACINGS * wanted_area(d.line, hangs(d.line)) for d in drafts)
    factor = min(LARGEST, max(1.0, (room / usual) ** 0.5))

    def size(line: Line) -> Line:
        tallest = TALLEST_HUNG if hangs(line) else TALLEST_STOOD
        tall = max(line.height, min(factor * line.height, tallest * INCH_MM))
        widest = max(line.width, min(factor * line.width, WIDEST * INCH_MM))
        return line.model_copy(update={"width": _eighths(widest), "height": _eighths(tall)})

    return [_Draft(size(d.line), d.liked) for d in drafts]


def _eighths(length: float) -> float:
    return round(length / INCH_MM * 8) / 8 * INCH_MM


def _scaled(drafts: list[_Draft], room: float) -> list[_Draft]:
    """Set the most facings of one pool so that they ask for so much of its face, mm²."""
    areas = [wanted_area(d.line, hangs(d.line)) for d in drafts]

    def most(factor: float) -> list[int]:
        return [
            min(MOST_FACINGS, max(1, d.line.min_facings, round(factor * d.liked))) for d in drafts
        ]

    low, high = 0.0, 40.0
    for _ in range(40):
        middle = (low + high) / 2
        asked = sum(a * m for a, m in zip(areas, most(middle), strict=True))
        low, high = (middle, high) if asked < room else (low, middle)
    return [
        _Draft(d.line.model_copy(update={"max_facings": m}), d.liked)
        for d, m in zip(drafts, most(high), strict=True)
    ]


def _few_minimums(lines: Sequence[Line], room: Capacity) -> tuple[Line, ...]:
    """Take minimums away, last lines first, until they ask for less than their share."""
    asked = sum(
        line.min_facings * wanted_area(line, hangs(line)) for line in lines if not line.secured
    )
    kept = list(lines)
    for k in range(len(kept) - 1, -1, -1):
        if asked <= MINIMUMS_SHARE * room.total:
            break
        line = kept[k]
        if not line.secured:
            asked -= line.min_facings * wanted_area(line, hangs(line))
            kept[k] = line.model_copy(update={"min_facings": 0, "holding": 0})
    return tuple(kept)
