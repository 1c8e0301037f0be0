"""Every position that a fixture or a bay of slat-wall may take, with the faces it brings."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field, replace

import numpy as np
import shapely
from shapely import Polygon

from shopfit.geometry.footprint import (
    against_wall,
    footprint,
    rectangle,
    side_band,
)
from shopfit.geometry.openings import things_on
from shopfit.geometry.shell import WallLine
from shopfit.model.fixtures import Fixture, Side
from shopfit.model.layout import Placement
from shopfit.solver.parts import FacePart, fixture_parts, slat_area, slat_parts
from shopfit.solver.site import Site

_EPS = 1e-6
# Outward direction of each side from that of a fixture's width, degrees.
_DIRECTIONS: dict[Side, float] = {"front": -90.0, "back": 90.0, "left": 180.0, "right": 0.0}


@dataclass(frozen=True)
class Candidate:
    """One position.

    Parameters
    ----------
    fixture
        Id in the catalogue, or none for slat-wall with nothing below.
    placement
        Where; for bare slat-wall only its wall and offset mean something.
    body
        Floor that it takes.
    bands
        Floor that stays clear before its sides: outward direction in degrees, shape, depth.
    faces
        Faces of the fixture itself.
    slat
        Faces on the wall above it, if slat-wall is hung there.
    cost, slat_cost
        Money for the fixture, and at least for the slat-wall.
    frame
        Angle modulo 90 degrees of its sides.
    pinned
        Whether the user pinned it there.
    staff_band
        Of a divider: the band behind it, which is among the bands too.
    around
        Of an island: the body with half the aisle all round. A careful search keeps islands a
        whole aisle apart with it, so that they never close a way; no rule asks for it.
    hemmed_in
        Of an island: whether walls or columns leave no aisle all round it.
    """

    fixture: str | None
    placement: Placement
    body: Polygon
    bands: tuple[tuple[float, Polygon, float], ...]
    faces: tuple[FacePart, ...]
    slat: tuple[FacePart, ...] = ()
    cost: float = 0.0
    slat_cost: float = 0.0
    frame: float = 0.0
    pinned: bool = False
    staff_band: Polygon | None = field(default=None, compare=False)
    around: Polygon | None = field(default=None, compare=False)
    hemmed_in: bool = False


def candidates(site: Site) -> list[Candidate]:
    """List every position allowed by the shell alone, pinned ones first.

    Parameters
    ----------
    site
        The shop, with the floor that nothing may take.
    """
    found = list(_pinned(site))
    seen = {_key(candidate) for candidate in found}
    free = [*_against_walls(site), *_islands(site), *_dividers(site), *_bare_runs(site)]
    for candidate in allowed(site, free):
        if _key(candidate) not in seen:
            seen.add(_key(candidate))
            found.append(candidate)
    return found


def _key(candidate: Candidate) -> tuple[object, ...]:
    p = candidate.placement
    width = candidate.slat[0].width if candidate.fixture is None else 0.0
    return (candidate.fixture, round(p.x_mm, 2), round(p.y_mm, 2), round(p.angle_deg, 3), width)


def allowed(site: Site, found: list[Candidate]) -> Iterator[Candidate]:
    """Keep candidates whose bodies and bands lie on floor that they may take."""
    for candidate in found:
        # A divider stands on staff floor, everything else on sales floor.
        divider = candidate.staff_band is not None
        ground = site.staff_floor if divider else site.customer_floor
        if not ground.covers(candidate.body):
            continue
        if divider and not site.staff_band_floor.covers(candidate.staff_band):
            continue
        if all(
            site.band_floor.covers(band)
            for _, band, _ in candidate.bands
            if band is not candidate.staff_band
        ):
            yield candidate


def _offsets(site: Site, wall: WallLine, width: float) -> list[float]:
    """Give the offsets tried along a wall: on the step, and flush with ends and openings."""
    room = wall.length - width
    if room < -_EPS:
        return []
    step = site.step
    offsets = {round(k * step, 4) for k in range(int(room / step + _EPS) + 1)}
    offsets.add(round(room, 4))
    for edge in site.wall_edges(wall):
        offsets |= {round(edge, 4), round(edge - width, 4)}
    return sorted(x for x in offsets if -_EPS <= x <= room + _EPS)


def _against_walls(site: Site) -> Iterator[Candidate]:
    for wall in site.shell.walls:
        if not wall.fixtures:
            continue
        for fixture in site.fixtures("wall"):
            for offset in _offsets(site, wall, fixture.width):
                if fits_under(site, wall, fixture, offset):
                    yield wall_candidate(site, wall, fixture, offset)


def fits_under(site: Site, wall: WallLine, fixture: Fixture, offset: float) -> bool:
    """Say whether a fixture may stand before what is on the wall there."""
    left, right = offset, offset + fixture.width
    if fixture.height > wall.lowest(left, right) + _EPS:
        return False
    for thing in things_on(site.scenario.shop, wall.id):
        beside = thing.left >= right - _EPS or thing.right <= left + _EPS
        if beside or thing.kind in ("outlet", "other"):
            continue
        if thing.kind == "door" or thing.bottom < fixture.height - _EPS:
            return False
    return True


def wall_candidate(
    site: Site, wall: WallLine, fixture: Fixture, offset: float, pinned: bool = False
) -> Candidate:
    """Make the candidate of a fixture against a wall at an offset, mm."""
    placement = against_wall("", fixture, wall, offset, pinned)
    slat = slat_parts(
        site,
        wall,
        offset,
        offset + fixture.width,
        fixture.height + site.brief.run_gap,
        fixture.depth,
    )
    return plain_candidate(site, fixture, placement, slat if fixture.slat_above else ())


def plain_candidate(
    site: Site, fixture: Fixture, placement: Placement, slat: tuple[FacePart, ...] = ()
) -> Candidate:
    """Make the candidate of a fixture anywhere, with the slat-wall that may hang above it."""
    aisle = site.brief.aisle
    bands = tuple(
        (
            (placement.angle_deg + _DIRECTIONS[side]) % 360.0,
            side_band(fixture, placement, side, aisle),
            aisle,
        )
        for side in fixture.customer_sides
    )
    return Candidate(
        fixture=fixture.id,
        placement=placement,
        body=footprint(fixture, placement),
        bands=bands,
        faces=fixture_parts(fixture),
        slat=slat,
        cost=fixture.price,
        slat_cost=site.slat_cost(slat_area(slat)),
        frame=round(placement.angle_deg % 90.0, 3) % 90.0,
        pinned=placement.pinned,
    )


def _bare_runs(site: Site) -> Iterator[Candidate]:
    """Give slat-wall with nothing below it, which may only stand out a little (ADA 307.2)."""
    sheet = site.sheet
    shallow = any(b.depth <= site.protrusion + _EPS for b in site.scenario.catalogue.brackets)
    if sheet is None or not shallow:
        return
    widths = sorted({sheet.width / 2, sheet.width})
    for wall in site.shell.walls:
        for width in widths if wall.slat_wall else ():
            for offset in _offsets(site, wall, width):
                slat = slat_parts(
                    site, wall, offset, offset + width, site.brief.run_bottom, site.protrusion
                )
                if len(slat) == 1 and abs(slat[0].width - width) < _EPS:
                    yield bare_candidate(site, wall, offset, slat)


def bare_candidate(
    site: Site, wall: WallLine, offset: float, slat: tuple[FacePart, ...]
) -> Candidate:
    """Make the candidate of slat-wall with nothing below it, from an offset on, mm."""
    width = slat[0].width
    x, y = wall.point(offset)
    placement = Placement(
        id="", fixture="", x_mm=x, y_mm=y, angle_deg=wall.angle_deg, wall=wall.id, offset_mm=offset
    )
    out = site.protrusion
    band = wall.rectangle(offset, offset + width, out, out + site.brief.aisle)
    return Candidate(
        fixture=None,
        placement=placement,
        body=wall.rectangle(offset, offset + width, 0.0, out),
        bands=(((wall.angle_deg - 90.0) % 360.0, band, site.brief.aisle),),
        faces=(),
        slat=slat,
        slat_cost=site.slat_cost(slat_area(slat)),
        frame=round(wall.angle_deg % 90.0, 3) % 90.0,
    )


def _islands(site: Site) -> Iterator[Candidate]:
    for fixture in site.fixtures("island"):
        if fixture.height > site.brief.island_height + _EPS:
            continue
        for room in site.shell.rooms.values():
            for turn in _turns(fixture):
                yield from _island_grid(site, fixture, room, site.main_angle + turn)


def _turns(fixture: Fixture) -> tuple[float, ...]:
    """Give the quarter turns that differ; one that shows the same at front and back needs two."""
    both = {face.side: face.model_copy(update={"side": "front"}) for face in fixture.faces}
    same = both.get("front") == both.get("back") and both.get("left") == both.get("right")
    return (0.0, 90.0) if same and fixture.kind != "counter" else (0.0, 90.0, 180.0, 270.0)


def _island_grid(site: Site, fixture: Fixture, room: Polygon, angle: float) -> Iterator[Candidate]:
    main = math.radians(site.main_angle)
    cos, sin = math.cos(main), math.sin(main)
    corners = [(x * cos + y * sin, -x * sin + y * cos) for x, y in room.exterior.coords]
    low_u, low_v = min(u for u, _ in corners), min(v for _, v in corners)
    high_u, high_v = max(u for u, _ in corners), max(v for _, v in corners)
    turn = round(angle - site.main_angle) % 360
    wide, deep = fixture.width, fixture.depth
    span_u, span_v = (wide, deep) if turn % 180 == 0 else (deep, wide)
    # Back left corner from the lower left corner of the box, for each quarter turn.
    shift = {0: (0.0, deep), 90: (0.0, 0.0), 180: (wide, 0.0), 270: (deep, wide)}[turn]
    counts = [
        int(x / site.step + _EPS) + 1 for x in (high_u - low_u - span_u, high_v - low_v - span_v)
    ]
    if min(counts) < 1:
        return
    u, v = (
        grid.ravel()
        for grid in np.meshgrid(
            low_u + site.step * np.arange(counts[0]),
            low_v + site.step * np.arange(counts[1]),
            indexing="ij",
        )
    )
    # Bodies are judged all at once, since most places of an odd room are taken.
    corners_u = np.stack([u, u + span_u, u + span_u, u], axis=1)
    corners_v = np.stack([v, v, v + span_v, v + span_v], axis=1)
    rings = np.stack([corners_u * cos - corners_v * sin, corners_u * sin + corners_v * cos], axis=2)
    free = site.customer_floor.covers_each(shapely.polygons(rings))
    for a, b in zip(u[free] + shift[0], v[free] + shift[1], strict=True):
        placement = Placement(
            id="",
            fixture=fixture.id,
            x_mm=round(float(a * cos - b * sin), 4),
            y_mm=round(float(a * sin + b * cos), 4),
            angle_deg=round(angle % 360.0, 6),
        )
        yield with_room(site, fixture, plain_candidate(site, fixture, placement))


def with_room(site: Site, fixture: Fixture, island: Candidate) -> Candidate:
    """Add half the aisle all round an island."""
    half, w, d = site.brief.aisle / 2, fixture.width, fixture.depth
    around = rectangle(island.placement, -half, w + half, -half, d + half)
    whole = rectangle(island.placement, -2 * half, w + 2 * half, -2 * half, d + 2 * half)
    return replace(island, around=around, hemmed_in=not site.passable.covers(whole))


def _dividers(site: Site) -> Iterator[Candidate]:
    """Give positions on the edges of staff zones that face the sales floor."""
    for start, end in site.divider_edges:
        length = math.dist(start, end)
        ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
        for fixture in site.fixtures("divider"):
            room = length - fixture.width
            if room < -_EPS:
                continue
            offsets = {round(k * site.step, 4) for k in range(int(room / site.step + _EPS) + 1)}
            for offset in sorted(offsets | {round(room, 4)}):
                # The front lies to the right of the edge's direction, which is out of the zone.
                x = start[0] + offset * ux - fixture.depth * uy
                y = start[1] + offset * uy + fixture.depth * ux
                placement = Placement(
                    id="",
                    fixture=fixture.id,
                    x_mm=round(x, 4),
                    y_mm=round(y, 4),
                    angle_deg=round(math.degrees(math.atan2(uy, ux)), 6),
                )
                yield divider_candidate(site, fixture, placement)


def divider_candidate(site: Site, fixture: Fixture, placement: Placement) -> Candidate:
    """Make the candidate of a fixture on the edge of a staff zone."""
    plain = plain_candidate(site, fixture, placement)
    behind = side_band(fixture, placement, "back", site.brief.staff_aisle)
    direction = (placement.angle_deg + 90.0) % 360.0
    return Candidate(
        fixture=plain.fixture,
        placement=plain.placement,
        body=plain.body,
        bands=(*plain.bands, (direction, behind, site.brief.staff_aisle)),
        faces=plain.faces,
        cost=plain.cost,
        frame=plain.frame,
        pinned=plain.pinned,
        staff_band=behind,
    )


def _pinned(site: Site) -> Iterator[Candidate]:
    for keep in site.scenario.pins.keep:
        fixture = site.scenario.catalogue.fixture(keep.fixture)
        if keep.wall is not None and keep.offset is not None:
            yield wall_candidate(site, site.shell.wall(keep.wall), fixture, keep.offset, True)
            continue
        assert keep.at is not None
        placement = Placement(
            id="",
            fixture=fixture.id,
            x_mm=keep.at[0],
            y_mm=keep.at[1],
            angle_deg=keep.angle,
            pinned=True,
        )
        in_staff = site.staff_zones.covers(footprint(fixture, placement).buffer(-1e-3))
        if "divider" in fixture.stands and in_staff:
            yield divider_candidate(site, fixture, placement)
        else:
            yield plain_candidate(site, fixture, placement)
