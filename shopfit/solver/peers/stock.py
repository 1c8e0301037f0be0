"""Goods put out by hand: the best division of a face for a category, its rows filled in order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from shopfit.model.range import Line
from shopfit.solver.filling import grains
from shopfit.solver.patterns import Pattern
from shopfit.solver.peers.answers import Course

# Parts of a width, down to which a block is narrowed as long as it holds as much.
_NARROWEST = 1 / 64
# More kinds of face than there are.
ANY = 99
# As much, but for rounding.
_ALMOST = 1 - 1e-9


@dataclass(frozen=True)
class Laid:
    """A block with its goods.

    Parameters
    ----------
    category, kind, pattern, width
        What stands there, class of the face, division of its height, and width as in fillings.
    facings
        (row number, line) to facings.
    gain
        What that is worth to whoever puts it out.
    cost
        Money for brackets and shelves.
    """

    category: str
    kind: int
    pattern: Pattern
    width: int
    facings: dict[tuple[int, str], int] = field(default_factory=dict)
    gain: float = 0.0
    cost: float = 0.0


@dataclass(frozen=True)
class Aim:
    """What is put out in one walk round the shop.

    Parameters
    ----------
    least
        Whether only what lines want at least, or as much as they may have.
    choice
        Only lines that can be on at most so many kinds of face, or all of them.
    """

    least: bool
    choice: int = ANY


class Stock:
    """What has been put out of every line, and what is still wanted.

    Parameters
    ----------
    course
        What is given.
    """

    def __init__(self, course: Course) -> None:
        self._shown, self._worths = course.shown, course.worths
        self._count: dict[str, int] = {}
        self._held: dict[str, int] = {}
        self._lines: dict[str, list[Line]] = {}
        for line in course.problem.site.scenario.lines:
            self._lines.setdefault(line.category, []).append(line)
        self._widths = {ln.line: grains(ln.width) for ln in course.problem.site.scenario.lines}
        self._kinds: dict[str, set[int]] = {}
        by_name = {line.line: line for line in course.problem.site.scenario.lines}
        for name, kind in course.shown.showings:
            if self._has_row(by_name[name], kind):
                self._kinds.setdefault(name, set()).add(kind)
        names = [face.kind for face in course.shown.classes]
        self._choice = {name: len({names[k] for k in kinds}) for name, kinds in self._kinds.items()}

    def _has_row(self, line: Line, kind: int) -> bool:
        """Say whether a class of face has a row at a height where a line may be."""
        if line.band is None and line.line not in self._shown.heavy:
            return True
        levels = self._shown.showings[line.line, kind].levels
        return any(
            steps >= levels and self._shown.allowed(line, group)
            for pattern in self._shown.patterns[line.category, kind]
            for steps, group in zip(pattern.rows, pattern.groups, strict=True)
        )

    @property
    def categories(self) -> list[str]:
        """The categories, those first that want most width."""

        def wanted(category: str) -> float:
            return sum(line.max_facings * line.width for line in self._lines[category])

        return sorted(self._lines, key=lambda category: -wanted(category))

    def wanting(self, category: str, aim: Aim) -> list[Line]:
        """List the lines of a category of which more is wanted."""
        return [
            line
            for line in self._lines[category]
            if self._choice.get(line.line, 1) <= aim.choice and self._wanted(line, aim, 1) > 0
        ]

    def kinds(self, lines: Sequence[Line]) -> dict[int, int]:
        """Give the classes of face that show any of some lines, and the narrowest of them."""
        found: dict[int, int] = {}
        for line in lines:
            for kind in self._kinds.get(line.line, ()):
                found[kind] = min(found.get(kind, self._widths[line.line]), self._widths[line.line])
        return found

    def _wanted(self, line: Line, aim: Aim, units: int) -> int:
        count = self._count.get(line.line, 0)
        most = line.max_facings - count
        if not aim.least:
            return most
        unheld = -((self._held.get(line.line, 0) - line.holding) // units)
        return min(most, max(line.min_facings - count, unheld))

    def lay(
        self, category: str, kind: int, room: int, aim: Aim, money: float | None
    ) -> Laid | None:
        """Find the division of a face that serves a category best, no wider than it needs.

        Parameters
        ----------
        category, kind, room
            What is put out, on a face of which class, and how much of it is free.
        aim, money
            What is put out, and what may be spent on it, or none.
        """
        wanted = {}
        for line in self.wanting(category, aim):
            showing = self._shown.showings.get((line.line, kind))
            if showing is not None and self._widths[line.line] <= room:
                wanted[line.line] = (line, self._wanted(line, aim, showing.units))
        if not wanted:
            return None
        order = sorted(
            (line for line, _ in wanted.values()),
            key=lambda line: (-self._worths.first(line.line) / line.width, line.line),
        )
        if aim.least:
            # What only high rows hold comes first there.
            order.sort(key=lambda line: -self._shown.showings[line.line, kind].levels)
        left = {name: count for name, (_, count) in wanted.items()}
        best: Laid | None = None
        for pattern in self._shown.patterns[category, kind]:
            empty = Laid(category, kind, pattern, room)
            laid = self._filled(empty, order, left, aim, money)
            if laid.gain > 0 and (best is None or laid.gain >= best.gain * _ALMOST):
                laid = self._narrowed(laid, order, left, aim, money)
                if best is None or (laid.gain, -laid.width) > (best.gain, -best.width):
                    best = laid
        return best

    def _narrowed(
        self,
        laid: Laid,
        order: Sequence[Line],
        left: dict[str, int],
        aim: Aim,
        money: float | None,
    ) -> Laid:
        """Make a block as narrow as it may be without holding less."""
        low, step = 0, laid.width
        while step > max(1, int(laid.width * _NARROWEST)):
            step = (step + 1) // 2
            width = laid.width - step
            if width <= low:
                continue
            tried = self._filled(
                Laid(laid.category, laid.kind, laid.pattern, width), order, left, aim, money
            )
            if tried.gain >= laid.gain * _ALMOST:
                laid = tried
            else:
                low = width
        return laid

    def _filled(
        self,
        empty: Laid,
        order: Sequence[Line],
        left: dict[str, int],
        aim: Aim,
        money: float | None,
    ) -> Laid:
        """Fill the rows of a block, the least high first, each line in its turn."""
        pattern, shown, left = empty.pattern, self._shown, dict(left)
        facings: dict[tuple[int, str], int] = {}
        gain = cost = 0.0
        widest = 0
        for row in sorted(range(len(pattern.rows)), key=lambda r: pattern.rows[r]):
            room = empty.width
            weight = shown.weight(empty.category, pattern.groups[row])
            for line in order:
                showing = shown.showings[line.line, empty.kind]
                wide = self._widths[line.line]
                if not left[line.line] or wide > room or showing.levels > pattern.rows[row]:
                    continue
                if not shown.allowed(line, pattern.groups[row]):
                    continue
                count = min(left[line.line], room // wide)
                if money is not None and showing.cost > 0:
                    count = min(count, int((money - cost) / showing.cost + 1e-9))
                if count > 0:
                    facings[row, line.line] = count
                    left[line.line] -= count
                    room -= count * wide
                    cost += count * showing.cost
                    gain += count * (1.0 if aim.least else self._worths.first(line.line) * weight)
            widest = max(widest, empty.width - room)
        return Laid(empty.category, empty.kind, pattern, widest, facings, gain, cost)

    def take(self, laid: Laid, times: int = 1) -> None:
        """Count what has been put out; -1 times for what is taken back."""
        for (_, name), each in laid.facings.items():
            units, count = self._shown.showings[name, laid.kind].units, times * each
            self._count[name] = self._count.get(name, 0) + count
            self._held[name] = self._held.get(name, 0) + count * units
