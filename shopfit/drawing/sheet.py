"""Pages, scales and title blocks: turns a scene into a sheet that prints true."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from shopfit.drawing.scene import Item, Layer, Place, Scene, Table, moved
from shopfit.drawing.tables import Area, set_tables
from shopfit.units import INCH_MM, LengthStyle

MARGIN = 9.0
BLOCK = 25.0
_INSET = 3.0


@dataclass(frozen=True)
class Page:
    """A sheet of paper.

    Parameters
    ----------
    name
        Its usual name.
    width, height
        Printed mm.
    """

    name: str
    width: float
    height: float

    @property
    def turned(self) -> Page:
        """The same sheet upright instead of lying, or the other way round."""
        return replace(self, width=self.height, height=self.width)

    @property
    def room(self) -> Area:
        """What margins and title block leave for drawing."""
        return Area(
            MARGIN + _INSET,
            MARGIN + BLOCK + _INSET,
            self.width - MARGIN - _INSET,
            self.height - MARGIN - _INSET,
        )

    @property
    def room_size(self) -> tuple[float, float]:
        """Width and height of that, printed mm."""
        room = self.room
        return room.right - room.left, room.top - room.bottom


PAGES = {
    "letter": Page("letter", 11 * INCH_MM, 8.5 * INCH_MM),
    "tabloid": Page("tabloid", 17 * INCH_MM, 11 * INCH_MM),
    "a4": Page("a4", 297.0, 210.0),
    "a3": Page("a3", 420.0, 297.0),
}

# Scales found on the usual scale rulers; common practice, no source.
_IMPERIAL = {
    12: '1" = 1\'-0"',
    16: '3/4" = 1\'-0"',
    24: '1/2" = 1\'-0"',
    32: '3/8" = 1\'-0"',
    48: '1/4" = 1\'-0"',
    64: '3/16" = 1\'-0"',
    96: '1/8" = 1\'-0"',
    128: '3/32" = 1\'-0"',
    192: '1/16" = 1\'-0"',
    384: '1/32" = 1\'-0"',
}
_METRIC = (10, 20, 25, 50, 75, 100, 200, 500, 1000)


def imperial(units: LengthStyle) -> bool:
    """Say whether a shop writes inches."""
    return units in ("ft-in", "in")


def default_page(units: LengthStyle) -> str:
    """Give the name of the sheet that goes with a way of writing lengths."""
    return "letter" if imperial(units) else "a4"


def scales(units: LengthStyle) -> tuple[int, ...]:
    """Give the usual scales, largest drawing first, as how many times smaller they print."""
    return tuple(_IMPERIAL) if imperial(units) else _METRIC


def scale_name(scale: float, units: LengthStyle) -> str:
    """Write a scale the way the trade does."""
    ratio = f"1:{scale:g}"
    return f"{_IMPERIAL[int(scale)]} ({ratio})" if imperial(units) else ratio


def fitting_scale(
    width: float, height: float, room: tuple[float, float], units: LengthStyle
) -> int:
    """Give the largest usual scale at which something fits.

    Parameters
    ----------
    width, height
        Of the thing, mm.
    room
        Width and height to fit into, printed mm.
    units
        Whose scales.

    Returns
    -------
    How many times smaller it prints; the smallest usual scale where none fits.
    """
    for scale in scales(units):
        if width / scale <= room[0] and height / scale <= room[1]:
            return scale
    return scales(units)[-1]


@dataclass(frozen=True)
class Sheet:
    """A sheet ready to be written.

    Parameters
    ----------
    file
        Its file name without an ending.
    page
        The paper.
    scene
        In printed mm, from the paper's lower left corner.
    scale
        Scale of the drawing on it, or none for a sheet of tables.
    """

    file: str
    page: Page
    scene: Scene
    scale: float | None


def on_page(scene: Scene, page: Page) -> Scene:
    """Give a scene in printed mm; one at full size is put in the middle of the page."""
    if scene.scale == 1:
        return scene
    west, south, east, north = scene.bounds()
    middle = ((west + east) / 2, (south + north) / 2)
    return _printed(scene, middle, (page.width / 2, page.height / 2))


def compose(scenes: Sequence[Scene], page: Page, file: str) -> tuple[Sheet, tuple[Table, ...]]:
    """Put scenes of one scale on a sheet, with as many of their tables as find room.

    Parameters
    ----------
    scenes
        They are set side by side in rows, in order; the first gives the sheet its title.
    page
        The paper.
    file
        File name of the sheet, without an ending.

    Returns
    -------
    The sheet without frame and title block, which `finish` adds; and the tables left over.
    """
    layers, used = _arranged(scenes, page)
    tables = [table for scene in scenes for table in scene.tables if table.rows]
    items, rest = _best_tables(tables, page, used)
    first = scenes[0]
    about = " ".join(dict.fromkeys(scene.about for scene in scenes))
    whole = Scene(first.title, about, 1, (*layers, Layer("tables", tuple(items))))
    return Sheet(file, page, whole, first.scale), rest


def table_sheets(tables: Sequence[Table], page: Page, title: str, file: str) -> list[Sheet]:
    """Put tables on as many sheets as they need.

    Parameters
    ----------
    tables
        What found no room beside its drawing.
    page
        The paper.
    title
        Of the drawing that they go with.
    file
        File name of that drawing, without an ending.

    Raises
    ------
    ValueError
        If a row of a table is larger than a whole sheet.
    """
    sheets: list[Sheet] = []
    rest = tuple(tables)
    while rest:
        items, left = set_tables(rest, [page.room])
        if not items:
            raise ValueError(f"table {rest[0].title!r} is larger than a sheet")
        about = f"Tables that go with: {title}."
        scene = Scene(f"{title}: tables", about, 1, (Layer("tables", tuple(items)),))
        sheets.append(Sheet(f"{file}-tables-{len(sheets) + 1}", page, scene, None))
        rest = left
    return sheets


def _printed(scene: Scene, origin: Place, offset: Place) -> Scene:
    layers = tuple(
        Layer(
            layer.name,
            tuple(moved(item, scene.scale, origin, offset) for item in layer.items),
        )
        for layer in scene.layers
    )
    return replace(scene, scale=1, layers=layers)


def _arranged(scenes: Sequence[Scene], page: Page) -> tuple[list[Layer], tuple[float, float]]:
    """Set scenes in rows from the top left; give their layers and the width and height used."""
    room, gap = page.room, 6.0
    x, top, deepest, widest = room.left, room.top, 0.0, 0.0
    layers: list[Layer] = []
    alone = len(scenes) == 1 and not any(table.rows for table in scenes[0].tables)
    for scene in scenes:
        west, south, east, north = scene.bounds()
        width, height = (east - west) / scene.scale, (north - south) / scene.scale
        if x > room.left and x + width > room.right:
            x, top, deepest = room.left, top - deepest - gap, 0.0
        if alone:
            x = max(room.left, (room.left + room.right - width) / 2)
            top = min(room.top, (room.top + room.bottom + height) / 2)
        layers += _printed(scene, (west, north), (x, top)).layers
        widest = max(widest, x + width - room.left)
        deepest = max(deepest, height)
        x += width + gap
    return layers, (widest, room.top - top + deepest)


def fits_together(scenes: Sequence[Scene], page: Page) -> bool:
    """Say whether scenes set in rows stay on one page."""
    _, (width, height) = _arranged(scenes, page)
    return width <= page.room_size[0] + 1e-6 and height <= page.room_size[1] + 1e-6


def _best_tables(
    tables: Sequence[Table], page: Page, used: tuple[float, float]
) -> tuple[list[Item], tuple[Table, ...]]:
    room, gap = page.room, 5.0
    right, below = room.left + used[0] + gap, room.top - used[1] - gap
    choices = [
        [Area(room.left, room.bottom, room.right, below), Area(right, below, room.right, room.top)],
        [
            Area(right, room.bottom, room.right, room.top),
            Area(room.left, room.bottom, right, below),
        ],
    ]
    results = []
    for areas in choices:
        open_areas = [a for a in areas if a.right - a.left > 20 and a.top - a.bottom > 12]
        results.append(set_tables(tables, open_areas))
    return min(results, key=lambda result: sum(len(table.rows) for table in result[1]))
