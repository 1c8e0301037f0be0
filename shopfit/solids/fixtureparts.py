"""Solids of fixtures: what carries, what is glass, and the shelves that are used."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from shapely import Polygon

from shopfit.geometry.footprint import footprint, rectangle
from shopfit.geometry.wallface import face_start, face_width
from shopfit.model.fixtures import DisplayFace, Fixture
from shopfit.model.layout import Layout, Placement
from shopfit.model.scenario import Scenario
from shopfit.solids.solid import Solid, upright

PANEL_MM = 19.0
GLASS_MM = 6.0
BACK_MM = 6.0


def fixture_parts(scenario: Scenario, layout: Layout) -> Iterator[Solid]:
    """Give the solids of everything that stands on the floor.

    A fixture is shown as a box with its display sides hollowed out as deep as they are; what is
    left carries them. Cases are closed with glass.
    """
    for placement in layout.placements:
        fixture = scenario.catalogue.fixture(placement.fixture)
        yield from _parts(placement, fixture)
        yield from _shelves(layout, placement, fixture)


def name_of(placement: Placement, fixture: Fixture) -> str:
    """Give a fixture's name for people: what it is, tag, and number in the list."""
    return f"{fixture.kind.replace('-', ' ')} {placement.id} ({fixture.id})"


def _parts(placement: Placement, fixture: Fixture) -> Iterator[Solid]:
    tag, name = placement.id, name_of(placement, fixture)
    whole = footprint(fixture, placement)
    hollows = [
        (face, _hollow(placement, fixture, face)) for face in fixture.faces if face.kind != "table"
    ]
    levels = sorted(
        {0.0, fixture.height}
        | {h for face, _ in hollows for h in (face.bottom, min(face.top, fixture.height))}
    )
    for low, high in pairwise(levels):
        if high - low < 0.1:
            continue
        left = whole
        for face, hollow in hollows:
            if face.bottom < high - 0.1 and face.top > low + 0.1:
                left = left.difference(hollow)
        for part in getattr(left, "geoms", [left]):
            if isinstance(part, Polygon) and part.area > 1.0:
                yield upright(tag, name, "fixture", part, low, high, owner=tag)
    for face in fixture.faces:
        if face.kind == "case":
            yield from _glass(placement, fixture, face)


def _inside(fixture: Fixture, face: DisplayFace, near: float, far: float) -> tuple[float, ...]:
    """Give left, right, near and far of a strip behind a side, in the fixture's own measures."""
    start = face_start(fixture, face.side)
    end = start + face_width(fixture, face)
    w, d = fixture.width, fixture.depth
    return {
        "front": (start, end, d - far, d - near),
        "back": (w - end, w - start, near, far),
        "left": (near, far, start, end),
        "right": (w - far, w - near, d - end, d - start),
    }[face.side]


def _hollow(placement: Placement, fixture: Fixture, face: DisplayFace) -> Polygon:
    return _strip(placement, fixture, face, 0.0, face.depth)


def _strip(
    placement: Placement, fixture: Fixture, face: DisplayFace, near: float, far: float
) -> Polygon:
    left, right, low, high = _inside(fixture, face, near, min(far, _deepest(fixture, face)))
    side = PANEL_MM if right - left > 3 * PANEL_MM and face.side in ("front", "back") else 0.0
    return rectangle(placement, left + side, right - side, low, high)


def _deepest(fixture: Fixture, face: DisplayFace) -> float:
    """Give how deep a display side may be hollowed, so that a back is left, mm."""
    pairs = {"front": "back", "back": "front", "left": "right", "right": "left"}
    across = fixture.depth if face.side in ("front", "back") else fixture.width
    opposite = any(other.side == pairs[face.side] for other in fixture.faces)
    return across / 2 - BACK_MM / 2 if opposite else across - BACK_MM


def _glass(placement: Placement, fixture: Fixture, face: DisplayFace) -> Iterator[Solid]:
    name = f"glass of {name_of(placement, fixture)}"
    top = min(face.top, fixture.height)
    strip = _strip(placement, fixture, face, 0.0, GLASS_MM)
    yield upright(placement.id, name, "glass", strip, face.bottom, top, owner=placement.id)


def _shelves(layout: Layout, placement: Placement, fixture: Fixture) -> Iterator[Solid]:
    for face in fixture.faces:
        if face.kind == "table":
            continue
        heights = {
            round(row.bottom_mm, 2)
            for block in layout.blocks
            if (block.host, block.side) == (placement.id, face.side)
            for row in block.rows
        }
        board = max(face.board, 3.0)
        for height in sorted(heights):
            strip = _strip(placement, fixture, face, GLASS_MM, face.depth)
            name = f"shelf of {name_of(placement, fixture)}"
            top = height + board
            yield upright(placement.id, name, "shelf", strip, height, top, owner=placement.id)
