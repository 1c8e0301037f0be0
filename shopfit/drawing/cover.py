"""The first sheet of a set: what is drawn, what signs mean, which sheets there are, cautions."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from shopfit import wording
from shopfit.drawing import lettering, style
from shopfit.drawing.desk import Desk
from shopfit.drawing.findingroutes import ROUTE
from shopfit.drawing.rampplan import RAIL
from shopfit.drawing.scene import (
    Arc,
    Fill,
    Item,
    Layer,
    Line,
    Pen,
    Place,
    Scene,
    Shape,
    Table,
    Text,
)
from shopfit.drawing.sheet import Page, Sheet, scale_name, table_sheets
from shopfit.drawing.tables import Area, set_tables
from shopfit.drawing.waysplan import TURNING
from shopfit.model.scenario import Scenario

FILE = "cover"
_PITCH, _SAMPLE, _COLUMN = 5.9, 12.0, 66.0
_TABLES = 96.0
_SMALL = lettering.SMALL
Sample = Callable[[float, float], list[Item]]


@dataclass(frozen=True)
class _Sign:
    """A sign of the key: how it is drawn from its lower left corner, and what it means."""

    draw: Sample
    words: str


def cover_sheets(desk: Desk, page: Page, sheets: Sequence[Sheet]) -> list[Sheet]:
    """Make the cover of a set.

    Parameters
    ----------
    desk, page
        What is drawn, and the paper.
    sheets
        The sheets that follow it.

    Returns
    -------
    The cover, and sheets for what found no room on it.
    """
    alone = _laid(desk, page, sheets, 2)
    # Sheets of the cover's own come before all others, whose numbers then are larger.
    return alone if len(alone) == 1 else _laid(desk, page, sheets, 1 + len(alone))


def _laid(desk: Desk, page: Page, sheets: Sequence[Sheet], first: int) -> list[Sheet]:
    """Lay the cover out, with the sheets that follow numbered from a first one."""
    room = page.room
    head = _heading(desk, room)
    cautions, below = _cautions(room)
    top = room.top - 17.0
    signs = [*_signs(desk, {sheet.file for sheet in sheets}), *_categories(desk.scenario)]
    across = max(1, int((room.right - room.left - _TABLES) / _COLUMN))
    down = max(1, int((top - below) / _PITCH))
    shown, rest = signs[: across * down], signs[across * down :]
    used = -(-len(shown) // down) * _COLUMN
    area = Area(room.left + used + 4.0, below, room.right, top)
    written, left = set_tables([_list(desk, sheets, first)], [area])
    items = [*head, *_key(shown, room.left, top, down), *written, *cautions]
    about = f"Drawing set for {desk.shop.name}: key, list of sheets and cautions."
    scene = Scene("Cover", about, 1, (Layer("cover", tuple(items)),))
    more = _key_sheets(rest, page) + table_sheets(left, page, "Cover", FILE)
    return [Sheet(FILE, page, scene, None), *more]


def _heading(desk: Desk, room: Area) -> list[Item]:
    told = lettering.shorten(_facts(desk), room.right - room.left, lettering.NORMAL)
    name = lettering.shorten(desk.shop.name, room.right - room.left, 7.0, bold=True)
    return [
        Text((room.left, room.top - 4.0), name, 7.0, "start", bold=True),
        Text((room.left, room.top - 11.0), told, lettering.NORMAL, "start"),
    ]


def _facts(desk: Desk) -> str:
    layout, claims = desk.layout, desk.layout.claims
    told = [
        wording.counted(claims.facings, "facings"),
        f"{wording.counted(claims.units, 'units')} held",
        wording.counted(len(layout.placements), "fixtures"),
        wording.counted(len(layout.runs), "slat-wall runs"),
        wording.money(claims.cost, desk.shop.currency),
        f"rulebook {desk.shop.rulebook}",
    ]
    if layout.proof is not None and layout.proof.gap is not None:
        told.append(f"at most {wording.percent(layout.proof.gap)} better by its bound")
    return ", ".join(told)


def _cautions(room: Area) -> tuple[list[Item], float]:
    """Set the cautions over the foot of the sheet, and give the height that they take."""
    lines: list[tuple[str, bool]] = []
    width = room.right - room.left
    for title, text in wording.CAUTIONS:
        lines += [(line, False) for line in lettering.wrap(f"{title}: {text}", width, _SMALL)]
    lines = [("Cautions", True), *lines]
    pitch = 3.7
    top = room.bottom + pitch * len(lines)
    items: list[Item] = [Line((room.left, top + 1.0), (room.right, top + 1.0), style.THIN)]
    for k, (text, bold) in enumerate(lines):
        at = (room.left, top - pitch * (k + 0.6))
        items.append(Text(at, text, _SMALL, "start", bold=bold))
    return items, top + 4.0


def _key(signs: Sequence[_Sign], left: float, top: float, down: int) -> list[Item]:
    items: list[Item] = []
    for k, sign in enumerate(signs):
        x = left + (k // down) * _COLUMN
        y = top - (k % down + 1) * _PITCH
        items += sign.draw(x, y + 1.0)
        words = lettering.shorten(sign.words, _COLUMN - _SAMPLE - 5.0, _SMALL)
        items.append(Text((x + _SAMPLE + 3.0, y + _PITCH / 2), words, _SMALL, "start"))
    return items


def _key_sheets(signs: Sequence[_Sign], page: Page) -> list[Sheet]:
    """Put what of the key found no room on sheets of its own."""
    room = page.room
    down = int((room.top - room.bottom) / _PITCH)
    most = down * max(1, int((room.right - room.left) / _COLUMN))
    found = []
    for start in range(0, len(signs), most):
        items = _key(signs[start : start + most], room.left, room.top, down)
        number = start // most + 2
        scene = Scene("Key", "What signs and fillings mean.", 1, (Layer("key", tuple(items)),))
        found.append(Sheet(f"{FILE}-key-{number}", page, scene, None))
    return found


def _box(
    x: float, y: float, width: float = _SAMPLE, height: float = _PITCH - 2.0
) -> tuple[Place, ...]:
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))


def _filled(fill: Fill, pen: Pen | None = style.OUTLINE) -> Sample:
    return lambda x, y: [Shape(_box(x, y), pen, fill)]


def _ruled(pen: Pen) -> Sample:
    middle = (_PITCH - 2.0) / 2
    return lambda x, y: [Line((x, y + middle), (x + _SAMPLE, y + middle), pen)]


def _door(x: float, y: float) -> list[Item]:
    size = _PITCH - 2.0
    return [
        Line((x + 2.0, y), (x + 2.0, y + size), style.OUTLINE),
        Arc((x + 2.0, y), size, 0.0, 90.0, style.THIN),
    ]


def _bracket(x: float, y: float) -> list[Item]:
    return [
        Line((x + at, y + 1.0), (x + at, y + _PITCH - 3.0), style.BRACKET) for at in (3.0, 6.0, 9.0)
    ]


def _front(x: float, y: float) -> list[Item]:
    return [
        Shape(_box(x, y + 1.2, height=_PITCH - 3.2), style.OUTLINE, style.FIXTURE),
        Line((x, y + 1.2), (x + _SAMPLE, y + 1.2), style.FRONT),
    ]


def _signs(desk: Desk, files: set[str]) -> list[_Sign]:
    """List the signs of a set; zones, overheads, ways, handrails only where there are any."""
    kinds = {zone.kind for zone in desk.shop.zones}
    some = [
        ("staff" in kinds, _Sign(_filled(style.zone_fill("staff"), style.THIN), "staff zone")),
        ("stock" in kinds, _Sign(_filled(style.zone_fill("stock"), style.THIN), "stock zone")),
        (bool(desk.shop.overheads), _Sign(_ruled(style.OVERHEAD), "edge of what hangs overhead")),
        ("ways" in files, _Sign(_ruled(ROUTE), "way as measured")),
        ("ways" in files, _Sign(_ruled(TURNING), "floor to turn a wheelchair on")),
        ("approach" in files, _Sign(_ruled(RAIL), "handrail, outside")),
    ]
    return [
        _Sign(_filled(style.WALL), "wall, cut"),
        _Sign(_filled(style.GLASS), "window, or glass"),
        _Sign(_door, "door leaf and its swing"),
        _Sign(_front, "fixture; the heavy edge is its front"),
        _Sign(_ruled(style.RUN), "slat-wall run, on the plan"),
        _Sign(_ruled(style.SEAM), "seam between sheets"),
        _Sign(_ruled(style.STUD), "stud centre"),
        _Sign(_ruled(style.FAINT), "groove"),
        _Sign(_bracket, "brackets"),
        _Sign(_ruled(style.CLEAR), "floor kept clear"),
        _Sign(_filled(style.AISLE, None), "aisle before a front"),
        *(sign for wanted, sign in some if wanted),
        _Sign(_ruled(style.HIDDEN), "hidden edge"),
        _Sign(_ruled(style.BEHIND), "thing on the wall, covered"),
        _Sign(_ruled(style.MATCH), "match line: goes on on the next sheet"),
    ]


def _categories(scenario: Scenario) -> list[_Sign]:
    return [
        _Sign(_filled(style.category_fill(number)), f"category {name}")
        for number, name in enumerate(scenario.categories)
    ]


def _list(desk: Desk, sheets: Sequence[Sheet], first: int) -> Table:
    units = desk.shop.units
    told = [
        (sheet.scene.title, "" if sheet.scale is None else scale_name(sheet.scale, units))
        for sheet in sheets
    ]
    rows, number = [], first
    # Sheets in a row that are called alike share a line.
    for words, alike in itertools.groupby(told):
        last = number + len(list(alike)) - 1
        rows.append((str(number) if last == number else f"{number}–{last}", *words))
        number = last + 1
    return Table("Sheets", ("No.", "Title", "Scale"), tuple(rows))
