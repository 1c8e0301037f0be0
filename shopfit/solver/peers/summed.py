"""The floor with its faces added up by class, in whole facings."""

from __future__ import annotations

from collections.abc import Sequence

from shopfit.model.range import Line
from shopfit.solver.filling import PER_MM, BlockKey
from shopfit.solver.floor import FloorAnswer
from shopfit.solver.patterns import Group
from shopfit.solver.peers.answers import Care, Course, Values
from shopfit.solver.peers.program import Facings, FloorProgram


class SummedProgram(FloorProgram):
    """Positions with blocks of any width on each class of face, and whole facings in them.

    A block's pattern gives row length. For every height the lines that need at least that height
    fit in the rows that have it; heights are nested, so this is Hall's condition. Facings are
    whole in all, but may be cut at the ends of faces, so the optimum is never below that of the
    shop. Lengths in mm.

    Parameters
    ----------
    course
        What is given.
    remainder
        Taken off every face, mm: 0 for a bound; a little more leads to floors whose rows can be
        filled with whole facings.
    care
        How far islands keep off; the rules alone for a bound.
    """

    def __init__(self, course: Course, remainder: float = 0.0, care: Care = Care.RULES) -> None:
        super().__init__(course, care)
        self._remainder = remainder
        self._blocks: dict[BlockKey, int] = {}
        self._facings: dict[str, list[Facings]] = {}
        self._longest = self._lengths()
        # Floor and blocks of the last answer with open ways, which is the best of this program.
        self.best: tuple[FloorAnswer, dict[BlockKey, float]] | None = None
        lines: dict[str, list[Line]] = {}
        for line in self.problem.site.scenario.lines:
            lines.setdefault(line.category, []).append(line)
        for kind in range(len(self.problem.classes)):
            for category, own in lines.items():
                self._add_category(category, own, kind)
            self._add_room(kind)
        self.finish(self._facings)

    def _parts(self, index: int) -> list[tuple[int, int, float]]:
        """Give the faces that a candidate brings: column that they stand by, class and width."""
        own = [(self.stands[index], kind, width) for kind, width in self.problem.widths[index]]
        slat = self.slat[index]
        if slat is not None:
            own += [(slat, kind, width) for kind, width in self.problem.slat_widths[index]]
        return own

    def _lengths(self) -> list[dict[int, float]]:
        """Give, for each class, the length that each column brings."""
        found: list[dict[int, float]] = [{} for _ in self.problem.classes]
        for i in range(len(self.problem.candidates)):
            for column, kind, width in self._parts(i):
                usable = max(0.0, width - self._remainder)
                found[kind][column] = found[kind].get(column, 0.0) + usable
        return found

    def _add_room(self, kind: int) -> None:
        blocks = [column for (_, k, _), column in self._blocks.items() if k == kind]
        if blocks:
            given = self._longest[kind]
            sizes = [1.0] * len(blocks) + [-width for width in given.values()]
            self.row([*blocks, *given], sizes, high=0.0, scale=PER_MM)

    def _add_category(self, category: str, lines: Sequence[Line], kind: int) -> None:
        patterns = self.shown.patterns[category, kind]
        lines = [line for line in lines if (line.line, kind) in self.shown.showings]
        if not patterns or not lines:
            return
        most = sum(self._longest[kind].values())
        for pattern in patterns:
            self._blocks[category, kind, pattern] = self.column(most, part=1 / PER_MM)
        for group in sorted({g for pattern in patterns for g in pattern.groups}, key=sorted):
            self._add_group(category, lines, kind, group)

    def _add_group(self, category: str, lines: Sequence[Line], kind: int, group: Group) -> None:
        inside = [line for line in lines if self.shown.allowed(line, group)]
        columns: dict[str, int] = {}
        needs: dict[str, int] = {}
        for line in inside:
            showing = self.shown.showings[line.line, kind]
            columns[line.line] = self.column(line.max_facings)
            needs[line.line] = showing.levels
            weight = self.shown.weight(category, group)
            facings = Facings(columns[line.line], showing.units, showing.cost, weight)
            self._facings.setdefault(line.line, []).append(facings)
        for need in sorted(set(needs.values())):
            tall = [line for line in inside if needs[line.line] >= need]
            given = {
                self._blocks[category, kind, pattern]: -float(count)
                for pattern in self.shown.patterns[category, kind]
                if (count := pattern.count(group, need))
            }
            sizes = [line.width for line in tall] + list(given.values())
            members = [*(columns[line.line] for line in tall), *given]
            self.row(members, sizes, high=0.0, scale=PER_MM)

    def blocks(self, value: Values) -> dict[BlockKey, float]:
        """Read the blocks of an answer: widths in mm."""
        found = {key: value(column) for key, column in self._blocks.items()}
        return {key: width for key, width in found.items() if width > 1e-3}

    def offer(self, floor: FloorAnswer, value: Values) -> bool:
        """Lay an answer's blocks along the faces of its floor and fill them."""
        if not self.course.reachable(floor.chosen):
            return False
        self.best = floor, self.blocks(value)
        _, filler = self.course.fixed(floor)
        return self.course.keep(floor, filler.start(self.best[1]))
