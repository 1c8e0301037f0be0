"""What every sheet says of itself: frame, names, scale with its bar, date and caution."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from shopfit.drawing import lettering, style
from shopfit.drawing.scene import Fill, Item, Layer, Line, Place, Shape, Text
from shopfit.drawing.sheet import BLOCK, MARGIN, Sheet, imperial, scale_name
from shopfit.units import FOOT_MM, LengthStyle, format_length

CAUTION = "Check against local code; a licensed person decides. Measure on site before cutting."


@dataclass(frozen=True)
class TitleBlock:
    """What every sheet says of itself.

    Parameters
    ----------
    shop, scenario, fingerprint
        Name of the shop, the scenario's folder and the digest of what was given.
    date
        As it is to be printed.
    units
        How lengths are written.
    """

    shop: str
    scenario: str
    fingerprint: str
    date: str
    units: LengthStyle


def finish(sheets: Sequence[Sheet], block: TitleBlock) -> list[Sheet]:
    """Add frame, title block and scale bar to sheets, numbered in order."""
    finished = []
    for number, sheet in enumerate(sheets, start=1):
        items = title_block(sheet, block, number, len(sheets))
        layers = (*sheet.scene.layers, Layer("title block", tuple(items)))
        finished.append(replace(sheet, scene=replace(sheet.scene, layers=layers)))
    return finished


def title_block(sheet: Sheet, block: TitleBlock, number: int, count: int) -> list[Item]:
    """Draw frame, title block and scale bar of a sheet, in printed mm."""
    page = sheet.page
    left, right, top = MARGIN, page.width - MARGIN, page.height - MARGIN
    rule = MARGIN + BLOCK
    frame = ((left, MARGIN), (right, MARGIN), (right, top), (left, top))
    middle, far = left + 0.30 * (right - left), left + 0.61 * (right - left)
    items: list[Item] = [
        Shape(frame, style.OUTLINE),
        Line((left, rule), (right, rule), style.OUTLINE),
        Line((middle, MARGIN), (middle, rule), style.THIN),
        Line((far, MARGIN), (far, rule), style.THIN),
    ]
    items += _names(sheet, block, left + 2, middle - left - 4, rule)
    items += _scale_cell(sheet, block, middle + 2, far - middle - 4, rule)
    items += _facts(block, number, count, far + 2, right - far - 4, rule)
    return items


def _lines(
    x: float, top: float, words: Sequence[tuple[str, float, bool]], room: float
) -> list[Item]:
    items: list[Item] = []
    y = top
    for text, size, bold in words:
        y -= 0.75 * size + 0.4
        items.append(
            Text((x, y), lettering.shorten(text, room, size, bold), size, "start", bold=bold)
        )
        y -= 0.75 * size
    return items


def _names(sheet: Sheet, block: TitleBlock, x: float, room: float, top: float) -> list[Item]:
    title = lettering.wrap(sheet.scene.title, room, lettering.NORMAL, bold=True)[:2]
    words = [(block.shop, 4.6, True), *((line, lettering.NORMAL, True) for line in title)]
    return _lines(x, top - 1.5, words, room)


def _scale_cell(sheet: Sheet, block: TitleBlock, x: float, room: float, top: float) -> list[Item]:
    written = {
        "ft-in": "feet and inches",
        "in": "inches",
        "mm": "millimetres",
        "m": "metres",
    }[block.units]
    if sheet.scale is None:
        words = [
            ("No scale: tables", lettering.NORMAL, True),
            (f"Units: {written}", lettering.SMALL, False),
        ]
        return _lines(x, top - 1.5, words, room)
    name = f"Scale {scale_name(sheet.scale, block.units)}"
    words = [
        (name, lettering.NORMAL, True),
        (f"on {sheet.page.name.title()}; units: {written}", lettering.SMALL, False),
    ]
    return [
        *_lines(x, top - 1.5, words, room),
        *scale_bar(sheet.scale, block.units, (x + 1, MARGIN + 3), room - 12),
    ]


def _facts(
    block: TitleBlock, number: int, count: int, x: float, room: float, top: float
) -> list[Item]:
    caution = lettering.wrap(CAUTION, room, lettering.SMALL, bold=True)
    date = f"Date {block.date or 'not given'}; sheet {number} of {count}"
    words = [
        (date, lettering.SMALL, False),
        (f"Scenario {block.scenario or 'without a name'}", lettering.SMALL, False),
        (f"Revision {block.fingerprint[:12] or 'not given'}", lettering.SMALL, False),
        *((line, lettering.SMALL, True) for line in caution),
    ]
    return _lines(x, top - 0.8, words, room)


def scale_bar(scale: float, units: LengthStyle, at: Place, room: float) -> list[Item]:
    """Draw a scale bar of four equal parts.

    Parameters
    ----------
    scale
        How many times smaller the drawing prints.
    units
        How lengths are written; also whether the bar measures feet or metres.
    at
        Its lower left corner, printed mm.
    room
        Most width it may take, printed mm.
    """
    unit = FOOT_MM if imperial(units) else 1000.0
    sizes = (0.2, 0.4, 0.8, 1.2, 2, 4, 8, 12, 20, 40, 80, 200)
    length = max((s * unit for s in sizes if s * unit / scale <= room), default=sizes[0] * unit)
    part, height = length / scale / 4, 1.6
    x, y = at
    items: list[Item] = []
    for k in range(4):
        corners = (
            (x + k * part, y),
            (x + (k + 1) * part, y),
            (x + (k + 1) * part, y + height),
            (x + k * part, y + height),
        )
        items.append(Shape(corners, style.THIN, Fill(style.INK if k % 2 == 0 else "#ffffff")))
    for k in (0, 2, 4):
        words = "0" if k == 0 else format_length(length * k / 4, units)
        if k != 2 or lettering.width(words, lettering.SMALL) * 1.2 < 2 * part:
            items.append(Text((x + k * part, y + height + 2.0), words))
    return items
