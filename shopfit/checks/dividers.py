"""Checks fixtures that divide the staff zone from the shop, and the floor behind them."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import LineString, Polygon

from shopfit.checks.between import move_off
from shopfit.checks.notes import BRIEF, SHELL, less, middle, way_out
from shopfit.checks.scene import Area, Scene, Stood, grow
from shopfit.geometry.footprint import side_band, side_ends
from shopfit.model.finding import Finding
from shopfit.units import TOLERANCE_MM


def back_band(scene: Scene, one: Stood) -> Polygon:
    """Give the floor behind a divider as deep as the staff's aisle, mm."""
    return side_band(one.fixture, one.placement, "back", scene.brief.staff_aisle)


def dividers(scene: Scene) -> list[Stood]:
    """List the fixtures that stand as dividers."""
    return [one for one in scene.stood if one.role == "divider"]


def check(scene: Scene) -> Iterator[Finding]:
    """Find dividers off the edge of the staff zone, and blocked floor behind them."""
    for one in dividers(scene):
        yield from _edge(scene, one)
        yield from _behind(scene, one)


def _home(scene: Scene, one: Stood) -> Area:
    return max(scene.staff_zones, key=lambda zone: zone.shape.intersection(one.shape).area)


def _edge(scene: Scene, one: Stood) -> Iterator[Finding]:
    zone = _home(scene, one)
    front = LineString(side_ends(one.fixture, one.placement, "front"))
    inside = grow(zone.shape, TOLERANCE_MM).covers(one.shape)
    off = max(zone.shape.exterior.distance(end) for end in front.boundary.geoms)
    along = zone.shape.exterior.buffer(TOLERANCE_MM).covers(front)
    if inside and along:
        return
    if not inside:
        outside = one.shape.difference(zone.shape)
        off = max(off, max(zone.shape.distance(end) for end in _ends(outside)))
    yield Finding(
        code="divider-edge",
        severity="violation",
        subject=f"{one.name} and zone {zone.id}",
        message=f"{one.name} must stand inside the staff zone {zone.id} with its front on the "
        f"zone's edge; it is {scene.words.fine(off)} off.",
        mend=f"Move {one.tag} {scene.words.enough(off)} to the edge of {zone.id}.",
        required=0.0,
        measured=off,
        source=SHELL.source,
        at_mm=middle(one.shape),
    )


def _ends(shape: object) -> list[LineString]:
    parts = getattr(shape, "geoms", [shape])
    return [
        LineString([corner, corner])
        for part in parts
        if isinstance(part, Polygon)
        for corner in part.exterior.coords
    ]


def _behind(scene: Scene, one: Stood) -> Iterator[Finding]:
    band = back_band(scene, one)
    wanted = scene.brief.staff_aisle
    for other in scene.standing_in(band):
        if other is one:
            continue
        distance = way_out(other.shape, band)
        yield _blocked(
            scene,
            one,
            f"{other.name} stands {scene.words.fine(distance)} inside it",
            f"{move_off(scene, other, band)}.",
            max(wanted - distance, 0.0),
        )
    if scene.room_of(band) is None:
        depth = _clear(scene, one, band)
        if less(depth, wanted) or depth == wanted:
            yield _blocked(
                scene,
                one,
                "the room ends before",
                f"Make the staff zone {scene.words.enough(wanted - depth)} deeper.",
                depth,
            )


def _clear(scene: Scene, one: Stood, band: Polygon) -> float:
    room = max(scene.shell.rooms.values(), key=lambda outline: outline.intersection(band).area)
    back = LineString(side_ends(one.fixture, one.placement, "back"))
    outside = band.difference(room)
    return min(float(back.distance(outside)), scene.brief.staff_aisle)


def _blocked(scene: Scene, one: Stood, what: str, mend: str, measured: float) -> Finding:
    wanted = scene.brief.staff_aisle
    return Finding(
        code="behind-divider",
        severity="violation",
        subject=one.name,
        message=f"Behind {one.name} the brief wants {scene.words.say(wanted)} of clear floor; "
        f"{what}.",
        mend=mend,
        required=wanted,
        measured=measured,
        source=BRIEF.source,
        at_mm=middle(back_band(scene, one)),
    )
