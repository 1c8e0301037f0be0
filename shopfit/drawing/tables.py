"""Sets tables in the free parts of a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from shopfit.drawing import lettering
from shopfit.drawing.scene import Item, Line, Pen, Table, Text

PITCH = 4.1
_CELL_GAP = 3.0
_COLUMN_GAP = 6.0
_WIDEST = 78.0
_NARROWEST = 26.0  # column of words that is wrapped so that a table fits beside a drawing
_AGAIN = " (continued)"
_RULE = Pen(0.1, "#6b7280")


@dataclass(frozen=True)
class Area:
    """A free rectangle of a sheet, printed mm.

    Parameters
    ----------
    left, bottom, right, top
        Its sides.
    """

    left: float
    bottom: float
    right: float
    top: float


@dataclass
class _Cursor:
    areas: list[Area]
    x: float = 0.0
    y: float = 0.0
    column: float = 0.0

    def start(self) -> bool:
        if not self.areas:
            return False
        self.x, self.y, self.column = self.areas[0].left, self.areas[0].top, 0.0
        return True

    @property
    def room(self) -> float:
        """Width left in this area, printed mm."""
        return self.areas[0].right - self.x

    def fits(self, width: float, height: float) -> bool:
        area = self.areas[0]
        return self.x + width <= area.right + 1e-6 and self.y - height >= area.bottom - 1e-6

    def next_column(self) -> bool:
        """Go to the next column, or the next area; say whether there is one."""
        area = self.areas[0]
        if self.column and self.x + self.column + _COLUMN_GAP < area.right:
            self.x += self.column + _COLUMN_GAP
            self.y, self.column = area.top, 0.0
            return True
        self.areas.pop(0)
        return self.start()


def set_tables(
    tables: Sequence[Table], areas: Sequence[Area]
) -> tuple[list[Item], tuple[Table, ...]]:
    """Set tables in free areas, breaking them where needed.

    Parameters
    ----------
    tables
        In order; one that fits nowhere lets later ones go before it.
    areas
        Free rectangles in order of filling.

    Returns
    -------
    Primitives in printed mm, and what found no room.
    """
    cursor = _Cursor(list(areas))
    items: list[Item] = []
    if not cursor.start():
        return items, tuple(tables)
    left = []
    for table in tables:
        before = replace(cursor, areas=list(cursor.areas))
        rest = _set(table, cursor, items) if cursor.areas else table
        if rest is not None:
            left.append(rest)
            if len(rest.rows) == len(table.rows):
                # It found no room at all; a narrower one still may.
                cursor = before
    return items, tuple(left)


def widths(table: Table) -> list[float]:
    """Give the printed widths of a table's columns, mm; long cells will be wrapped."""
    lines = [*([table.head] if table.head else []), *table.rows]
    count = max((len(line) for line in lines), default=0)
    found = []
    for column in range(count):
        cells = [
            lettering.width(line[column], lettering.SMALL, bold=line is table.head)
            for line in lines
            if column < len(line)
        ]
        found.append(min(max(cells, default=0.0) + 0.1, _WIDEST))
    return found


def narrowed(table: Table, columns: Sequence[float], room: float) -> list[float] | None:
    """Take width from the widest columns until a table fits, or give none where it cannot.

    Parameters
    ----------
    table
        Headings are not wrapped, so no column gets narrower than its own.
    columns
        Wanted widths, printed mm.
    room
        Width of the whole table, printed mm.
    """
    heads = [lettering.width(cell, lettering.SMALL, bold=True) + 0.1 for cell in table.head]
    least = [
        min(width, max(_NARROWEST, heads[index] if heads else 0.0))
        for index, width in enumerate(columns)
    ]
    found = list(columns)
    excess = sum(found) + _CELL_GAP * (len(found) - 1) - room
    for index in sorted(range(len(found)), key=lambda k: least[k] - found[k]):
        if excess > 0:
            less = min(excess, found[index] - least[index])
            found[index] -= less
            excess -= less
    return found if excess <= 1e-6 else None


def _set(table: Table, cursor: _Cursor, items: list[Item]) -> Table | None:
    wanted = widths(table)
    top = (1.5 + bool(table.head)) * PITCH
    done = 0
    while done < len(table.rows):
        columns = narrowed(table, wanted, cursor.room) or wanted
        full = sum(columns) + _CELL_GAP * (len(columns) - 1)
        name = table.title.removesuffix(_AGAIN) + _AGAIN if done else table.title
        title = lettering.width(name, lettering.NORMAL, bold=True)
        full = max(full, min(title, _WIDEST, cursor.room))
        rows = [_wrapped(row, columns) for row in table.rows]
        # A heading over fewer than three rows is only clutter.
        least = sum(_deep(row) for row in rows[done : done + 3])
        if not cursor.fits(full, top + PITCH * least):
            if not cursor.next_column():
                name = table.title.removesuffix(_AGAIN) + _AGAIN if done else table.title
                return Table(name, table.head, table.rows[done:])
            continue
        _heading(table, name, columns, full, cursor, items)
        while done < len(rows) and cursor.fits(full, PITCH * _deep(rows[done])):
            _row(rows[done], columns, cursor, items)
            done += 1
        cursor.column = max(cursor.column, full)
        cursor.y -= PITCH
    return None


def _heading(
    table: Table,
    name: str,
    columns: Sequence[float],
    full: float,
    cursor: _Cursor,
    items: list[Item],
) -> None:
    name = lettering.shorten(name, max(full, 20.0), lettering.NORMAL, bold=True)
    at = (cursor.x, cursor.y - PITCH / 2)
    items.append(Text(at, name, lettering.NORMAL, "start", bold=True))
    cursor.y -= 1.25 * PITCH
    if table.head:
        _row([[cell] for cell in table.head], columns, cursor, items, bold=True)
    items.append(Line((cursor.x, cursor.y), (cursor.x + full, cursor.y), _RULE))
    cursor.y -= 0.25 * PITCH


def _row(
    cells: Sequence[Sequence[str]],
    columns: Sequence[float],
    cursor: _Cursor,
    items: list[Item],
    bold: bool = False,
) -> None:
    x = cursor.x
    for lines, width in zip(cells, columns, strict=False):
        for number, line in enumerate(lines):
            at = (x, cursor.y - PITCH * (number + 0.5))
            items.append(Text(at, line, lettering.SMALL, "start", bold=bold))
        x += width + _CELL_GAP
    cursor.y -= PITCH * _deep(cells)


def _wrapped(row: Sequence[str], columns: Sequence[float]) -> list[list[str]]:
    return [
        lettering.wrap(cell, width, lettering.SMALL)
        for cell, width in zip(row, columns, strict=False)
    ]


def _deep(cells: Sequence[Sequence[str]]) -> int:
    return max((len(lines) for lines in cells), default=1) or 1
