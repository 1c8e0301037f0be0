"""Everything that is made for a layout: parts, how they are cut, and what is bought for them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from shopfit.cutting.plan import cut
from shopfit.model.cutting import CutJob, CutPlan, Part, StockPiece
from shopfit.model.fixtures import Bracket, Catalogue, Fixture
from shopfit.model.layout import Layout
from shopfit.model.making import Made, MadeRow, Material
from shopfit.model.scenario import Scenario
from shopfit.model.schedule import ShoppingRow
from shopfit.quantities.joinery import (
    Piece,
    bracket_caution,
    bracket_pieces,
    cabinet_caution,
    cabinet_pieces,
)

# Some two seconds a material where nothing is proved sooner.
EFFORT = 0.15


@dataclass(frozen=True)
class _Thing:
    """Something made, how often, and what one takes."""

    item: Fixture | Bracket
    count: int
    pieces: tuple[Piece, ...]
    caution: str


def made_ids(catalogue: Catalogue) -> frozenset[str]:
    """Give the ids of what is made and not bought."""
    items: tuple[Fixture | Bracket, ...] = (*catalogue.fixtures, *catalogue.brackets)
    return frozenset(item.id for item in items if item.made is not None)


def make(scenario: Scenario, layout: Layout, needed: Mapping[str, int]) -> Made | None:
    """List what is made for a layout, or nothing where nothing is.

    Parameters
    ----------
    scenario, layout
        Which; boards are numbered after the layout's sheets of slat-wall.
    needed
        Pieces needed of everything in the catalogue, by id.
    """
    things = list(_things(scenario, needed))
    if not things:
        return None
    plan = _numbered(_cut(_job(scenario, things)), first_number(layout))
    rows = tuple(_rows(scenario.catalogue, things))
    short = [
        f"{left.count} × {left.part} could not be cut: {left.why}. Add stock to materials."
        for left in plan.uncut
    ]
    shopping = material_rows(scenario.catalogue, rows, plan)
    return Made(
        rows=rows,
        plan=plan,
        cautions=(*(thing.caution for thing in things), *short),
        estimate=round(sum(_estimate(thing) for thing in things), 2),
        cost=round(sum(row.total for row in shopping), 2),
    )


def material_rows(
    catalogue: Catalogue, rows: Sequence[MadeRow], plan: CutPlan
) -> tuple[ShoppingRow, ...]:
    """Give what is bought for made things, in the order of the materials.

    Parameters
    ----------
    catalogue
        Holds the materials with their prices.
    rows, plan
        Parts, of which pieces are counted, and boards.
    """
    needed: dict[str, int] = {}
    for board in plan.boards:
        name = board.stock.removesuffix(_OWNED)
        needed[name] = needed.get(name, 0) + 1
    pieces = {material.id for material in catalogue.materials if material.kind == "piece"}
    for row in rows:
        if row.material in pieces:
            needed[row.material] = needed.get(row.material, 0) + row.in_all
    return tuple(
        _shopping(material, needed[material.id])
        for material in catalogue.materials
        if needed.get(material.id)
    )


_OWNED = " owned"


def _shopping(material: Material, needed: int) -> ShoppingRow:
    packs = math.ceil(max(0, needed - material.owned) / material.pack)
    return ShoppingRow(
        item=material.id,
        name=material.name or material.id,
        kind="material",
        needed=needed,
        owned=material.owned,
        pack=material.pack,
        packs=packs,
        spare=material.owned + packs * material.pack - needed,
        price=material.price,
        total=round(packs * material.price, 2),
    )


def _estimate(thing: _Thing) -> float:
    if isinstance(thing.item, Bracket):
        return math.ceil(thing.count / thing.item.pack) * thing.item.price
    return thing.count * thing.item.price


def _things(scenario: Scenario, needed: Mapping[str, int]) -> Iterator[_Thing]:
    catalogue, units = scenario.catalogue, scenario.shop.units
    for fixture in catalogue.fixtures:
        count = needed.get(fixture.id, 0) - fixture.owned
        if fixture.made is not None and count > 0:
            pieces = cabinet_pieces(fixture, fixture.made, catalogue.materials)
            caution = cabinet_caution(fixture, fixture.made, catalogue.materials, units)
            yield _Thing(fixture, count, pieces, caution)
    for bracket in catalogue.brackets:
        count = needed.get(bracket.id, 0)
        if bracket.made is not None and count > 0:
            pieces = bracket_pieces(bracket, bracket.made, catalogue.materials)
            yield _Thing(bracket, count, pieces, bracket_caution(bracket, bracket.made, units))


@lru_cache(maxsize=16)
def _cut(job: CutJob) -> CutPlan:
    # Lists, order and drawings of one layout ask for the same plan.
    return cut(job, EFFORT)


def _job(scenario: Scenario, things: Sequence[_Thing]) -> CutJob:
    stock = []
    for material in scenario.catalogue.materials:
        if material.kind == "piece" or material.length is None:
            continue
        whole = StockPiece(
            id=material.id,
            name=material.name,
            material=material.what,
            length=_mm(material.length),
            width=_mm(material.width) if material.kind == "sheet" else None,
            price=material.price / material.pack,
            trim=_mm(material.trim),
        )
        stock.append(whole)
        if material.owned:
            owned = {"id": f"{material.id}{_OWNED}", "price": 0.0, "available": material.owned}
            stock.append(whole.model_copy(update=owned))
    parts = []
    for thing in things:
        for piece in thing.pieces:
            if piece.length is None:
                continue
            name = thing.item.name or thing.item.id
            parts.append(
                Part(
                    id=f"{thing.item.id} {piece.part}".replace(",", "")[:60],
                    material=piece.material,
                    length=_mm(piece.length),
                    width=_mm(piece.width),
                    count=piece.count * thing.count,
                    turns=piece.turns,
                    purpose=f"{piece.part} of {name}"[:120],
                )
            )
    used = {part.material for part in parts}
    return CutJob(
        stock=tuple(piece for piece in stock if piece.material in used), parts=tuple(parts)
    )


def _mm(length: float | None) -> Any:
    # What is given is read with its unit.
    return None if length is None else f"{length:.6f} mm"


def first_number(layout: Layout) -> int:
    """Give the number of the first board after the layout's sheets of slat-wall."""
    return 1 + max((piece.sheet_number for piece in layout.cuts), default=0)


def _numbered(plan: CutPlan, first: int) -> CutPlan:
    boards = tuple(
        board.model_copy(update={"number": board.number + first - 1}) for board in plan.boards
    )
    return plan.model_copy(update={"boards": boards})


def _rows(catalogue: Catalogue, things: Sequence[_Thing]) -> Iterator[MadeRow]:
    for thing in things:
        for piece in thing.pieces:
            material = next(each for each in catalogue.materials if each.what == piece.material)
            yield MadeRow(
                item=thing.item.id,
                name=thing.item.name or thing.item.id,
                part=piece.part,
                count=piece.count,
                in_all=piece.count * thing.count,
                material=piece.material,
                material_name=material.name or material.id,
                length_mm=piece.length,
                width_mm=piece.width,
                thickness_mm=material.thickness,
                note=piece.note,
            )
