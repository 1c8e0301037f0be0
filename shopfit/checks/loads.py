"""Checks units and their weight against what brackets, grooves, shelves and boards carry."""

from __future__ import annotations

from collections.abc import Iterator

from shopfit.checks.blocks import place
from shopfit.checks.goods import Shown, most_units, shown
from shopfit.checks.notes import CATALOGUE, LAYOUT, join
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene
from shopfit.geometry.wallface import FaceShape
from shopfit.model.finding import Finding
from shopfit.model.fixtures import Bracket
from shopfit.model.layout import Block, Row
from shopfit.standards.loads import bracket_margin, groove_margin
from shopfit.units import format_line_load, format_mass

# Sums of many weights, kg.
SLACK_KG = 1e-6


def check(scene: Scene) -> Iterator[Finding]:
    """Find more units or weight than a maker's data allow."""
    for item in shown(scene):
        yield from _units(scene, item)
        yield from _brackets(scene, item)
        if item.bracket is not None:
            yield from _bracket_load(scene, item, item.bracket)
        if item.board is not None:
            width = item.slot.to_mm - item.slot.from_mm
            load = item.board.load * max(width, 0.0) / item.board.length
            yield from _weight(scene, item, f"shelf board {item.board.id}", load)
    for block in scene.layout.blocks:
        face = scene.faces.get((block.host, block.side))
        if face is not None:
            for row in block.rows:
                yield from _row(scene, block, row, face)
    yield from _grooves(scene)


def _finding(
    scene: Scene,
    block: Block,
    row: Row,
    code: str,
    subject: str,
    message: str,
    mend: str,
    required: float,
    measured: float,
    unit: str,
    source: str = CATALOGUE.source,
) -> Finding:
    wall, at_mm = place(scene, block)
    return Finding(
        code=code,
        severity="violation",
        subject=subject,
        message=message,
        mend=mend,
        required=required,
        measured=measured,
        unit=unit,
        source=source,
        at_mm=at_mm,
        wall=wall,
        height_mm=row.bottom_mm,
    )


def _units(scene: Scene, item: Shown) -> Iterator[Finding]:
    slot = item.slot
    most = slot.facings * most_units(item)
    if slot.units > most:
        yield _finding(
            scene,
            item.block,
            item.row,
            "units",
            item.name,
            f"{item.name} holds {slot.units} units in {slot.facings} facings; its holder takes "
            f"{most:.0f} by depth, count and load: {slot.units - most:.0f} too many.",
            f"Hold {slot.units - most:.0f} fewer, or use a deeper or stronger holder.",
            float(most),
            float(slot.units),
            "units",
        )
    if slot.units < slot.facings:
        yield _finding(
            scene,
            item.block,
            item.row,
            "units-few",
            item.name,
            f"{item.name} has {slot.facings} facings but only {slot.units} units; every facing "
            "is a unit.",
            f"Hold {slot.facings - slot.units} more.",
            float(slot.facings),
            float(slot.units),
            "units",
            LAYOUT.source,
        )


def _brackets(scene: Scene, item: Shown) -> Iterator[Finding]:
    wanted = item.slot.facings * item.bracket.per_facing if item.bracket else 0
    if item.slot.brackets != wanted:
        yield _finding(
            scene,
            item.block,
            item.row,
            "brackets",
            item.name,
            f"{item.name} says {item.slot.brackets} brackets; it needs {wanted}.",
            f"Write {wanted} brackets.",
            float(wanted),
            float(item.slot.brackets),
            "brackets",
        )


def _bracket_load(scene: Scene, item: Shown, bracket: Bracket) -> Iterator[Finding]:
    count = bracket.per_facing * item.slot.facings
    weight = item.slot.units * item.line.weight
    if bracket_margin(bracket.load, count, weight) < -SLACK_KG:
        yield _overload(
            scene,
            item.block,
            item.row,
            "holder-load",
            item.name,
            f"brackets {bracket.id}",
            weight,
            bracket.load * count,
        )


def _weight(scene: Scene, item: Shown, what: str, load: float) -> Iterator[Finding]:
    weight = item.slot.units * item.line.weight
    if weight > load + SLACK_KG:
        yield _overload(scene, item.block, item.row, "holder-load", item.name, what, weight, load)


def _grooves(scene: Scene) -> Iterator[Finding]:
    """Tell where goods load a groove over the length that they take more than its maker allows.

    Over the whole block they may be within it, which is what the rules ask for.
    """
    found: list[tuple[float, float, Shown]] = []
    for item in shown(scene):
        length = item.slot.to_mm - item.slot.from_mm
        weight = item.slot.units * item.line.weight
        if item.face.kind != "slat" or length <= 0:
            continue
        over = -groove_margin(item.face.load, weight, length)
        if over > SLACK_KG:
            found.append((weight / (length / 1000), over, item))
    if not found:
        return
    per_m, over, worst = max(found, key=lambda each: each[0] / each[2].face.load)
    style = scene.words.style
    wall, at_mm = place(scene, worst.block)
    count = "1 place" if len(found) == 1 else f"{len(found)} places"
    yield say(
        "groove-spread",
        "advice",
        join(dict.fromkeys(item.block.host for _, _, item in found)),
        f"In {count} goods load a groove more than its maker allows for the length that they take, "
        f"though not for the whole block: {worst.name} most, {format_line_load(per_m, style)} "
        f"where {format_line_load(worst.face.load, style)} are allowed.",
        f"Take {format_mass(over, style)} off there, set the goods farther apart, or use sheets "
        "with metal in their grooves. Ask the maker.",
        CATALOGUE,
        required=worst.face.load,
        measured=per_m,
        margin=worst.face.load - per_m,
        unit="kg/m",
        at_mm=at_mm,
        wall=wall,
        height_mm=worst.row.bottom_mm,
    )


def _row(scene: Scene, block: Block, row: Row, face: FaceShape) -> Iterator[Finding]:
    weight = sum(slot.units * scene.lines[slot.line].weight for slot in row.slots)
    load = face.load * max(block.to_mm - block.from_mm, 0.0) / 1000
    if weight > load + SLACK_KG:
        what = "groove" if face.kind == "slat" else "shelf"
        subject = f"block {block.id} on {block.host}"
        yield _overload(scene, block, row, "row-load", subject, f"its {what}", weight, load)


def _overload(
    scene: Scene,
    block: Block,
    row: Row,
    code: str,
    subject: str,
    what: str,
    weight: float,
    load: float,
) -> Finding:
    style = scene.words.style
    over = format_mass(weight - load, style)
    if not over.strip("0. lbkg"):
        over = f"{(weight - load) * 1e6:.0f} mg"
    return _finding(
        scene,
        block,
        row,
        code,
        subject,
        f"{subject} puts {format_mass(weight, style)} on {what}, which carries "
        f"{format_mass(load, style)} by its maker: {over} too much.",
        f"Take off {over}, or use a stronger one.",
        load,
        weight,
        "kg",
    )
