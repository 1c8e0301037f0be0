"""Goods that need as much height wherever they stand, and stretches of faces that are alike."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from shopfit.model.range import Line
from shopfit.solver.fill import Filler
from shopfit.solver.fixing import Face
from shopfit.solver.patterns import Pattern
from shopfit.solver.range_display import Display


@dataclass(frozen=True)
class Goods:
    """Lines of a category that need as much height as one another on every class of face.

    Parameters
    ----------
    lines, new
        The lines, and whether they may stand near the entrance only.
    levels, rows
        For each class that can show them, the level steps they need and the most rows that a
        division of it has for them.
    """

    lines: tuple[Line, ...]
    new: bool
    levels: Mapping[int, int]
    rows: Mapping[int, int]

    def fit(self, face: FaceSort) -> bool:
        """Say whether one of the lines can stand on a face."""
        shown = face.kind in self.rows and (face.near or not self.new)
        return shown and any(line.width <= face.width for line in self.lines)


@dataclass(frozen=True)
class FaceSort:
    """What matters of a face for what can stand on it.

    Parameters
    ----------
    kind, width, near, barred
        As of the face.
    """

    kind: int
    width: float
    near: bool
    barred: tuple[str, ...]


@dataclass(frozen=True)
class Sort:
    """Stretches whose faces are of the same sorts one after the other.

    Parameters
    ----------
    faces
        The sort of each face, from the left.
    stretches
        Numbers of the faces of each stretch, from the left.
    rank
        How far along the way they are.
    """

    faces: tuple[FaceSort, ...]
    stretches: tuple[tuple[int, ...], ...]
    rank: int = 0

    @property
    def length(self) -> float:
        """Length of one stretch, mm."""
        return sum(face.width for face in self.faces)


def all_goods(filler: Filler, category: str) -> list[Goods]:
    """Put the lines of a category together that need as much height as one another."""
    shown, found = filler.display, dict[object, Goods]()
    for line in filler.lines(category):
        levels, rows = dict[int, int](), dict[int, int]()
        for kind in range(len(shown.classes)):
            showing = shown.showings.get((line.line, kind))
            most = 0 if showing is None else rows_of(shown, line, kind, showing.levels)
            if showing is not None and most:
                levels[kind], rows[kind] = showing.levels, most
        key = line.new, tuple(levels.items()), tuple(rows.items())
        lines = (line,) if key not in found else (*found[key].lines, line)
        found[key] = Goods(lines, line.new, levels, rows)
    return list(found.values())


def rows_of(shown: Display, line: Line, kind: int, levels: int) -> int:
    """Give the most rows that a division of a class of face has for a line.

    Parameters
    ----------
    shown, line, kind
        How lines can be shown, which line and which class.
    levels
        Level steps that the line needs there.
    """
    return max(
        (
            sum(
                steps >= levels and shown.allowed(line, group)
                for steps, group in zip(pattern.rows, pattern.groups, strict=True)
            )
            for pattern in shown.patterns[line.category, kind]
        ),
        default=0,
    )


def all_sorts(
    faces: Sequence[Face], stretches: Sequence[tuple[int, ...]], ranks: Sequence[int]
) -> list[Sort]:
    """Put stretches together that are alike.

    Parameters
    ----------
    faces, stretches
        The faces, and the numbers of those of each stretch.
    ranks
        How far along the way each face is: stretches end where the next face is farther or less
        far, and are alike only if they are as far.
    """
    found: dict[object, Sort] = {}
    for stretch in stretches:
        for rank, numbers in groupby(stretch, key=lambda n: ranks[n]):
            part = tuple(numbers)
            own = [faces[n] for n in part]
            alike = tuple(FaceSort(face.kind, face.width, face.near, face.barred) for face in own)
            before = found[alike, rank].stretches if (alike, rank) in found else ()
            found[alike, rank] = Sort(alike, (*before, part), rank)
    return list(found.values())


def densest(filler: Filler, name: str, kind: int) -> tuple[float, Pattern | None]:
    """Give the worth of a mm of a category on a class of face, and the division that has it."""
    shown, best, found = filler.display, 0.0, None
    lines = [line for line in filler.lines(name) if (line.line, kind) in shown.showings]
    for pattern in shown.patterns[name, kind]:
        worth = 0.0
        for steps, group in zip(pattern.rows, pattern.groups, strict=True):
            own = (
                filler.first[line.line] / line.width
                for line in lines
                if shown.showings[line.line, kind].levels <= steps and shown.allowed(line, group)
            )
            worth += shown.weight(name, group) * max(own, default=0.0)
        if worth > best:
            best, found = worth, pattern
    return best, found
