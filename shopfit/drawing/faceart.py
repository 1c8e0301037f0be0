"""Draws what a display face shows: shelves, category blocks, goods, brackets and their names."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from shapely import Polygon, box
from shapely.ops import unary_union
from shapely.prepared import prep

from shopfit.drawing import lettering, style
from shopfit.drawing.desk import Desk
from shopfit.drawing.scene import Fill, Group, Item, Place, Shape, Strokes, Table, Text
from shopfit.geometry.goodsplace import GoodsPlace, goods_place, holder_of
from shopfit.geometry.wallface import FaceShape
from shopfit.model.layout import Block, Row, Slot

_PLAIN = ("shelf", "case", "table")


@dataclass
class Key:
    """Numbers that stand for slots too small for their names.

    Parameters
    ----------
    numbers
        Number by line, facings, way and holder.
    unmarked
        Slots too small even for a number: where they are, and what they are.
    blocks
        Categories of blocks that have room for their tags alone, by tag.
    """

    numbers: dict[tuple[str, int, str, str], int] = field(default_factory=dict)
    unmarked: list[tuple[str, str]] = field(default_factory=list)
    blocks: dict[str, str] = field(default_factory=dict)

    def number(self, slot: Slot) -> int:
        """Give the number of a slot's kind, a new one if it has none."""
        kind = (slot.line, slot.facings, slot.way, slot.holder or "")
        return self.numbers.setdefault(kind, len(self.numbers) + 1)

    def forget(self, slot: Slot, count: int) -> None:
        """Take back a number that was not used, where it is newer than a count."""
        if len(self.numbers) > count:
            del self.numbers[(slot.line, slot.facings, slot.way, slot.holder or "")]

    def tables(self, name: str) -> tuple[Table, ...]:
        """Give the key as tables."""
        blocks = [(tag, category, "block") for tag, category in self.blocks.items()]
        slots = [
            (str(number), f"{line} ×{facings}", holder or way)
            for (line, facings, way, holder), number in self.numbers.items()
        ]
        return (
            Table(f"Key to {name}", ("No.", "Line ×facings", "On"), (*blocks, *slots)),
            Table(f"{name}: too small to letter", ("Where", "Line ×facings"), tuple(self.unmarked)),
        )


@dataclass(frozen=True)
class FacePlace:
    """A face as drawn.

    Parameters
    ----------
    face
        What it is.
    left
        Where its left end is in the drawing, mm.
    window
        What part of the drawing is shown, mm from left to right.
    first_groove, pitch
        Of a slat-wall run, mm; nought for others.
    joints
        Where its sheets meet, mm from left to right in the drawing.
    """

    face: FaceShape
    left: float
    window: tuple[float, float]
    first_groove: float = 0.0
    pitch: float = 0.0
    joints: tuple[float, ...] = ()

    def ruled(self, left: float, right: float, bottom: float, top: float) -> list[Item]:
        """Draw grooves and sheet seams over a stretch of slat-wall; nothing on other faces."""
        if not self.pitch:
            return []
        heights = [self.first_groove + k * self.pitch for k in range(self.face.levels + 1)]
        grooves = tuple(((left, h), (right, h)) for h in heights if bottom < h < top)
        seams = tuple(((x, bottom), (x, top)) for x in self.joints if left < x < right)
        return [Strokes(grooves, style.FAINT), Strokes(seams, style.SEAM)]

    def shows(self, slot: Slot) -> bool:
        """Say whether a slot's middle lies in the window."""
        middle = self.left + (slot.from_mm + slot.to_mm) / 2
        return self.window[0] <= middle < self.window[1]


def blocks_of(desk: Desk, host: str, side: str) -> list[Block]:
    """List the blocks on a face from left to right."""
    found = [b for b in desk.layout.blocks if b.host == host and b.side == side]
    return sorted(found, key=lambda block: (block.from_mm, block.id))


def stand(desk: Desk, place: FacePlace, row: Row, slot: Slot) -> GoodsPlace:
    """Give where the goods of a slot stand or hang."""
    line, holder = desk.scenario.line(slot.line), holder_of(desk.scenario.catalogue, slot)
    return goods_place(place.face, row, slot, line, holder)


def support_heights(desk: Desk, place: FacePlace, blocks: Sequence[Block]) -> list[float]:
    """List the heights of all brackets and shelves shown on a face, mm."""
    return sorted(
        {
            round(stand(desk, place, row, slot).support, 4)
            for block in blocks
            for row in block.rows
            for slot in row.slots
            if place.shows(slot)
        }
    )


def draw_face(desk: Desk, place: FacePlace, blocks: Sequence[Block], key: Key) -> list[Item]:
    """Draw the blocks of a face with their names, rows and slots.

    Parameters
    ----------
    desk
        The layout, the scale and the places taken by lettering.
    place
        Which face, and where.
    blocks
        What stands on it.
    key
        Takes the slots too small for their names.
    """
    shown = [block for block in blocks if _clipped(place, block) is not None]
    names = {block.id: _name(desk, place, block, key) for block in shown}
    items: list[Item] = []
    for block in shown:
        facings = sum(slot.facings for row in block.rows for slot in row.slots)
        title = f"{block.id}: {block.category}, {len(block.rows)} rows, {facings} facings"
        parts = _ground(desk, place, block)
        for number, row in enumerate(block.rows, start=1):
            for index, slot in enumerate(row.slots, start=1):
                if place.shows(slot):
                    where = f"{block.id}, row {number}, place {index}"
                    parts.append(_slot(desk, place, row, slot, where, key))
        items.append(Group(block.id, title, tuple(parts)))
    # Last, so that the goods of a neighbour never hide a name.
    return [*items, *(item for block in shown for item in names[block.id])]


def _clipped(place: FacePlace, block: Block) -> tuple[float, float] | None:
    left = max(place.left + block.from_mm, place.window[0])
    right = min(place.left + block.to_mm, place.window[1])
    return (left, right) if right - left > 1.0 else None


def _span(place: FacePlace, block: Block) -> tuple[float, float]:
    if place.face.kind == "slat" or not block.rows:
        return place.face.bottom, place.face.top
    bottom = min(row.bottom_mm for row in block.rows)
    return min(bottom, place.face.bottom), place.face.top


def rectangle(left: float, right: float, bottom: float, top: float) -> tuple[Place, ...]:
    """Give the corners of an upright rectangle."""
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def _ground(desk: Desk, place: FacePlace, block: Block) -> list[Item]:
    left, right = _clipped(place, block) or (0.0, 0.0)
    bottom, top = _span(place, block)
    number = desk.scenario.categories.index(block.category)
    corners = rectangle(left, right, bottom, top)
    items: list[Item] = [Shape(corners, style.OUTLINE, style.category_fill(number))]
    items += place.ruled(left, right, bottom, top)
    board = place.face.board
    if place.face.kind in _PLAIN and board > 0:
        for row in block.rows:
            shelf = rectangle(left, right, row.bottom_mm, row.bottom_mm + board)
            items.append(Shape(shelf, style.THIN, style.BLANK))
    return items


def _name(desk: Desk, place: FacePlace, block: Block, key: Key) -> list[Item]:
    """Set a block's tag and category: above a run, else clear of the goods, else over them."""
    left, right = _clipped(place, block) or (0.0, 0.0)
    bottom, top = _span(place, block)
    scale, size = desk.scale, lettering.SMALL
    room = (right - left) / scale - 0.8
    words = f"{block.id} {block.category}"
    if lettering.width(words, size, bold=True) > room:
        # A tag is never cut: B1 is another block than B14.
        words = block.id
        key.blocks[block.id] = block.category
    half = lettering.width(words, size, bold=True) * scale / 2 + 0.6 * scale
    text = Text(((left + right) / 2, top), words, size, "middle", 0.0, True, halo=True)
    heights = [top - 2.0 * scale]
    for row in reversed(block.rows):
        heights += [row.top_mm - 2.0 * scale, row.bottom_mm + place.face.board + 2.2 * scale]
    choices = [
        replace(text, at=(x, y))
        for y in heights
        for x in (right - half, (left + right) / 2, left + half)
    ]
    if place.face.kind == "slat":
        over = replace(text, at=((left + right) / 2, top + 2.1 * scale))
        found = desk.labels.place([over])
        if found:
            return [found]
    goods = unary_union(
        [_goods(desk, place, row, slot) for row in block.rows for slot in row.slots]
    )
    clear = prep(box(left, bottom, right, top).difference(goods))
    empty = [text for text in choices if clear.contains(text.box(scale))]
    turned = [replace(text, at=((left + right) / 2, y), angle=90.0) for y in heights]
    inside = box(left, bottom, right, top)
    found = (
        desk.labels.place(empty)
        or desk.labels.place([text for text in turned if clear.contains(text.box(scale))])
        or desk.labels.place([*choices, *turned], inside)
    )
    return [found] if found else desk.labels.lead(text, ((left + right) / 2, top - 1.5 * scale))


def _goods(desk: Desk, place: FacePlace, row: Row, slot: Slot) -> Polygon:
    goods = stand(desk, place, row, slot)
    return box(place.left + slot.from_mm, goods.bottom, place.left + slot.to_mm, goods.top)


def _slot(desk: Desk, place: FacePlace, row: Row, slot: Slot, where: str, key: Key) -> Group:
    start, end = place.left + slot.from_mm, place.left + slot.to_mm
    left, right = max(start, place.window[0]), min(end, place.window[1])
    goods = stand(desk, place, row, slot)
    corners = rectangle(left, right, goods.bottom, goods.top)
    items: list[Item] = [Shape(corners, style.THIN, style.BLANK)]
    if slot.facings > 1:
        step = (end - start) / slot.facings
        cuts = [start + step * k for k in range(1, slot.facings)]
        edges = tuple(((x, goods.bottom), (x, goods.top)) for x in cuts if left < x < right)
        items.append(Strokes(edges, style.FINE))
    if slot.way == "shelf" and place.face.kind == "slat":
        board = rectangle(left, right, goods.support, goods.bottom)
        items.append(Shape(board, style.THIN, Fill(style.INK)))
    items += _brackets(desk, place, slot, goods)
    items += _slot_label(desk, row, slot, (left, right), goods, where, key)
    held = f" on {slot.holder}" if slot.holder else ""
    title = f"{slot.line} ×{slot.facings}, {slot.way}{held}, {slot.units} units ({where})"
    return Group(where.replace(", row ", ".").replace(", place ", "."), title, tuple(items))


def _brackets(desk: Desk, place: FacePlace, slot: Slot, goods: GoodsPlace) -> list[Item]:
    """Mark each bracket by a short stroke at its groove; they divide the slot evenly."""
    if not slot.brackets:
        return []
    step, half = (slot.to_mm - slot.from_mm) / slot.brackets, 0.8 * desk.scale
    start = place.left + slot.from_mm
    centres = [start + (k + 0.5) * step for k in range(slot.brackets)]
    shown = [x for x in centres if place.window[0] <= x <= place.window[1]]
    marks = tuple(((x, goods.support - half), (x, goods.support + half)) for x in shown)
    return [Strokes(marks, style.BRACKET)]


def _slot_label(
    desk: Desk,
    row: Row,
    slot: Slot,
    ends: tuple[float, float],
    goods: GoodsPlace,
    where: str,
    key: Key,
) -> list[Item]:
    scale = desk.scale
    space = box(ends[0], min(row.bottom_mm, goods.bottom), ends[1], max(row.top_mm, goods.top))
    width, height = (ends[1] - ends[0]) / scale, (row.top_mm - row.bottom_mm) / scale
    words = f"{slot.line} ×{slot.facings}"
    full = lettering.width(words, lettering.SMALL)
    if full <= width or full <= height:
        found = desk.labels.place(_choices(words, ends, goods, row, scale), space)
        if found:
            return [found]
    pair = _two_lines(desk, slot, ends, goods, space)
    if pair:
        return pair
    count = len(key.numbers)
    number = str(key.number(slot))
    if lettering.width(number, lettering.SMALL) <= width:
        found = desk.labels.place(_choices(number, ends, goods, row, scale), space)
        if found:
            return [found]
    key.forget(slot, count)
    key.unmarked.append((where, f"{words} {slot.way}"))
    return []


def _choices(
    words: str, ends: tuple[float, float], goods: GoodsPlace, row: Row, scale: float
) -> Iterator[Text]:
    """Offer places for a slot's lettering: inside the goods, clear of them, then across them."""
    x = (ends[0] + ends[1]) / 2
    middle = (goods.bottom + goods.top) / 2
    tall = goods.top - goods.bottom >= 3.0 * scale
    if tall:
        for up in (0.0, -1.0, 1.0):
            yield Text((x, middle + up * scale), words, halo=True)
    for y in (goods.top + 1.8 * scale, goods.bottom - 1.9 * scale):
        yield Text((x, y), words, halo=True)
    for turn in (0.0, 90.0):
        for y in (middle, (row.bottom_mm + row.top_mm) / 2):
            yield Text((x, y), words, angle=turn, halo=True)
    for y in (row.bottom_mm + 1.7 * scale, row.top_mm - 1.7 * scale):
        yield Text((x, y), words, halo=True)


def _two_lines(
    desk: Desk, slot: Slot, ends: tuple[float, float], goods: GoodsPlace, space: Polygon
) -> list[Item]:
    """Set a name in two lines where one does not fit and two do."""
    scale = desk.scale
    width, height = (ends[1] - ends[0]) / scale, (space.bounds[3] - space.bounds[1]) / scale
    words = f"{slot.line} ×{slot.facings}"
    if lettering.width(words, lettering.SMALL) <= width or height < 6.4:
        return []
    split = words.split()
    half = (len(split) + 1) // 2
    first, second = " ".join(split[:half]), " ".join(split[half:])
    if max(lettering.width(part, lettering.SMALL) for part in (first, second)) > width:
        return []
    x, middle = (ends[0] + ends[1]) / 2, (goods.bottom + goods.top) / 2
    for y in (middle, (space.bounds[1] + space.bounds[3]) / 2, middle - 1.5 * scale):
        pair = [
            Text((x, y + 1.65 * scale), first, halo=True),
            Text((x, y - 1.65 * scale), second, halo=True),
        ]
        clear = all(space.contains(text.box(scale)) and desk.labels.free(text) for text in pair)
        if clear:
            return [desk.labels.take(text) for text in pair]
    return []
