"""Draws the display sides of fixtures that no wall elevation shows, such as islands."""

from __future__ import annotations

from collections.abc import Sequence

from shopfit.drawing.desk import Desk, fixture_title
from shopfit.drawing.dimension import Ruler, overall, reach, running
from shopfit.drawing.faceart import FacePlace, Key, blocks_of, draw_face, support_heights
from shopfit.drawing.scene import Group, Item, Layer, Line, Scene
from shopfit.drawing.sheet import PAGES, Page, default_page, scales
from shopfit.drawing.style import CUT
from shopfit.drawing.wallart import face_shapes, fixture_face, tag_below
from shopfit.geometry.footprint import side_length
from shopfit.geometry.wallface import FaceShape, face_start
from shopfit.model.fixtures import Side
from shopfit.model.layout import Layout, Placement
from shopfit.model.scenario import Scenario

_COARSEST = 50
_GAP = 46.0  # between two sides of one fixture, printed mm, for the heights between them
_NUMBER = 5.2


def island_scenes(scenario: Scenario, layout: Layout, page: Page | None = None) -> dict[str, Scene]:
    """Draw every display side that does not lie before a wall, fixture by fixture.

    Parameters
    ----------
    scenario, layout
        What is drawn.
    page
        The paper that the scale is chosen for; the usual one for the shop's units if left out.

    Returns
    -------
    Scenes by the fixture's tag, all of one scale; y up from the finished floor, mm.
    """
    desk = Desk.of(scenario, layout)
    return draw_islands(desk, page or PAGES[default_page(scenario.shop.units)])


def draw_islands(desk: Desk, page: Page) -> dict[str, Scene]:
    """Draw display sides away from walls for a page; see `island_scenes`."""
    shown = [(p, sides) for p in desk.layout.placements if (sides := _sides(desk, p))]
    if not shown:
        return {}
    shapes = face_shapes(desk)
    scale = _scale(desk, shown, page)
    return {p.id: _scene(desk.at(scale), p, sides, shapes) for p, sides in shown}


def _sides(desk: Desk, placement: Placement) -> list[Side]:
    faces = desk.fixture(placement).faces
    return [face.side for face in faces if placement.wall is None or face.side != "front"]


def _scale(desk: Desk, shown: Sequence[tuple[Placement, Sequence[Side]]], page: Page) -> float:
    """Choose the smallest drawing in which nearly every slot can be lettered, if it fits."""
    usual = scales(desk.shop.units)
    width, height = page.room_size

    def fits(scale: float) -> bool:
        for placement, sides in shown:
            fixture = desk.fixture(placement)
            long = sum(side_length(fixture, side) for side in sides)
            wide = long / scale + 22.0 + _GAP * len(sides)
            if wide > width or fixture.height / scale + 40.0 > height:
                return False
        return True

    tags = {placement.id for placement, _ in shown}
    slots = [
        slot.to_mm - slot.from_mm
        for block in desk.layout.blocks
        if block.host in tags
        for row in block.rows
        for slot in row.slots
    ]
    fitting = [scale for scale in usual if scale <= _COARSEST and fits(scale)] or [usual[-1]]
    lettered = [s for s in fitting if sum(w / s >= _NUMBER for w in slots) >= 0.9 * len(slots)]
    return lettered[-1] if lettered else fitting[0]


def _scene(
    desk: Desk,
    placement: Placement,
    sides: Sequence[Side],
    shapes: dict[tuple[str, str], FaceShape],
) -> Scene:
    fixture = desk.fixture(placement)
    key = Key()
    items: list[Item] = []
    dimensions: list[Item] = []
    left = 0.0
    for side in sides:
        length = side_length(fixture, side)
        items += _side(desk, placement, side, left, shapes[(placement.id, side)], key)
        dimensions += _measures(desk, placement, side, left, shapes[(placement.id, side)])
        left += length + _GAP * desk.scale
    group = Group(placement.id, fixture_title(desk, placement), tuple(items))
    name = fixture.name or fixture.id
    return Scene(
        "Fixtures away from walls",
        f"Display sides of {placement.id}, {name}, as the customer faces them.",
        desk.scale,
        (Layer("fixtures", (group,)), Layer("dimensions", tuple(dimensions))),
        key.tables(placement.id),
    )


def _side(
    desk: Desk, placement: Placement, side: Side, left: float, face: FaceShape, key: Key
) -> list[Item]:
    fixture = desk.fixture(placement)
    right = left + side_length(fixture, side)
    start = left + face_start(fixture, side)
    window = (min(left, start), max(right, start + face.width))
    floor = 2.0 * desk.scale
    items = tag_below(desk, f"{placement.id} {side}", (left, right))
    items.append(Line((left - floor, 0.0), (right + floor, 0.0), CUT))
    items += fixture_face(desk, fixture, face, left, right, window)
    place = FacePlace(face, start, window)
    return items + draw_face(desk, place, blocks_of(desk, placement.id, side), key)


def _measures(
    desk: Desk, placement: Placement, side: Side, left: float, face: FaceShape
) -> list[Item]:
    fixture = desk.fixture(placement)
    right = left + side_length(fixture, side)
    scale, units, labels = desk.scale, desk.shop.units, desk.labels
    start = left + face_start(fixture, side)
    blocks = blocks_of(desk, placement.id, side)
    edges = {0.0, right - left}
    edges |= {start - left + end for block in blocks for end in (block.from_mm, block.to_mm)}
    below = Ruler(lambda along, away: (left + along, -away), scale, units)
    beside = Ruler(lambda along, away: (left - away, along), scale, units)
    after = Ruler(lambda along, away: (right + away, along), scale, units)
    items = running(below, sorted(edges), labels, 5.4)
    far = reach(below, sorted(edges), 5.4)
    items += overall(below, right - left, desk.length(right - left), labels, far)
    items += running(beside, [fixture.height], labels, 3.5)
    levels = support_heights(desk, FacePlace(face, start, (start, start + face.width)), blocks)
    return items + (running(after, levels, labels, 3.5) if levels else [])
