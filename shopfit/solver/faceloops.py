"""Compiled loops that fill an empty face as well as can be with what is left of the range."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from shopfit.solver.compiling import compiled
from shopfit.solver.facearrays import (
    BAND,
    BARRED,
    BLOCK,
    BLOCKS,
    BOARD,
    CELLS,
    CLASS,
    COST,
    DEAR,
    FACINGS,
    FIRST,
    GOODS,
    GOODS_END,
    KINDS,
    KINDS_END,
    LEFT,
    LINE,
    MISSING,
    MOST_WIDTHS,
    NEAR,
    NEW,
    PATTERNS,
    PATTERNS_END,
    ROW,
    ROW_KIND,
    ROW_ORDER,
    ROWS,
    SHAKEN,
    SPAN,
    SUM_KIND,
    SUM_TIMES,
    SUMS,
    URGENT,
    WIDTH,
    Floats,
    Floor,
    Ints,
)
from shopfit.solver.faceboards import dearest_board

# Less than this is nothing.
_LEAST = 1e-9
# Columns of an entry of a row.
(_OF, _WIDE, _EACH) = range(3)


class Bench(NamedTuple):
    """Where faces are filled, in numbers for every width.

    Parameters
    ----------
    names
        Categories that may come to stand there.
    rows
        Worth of each kind of row of a category.
    blocks, patterns
        The most that a block of each category is worth, and its pattern.
    beside
        Worth of all categories before each one.
    widths
        Widths of blocks that are tried, the number of them last.
    table, entries
        A row, good by good: worth before each entry, and what the entry adds.
    work
        Steps worked so far.
    """

    names: Ints
    rows: Floats
    blocks: Floats
    patterns: Ints
    beside: Floats
    widths: Ints
    table: Floats
    entries: Floats
    work: Ints


def bench(floor: Floor) -> Bench:
    """Set up where the faces of a floor are filled."""
    sizes = int(floor.faces[:, SPAN].max(initial=0)) + 1
    categories = floor.ways.shape[0]
    kinds = int((floor.ways[..., KINDS_END] - floor.ways[..., KINDS]).max(initial=0))
    goods = int((floor.kinds[:, GOODS_END] - floor.kinds[:, GOODS]).max(initial=0))
    return Bench(
        np.zeros(categories, dtype=np.int64),
        np.zeros((kinds, sizes)),
        np.zeros((categories, sizes)),
        np.zeros((categories, sizes), dtype=np.int64),
        np.zeros((categories + 1, sizes)),
        np.zeros((categories, MOST_WIDTHS + 1), dtype=np.int64),
        # Goods of which some facings are urgent have two entries.
        np.zeros((2 * goods + 1, sizes)),
        np.zeros((2 * goods, 3)),
        np.zeros(1, dtype=np.int64),
    )


@compiled
def _add_line(
    table: Floats, at: int, size: int, width: int, price: float, most: int, work: Ints
) -> None:
    """Add up to so many facings of a line to a row of a table, in steps of powers of two."""
    step = 1
    while most > 0:
        number = min(step, most)
        most -= number
        step *= 2
        taken, gained = number * width, number * price
        for end in range(size - 1, taken - 1, -1):
            more = table[at, end - taken] + gained
            if more > table[at, end]:
                table[at, end] = more
        work[0] += max(0, size - taken)


@compiled
def _price_rows(
    floor: Floor, own: Bench, face: int, category: int, size: int, boards: bool
) -> None:
    """Work out what each kind of row of a category can be worth, for every width.

    Parameters
    ----------
    floor, own, face, category, size
        The floor, where it is filled, and what for.
    boards
        Whether goods on boards that are paid for are added to rows without them, which are known.
    """
    lines, kinds, shown = floor.lines, floor.kinds, floor.faces[face, CLASS]
    first = floor.ways[category, shown, KINDS]
    last = floor.ways[category, shown, KINDS_END]
    near, done, money = floor.faces[face, NEAR], 0, floor.sums[DEAR]
    for kind in range(first, last):
        if kind == first or kinds[kind, BAND] != kinds[kind - 1, BAND]:
            for end in range(size):
                own.table[0, end] = 0.0
            done = kinds[kind, GOODS]
        for n in range(done, kinds[kind, GOODS_END]):
            line = floor.goods[n]
            if lines[line, NEW] and not near:
                continue
            width, price = lines[line, WIDTH], floor.worth[line, SHAKEN] * floor.weights[kind]
            if money > 0.0:
                if not boards and floor.showings[line, shown, BOARD] >= 0.0:
                    continue
                price -= money * floor.showings[line, shown, COST]
            most = min(lines[line, LEFT], (size - 1) // width)
            urgent = min(most, lines[line, URGENT])
            if urgent > 0:
                dear = price + floor.sums[MISSING]
                _add_line(own.table, 0, size, width, dear, urgent, own.work)
            if price > _LEAST:
                _add_line(own.table, 0, size, width, price, most - urgent, own.work)
        done = kinds[kind, GOODS_END]
        if not boards or money <= 0.0:
            for end in range(size):
                own.rows[kind - first, end] = own.table[0, end]
            continue
        length, price = dearest_board(floor, kind, shown)
        for end in range(size):
            more = own.table[0, end] - money * price * np.ceil(end / length)
            own.rows[kind - first, end] = max(own.rows[kind - first, end], more)


@compiled
def _price_blocks(floor: Floor, own: Bench, face: int, category: int, slot: int, size: int) -> None:
    """Give the most that the rows of a pattern add up to, for every width."""
    ways = floor.ways[category, floor.faces[face, CLASS]]
    for end in range(size):
        own.blocks[slot, end] = 0.0
    for pattern in range(ways[PATTERNS], ways[PATTERNS_END]):
        sums = floor.patterns[pattern, 0, SUMS]
        for end in range(size):
            total = 0.0
            for n in range(1, sums + 1):
                kind = floor.patterns[pattern, n, SUM_KIND] - ways[KINDS]
                total += floor.patterns[pattern, n, SUM_TIMES] * own.rows[kind, end]
            if total > own.blocks[slot, end] + _LEAST:
                own.blocks[slot, end] = total
                own.patterns[slot, end] = pattern
        own.work[0] += size * (1 + sums)


@compiled
def _set_beside(blocks: Floats, beside: Floats, widths: Ints, slot: int, size: int) -> int:
    """Set a block of one more category beside those before, for every width.

    Widths worth trying are those where the worth of a block rises; of too many, some.

    Returns
    -------
    Steps worked.
    """
    rises, seen, taken, work = 0, 0, 0, size
    for end in range(1, size):
        rises += blocks[slot, end] > blocks[slot, end - 1] + _LEAST
    for end in range(size):
        beside[slot + 1, end] = beside[slot, end]
    for width in range(1, size):
        gained = blocks[slot, width]
        if gained <= blocks[slot, width - 1] + _LEAST:
            continue
        seen += 1
        if rises > MOST_WIDTHS and seen * MOST_WIDTHS // rises <= taken:
            continue
        widths[slot, taken] = width
        taken += 1
        for end in range(width, size):
            more = beside[slot, end - width] + gained
            if more > beside[slot + 1, end]:
                beside[slot + 1, end] = more
        work += size - width
    widths[slot, MOST_WIDTHS] = taken
    return work


@compiled
def _taken(blocks: Floats, beside: Floats, widths: Ints, slot: int, end: int) -> int:
    """Give how wide the block of a category stands on a face so wide, of which 0 is none."""
    best, taken = beside[slot, end] + _LEAST, 0
    for n in range(widths[slot, MOST_WIDTHS]):
        width = widths[slot, n]
        if width <= end and beside[slot, end - width] + blocks[slot, width] > best:
            best, taken = beside[slot, end - width] + blocks[slot, width], width
    return taken


@compiled
def _fill_row(
    floor: Floor, own: Bench, kind: int, shown: int, near: int, width: int, boards: bool
) -> int:
    """Fill a row of a width good by good; gives the number of entries of the table.

    Parameters
    ----------
    floor, own
        The floor, and where it is filled.
    kind, shown, near, width
        Kind of row, class of face, whether new goods may stand there, and the width.
    boards
        Whether goods may stand on boards that are paid for.
    """
    table, entries, lines, count = own.table, own.entries, floor.lines, 0
    money = floor.sums[DEAR]
    for end in range(width + 1):
        table[0, end] = 0.0
    for n in range(floor.kinds[kind, GOODS], floor.kinds[kind, GOODS_END]):
        line = floor.goods[n]
        if lines[line, NEW] and not near:
            continue
        wide, price = lines[line, WIDTH], floor.worth[line, SHAKEN] * floor.weights[kind]
        if money > 0.0:
            if not boards and floor.showings[line, shown, BOARD] >= 0.0:
                continue
            price -= money * floor.showings[line, shown, COST]
        most = min(lines[line, LEFT], width // wide)
        urgent = min(most, lines[line, URGENT])
        for turn in range(2):
            many = most - urgent if turn else urgent
            each = price if turn else price + floor.sums[MISSING]
            if many <= 0 or each <= _LEAST:
                continue
            entries[count, _OF], entries[count, _WIDE], entries[count, _EACH] = line, wide, each
            count += 1
            for end in range(width + 1):
                table[count, end] = table[count - 1, end]
            _add_line(table, count, width + 1, wide, each, many, own.work)
    return count


@compiled
def _read_row(
    table: Floats,
    entries: Floats,
    count: int,
    width: int,
    lines: Ints,
    cells: Ints,
    cell: int,
) -> int:
    """Write lines and facings of a row into cells and take them from what is left.

    Returns
    -------
    The next cell.
    """
    end, now = width, table[count, width]
    for entry in range(count - 1, -1, -1):
        line, wide = int(entries[entry, _OF]), int(entries[entry, _WIDE])
        many, slack = 0, 1e-9 * max(1.0, abs(now))
        while (
            end - (many + 1) * wide >= 0
            and table[entry, end - many * wide] + many * entries[entry, _EACH] < now - slack
        ):
            many += 1
        end -= many * wide
        now = table[entry, end]
        if many > 0:
            cells[cell, LINE], cells[cell, FACINGS] = line, many
            cell += 1
            lines[line, LEFT] -= many
            lines[line, URGENT] = max(0, lines[line, URGENT] - many)
    return cell


@compiled
def _best_row(floor: Floor, own: Bench, kind: int, shown: int, near: int, width: int) -> int:
    """Fill a row, without boards that are paid for where they are not worth it."""
    count = _fill_row(floor, own, kind, shown, near, width, True)
    if floor.sums[DEAR] <= 0.0:
        return count
    length, price = dearest_board(floor, kind, shown)
    if price <= 0.0:
        return count
    paid = floor.sums[DEAR] * price * np.ceil(width / length)
    on_boards = own.table[count, width] - paid
    count = _fill_row(floor, own, kind, shown, near, width, False)
    if on_boards > own.table[count, width]:
        count = _fill_row(floor, own, kind, shown, near, width, True)
    return count


@compiled
def _set_out(
    floor: Floor, own: Bench, place: int, shown: int, near: int, pattern: int, width: int
) -> None:
    """Fill the rows of a block one after the other, low ones first.

    High rows come last, so that what only they can hold is not pushed out by what low rows hold
    as well.
    """
    faces, cells = floor.faces, floor.cells
    block, first = faces[place, BLOCKS], faces[place, FIRST] + faces[place, CELLS]
    cell = first
    for n in range(1, floor.patterns[pattern, 0, ROWS] + 1):
        row = floor.patterns[pattern, n, ROW_ORDER]
        count = _best_row(
            floor, own, floor.patterns[pattern, row + 1, ROW_KIND], shown, near, width
        )
        begin = cell
        cell = _read_row(own.table, own.entries, count, width, floor.lines, cells, cell)
        for each in range(begin, cell):
            cells[each, BLOCK], cells[each, ROW] = block, row
    if cell > first:
        floor.blocks[place, block] = pattern
        faces[place, BLOCKS], faces[place, CELLS] = block + 1, cell - faces[place, FIRST]


@compiled
def fill_face(floor: Floor, own: Bench, face: int, names: int, place: int) -> None:
    """Fill a place as a face can be with the first so many categories named.

    Blocks are worth what their rows add up to, where each row alone keeps to the facings left; as
    they are written down all rows together keep to them.
    """
    end, near = floor.faces[face, SPAN], floor.faces[face, NEAR]
    for width in range(end + 1):
        own.beside[0, width] = 0.0
    for n in range(names):
        if floor.categories[face, own.names[n], BARRED]:
            for width in range(end + 1):
                own.blocks[n, width] = 0.0
        else:
            if floor.sums[DEAR] > 0.0:
                _price_rows(floor, own, face, own.names[n], end + 1, False)
            _price_rows(floor, own, face, own.names[n], end + 1, True)
            _price_blocks(floor, own, face, own.names[n], n, end + 1)
        own.work[0] += _set_beside(own.blocks, own.beside, own.widths, n, end + 1)
    floor.faces[place, BLOCKS] = floor.faces[place, CELLS] = 0
    for n in range(names - 1, -1, -1):
        width = _taken(own.blocks, own.beside, own.widths, n, end)
        if width > 0:
            shown = floor.faces[face, CLASS]
            _set_out(floor, own, place, shown, near, own.patterns[n, width], width)
            end -= width
