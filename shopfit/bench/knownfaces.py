"""Cuts faces exactly into blocks, rows and facings, and makes the lines that these are of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

from shopfit.bench.dice import Dice, inches, pounds
from shopfit.model.fixtures import Side
from shopfit.model.layout import Block, Row, Slot
from shopfit.model.range import Line, Way
from shopfit.units import INCH_MM

# All widths are whole numbers of this, so that facings fill rows exactly, in.
UNIT = 0.75
MOST_FACINGS = 24
ROW_HEIGHTS = 3  # different heights of rows in a category, at most
_NARROWEST = 4  # of a line, in units
Home = Literal["shelf", "case", "slat"]


@dataclass(frozen=True)
class Face:
    """A face to be cut; lengths in inches.

    Parameters
    ----------
    host, side
        Tag of its fixture or run, and the side.
    home
        What kind of face it is.
    width, bottom, pitch, levels
        Its width, the height of its lowest level, the step of levels and their number.
    """

    host: str
    side: Side
    home: Home
    width: float
    bottom: float
    pitch: float
    levels: int


@dataclass(frozen=True)
class Manner:
    """How the goods of a category stand or hang.

    Parameters
    ----------
    home, way, holder
        The kind of face, the way of display and the holder, if there is one.
    steps
        Fewest and most level steps of a row.
    widths
        Narrowest and widest line, in units.
    taken
        Height that is not the goods': holder and finger gap, in.
    hangs
        Whether the goods hang, so that a row of *n* grooves gives *n* - 1 pitches.
    depth
        Least and most depth of goods, in.
    """

    home: Home
    way: Way
    holder: str | None
    steps: tuple[int, int]
    widths: tuple[int, int]
    taken: float
    hangs: bool
    depth: tuple[float, float]

    def height(self, dice: Dice, steps: int, pitch: float) -> float:
        """Draw the height of goods that need exactly so many steps, in."""
        tallest = (steps - self.hangs) * pitch - self.taken
        return tallest - dice.between((0.0, pitch - 0.25), 0.125)


SHELF = Manner("shelf", "shelf", None, (3, 8), (4, 16), 1.75, False, (2, 10))
CASE = Manner("case", "case", None, (3, 6), (4, 10), 1.25, False, (2, 5))
HUNG = (
    Manner("slat", "hook", "hook-4", (3, 6), (4, 10), 0.5, True, (0.5, 3)),
    Manner("slat", "face-out", "face-out-12", (5, 8), (10, 18), 1.0, True, (0.5, 1.25)),
    Manner("slat", "shelf", "board-8", (2, 5), (4, 14), 1.75, False, (2, 7)),
)


@dataclass(frozen=True)
class Stock:
    """A category, and how its goods stand or hang.

    Parameters
    ----------
    category, manner
        Its name, and how its goods are shown.
    steps
        The level steps that its rows may have.
    """

    category: str
    manner: Manner
    steps: tuple[int, ...]

    @classmethod
    def drawn(cls, dice: Dice, category: str, manner: Manner, levels: Sequence[int]) -> Stock:
        """Draw a few row heights that fill faces of every number of levels given."""
        low, high = manner.steps
        every = list(range(low, high + 1))
        for _ in range(200):
            steps = tuple(sorted(dice.shuffled(every)[: dice.whole(2, ROW_HEIGHTS)]))
            if all(_fills(count, steps) for count in levels):
                return cls(category, manner, steps)
        return cls(category, manner, tuple(every))


def _fills(levels: int, steps: Sequence[int]) -> bool:
    """Say whether rows of these steps can use up the levels."""
    return levels == 0 or any(n <= levels and _fills(levels - n, steps) for n in steps)


@dataclass
class _Made:
    """A line being made: its width in units and the facings cut so far."""

    name: str
    category: str
    manner: Manner
    steps: int
    width: int
    height: float
    depth: float
    facings: int = 0


@dataclass
class Cutter:
    """Cuts faces and remembers the lines that it made.

    Parameters
    ----------
    dice
        The source.
    lines
        About how many lines are wanted.
    hung, stood
        Categories that hang on slat-wall and that stand.
    """

    dice: Dice
    lines: int
    hung: Sequence[Stock]
    stood: Sequence[Stock]
    blocks: list[Block] = field(default_factory=list)
    _made: list[_Made] = field(default_factory=list)
    _left: float = 0.0

    def cut(self, faces: Sequence[Face]) -> None:
        """Cut faces into blocks, rows and facings; nothing is left over."""
        self._left = sum(round(face.width / UNIT) * face.levels / 5 for face in faces)
        for face in self.dice.shuffled(faces):
            self._face(face)

    def range(self) -> tuple[Line, ...]:
        """Make the lines; of each, at most what was cut is wanted."""
        return tuple(self._line(each) for each in self._made)

    def _face(self, face: Face) -> None:
        pool = self.hung if face.home == "slat" else self.stood
        width = round(face.width / UNIT)
        # A category stands once on a face, so there are no more blocks than categories.
        most = min(len(pool), max(1, width // 40), 6)
        count = self.dice.whole(1, most) if face.home != "slat" else most
        if face.home == "case":
            count = 1
        chosen = self.dice.shuffled(pool)[:count]
        left = 0
        for k, stock in enumerate(chosen):
            rest = (count - 1 - k) * 20
            share = width - left if k == count - 1 else self.dice.whole(20, width - left - rest)
            if k < count - 1:
                share = max(20, min(share, 2 * (width - left) // (count - k)))
            if face.home == "case":
                stock = Stock(stock.category, CASE, tuple(range(CASE.steps[0], CASE.steps[1] + 1)))
            self._block(face, stock, left, left + share)
            left += share

    def _block(self, face: Face, stock: Stock, left: int, right: int) -> None:
        rows, level = [], 0
        for steps in self._pattern(face.levels, stock.steps):
            slots = self._row(face, stock, steps, left, right)
            low = (face.bottom + level * face.pitch) * INCH_MM
            rows.append(
                Row(
                    bottom_mm=round(low, 4),
                    top_mm=round(low + steps * face.pitch * INCH_MM, 4),
                    low_groove=level + 1 if face.home == "slat" else None,
                    high_groove=level + steps if face.home == "slat" else None,
                    slots=tuple(slots),
                )
            )
            level += steps
        self.blocks.append(
            Block(
                id=f"B{len(self.blocks) + 1}",
                host=face.host,
                side=face.side,
                category=stock.category,
                from_mm=_mm(left),
                to_mm=_mm(right),
                rows=tuple(rows),
            )
        )

    def _pattern(self, levels: int, steps: Sequence[int]) -> list[int]:
        """Draw steps of rows that fill the levels exactly."""
        found: list[int] = []
        while levels:
            choices = [n for n in steps if n <= levels and _fills(levels - n, steps)]
            found.append(self.dice.pick(choices))
            levels -= found[-1]
        return found

    def _row(self, face: Face, stock: Stock, steps: int, left: int, right: int) -> list[Slot]:
        slots, at, manner = [], left, stock.manner
        while at < right:
            made, facings = self._next(face, stock, steps, right - at)
            made.facings += facings
            to = at + facings * made.width
            self._left -= facings * made.width * steps / 5
            slots.append(
                Slot(
                    line=made.name,
                    facings=facings,
                    from_mm=_mm(at),
                    to_mm=_mm(to),
                    way=manner.way,
                    holder=manner.holder,
                    brackets=facings if manner.way in ("hook", "face-out") else 0,
                    units=facings,
                )
            )
            at = to
        return slots

    def _next(self, face: Face, stock: Stock, steps: int, room: int) -> tuple[_Made, int]:
        """Choose the next line of a row and its facings, so that the rest can be filled."""
        known = [
            (made, facings)
            for made in self._made
            if (made.category, made.manner, made.steps) == (stock.category, stock.manner, steps)
            for facings in _fitting(made.width, room, MOST_FACINGS - made.facings)
        ]
        wanted = max(0, self.lines - len(self._made))
        # A line comes to about a dozen units in each of its rows.
        if known and not self.dice.happens(wanted / max(1.0, self._left / 24)):
            return self.dice.pick(known)
        low, high = stock.manner.widths
        fresh = [
            (width, facings)
            for width in range(low, high + 1)
            for facings in _fitting(width, room, 6)
        ]
        width, facings = self.dice.pick(fresh or [(room, 1)])
        return self._new(face, stock, steps, width), facings

    def _new(self, face: Face, stock: Stock, steps: int, width: int) -> _Made:
        made = _Made(
            name=f"Line {len(self._made) + 1:04d}",
            category=stock.category,
            manner=stock.manner,
            steps=steps,
            width=width,
            height=stock.manner.height(self.dice, steps, face.pitch),
            depth=self.dice.between(stock.manner.depth, 0.25),
        )
        self._made.append(made)
        return made

    def _line(self, made: _Made) -> Line:
        fewest = min(made.facings, self.dice.pick((0, 1, 1, 1, 2)))
        return Line(
            line=made.name,
            category=made.category,
            width=inches(made.width * UNIT),
            height=inches(made.height),
            depth=inches(made.depth),
            weight=pounds(made.width * UNIT * self.dice.between((0.05, 0.4))),
            min_facings=fewest,
            max_facings=made.facings,
            holding=self.dice.whole(0, fewest),
            value=round(self.dice.between((1, 60)), 2),
            ways=(made.manner.way,),
            secured=made.manner.home == "case",
        )


def _fitting(width: int, room: int, most: int) -> list[int]:
    """List numbers of facings that leave nothing, or enough for another line."""
    return [
        n
        for n in range(1, min(most, room // width) + 1)
        if room - n * width == 0 or room - n * width >= _NARROWEST
    ]


def _mm(units: int) -> float:
    return round(units * UNIT * INCH_MM, 4)
