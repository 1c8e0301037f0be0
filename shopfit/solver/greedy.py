"""A first filling by hand's rule: least facings first, then what is worth most for its width."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shopfit.model.range import Line
from shopfit.solver.display import Showing
from shopfit.solver.filling import PER_MM, Cell, Filling, grains, thousandths
from shopfit.solver.fixing import Face
from shopfit.solver.range_display import Display


def fill_greedily(
    filling: Filling,
    lines: Mapping[str, Sequence[Line]],
    faces: Sequence[Face],
    shown: Display,
    worth: Mapping[str, float],
    money: float | None,
) -> Filling:
    """Fill the rows of blocks one after the other, the lowest rows first.

    Parameters
    ----------
    filling
        Blocks with their widths; facings are replaced.
    lines
        The lines of each category.
    faces, shown
        The faces and how lines can be shown on them.
    worth
        Of a facing of each line.
    money
        Money left for brackets and shelves, or none.
    """
    # Rows are filled from the least high up, so that high rows are left for what needs them.
    rows = sorted(
        (steps, b, r)
        for b, plan in enumerate(filling.plans)
        for r, steps in enumerate(plan.pattern.rows)
    )
    stock = _Stock(worth, None if money is None else int(money * 1000))
    for steps, b, r in rows:
        plan, kind = filling.plans[b], faces[filling.plans[b].face].kind
        usable = [
            (line, showing)
            for line in lines[plan.category]
            if (showing := shown.showings.get((line.line, kind))) is not None
            and showing.levels <= steps
            and shown.allowed(line, plan.pattern.groups[r])
            and (faces[plan.face].near or not line.new)
            and plan.category not in faces[plan.face].barred
        ]
        room = min(filling.widths[b], int(faces[plan.face].width * PER_MM))
        for name, facings in stock.fill_row(usable, room).items():
            stock.facings[b, r, name] = facings
    return Filling(filling.plans, filling.widths, stock.facings)


class _Stock:
    """What has been put out so far, and the money left.

    Parameters
    ----------
    worth
        Of a facing of each line.
    money
        Thousandths of money left, or none.
    """

    def __init__(self, worth: Mapping[str, float], money: int | None) -> None:
        self._worth, self._money = worth, money
        self._count: dict[str, int] = {}
        self._held: dict[str, int] = {}
        self.facings: dict[Cell, int] = {}

    def fill_row(self, usable: Sequence[tuple[Line, Showing]], room: int) -> dict[str, int]:
        """Fill a row, least facings and holdings first, then what is worth most for its width."""

        def dear(entry: tuple[Line, Showing]) -> tuple[float, str]:
            return (-self._worth[entry[0].line] / entry[0].width, entry[0].line)

        row: dict[str, int] = {}
        # What only high rows hold comes first there.
        for wanting, order in (
            (True, sorted(usable, key=lambda entry: (-entry[1].levels, *dear(entry)))),
            (False, sorted(usable, key=dear)),
        ):
            for line, showing in order:
                facings = self._most(line, showing, room, wanting)
                if facings > 0:
                    row[line.line] = row.get(line.line, 0) + facings
                    room -= facings * grains(line.width)
                    self._take(line, showing, facings)
        return row

    def _most(self, line: Line, showing: Showing, room: int, wanting: bool) -> int:
        count, price = self._count.get(line.line, 0), thousandths(showing.cost)
        most = min(line.max_facings - count, room // grains(line.width))
        if wanting:
            missing = -((self._held.get(line.line, 0) - line.holding) // showing.units)
            most = min(most, max(line.min_facings - count, missing))
        if self._money is not None and price > 0:
            most = min(most, self._money // price)
        return most

    def _take(self, line: Line, showing: Showing, facings: int) -> None:
        self._count[line.line] = self._count.get(line.line, 0) + facings
        self._held[line.line] = self._held.get(line.line, 0) + facings * showing.units
        if self._money is not None:
            self._money -= facings * thousandths(showing.cost)
