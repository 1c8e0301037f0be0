"""Takes off the finishes of the shell from its geometry, with every formula shown."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from shapely import box
from shapely.geometry.base import BaseGeometry

from shopfit.geometry.shell import ShellPlan, WallLine, survey
from shopfit.geometry.wallareas import (
    corners_of,
    openings_shape,
    runs_shape,
    wall_elevation,
    wall_openings,
)
from shopfit.model.finishes import (
    Finishes,
    FinishItem,
    FinishPart,
    FinishRow,
    FinishTakeOff,
    FinishUnit,
    Lengths,
    Wainscot,
)
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from shopfit.quantities.lengths import bars, length_plan, moulding_id
from shopfit.quantities.mouldings import MOULDINGS, stretches
from shopfit.units import format_area, format_length

_M2 = 1e-6
_M = 1e-3


@dataclass(frozen=True)
class _Work:
    """All that the take-off is made from."""

    scenario: Scenario
    layout: Layout
    shell: ShellPlan
    finishes: Finishes

    def area(self, area_m2: float) -> str:
        return format_area(area_m2, self.scenario.shop.units)

    def length(self, length_mm: float) -> str:
        return format_length(length_mm, self.scenario.shop.units)

    def openings(self, wall: WallLine) -> BaseGeometry:
        return openings_shape(wall_openings(self.scenario.shop, wall))

    def hidden(self, wall: WallLine) -> BaseGeometry:
        """Give what slat-wall covers and no finish goes behind, on a wall."""
        runs = () if self.finishes.behind_slat_wall else self.layout.runs
        return runs_shape(runs, wall)


def finish_take_off(scenario: Scenario, layout: Layout) -> FinishTakeOff:
    """Count what the finishes of the shell take.

    Parameters
    ----------
    scenario
        What is given; what its shop names under ``finishes`` is counted.
    layout
        For its slat-wall: lights along it, and walls not finished behind it.

    Returns
    -------
    What to buy, item by item, with what each is the sum of. Waste is the user's own: common
    practice, no source.
    """
    finishes = scenario.shop.finishes
    if finishes is None:
        return FinishTakeOff()
    work = _Work(scenario, layout, survey(scenario.shop), finishes)
    parts: list[FinishPart] = []
    rows: list[FinishRow] = []
    for measured in (_boards, _mouldings, _paints, _floor, _insulation, _lights):
        for row, its_parts in measured(work):
            rows.append(row)
            parts += its_parts
    total = round(sum(row.total for row in rows), 2)
    return FinishTakeOff(rows=tuple(rows), parts=tuple(parts), total=total)


_Counted = Iterator[tuple[FinishRow, list[FinishPart]]]


def _row(
    parts: list[FinishPart],
    item: FinishItem,
    unit: FinishUnit,
    waste: float,
    pack: float,
    price: float,
    note: str = "",
    coats: int = 1,
    cut: int = 0,
) -> tuple[FinishRow, list[FinishPart]]:
    amount = sum(part.amount for part in parts) * coats
    # Parts are rounded nowhere, so a whole number of packs must not become one more by a hair.
    packs = max(cut, math.ceil(amount * (1 + waste) / pack - 1e-9))
    return (
        FinishRow(
            item=item,
            amount=amount,
            unit=unit,
            waste=waste,
            pack=pack,
            cut=cut,
            packs=packs,
            price=price,
            total=round(packs * price, 2),
            note=note,
        ),
        parts,
    )


def _net(
    work: _Work,
    wall: WallLine,
    item: FinishItem,
    less: BaseGeometry,
    of: BaseGeometry | None = None,
) -> FinishPart:
    """Take openings, and what else is not finished, off a wall."""
    whole = wall_elevation(wall) if of is None else of
    gross, net = whole.area * _M2, whole.difference(less).area * _M2
    formula = f"{work.area(gross)} of wall"
    if gross - net > 1e-9:
        formula += f" − {work.area(gross - net)} of openings and the like"
    return FinishPart(item=item, where=wall.id, formula=formula, amount=net, unit="m2")


def _boards(work: _Work) -> _Counted:
    board = work.finishes.wall_board
    if board is not None:
        parts = [
            _net(work, wall, "wall board", work.openings(wall).union(work.hidden(wall)))
            for wall in work.shell.walls
        ]
        pack = board.width * board.height * _M2
        yield _row(parts, "wall board", "m2", board.waste, pack, board.price)
    wainscot = work.finishes.wainscot
    if wainscot is not None:
        parts = [
            _net(work, wall, "wainscot", work.openings(wall), _foot(wainscot, wall))
            for wall in _wainscot_walls(work, wainscot)
        ]
        pack = wainscot.width * wainscot.height * _M2
        yield _row(parts, "wainscot", "m2", wainscot.waste, pack, wainscot.price)


def _wainscot_walls(work: _Work, wainscot: Wainscot) -> list[WallLine]:
    if wainscot.walls:
        return _named(work, wainscot.walls)
    with_windows = {window.wall for window in work.scenario.shop.windows}
    return [wall for wall in work.shell.walls if wall.id in with_windows]


def _named(work: _Work, names: Iterable[str]) -> list[WallLine]:
    """List walls by name; the chords of a curved wall go by the name of the curve too."""
    wanted = set(names)
    return [
        wall
        for wall in work.shell.walls
        if wall.id in wanted or wall.id.rpartition("-")[0] in wanted
    ]


def _foot(wainscot: Wainscot, wall: WallLine) -> BaseGeometry:
    return wall_elevation(wall).intersection(box(0.0, 0.0, wall.length, wainscot.top))


def _mouldings(work: _Work) -> _Counted:
    """Count mouldings: as many lengths as the pieces are cut from, and waste over the measure."""
    plan = length_plan(work.scenario, work.layout)
    for item in MOULDINGS:
        moulding: Lengths | None = getattr(work.finishes, item)
        if moulding is None:
            continue
        parts = [
            _length_part(item, each.where, each.formula, sum(each.lengths))
            for each in stretches(work.scenario, work.shell, item)
        ]
        note = _corners(work) if item != "trim" else ""
        cut = len(bars(plan, moulding_id(work.scenario, item)))
        pack = moulding.length * _M
        yield _row(parts, item, "m", moulding.waste, pack, moulding.price, note, cut=cut)


def _corners(work: _Work) -> str:
    counts = [corners_of(work.shell, room) for room in work.shell.rooms]
    inside, outside = (sum(count[k] for count in counts) for k in (0, 1))
    return f"{inside} inside and {outside} outside corners"


def _length_part(item: FinishItem, where: str, formula: str, amount_mm: float) -> FinishPart:
    return FinishPart(item=item, where=where, formula=formula, amount=amount_mm * _M, unit="m")


def _paints(work: _Work) -> _Counted:
    paint = work.finishes.wall_paint
    if paint is not None:
        wainscot = work.finishes.wainscot
        footed = (
            {wall.id: _foot(wainscot, wall) for wall in _wainscot_walls(work, wainscot)}
            if wainscot
            else {}
        )
        parts = []
        for wall in work.shell.walls:
            less = work.openings(wall).union(work.hidden(wall))
            if wall.id in footed:
                less = less.union(footed[wall.id])
            parts.append(_net(work, wall, "wall paint", less))
        note = f"{paint.coats} coats"
        yield _row(
            parts, "wall paint", "m2", paint.waste, paint.covers, paint.price, note, paint.coats
        )
    above = work.finishes.ceiling_paint
    if above is not None:
        parts = _room_parts(work, "ceiling paint", "as large as the floor")
        note = f"{above.coats} coats; sloping ceilings are larger: measure them"
        yield _row(
            parts, "ceiling paint", "m2", above.waste, above.covers, above.price, note, above.coats
        )


def _room_parts(work: _Work, item: FinishItem, words: str) -> list[FinishPart]:
    parts = []
    for room, outline in work.shell.rooms.items():
        columns = sum(outline.intersection(column).area for column in work.shell.columns.values())
        formula = f"{work.area(outline.area * _M2)}, {words}"
        if columns > 0:
            formula += f" − {work.area(columns * _M2)} of columns"
        amount = (outline.area - columns) * _M2
        parts.append(FinishPart(item=item, where=room, formula=formula, amount=amount, unit="m2"))
    return parts


def _floor(work: _Work) -> _Counted:
    floor = work.finishes.floor
    if floor is not None:
        parts = _room_parts(work, "floor finish", "wall to wall")
        yield _row(parts, "floor finish", "m2", floor.waste, floor.covers, floor.price)


def _insulation(work: _Work) -> _Counted:
    wanted = work.finishes.insulation
    if wanted is None:
        return
    spacing = work.scenario.shop.studs.spacing
    share = max(spacing - wanted.stud, 0.0) / spacing
    walls = _named(work, wanted.walls) if wanted.walls else list(work.shell.walls)
    parts = []
    for wall in walls:
        net = _net(work, wall, "insulation", work.openings(wall))
        formula = (
            f"({net.formula}) × ({work.length(spacing)} − {work.length(wanted.stud)}) "
            f"/ {work.length(spacing)}"
        )
        parts.append(net.model_copy(update={"amount": net.amount * share, "formula": formula}))
    yield _row(parts, "insulation", "m2", wanted.waste, wanted.covers, wanted.price)


def _lights(work: _Work) -> _Counted:
    lights = work.finishes.lights
    if lights is None:
        return
    parts = []
    for run in work.layout.runs:
        length = run.to_mm - run.from_mm
        count = math.ceil(length / lights.spacing - 1e-9)
        formula = f"{work.length(length)} / {work.length(lights.spacing)}, rounded up"
        parts.append(
            FinishPart(
                item="lights", where=run.id, formula=formula, amount=float(count), unit="pieces"
            )
        )
    note = "wiring by a licensed electrician"
    yield _row(parts, "lights", "pieces", 0.0, 1.0, lights.price, note)
