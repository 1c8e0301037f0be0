"""The goods, faces and fillings of a floor in arrays, for compiled loops."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from shopfit.solver.fill import Filler
from shopfit.solver.filling import BlockPlan, Cell, Filling, grains
from shopfit.solver.knapsack import common_unit
from shopfit.solver.patterns import Group, Pattern

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

# Few arrays with many columns compile several times as fast as many arrays. Their columns:
# of a line, widths in units of length rounded up, and where its steps of worth begin and end;
(WIDTH, MOST, LEAST, HOLDING, NEW, CATEGORY, STEPS, STEPS_END) = range(8)
# what of it is shown, left, misses minimums and may be urgent, and whether it came or went;
(COUNT, HELD, LEFT, SHORT, URGENT, TOUCHED) = range(8, 14)
# what a facing is worth as faces are filled, and with this shaken; weighted facings, and their
# worth less what minimums miss;
(PRICE, SHAKEN, COUNTED, VALUE) = range(4)
# of a line on a class of face, the number of its board where whole boards count, or -1;
(UNITS, COST, BOARD) = range(3)
# of a board, in units of length rounded down;
(LENGTH, BOARD_PRICE) = range(2)
# of a category on a class of face, where its patterns and its kinds of row begin and end;
(PATTERNS, PATTERNS_END, KINDS, KINDS_END) = range(4)
# of a kind of row, where its lines begin and end among goods, and the number of its bands;
(GOODS, GOODS_END, BAND) = range(3)
# of a pattern, at 0 how many rows and how many kinds of row it has, then row by row its kind and
# the rows in the order in which they are filled, and kind by kind how often;
(ROW_KIND, ROW_ORDER, SUM_KIND, SUM_TIMES) = range(4)
(ROWS, SUMS) = range(2)
# of a face, with widths in units of length rounded down, where its cells begin among those of all
# faces, and what changed since the best;
(CLASS, SPAN, NEAR, BLOCKS, CELLS, FIRST, CHANGED) = range(7)
# of a category on a face;
(BARRED, SHOWN) = range(2)
# of a cell, the number of its block on the face, its row, line and facings;
(BLOCK, ROW, LINE, FACINGS) = range(4)
# and of the whole floor: worth now and at best, cost, money, what a usual size of goods adds to
# what a filling is judged by, what a facing or unit missing counts, how many are missing, and
# where more than the money may be spent, what money is worth at the moment and beyond what there
# is.
(NOW, BEST, SPENT, MONEY, FULLNESS, MISSING, MISSED, DEAR, CHARGE) = range(9)

# What money is worth at first, as a part of what is charged for it beyond what there is.
CHEAP = 0.03
# Most widths of a block that are tried beside others.
MOST_WIDTHS = 64


class Floor(NamedTuple):
    """The faces of a floor and what stands on them.

    Behind the faces come as many places more where faces are filled before it is known whether
    that is kept. A row of goods has a *kind*: of the lines that may stand in its bands, ordered by
    height, the first so many.

    Parameters
    ----------
    lines, worth, showings, boards, steps, ranges
        The range, category by category, with the boards it is shown on and the falling steps of
        worth of all lines; and where the lines of each category begin.
    ways, kinds, weights, goods, patterns
        How categories can stand; what a facing counts in each kind of row.
    faces, categories, blocks, cells
        The faces, what may stand there, the pattern of each block, and what rows show.
    best_counts, best_blocks, best_cells
        Numbers of blocks and cells, blocks, and cells at best.
    sums
        Of the whole floor.
    """

    lines: Ints
    worth: Floats
    showings: Floats
    boards: Floats
    steps: Floats
    ranges: Ints
    ways: Ints
    kinds: Ints
    weights: Floats
    goods: Ints
    patterns: Ints
    faces: Ints
    categories: Ints
    blocks: Ints
    cells: Ints
    best_counts: Ints
    best_blocks: Ints
    best_cells: Ints
    sums: Floats


def no_floor() -> Floor:
    """Give a floor without faces and goods, its arrays of the same kinds as those of any other."""
    floats = ("worth", "showings", "boards", "steps", "weights", "sums")
    dimensions = (2, 2, 3, 2, 2, 1, 3, 2, 1, 1, 3, 2, 3, 2, 2, 2, 2, 2, 1)
    made: list[Any] = []
    for name, many in zip(Floor._fields, dimensions, strict=True):
        # As many columns as the array with most of them has.
        shape = (0,) * (many - 1) + (TOUCHED + 1,)
        made.append(np.zeros(shape, dtype=np.float64 if name in floats else np.int64))
    return Floor(*made)


class FaceArrays:
    """A floor in arrays, and the way back to a filling.

    Parameters
    ----------
    filler
        The faces, and how lines can be shown.
    standing
        What stands on them; it may have patterns that nothing new is given.
    price
        What a facing of each line is worth where a face is filled.
    fullness, missing
        What goods as large as usual add to what a filling is judged by, and what a facing or unit
        missing from a minimum counts.
    spare
        Places where faces are filled before it is known whether that is kept.

    Attributes
    ----------
    floor
        The arrays.
    """

    def __init__(
        self,
        filler: Filler,
        standing: Filling,
        price: Mapping[str, float],
        fullness: float,
        missing: float,
        spare: int,
    ) -> None:
        self._filler, self._spare = filler, spare
        self._lines = [line for name in filler.categories for line in filler.lines(name)]
        self._number = {line.line: n for n, line in enumerate(self._lines)}
        self._unit = common_unit([line.width for line in self._lines])
        self._classes = len(filler.display.classes)
        self._patterns: dict[tuple[str, int, Pattern], int] = {}
        lines, worth, showings, steps = self._range(price)
        ways, made = self._ways(standing)
        self._known = list(self._patterns)
        faces, categories = self._faces()
        blocks, cells = self._stands(standing, faces, lines)
        own = len(filler.faces)
        packs = filler.packs
        limit = filler.money if packs is None else packs.money
        money = math.inf if limit is None else limit
        charge = 0.0 if packs is None else packs.price
        self.floor = Floor(
            lines,
            worth,
            showings,
            self._boards(),
            steps,
            np.searchsorted(lines[:, CATEGORY], np.arange(len(filler.categories) + 1)),
            ways,
            *made.arrays(),
            faces,
            categories,
            blocks,
            cells,
            faces[:own, [BLOCKS, CELLS]].copy(),
            blocks[:own].copy(),
            cells.copy(),
            np.array([0.0, 0.0, 0.0, money, fullness, missing, 0.0, CHEAP * charge, charge]),
        )
        self._count(standing)

    def _range(self, price: Mapping[str, float]) -> tuple[Ints, Floats, Floats, Floats]:
        """Give each line a number and write down what is known of it."""
        filler = self._filler
        lines = np.zeros((len(self._lines), 14), dtype=np.int64)
        worth = np.zeros((len(self._lines), 4))
        steps: list[tuple[float, float]] = []
        rank = {category: n for n, category in enumerate(filler.categories)}
        for n, line in enumerate(self._lines):
            own = filler.worth.steps[line.line]
            lines[n, : STEPS_END + 1] = (
                math.ceil(line.width / self._unit - 1e-6),
                line.max_facings,
                line.min_facings,
                line.holding,
                line.new,
                rank[line.category],
                len(steps),
                len(steps) + len(own),
            )
            worth[n, PRICE] = price[line.line]
            steps += own
        showings = np.zeros((len(self._lines), self._classes, 3))
        boards = [] if filler.packs is None else list(filler.packs.boards)
        for (name, k), showing in filler.display.showings.items():
            board = boards.index(showing.holder) if showing.holder in boards else -1
            cost = showing.cost if filler.packs is None else filler.packs.by_piece(showing)
            showings[self._number[name], k] = showing.units, cost, board
        return lines, worth, showings, np.array(steps, dtype=np.float64).reshape(-1, 2)

    def _boards(self) -> Floats:
        """Give boards a number where whole ones count."""
        packs = self._filler.packs
        own = [] if packs is None else list(packs.boards.values())
        known = [(int(board.length / self._unit + 1e-6), board.price / board.pack) for board in own]
        return np.array(known, dtype=np.float64).reshape(-1, 2)

    def _ways(self, standing: Filling) -> tuple[Ints, _WaysMaker]:
        """Give patterns and kinds of row numbers, for each category and class of face."""
        shown, names = self._filler.display, self._filler.categories
        strange: dict[tuple[str, int], dict[Pattern, None]] = {}
        for plan in standing.plans:
            kind = self._filler.faces[plan.face].kind
            if plan.pattern not in shown.patterns[plan.category, kind]:
                strange.setdefault((plan.category, kind), {})[plan.pattern] = None
        made = _WaysMaker()
        ways = np.zeros((len(names), self._classes, 4), dtype=np.int64)
        for c, category in enumerate(names):
            for k in range(self._classes):
                own = shown.patterns[category, k]
                every = [*own, *strange.get((category, k), ())]
                first, first_kind = len(self._patterns), made.count
                self._patterns |= {(category, k, p): first + n for n, p in enumerate(every)}
                for group in dict.fromkeys(g for p in every for g in p.groups):
                    goods = self._low_first(category, k, group)
                    made.add_kinds(group, goods, every, shown.weight(category, group))
                for pattern in every:
                    made.add_pattern(pattern)
                ways[c, k] = first, first + len(own), first_kind, made.count
        return ways, made

    def _low_first(self, category: str, k: int, group: Group) -> list[tuple[int, int]]:
        """Give level steps and number of each line that may stand in a band, low ones first."""
        shown = self._filler.display
        found = sorted(
            (shown.showings[line.line, k].levels, line.line)
            for line in self._filler.lines(category)
            if (line.line, k) in shown.showings and shown.allowed(line, group)
        )
        return [(levels, self._number[name]) for levels, name in found]

    def _faces(self) -> tuple[Ints, Ints]:
        filler, many = self._filler, len(self._filler.faces)
        faces = np.zeros((many + self._spare, 7), dtype=np.int64)
        categories = np.zeros((many, len(filler.categories), 2), dtype=np.int64)
        for n, face in enumerate(filler.faces):
            span = int(face.width / self._unit + 1e-6)
            faces[n, : NEAR + 1] = face.kind, span, face.near
            faces[many:, SPAN] = max(span, faces[many:, SPAN].max(initial=0))
            categories[n, :, BARRED] = [name in face.barred for name in filler.categories]
        return faces, categories

    def _stands(self, standing: Filling, faces: Ints, lines: Ints) -> tuple[Ints, Ints]:
        """Write down what stands, with room for whatever may come to stand there."""
        by_block = standing.by_block()
        blocks: list[list[int]] = [[] for _ in faces]
        cells: list[list[tuple[int, int, int, int]]] = [[] for _ in faces]
        for b in sorted(by_block):
            plan = standing.plans[b]
            own, kind = blocks[plan.face], self._filler.faces[plan.face].kind
            for (row, name), count in by_block[b]:
                cells[plan.face].append((len(own), row, self._number[name], count))
            own.append(self._patterns[plan.category, kind, plan.pattern])
        # Each cell has a facing at least, and none is narrower than the narrowest goods.
        widest = faces[:, SPAN].max(initial=1)
        across = faces[:, SPAN] // max(1, int(lines[:, WIDTH].min(initial=widest)))
        rows = max((len(pattern.rows) for _, _, pattern in self._known), default=0)
        most = max([len(self._filler.categories), *map(len, blocks)])
        made = np.zeros((len(faces), most), dtype=np.int64)
        most_cells = np.maximum(rows * across, [len(own) for own in cells])
        faces[:, FIRST] = np.cumsum(most_cells) - most_cells
        shown = np.zeros((int(most_cells.sum()), 4), dtype=np.int64)
        for face, (own, of_rows) in enumerate(zip(blocks, cells, strict=True)):
            faces[face, [BLOCKS, CELLS]] = len(own), len(of_rows)
            made[face, : len(own)] = own
            first = faces[face, FIRST]
            shown[first : first + len(of_rows)] = np.array(of_rows).reshape(-1, 4)
        return made, shown

    def _count(self, standing: Filling) -> None:
        """Count what stands, and what it is worth."""
        floor, shown, faces = self.floor, self._filler.display, self._filler.faces
        for (b, row, name), facings in standing.facings.items():
            plan, number = standing.plans[b], self._number[name]
            showing = shown.showings[name, faces[plan.face].kind]
            weight = shown.weight(plan.category, plan.pattern.groups[row])
            floor.worth[number, COUNTED] += weight * facings
            floor.lines[number, COUNT] += facings
            floor.lines[number, HELD] += facings * showing.units
            floor.sums[SPENT] += facings * showing.cost
            floor.categories[plan.face, floor.lines[number, CATEGORY], SHOWN] = 1
        for n, line in enumerate(self._lines):
            short = max(0, line.min_facings - int(floor.lines[n, COUNT]))
            short += max(0, line.holding - int(floor.lines[n, HELD]))
            worth = self._filler.worth.of(line.line, float(floor.worth[n, COUNTED]))
            floor.lines[n, SHORT] = short
            floor.sums[MISSED] += short
            floor.worth[n, VALUE] = worth - floor.sums[MISSING] * short
        floor.sums[NOW] = floor.sums[BEST] = floor.worth[:, VALUE].sum()
        if self._filler.packs is not None:
            floor.sums[SPENT] = self._filler.packs.loose(self._filler.shown_in(standing))
            floor.sums[BEST] -= self._filler.packs.over(float(floor.sums[SPENT]))

    def best(self) -> Filling:
        """Read what was best."""
        sizes = [grains(line.width) for line in self._lines]
        plans: list[BlockPlan] = []
        widths: list[int] = []
        facings: dict[Cell, int] = {}
        for face, (blocks, cells) in enumerate(self.floor.best_counts.tolist()):
            used: dict[tuple[int, int], int] = {}
            first = int(self.floor.faces[face, FIRST])
            for block, row, line, count in self.floor.best_cells[first : first + cells].tolist():
                key = len(plans) + block, row, self._lines[line].line
                facings[key] = facings.get(key, 0) + count
                used[block, row] = used.get((block, row), 0) + count * sizes[line]
            for b, number in enumerate(self.floor.best_blocks[face, :blocks].tolist()):
                category, _, pattern = self._known[number]
                plans.append(BlockPlan(face, category, pattern))
                widths.append(max((w for (own, _), w in used.items() if own == b), default=0))
        return Filling(plans, widths, facings)


class _WaysMaker:
    """Numbers kinds of row, their goods, and patterns, one category and class after the other."""

    def __init__(self) -> None:
        self._kinds: list[tuple[int, int, int]] = []
        self._weights: list[float] = []
        self._goods: list[int] = []
        self._rows: list[list[int]] = []
        self._orders: list[list[int]] = []
        self._own: dict[tuple[Group, int], int] = {}
        self._bands = 0

    @property
    def count(self) -> int:
        """How many kinds of row there are so far."""
        return len(self._kinds)

    def add_kinds(
        self,
        group: Group,
        goods: Sequence[tuple[int, int]],
        patterns: Sequence[Pattern],
        weight: float,
    ) -> None:
        """Add the kinds of row that patterns have in a band."""
        first, last = len(self._goods), -1
        self._goods += [line for _, line in goods]
        for steps in sorted({s for p in patterns for s in _steps_in(p, group)}):
            end = first + sum(levels <= steps for levels, _ in goods)
            if end != last:
                self._kinds.append((first, end, self._bands))
                self._weights.append(weight)
            last = end
            self._own[group, steps] = len(self._kinds) - 1
        self._bands += 1

    def add_pattern(self, pattern: Pattern) -> None:
        """Add a pattern, the kinds of whose rows are known."""
        self._rows.append(
            [self._own[g, s] for g, s in zip(pattern.groups, pattern.rows, strict=True)]
        )
        self._orders.append(sorted(range(len(pattern.rows)), key=lambda r: (pattern.rows[r], r)))

    def arrays(self) -> tuple[Ints, Floats, Ints, Ints]:
        """Give kinds of row, what a facing counts in each, goods, and patterns."""
        most = max(map(len, self._rows), default=0)
        patterns = np.zeros((len(self._rows), most + 1, 4), dtype=np.int64)
        for p, (rows, order) in enumerate(zip(self._rows, self._orders, strict=True)):
            sums = list(dict.fromkeys(rows))
            patterns[p, 0, : SUMS + 1] = len(rows), len(sums)
            patterns[p, 1 : len(rows) + 1, ROW_KIND] = rows
            patterns[p, 1 : len(rows) + 1, ROW_ORDER] = order
            patterns[p, 1 : len(sums) + 1, SUM_KIND] = sums
            patterns[p, 1 : len(sums) + 1, SUM_TIMES] = [rows.count(kind) for kind in sums]
        return (
            np.array(self._kinds, dtype=np.int64).reshape(-1, 3),
            np.array(self._weights, dtype=np.float64),
            np.array(self._goods, dtype=np.int64),
            patterns,
        )


def _steps_in(pattern: Pattern, group: Group) -> Iterable[int]:
    return (s for s, own in zip(pattern.rows, pattern.groups, strict=True) if own == group)
