"""Solids of slat-wall, what hangs in it, and the goods of every slot."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shapely import box

from shopfit.geometry.faceplace import FacePlace, face_places
from shopfit.geometry.goodsplace import GoodsPlace, goods_place, holder_of
from shopfit.geometry.shell import ShellPlan
from shopfit.geometry.wallface import FaceShape, faces
from shopfit.model.fixtures import Bracket, ShelfBoard
from shopfit.model.layout import Block, Layout, Slot
from shopfit.model.range import Line
from shopfit.model.scenario import Scenario
from shopfit.solids.shellparts import on_wall
from shopfit.solids.solid import UP, Kind, Solid

# Between one facing and the next, and how thick a bracket's arm is shown, mm.
GAP_MM = 2.0
ARM_MM = 6.0
# Cases and shelves keep goods so far behind their front edge.
SET_BACK_MM = 10.0


@dataclass(frozen=True)
class _Held:
    """A slot with all that is known of it."""

    block: Block
    slot: Slot
    where: str
    line: Line
    holder: Bracket | ShelfBoard | None
    place: FacePlace
    goods: GoodsPlace
    slat: bool
    off: float


def slat_wall_parts(scenario: Scenario, layout: Layout, shell: ShellPlan) -> Iterator[Solid]:
    """Give every piece of slat-wall as cut."""
    for run in layout.runs:
        wall, sheet = shell.wall(run.wall), scenario.catalogue.sheet(run.sheet)
        pieces = [piece for piece in layout.cuts if piece.run == run.id]
        outlines = [
            box(
                run.from_mm + piece.x_mm,
                run.bottom_mm + piece.z_mm,
                run.from_mm + piece.x_mm + piece.width_mm,
                run.bottom_mm + piece.z_mm + piece.height_mm,
            )
            for piece in pieces
        ] or [box(run.from_mm, run.bottom_mm, run.to_mm, run.top_mm)]
        for outline in outlines:
            name = f"slat-wall {run.id} ({sheet.id})"
            yield on_wall(wall, run.id, name, "slat-wall", outline, 0.0, sheet.thickness)


def goods_parts(scenario: Scenario, layout: Layout, shell: ShellPlan) -> Iterator[Solid]:
    """Give brackets, shelf boards on slat-wall, and every facing as a box as deep as its units."""
    for held in _held(scenario, layout, shell):
        yield from _holders(held)
        yield from _facings(held)


def _held(scenario: Scenario, layout: Layout, shell: ShellPlan) -> Iterator[_Held]:
    shapes = faces(scenario, layout, 0.0)
    places = face_places(scenario, layout, shell, shapes)
    by_key: dict[tuple[str, str], FaceShape] = {(face.host, face.side): face for face in shapes}
    lines = {line.line: line for line in scenario.lines}
    thick = {run.id: scenario.catalogue.sheet(run.sheet).thickness for run in layout.runs}
    for block in layout.blocks:
        face = by_key.get((block.host, block.side))
        place = places.get((block.host, block.side))
        if face is None or place is None:
            continue
        for r, row in enumerate(block.rows, start=1):
            for s, slot in enumerate(row.slots, start=1):
                line, holder = lines[slot.line], holder_of(scenario.catalogue, slot)
                goods = goods_place(face, row, slot, line, holder)
                yield _Held(
                    block,
                    slot,
                    f"{block.id}.{r}.{s}",
                    line,
                    holder,
                    place,
                    goods,
                    face.kind == "slat",
                    thick.get(block.host, 0.0),
                )


def _part(
    held: _Held,
    kind: Kind,
    name: str,
    span: tuple[float, float],
    heights: tuple[float, float],
    outs: tuple[float, float],
) -> Solid:
    """Give a box before a face: along it, above the floor, and out of it towards the customer."""
    (ux, uy) = held.place.along
    x, y = held.place.left
    return Solid(
        held.where,
        name,
        kind,
        box(span[0], heights[0], span[1], heights[1]),
        # Out of the face lies to the right hand of its direction.
        (x + outs[0] * uy, y - outs[0] * ux, 0.0),
        (ux, uy, 0.0),
        UP,
        outs[1] - outs[0],
        owner=held.block.host,
        category=held.block.category if kind == "goods" else "",
    )


def _holders(held: _Held) -> Iterator[Solid]:
    slot, holder, goods = held.slot, held.holder, held.goods
    if holder is None or not held.slat:
        return
    outs = (held.off, held.off + holder.depth)
    if isinstance(holder, ShelfBoard):
        heights = (goods.support, goods.support + holder.thickness)
        yield _part(held, "shelf", f"shelf {holder.id}", (slot.from_mm, slot.to_mm), heights, outs)
        return
    step = (slot.to_mm - slot.from_mm) / max(slot.brackets, 1)
    for k in range(slot.brackets):
        middle = slot.from_mm + (k + 0.5) * step
        span = (middle - ARM_MM / 2, middle + ARM_MM / 2)
        heights = (goods.support, goods.support + ARM_MM)
        yield _part(held, "bracket", f"bracket {holder.id}", span, heights, outs)


def _facings(held: _Held) -> Iterator[Solid]:
    slot, line = held.slot, held.line
    step = (slot.to_mm - slot.from_mm) / slot.facings
    behind = max(1, -(-slot.units // slot.facings))
    deep = line.depth * behind
    if held.slat:
        reach = max(held.holder.depth if held.holder else deep, line.depth)
        outs = (held.off, held.off + min(deep, reach))
    else:
        outs = (-SET_BACK_MM - deep, -SET_BACK_MM)
    for k in range(slot.facings):
        left = slot.from_mm + k * step
        gap = min(GAP_MM, step / 10)
        yield _part(
            held,
            "goods",
            f"{line.line} ×{slot.facings}",
            (left + gap / 2, left + step - gap / 2),
            (held.goods.bottom, held.goods.top),
            outs,
        )
