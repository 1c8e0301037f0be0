"""Faces that show goods, as rectangles: runs of slat-wall and the display sides of fixtures."""

from __future__ import annotations

from dataclasses import dataclass

from shopfit.geometry.footprint import side_length
from shopfit.model.fixtures import DisplayFace, Fixture, Side
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario


@dataclass(frozen=True)
class FaceShape:
    """A face of a layout.

    Parameters
    ----------
    host, side
        Tag of the fixture or run, and the side of it.
    kind
        ``slat``, ``shelf``, ``case`` or ``table``.
    width
        Along the face, mm.
    bottom, top
        Height above the floor of its lowest display level and of the highest goods, mm.
    pitch
        Step of its levels, mm; levels lie at ``bottom + k * pitch``.
    levels
        How many steps of pitch fit.
    depth
        Usable depth of its shelves, or what may stand out over the floor below, mm.
    load
        Most that a level carries: kg per metre.
    board
        Thickness of its own shelves, mm; 0 on slat-wall.
    """

    host: str
    side: Side
    kind: str
    width: float
    bottom: float
    top: float
    pitch: float
    levels: int
    depth: float
    load: float
    board: float


def face_width(fixture: Fixture, face: DisplayFace) -> float:
    """Give how wide a display face is, mm; the whole side if nothing else is said."""
    return face.width if face.width is not None else side_length(fixture, face.side)


def face_start(fixture: Fixture, side: Side) -> float:
    """Give where a display face begins: from the left end of its side, as one faces it, mm.

    Parameters
    ----------
    fixture, side
        Which; a face narrower than its side lies in the middle of it.

    Raises
    ------
    KeyError
        If that side shows nothing.
    """
    return (side_length(fixture, side) - face_width(fixture, fixture.face(side))) / 2


def groove_height(first_groove: float, pitch: float, groove: int) -> float:
    """Give a groove's height above the floor, mm; groove 1 is the lowest."""
    return first_groove + (groove - 1) * pitch


def faces(scenario: Scenario, layout: Layout, free_projection: float) -> list[FaceShape]:
    """List every face of a layout: fixtures in order, then runs.

    Parameters
    ----------
    scenario, layout
        Which.
    free_projection
        How far goods may stand out of slat-wall with nothing below it, mm.
    """
    shapes = []
    for placement in layout.placements:
        fixture = scenario.catalogue.fixture(placement.fixture)
        for face in fixture.faces:
            width = face_width(fixture, face)
            height = face.top - face.bottom
            pitch = height if face.kind == "table" else face.pitch
            shapes.append(
                FaceShape(
                    placement.id,
                    face.side,
                    face.kind,
                    width,
                    face.bottom,
                    face.top,
                    pitch,
                    int(height / pitch + 1e-6),
                    face.depth,
                    face.load / (width / 1000),
                    0.0 if face.kind == "table" else face.board,
                )
            )
    for run in layout.runs:
        sheet = scenario.catalogue.sheet(run.sheet)
        depths = [
            scenario.catalogue.fixture(layout.placement(tag).fixture).depth for tag in run.over
        ]
        shapes.append(
            FaceShape(
                run.id,
                "front",
                "slat",
                run.to_mm - run.from_mm,
                run.first_groove_mm,
                run.top_mm,
                sheet.groove_pitch,
                int((run.top_mm - run.first_groove_mm) / sheet.groove_pitch + 1e-6),
                min(depths, default=free_projection),
                sheet.groove_load,
                0.0,
            )
        )
    return shapes
