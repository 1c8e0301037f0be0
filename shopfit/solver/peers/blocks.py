"""Blocks of whole facings in a program: a width, patterns by choice, and cells in rows."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shopfit.model.range import Line
from shopfit.solver.filling import BlockPlan, Filling, grains, thousandths
from shopfit.solver.patterns import Pattern
from shopfit.solver.peers.answers import Course, Values
from shopfit.solver.peers.program import THOUSANDTHS, Facings, GoodsProgram

# A row, a line in it and what a facing counts there; numbers of the patterns that have such a row.
Cell = tuple[int, str, float]
Fitting = list[int]


@dataclass(frozen=True)
class BlockKind:
    """What a block on a class of face may be.

    Parameters
    ----------
    category, patterns
        What stands in it, and the divisions of the height of which it has one.
    cells
        What may be in its rows; what cannot be there never becomes a variable.
    """

    category: str
    patterns: tuple[Pattern, ...]
    cells: dict[Cell, Fitting]

    @property
    def size(self) -> int:
        """Count the variables of such a block."""
        return 1 + len(self.patterns) + len(self.cells)


class BlockKinds:
    """The blocks that faces of each class may have.

    Parameters
    ----------
    course
        What is given.
    exact
        Whether every pattern has a block of its own, so that nothing that the rules allow is left
        out: more blocks of one pattern would show nothing more than one as wide as all of them.
        Else a category has one block a face, with one pattern by choice.
    """

    def __init__(self, course: Course, exact: bool) -> None:
        self._shown, self._exact = course.shown, exact
        self._lines: dict[str, list[Line]] = {}
        for line in course.problem.site.scenario.lines:
            self._lines.setdefault(line.category, []).append(line)
        self._known: dict[int, list[BlockKind]] = {}

    def of_class(self, kind: int) -> list[BlockKind]:
        """List the blocks that a face of a class may have."""
        if kind not in self._known:
            self._known[kind] = [
                self.block(category, patterns, kind)
                for category in self._lines
                for patterns in self._choices(category, kind)
            ]
        return self._known[kind]

    def _choices(self, category: str, kind: int) -> list[tuple[Pattern, ...]]:
        own = tuple(self._shown.patterns[category, kind])
        if self._exact:
            return [(pattern,) for pattern in own]
        return [own] if own else []

    def block(self, category: str, patterns: tuple[Pattern, ...], kind: int) -> BlockKind:
        """Give a block of a category with one of some patterns."""
        cells: dict[Cell, list[int]] = {}
        for row in range(max(len(pattern.rows) for pattern in patterns)):
            for line in self._lines[category]:
                for n, pattern in enumerate(patterns):
                    if row < len(pattern.rows) and self._fits(line, kind, pattern, row):
                        weight = self._shown.weight(category, pattern.groups[row])
                        cells.setdefault((row, line.line, weight), []).append(n)
        return BlockKind(category, patterns, cells)

    def _fits(self, line: Line, kind: int, pattern: Pattern, row: int) -> bool:
        showing = self._shown.showings.get((line.line, kind))
        if showing is None or showing.levels > pattern.rows[row]:
            return False
        return self._shown.allowed(line, pattern.groups[row])


@dataclass(frozen=True)
class _Block:
    """A block of a program: patterns with columns if there is a choice; row, line and column."""

    category: str
    patterns: tuple[tuple[Pattern, int | None], ...]
    cells: tuple[tuple[int, str, int], ...]


class BlockProgram:
    """Adds blocks to a program, and reads them from its answers.

    Lengths are counted as in fillings, goods rounded up and faces down.

    Parameters
    ----------
    program
        Where they are added.
    """

    def __init__(self, program: GoodsProgram) -> None:
        self._program = program
        lines = program.problem.site.scenario.lines
        self._widths = {line.line: grains(line.width) for line in lines}
        self._most = {line.line: line.max_facings for line in lines}
        self._blocks: dict[int, list[_Block]] = {}
        self.facings: dict[str, list[Facings]] = {}

    def add(self, place: int, kind: int, what: BlockKind, reach: int) -> int:
        """Add a block and give the column of its width.

        Parameters
        ----------
        place
            Number by which its face is found again.
        kind, what
            Class of the face, and what the block may be.
        reach
            Widest that it can be, counted as in fillings.
        """
        width = self._program.column(reach)
        choice = self._choice(what.patterns, width, reach)
        found: list[tuple[int, str, int]] = []
        rows: dict[int, tuple[list[int], list[float]]] = {}
        for (row, line, weight), fitting in what.cells.items():
            wide = self._widths[line]
            most = min(self._most[line], reach // wide)
            if most < 1:
                continue
            count = self._program.column(most)
            if len(fitting) < len(what.patterns):
                taken = [choice[k] for k in fitting]
                self._program.row([count, *taken], [1.0] + [-most] * len(taken), high=0.0)
            found.append((row, line, count))
            columns, sizes = rows.setdefault(row, ([], []))
            columns.append(count)
            sizes.append(wide)
            showing = self._program.shown.showings[line, kind]
            cost = thousandths(showing.cost) / THOUSANDTHS
            facings = Facings(count, showing.units, cost, weight)
            self.facings.setdefault(line, []).append(facings)
        for columns, sizes in rows.values():
            self._program.row([*columns, width], [*sizes, -1.0], high=0.0)
        patterns = tuple((p, choice[k] if choice else None) for k, p in enumerate(what.patterns))
        self._blocks.setdefault(place, []).append(_Block(what.category, patterns, tuple(found)))
        return width

    def _choice(self, patterns: Sequence[Pattern], width: int, reach: int) -> list[int]:
        """Give a column for each pattern of which a block takes one; none if there is one only."""
        if len(patterns) == 1:
            return []
        choice = [self._program.column(1.0) for _ in patterns]
        self._program.row(choice, high=1.0)
        self._program.row([width, *choice], [1.0] + [-reach] * len(choice), high=0.0)
        return choice

    def filling(self, places: Iterable[tuple[int, int]], value: Values) -> Filling:
        """Read the facings of an answer.

        Parameters
        ----------
        places
            Numbers of the places that stand, with the numbers of their faces.
        value
            The answer.
        """
        filling = Filling([], [])
        for place, face in places:
            for block in self._blocks.get(place, ()):
                self._read(filling, block, face, value)
        return filling

    def _read(self, filling: Filling, block: _Block, face: int, value: Values) -> None:
        number = len(filling.plans)
        used: dict[int, int] = {}
        for row, line, column in block.cells:
            count = round(value(column))
            if count:
                cell = (number, row, line)
                filling.facings[cell] = filling.facings.get(cell, 0) + count
                used[row] = used.get(row, 0) + count * self._widths[line]
        if used:
            pattern = next(p for p, c in block.patterns if c is None or value(c) > 0.5)
            filling.plans.append(BlockPlan(face, block.category, pattern))
            filling.widths.append(max(used.values()))
