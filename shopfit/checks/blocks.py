"""Checks blocks, rows and slots: inside their face, on its levels, tall and wide enough."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

from shopfit.checks.goods import HANGING, Shown, pitches, shown
from shopfit.checks.notes import CATALOGUE, LAYOUT, RANGE, Source, more
from shopfit.checks.scene import Scene
from shopfit.geometry.wallface import FaceShape, groove_height
from shopfit.model.finding import Finding
from shopfit.model.layout import Block, Row, Slot
from shopfit.units import TOLERANCE_MM


def check(scene: Scene) -> Iterator[Finding]:
    """Find blocks, rows and slots that cannot be built as the layout says."""
    on_face: dict[tuple[str, str], list[Block]] = defaultdict(list)
    for block in scene.layout.blocks:
        face = scene.faces.get((block.host, block.side))
        if face is None:
            yield _finding(
                scene,
                block,
                None,
                "no-face",
                f"Block {block.id} stands on the {block.side} of {block.host}, which shows no "
                "goods.",
                "Move it to a side that shows goods.",
                CATALOGUE,
            )
            continue
        on_face[block.host, block.side].append(block)
        yield from _block(scene, block, face)
        for row in block.rows:
            yield from _row(scene, block, row, face)
            yield from _slots(scene, block, row)
        yield from _rows_meeting(scene, block)
    for blocks in on_face.values():
        yield from _blocks_meeting(scene, blocks)
    for item in shown(scene):
        yield from _way(scene, item)
        yield from _height(scene, item)


def place(scene: Scene, block: Block) -> tuple[str | None, tuple[float, float] | None]:
    """Give the wall and the place on the plan that a block belongs to."""
    hung = scene.hung_by_tag.get(block.host)
    if hung is not None:
        x, y = hung.wall.point(hung.run.from_mm + (block.from_mm + block.to_mm) / 2)
        return hung.run.wall, (round(x, 1), round(y, 1))
    stood = scene.by_tag.get(block.host)
    if stood is None:
        return None, None
    centre = stood.shape.centroid
    return stood.placement.wall, (round(centre.x, 1), round(centre.y, 1))


def _finding(
    scene: Scene,
    block: Block,
    row: Row | None,
    code: str,
    message: str,
    mend: str,
    source: Source,
    required: float | None = None,
    measured: float | None = None,
    unit: str = "mm",
) -> Finding:
    wall, at_mm = place(scene, block)
    return Finding(
        code=code,
        severity="violation",
        subject=f"block {block.id} on {block.host}",
        message=message,
        mend=mend,
        required=required,
        measured=measured,
        unit=unit,
        source=source.source,
        at_mm=at_mm,
        wall=wall,
        height_mm=row.bottom_mm if row else None,
    )


def _block(scene: Scene, block: Block, face: FaceShape) -> Iterator[Finding]:
    if block.category not in scene.scenario.categories:
        yield _finding(
            scene,
            block,
            None,
            "unknown-name",
            f"Block {block.id} is for the category {block.category!r}, which the range does not "
            "have.",
            "Use a category of range.csv.",
            RANGE,
        )
    beyond = max(-block.from_mm, block.to_mm - face.width, block.from_mm - block.to_mm)
    if beyond > TOLERANCE_MM:
        yield _finding(
            scene,
            block,
            None,
            "block-beyond-face",
            f"Block {block.id} reaches {scene.words.fine(beyond)} past the face of {block.host}, "
            f"which is {scene.words.say(face.width)} long.",
            f"Shorten or move it by {scene.words.enough(beyond)}.",
            LAYOUT,
            0.0,
            beyond,
        )


def _row(scene: Scene, block: Block, row: Row, face: FaceShape) -> Iterator[Finding]:
    steps_low = (row.bottom_mm - face.bottom) / face.pitch
    steps_high = (row.top_mm - face.bottom) / face.pitch
    for what, height, steps in (
        ("starts", row.bottom_mm, steps_low),
        ("ends", row.top_mm, steps_high),
    ):
        nearest = face.bottom + round(steps) * face.pitch
        if abs(height - nearest) > TOLERANCE_MM:
            yield _finding(
                scene,
                block,
                row,
                "row-off-level",
                f"A row of block {block.id} {what} {scene.words.fine(abs(height - nearest))} off "
                f"the levels of {block.host}.",
                f"Put it at {nearest:.2f} mm above the floor.",
                CATALOGUE,
                nearest,
                height,
            )
    below, above = round(steps_low), round(steps_high)
    if below < 0 or above > face.levels or above <= below:
        top = face.bottom + face.levels * face.pitch
        yield _finding(
            scene,
            block,
            row,
            "row-beyond-face",
            f"A row of block {block.id} lies from {scene.words.say(row.bottom_mm)} to "
            f"{scene.words.say(row.top_mm)} above the floor; {block.host} has levels from "
            f"{scene.words.say(face.bottom)} to {scene.words.say(top)}.",
            "Keep it between the lowest and the highest level.",
            CATALOGUE,
            face.bottom if below < 0 else top,
            row.bottom_mm if below < 0 else row.top_mm,
        )
    if face.kind == "slat":
        yield from _grooves(scene, block, row, face)


def _grooves(scene: Scene, block: Block, row: Row, face: FaceShape) -> Iterator[Finding]:
    low, high = row.low_groove, row.high_groove
    count = pitches(row, face)
    right_low = low is not None and (
        abs(groove_height(face.bottom, face.pitch, low) - row.bottom_mm) <= TOLERANCE_MM
    )
    right_high = low is not None and high is not None and high == low + count - 1
    if right_low and right_high:
        return
    wanted = round((row.bottom_mm - face.bottom) / face.pitch) + 1
    yield _finding(
        scene,
        block,
        row,
        "row-grooves",
        f"A row of block {block.id} at {scene.words.say(row.bottom_mm)} says grooves {low} to "
        f"{high} of {block.host}; it owns grooves {wanted} to {wanted + count - 1}.",
        f"Write grooves {wanted} to {wanted + count - 1}.",
        LAYOUT,
    )


def _rows_meeting(scene: Scene, block: Block) -> Iterator[Finding]:
    ordered = sorted(block.rows, key=lambda row: (row.bottom_mm, row.top_mm))
    for lower, upper in pairwise(ordered):
        shared = lower.top_mm - upper.bottom_mm
        if shared > TOLERANCE_MM:
            yield _finding(
                scene,
                block,
                upper,
                "rows-overlap",
                f"Two rows of block {block.id} overlap by {scene.words.fine(shared)}.",
                f"Raise the upper one by {scene.words.enough(shared)}.",
                LAYOUT,
                0.0,
                shared,
            )


def _heights(block: Block) -> tuple[float, float]:
    return min(row.bottom_mm for row in block.rows), max(row.top_mm for row in block.rows)


def _blocks_meeting(scene: Scene, blocks: list[Block]) -> Iterator[Finding]:
    ordered = sorted((b for b in blocks if b.rows), key=lambda b: (b.from_mm, b.to_mm, b.id))
    for index, one in enumerate(ordered):
        for other in ordered[index + 1 :]:
            across = min(one.to_mm, other.to_mm) - other.from_mm
            if other.from_mm >= one.to_mm - TOLERANCE_MM:
                break
            (low, high), (other_low, other_high) = _heights(one), _heights(other)
            up = min(high, other_high) - max(low, other_low)
            if up > TOLERANCE_MM and across > TOLERANCE_MM:
                yield _finding(
                    scene,
                    other,
                    None,
                    "blocks-overlap",
                    f"Blocks {one.id} and {other.id} on {one.host} overlap by "
                    f"{scene.words.fine(across)}.",
                    f"Move {other.id} {scene.words.enough(across)} to the right.",
                    LAYOUT,
                    0.0,
                    across,
                )


def _slots(scene: Scene, block: Block, row: Row) -> Iterator[Finding]:
    for slot in row.slots:
        yield from _slot(scene, block, row, slot)
    ordered = sorted(row.slots, key=lambda slot: (slot.from_mm, slot.to_mm))
    for one, other in pairwise(ordered):
        shared = one.to_mm - other.from_mm
        if shared > TOLERANCE_MM:
            yield _finding(
                scene,
                block,
                row,
                "slots-overlap",
                f"Lines {one.line} and {other.line} overlap by {scene.words.fine(shared)} on a "
                f"row of block {block.id}.",
                f"Move {other.line} {scene.words.enough(shared)} to the right.",
                LAYOUT,
                0.0,
                shared,
            )


def _slot(scene: Scene, block: Block, row: Row, slot: Slot) -> Iterator[Finding]:
    line = scene.lines[slot.line]
    wanted, width = slot.facings * line.width, slot.to_mm - slot.from_mm
    if slot.facings < 1 or abs(width - wanted) > TOLERANCE_MM:
        yield _finding(
            scene,
            block,
            row,
            "slot-width",
            f"{slot.facings} facings of {line.line} are {scene.words.say(wanted)} wide; their "
            f"place on block {block.id} is {scene.words.fine(abs(width - wanted))} off.",
            f"Make the place {wanted:.2f} mm wide.",
            RANGE,
            wanted,
            width,
        )
    beyond = max(block.from_mm - slot.from_mm, slot.to_mm - block.to_mm)
    if beyond > TOLERANCE_MM:
        yield _finding(
            scene,
            block,
            row,
            "slot-beyond-block",
            f"Line {line.line} reaches {scene.words.fine(beyond)} out of block {block.id}.",
            f"Move it {scene.words.enough(beyond)}, or show fewer facings.",
            LAYOUT,
            0.0,
            beyond,
        )
    if line.category != block.category:
        yield _finding(
            scene,
            block,
            row,
            "wrong-category",
            f"Line {line.line} is {line.category}, but block {block.id} is for {block.category}.",
            f"Show it in a block for {line.category}.",
            RANGE,
        )


def _holds(item: Shown) -> bool:
    way, kind = item.slot.way, item.face.kind
    if way in ("hook", "face-out", "cradle"):
        return kind == "slat" and item.bracket is not None and item.bracket.kind == way
    if way == "shelf" and kind == "slat":
        return item.board is not None
    return way == kind and item.slot.holder is None


def _way(scene: Scene, item: Shown) -> Iterator[Finding]:
    line, slot = item.line, item.slot
    if slot.way not in line.ways:
        yield _finding(
            scene,
            item.block,
            item.row,
            "way",
            f"{item.name} is shown by {slot.way}; allowed: {', '.join(line.ways)}.",
            "Show it in an allowed way.",
            RANGE,
        )
    if not _holds(item):
        holder = slot.holder or "nothing"
        yield _finding(
            scene,
            item.block,
            item.row,
            "holder",
            f"{item.name} is shown by {slot.way} held by {holder}, which a {item.face.kind} face "
            "does not take.",
            "Use a bracket of that way or a shelf board on slat-wall, and no holder on a "
            "fixture's own shelf.",
            CATALOGUE,
        )
    if line.secured and item.face.kind != "case":
        yield _finding(
            scene,
            item.block,
            item.row,
            "secured",
            f"{item.name} must be locked in a glass case, but stands on a {item.face.kind} face.",
            "Show it in a glass case.",
            RANGE,
        )


def _height(scene: Scene, item: Shown) -> Iterator[Finding]:
    row, line = item.row, item.line
    hangs = item.slot.way in HANGING
    if hangs:
        rise = item.bracket.rise if item.bracket else 0.0
        space = (pitches(row, item.face) - 1) * item.face.pitch
        need = rise + line.height
    else:
        rise = item.face.board
        if item.bracket is not None:
            rise = item.bracket.rise
        elif item.board is not None:
            rise = item.board.thickness
        space = row.top_mm - row.bottom_mm
        need = rise + line.height + scene.brief.finger_gap
    if more(need, space):
        gap = "" if hangs else f" and {scene.words.say(scene.brief.finger_gap)} to take it out"
        yield _finding(
            scene,
            item.block,
            row,
            "row-height",
            f"{item.name} wants {scene.words.say(need)} of height ({scene.words.say(line.height)} "
            f"of goods, {scene.words.say(rise)} of holder{gap}); its row gives "
            f"{scene.words.say(space)}: {scene.words.fine(need - space)} short.",
            f"Make the row {scene.words.enough(need - space)} higher.",
            RANGE,
            need,
            space,
        )
