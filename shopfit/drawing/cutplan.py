"""Draws the sheets of slat-wall as they are cut: every piece with its run and its size."""

from __future__ import annotations

from collections.abc import Sequence

from shopfit.drawing import lettering, style
from shopfit.drawing.desk import Desk
from shopfit.drawing.dimension import Ruler, running
from shopfit.drawing.faceart import rectangle
from shopfit.drawing.scene import Fill, Group, Item, Layer, Pen, Scene, Shape, Strokes, Table, Text
from shopfit.drawing.sheet import Page, fitting_scale
from shopfit.model.fixtures import Sheet
from shopfit.model.layout import CutPiece

_BESIDE, _BELOW = 22.0, 22.0  # for measures, printed mm
_ACROSS = 2  # sheets side by side that the scale is chosen for
WASTE = Fill("#f1f1f1", "rising", 2.0, Pen(0.1, "#aab2bb"))


def draw_cuts(desk: Desk, page: Page) -> list[Scene]:
    """Draw every sheet that is cut, all at one scale.

    Parameters
    ----------
    desk
        The layout; its cuts are drawn.
    page
        The paper that the scale is chosen for.

    Returns
    -------
    Scenes in the order of the sheets' numbers; x from a sheet's left edge, y up from its lower
    one, mm.
    """
    pieces: dict[int, list[CutPiece]] = {}
    for piece in desk.layout.cuts:
        pieces.setdefault(piece.sheet_number, []).append(piece)
    if not pieces:
        return []
    sheets = {number: _bought(desk, cut[0]) for number, cut in sorted(pieces.items())}
    width, height = page.room_size
    room = ((width - 8.0) / _ACROSS - _BESIDE, height / _ACROSS - _BELOW - 8.0)
    scale = fitting_scale(
        max(sheet.width for sheet in sheets.values()),
        max(sheet.height for sheet in sheets.values()),
        room,
        desk.shop.units,
    )
    return [_scene(desk.at(scale), n, sheet, pieces[n]) for n, sheet in sheets.items()]


def _bought(desk: Desk, piece: CutPiece) -> Sheet:
    return desk.scenario.catalogue.sheet(desk.layout.run(piece.run).sheet)


def _scene(desk: Desk, number: int, sheet: Sheet, pieces: Sequence[CutPiece]) -> Scene:
    key: list[tuple[str, str, str]] = []
    # Numbered as in the list of pieces: from the lower left.
    ordered = sorted(pieces, key=lambda piece: (piece.sheet_z_mm, piece.sheet_x_mm))
    title = f"Sheet {number}: {sheet.name or sheet.id}"
    head = Text(
        (0.0, sheet.height + 2.6 * desk.scale), f"Sheet {number}", anchor="start", bold=True
    )
    name = _sheet_name(head, sheet, desk.scale)
    items: list[Item] = [Shape(rectangle(0.0, sheet.width, 0.0, sheet.height), style.CUT, WASTE)]
    for index, piece in enumerate(ordered, start=1):
        items.append(_piece(desk, f"{number}.{index}", piece, sheet, key))
    marks = sorted({piece.sheet_x_mm for piece in pieces} | {_right(p) for p in pieces})
    rows = sorted({piece.sheet_z_mm for piece in pieces} | {_top(p) for p in pieces})
    below = Ruler(lambda along, away: (along, -away), desk.scale, desk.shop.units)
    beside = Ruler(lambda along, away: (-away, along), desk.scale, desk.shop.units)
    measures = running(below, marks, desk.labels, 3.5) + running(beside, rows, desk.labels, 3.5)
    group = Group(f"sheet-{number}", f"{title}, {len(pieces)} pieces", tuple(items))
    return Scene(
        "Cutting of slat-wall sheets",
        f"Sheet {number} of slat-wall with {len(pieces)} pieces, its face towards the reader.",
        desk.scale,
        (
            Layer("sheets", (group,)),
            Layer("names", (desk.labels.take(head), desk.labels.take(name))),
            Layer("dimensions", tuple(measures)),
        ),
        (Table("Pieces too small to letter", ("Piece", "Run", "Size"), tuple(key)),),
    )


def _sheet_name(head: Text, sheet: Sheet, scale: float) -> Text:
    start = head.width + 2.0
    words = lettering.shorten(sheet.name or sheet.id, sheet.width / scale - start, lettering.SMALL)
    return Text((start * scale, head.at[1]), words, anchor="start")


def _right(piece: CutPiece) -> float:
    return piece.sheet_x_mm + piece.width_mm


def _top(piece: CutPiece) -> float:
    return piece.sheet_z_mm + piece.height_mm


def _piece(
    desk: Desk, tag: str, piece: CutPiece, sheet: Sheet, key: list[tuple[str, str, str]]
) -> Group:
    left, low, right, top = piece.sheet_x_mm, piece.sheet_z_mm, _right(piece), _top(piece)
    size = f"{desk.length(piece.width_mm)} × {desk.length(piece.height_mm)}"
    count = int((sheet.height - sheet.first_groove) / sheet.groove_pitch) + 1
    heights = [sheet.first_groove + k * sheet.groove_pitch for k in range(count)]
    grooves = tuple(((left, h), (right, h)) for h in heights if low < h < top)
    items: list[Item] = [
        Shape(rectangle(left, right, low, top), style.OUTLINE, style.BLANK),
        Strokes(grooves, style.FAINT),
        Shape(rectangle(left, right, low, top), style.OUTLINE),
    ]
    ends, name = (left, low, right, top), f"{tag} {piece.run}"
    wide, high = f"{desk.length(piece.width_mm)} ×", desk.length(piece.height_mm)
    lines = _lettered(desk, ends, [name, size]) or _lettered(desk, ends, [name, wide, high])
    if not lines:
        key.append((tag, piece.run, size))
        lines = _lettered(desk, ends, [tag])
    return Group(f"piece-{tag}", f"Piece {tag} of {piece.run}, {size}", (*items, *lines))


def _lettered(
    desk: Desk, ends: tuple[float, float, float, float], words: Sequence[str]
) -> list[Item]:
    """Set words in the middle of a piece: in lines, in one line, or upright; else nothing."""
    left, low, right, top = ends
    x, y, step = (left + right) / 2, (low + top) / 2, 1.7 * desk.scale
    wide, high = (right - left) / desk.scale - 1.0, (top - low) / desk.scale - 1.0
    spread = step * (len(words) - 1)
    stacked = [(word, spread - 2 * step * index) for index, word in enumerate(words)]
    longest = max(lettering.width(word, lettering.SMALL) for word in words)
    deep = 3.4 * len(words)
    texts: list[Text] = []
    if longest <= wide and deep <= high:
        texts = [Text((x, y + up), word, halo=True) for word, up in stacked]
    elif longest <= high and deep <= wide:
        texts = [Text((x - up, y), word, angle=90.0, halo=True) for word, up in stacked]
    elif lettering.width("  ".join(words), lettering.SMALL) <= wide and high >= 2.8:
        texts = [Text((x, y), "  ".join(words), halo=True)]
    if not all(desk.labels.free(text, strict=False) for text in texts):
        return []
    return [desk.labels.take(text) for text in texts]
