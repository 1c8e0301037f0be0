"""A first filling by hand's rule: least facings first, then what is worth most for its width."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shopfit.model.range import Line
from shopfit.solver.filling import TENTHS, Cell, Filling, tenths, thousandths
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
    count: dict[str, int] = {}
    held: dict[str, int] = {}
    left = None if money is None else int(money * 1000)
    facings: dict[Cell, int] = {}
    # Rows are filled from the least high up, so that high rows are left for what needs them.
    rows = sorted(
        (steps, b, r)
        for b, plan in enumerate(filling.plans)
        for r, steps in enumerate(plan.pattern.rows)
    )
    for _, b, r in rows:
        plan, kind = filling.plans[b], faces[filling.plans[b].face].kind
        room = min(filling.widths[b], int(faces[plan.face].width * TENTHS))
        usable = [
            line
            for line in lines[plan.category]
            if (line.line, kind) in shown.showings
            and shown.showings[line.line, kind].levels <= plan.pattern.rows[r]
            and shown.allowed(line, plan.pattern.groups[r])
        ]
        # What only high rows hold comes first there; then what is worth most for its width.
        usable.sort(
            key=lambda line: (
                -shown.showings[line.line, kind].levels,
                -worth[line.line] / line.width,
                line.line,
            )
        )
        by_worth = sorted(usable, key=lambda line: (-worth[line.line] / line.width, line.line))
        for wanting, order in ((True, usable), (False, by_worth)):
            for line in order:
                shown_so = shown.showings[line.line, kind]
                wide, price = tenths(line.width), thousandths(shown_so.cost)
                most = line.max_facings - count.get(line.line, 0)
                if wanting:
                    missing = -((held.get(line.line, 0) - line.holding) // shown_so.units)
                    most = min(most, max(line.min_facings - count.get(line.line, 0), missing))
                most = min(most, room // wide)
                if left is not None and price > 0:
                    most = min(most, left // price)
                if most <= 0:
                    continue
                facings[b, r, line.line] = facings.get((b, r, line.line), 0) + most
                count[line.line] = count.get(line.line, 0) + most
                held[line.line] = held.get(line.line, 0) + most * shown_so.units
                room -= most * wide
                if left is not None:
                    left -= most * price
    return Filling(filling.plans, filling.widths, facings)
