"""Positions and what excludes what worked out one by one, for the quick ways to agree with."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from shapely import Polygon

from shopfit.geometry.footprint import against_wall, footprint, rectangle, side_band
from shopfit.geometry.openings import free_heights, things_on
from shopfit.geometry.shell import WallLine
from shopfit.model.fixtures import Fixture, Side
from shopfit.model.layout import Placement
from shopfit.solver.candidate import Candidate
from shopfit.solver.parts import NARROWEST_RUN_MM, FacePart, fixture_parts, slat_class
from shopfit.solver.site import Site

_EPS = 1e-6
_DIRECTIONS: dict[Side, float] = {"front": -90.0, "back": 90.0, "left": 180.0, "right": 0.0}


@dataclass(frozen=True)
class Position:
    """What is compared of a candidate, with shapes as lists of corners."""

    fixture: str | None
    placement: Placement
    body: list[tuple[float, ...]]
    bands: list[tuple[float, list[tuple[float, ...]], float]]
    staff: bool
    faces: tuple[FacePart, ...]
    slat: tuple[FacePart, ...]
    slat_cost: float
    frame: float
    around: list[tuple[float, ...]] | None
    hemmed_in: bool


def told(candidate: Candidate) -> Position:
    """Put a candidate in the form compared."""
    return Position(
        candidate.fixture,
        candidate.placement,
        list(candidate.body.exterior.coords),
        [(way, list(band.exterior.coords), depth) for way, band, depth in candidate.bands],
        candidate.staff_band is not None,
        candidate.faces,
        candidate.slat,
        candidate.slat_cost,
        candidate.frame,
        None if candidate.around is None else list(candidate.around.exterior.coords),
        candidate.hemmed_in,
    )


def positions(site: Site) -> list[Position]:
    """List every position that is not pinned, in the order in which they are tried."""
    found: dict[tuple[object, ...], Position] = {}
    for position in (*_walls(site), *_islands(site), *_dividers(site), *_bare(site)):
        p = position.placement
        width = position.slat[0].width if position.fixture is None else 0.0
        place = (round(p.x_mm, 2), round(p.y_mm, 2), round(p.angle_deg, 3))
        found.setdefault((position.fixture, *place, width), position)
    return list(found.values())


def _made(
    site: Site,
    fixture: Fixture,
    placement: Placement,
    slat: tuple[FacePart, ...] = (),
    divider: bool = False,
    island: bool = False,
) -> Iterator[Position]:
    """Give the position if the shell allows it."""
    aisle = site.brief.aisle
    body = footprint(fixture, placement)
    bands = [
        (
            (placement.angle_deg + _DIRECTIONS[side]) % 360.0,
            side_band(fixture, placement, side, aisle),
            aisle,
        )
        for side in fixture.customer_sides
    ]
    if not (site.staff_floor if divider else site.customer_floor).covers(body):
        return
    if not all(site.band_floor.covers(band) for _, band, _ in bands):
        return
    if divider:
        behind = side_band(fixture, placement, "back", site.brief.staff_aisle)
        if not site.staff_band_floor.covers(behind):
            return
        bands.append(((placement.angle_deg + 90.0) % 360.0, behind, site.brief.staff_aisle))
    around, hemmed_in = None, False
    if island:
        w, d = fixture.width, fixture.depth
        # 403.5.2: 48 in before what is under 48 in wide, with ways of 42 in along it.
        turn = aisle if aisle < 1066.8 else max(aisle, 1219.2)
        x, y = (turn if side < 1219.2 else aisle for side in (d, w))
        near = rectangle(placement, -x / 2, w + x / 2, -y / 2, d + y / 2)
        around = list(near.exterior.coords)
        whole = rectangle(placement, -x, w + x, -y, d + y)
        hemmed_in = not site.passable.covers(whole)
    yield Position(
        fixture.id,
        placement,
        list(body.exterior.coords),
        [(way, list(band.exterior.coords), depth) for way, band, depth in bands],
        divider,
        fixture_parts(fixture),
        slat,
        _cost(site, slat),
        round(placement.angle_deg % 90.0, 3) % 90.0,
        around,
        hemmed_in,
    )


def _cost(site: Site, slat: Sequence[FacePart]) -> float:
    spans = [(part.width, part.wall_span) for part in slat]
    return site.slat_cost(sum(wide * (span[3] - span[2]) for wide, span in spans if span))


def _offsets(site: Site, wall: WallLine, width: float) -> list[float]:
    room = wall.length - width
    if room < -_EPS:
        return []
    offsets = {round(k * site.step, 4) for k in range(int(room / site.step + _EPS) + 1)}
    offsets.add(round(room, 4))
    for edge in site.wall_edges(wall):
        offsets |= {round(edge, 4), round(edge - width, 4)}
    return sorted(x for x in offsets if -_EPS <= x <= room + _EPS)


def _walls(site: Site) -> Iterator[Position]:
    for wall in site.shell.walls:
        for fixture in site.fixtures("wall") if wall.fixtures else ():
            for offset in _offsets(site, wall, fixture.width):
                if _fits_under(site, wall, fixture, offset):
                    right, bottom = offset + fixture.width, fixture.height + site.brief.run_gap
                    slat = _slat(site, wall, offset, right, bottom, fixture.depth)
                    place = against_wall("", fixture, wall, offset)
                    yield from _made(site, fixture, place, slat if fixture.slat_above else ())


def _fits_under(site: Site, wall: WallLine, fixture: Fixture, offset: float) -> bool:
    left, right = offset, offset + fixture.width
    if fixture.height > wall.lowest(left, right) + _EPS:
        return False
    return not any(
        thing.left < right - _EPS
        and thing.right > left + _EPS
        and thing.kind not in ("outlet", "other")
        and (thing.kind == "door" or thing.bottom < fixture.height - _EPS)
        for thing in things_on(site.scenario.shop, wall.id)
    )


def _slat(
    site: Site, wall: WallLine, left: float, right: float, bottom: float, depth: float
) -> tuple[FacePart, ...]:
    sheet, shop = site.sheet, site.scenario.shop
    if sheet is None or not wall.slat_wall:
        return ()
    edges = {x for thing in things_on(shop, wall.id) for x in (thing.left, thing.right)}
    edges |= {offset for offset, _ in wall.heights}
    cuts = sorted({left, right} | {x for x in edges if left < x < right})
    spans: list[tuple[float, float, float, float]] = []
    for a, b in itertools.pairwise(cuts):
        free = [
            (round(low, 4), round(min(high, low + sheet.height), 4))
            for low, high in free_heights(shop, wall, a, b, bottom, site.brief.display_top)
            if high - low >= sheet.first_groove + 2 * sheet.groove_pitch
        ]
        if not free:
            continue
        best = max(free, key=lambda span: (span[1] - span[0], -span[0]))
        if spans and spans[-1][1] == a and spans[-1][2:] == best:
            spans[-1] = (spans[-1][0], b, *best)
        else:
            spans.append((a, b, *best))
    deep = min(depth, site.deepest_holder)
    return tuple(
        FacePart("front", slat_class(sheet, low, high, deep), b - a, (a, b, low, high), sheet.id)
        for a, b, low, high in spans
        if b - a >= NARROWEST_RUN_MM
    )


def _islands(site: Site) -> Iterator[Position]:
    main = math.radians(site.main_angle)
    cos, sin = math.cos(main), math.sin(main)
    for fixture, room in itertools.product(site.fixtures("island"), site.shell.rooms.values()):
        if fixture.height > site.brief.island_height + _EPS:
            continue
        corners = [(x * cos + y * sin, -x * sin + y * cos) for x, y in room.exterior.coords]
        low_u, low_v = min(u for u, _ in corners), min(v for _, v in corners)
        high_u, high_v = max(u for u, _ in corners), max(v for _, v in corners)
        front, back = (_shown(fixture, side) for side in ("front", "back"))
        left, right = (_shown(fixture, side) for side in ("left", "right"))
        alike = front == back and left == right and fixture.kind != "counter"
        for turn in (0, 90) if alike else (0, 90, 180, 270):
            w, d = fixture.width, fixture.depth
            wide, deep = (w, d) if turn % 180 == 0 else (d, w)
            by = {0: (0.0, d), 90: (0.0, 0.0), 180: (w, 0.0), 270: (d, w)}[turn]
            across = int((high_u - low_u - wide) / site.step + _EPS) + 1
            up = int((high_v - low_v - deep) / site.step + _EPS) + 1
            for k, m in itertools.product(range(across), range(up)):
                u, v = low_u + site.step * k + by[0], low_v + site.step * m + by[1]
                place = Placement(
                    id="",
                    fixture=fixture.id,
                    x_mm=round(u * cos - v * sin, 4),
                    y_mm=round(u * sin + v * cos, 4),
                    angle_deg=round((site.main_angle + turn) % 360.0, 6),
                )
                yield from _made(site, fixture, place, island=True)


def _shown(fixture: Fixture, side: str) -> dict[str, object] | None:
    for face in fixture.faces:
        if face.side == side:
            return face.model_dump(exclude={"side"})
    return None


def _dividers(site: Site) -> Iterator[Position]:
    for (start, end), fixture in itertools.product(site.divider_edges, site.fixtures("divider")):
        length = math.dist(start, end)
        ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
        room = length - fixture.width
        steps = range(int(room / site.step + _EPS) + 1) if room >= -_EPS else range(0)
        offsets = {round(k * site.step, 4) for k in steps}
        for offset in sorted(offsets | {round(room, 4)}) if steps else ():
            place = Placement(
                id="",
                fixture=fixture.id,
                x_mm=round(start[0] + offset * ux - fixture.depth * uy, 4),
                y_mm=round(start[1] + offset * uy + fixture.depth * ux, 4),
                angle_deg=round(math.degrees(math.atan2(uy, ux)), 6),
            )
            yield from _made(site, fixture, place, divider=True)


def _bare(site: Site) -> Iterator[Position]:
    sheet, out, aisle = site.sheet, site.protrusion, site.brief.aisle
    shallow = any(b.depth <= out + _EPS for b in site.scenario.catalogue.brackets)
    if sheet is None or not shallow:
        return
    for wall, width in itertools.product(site.shell.walls, (sheet.width / 2, sheet.width)):
        for left in _offsets(site, wall, width) if wall.slat_wall else ():
            right = left + width
            slat = _slat(site, wall, left, right, site.brief.run_bottom, out)
            if len(slat) != 1 or abs(slat[0].width - width) >= _EPS:
                continue
            body = wall.rectangle(left, right, 0.0, out)
            band = wall.rectangle(left, right, out, out + aisle)
            if not (site.customer_floor.covers(body) and site.band_floor.covers(band)):
                continue
            x, y = wall.point(left)
            angle = wall.angle_deg
            yield Position(
                None,
                Placement(
                    id="", fixture="", x_mm=x, y_mm=y, angle_deg=angle, wall=wall.id, offset_mm=left
                ),
                list(body.exterior.coords),
                [((angle - 90.0) % 360.0, list(band.exterior.coords), aisle)],
                False,
                (),
                slat,
                _cost(site, slat),
                round(angle % 90.0, 3) % 90.0,
                None,
                False,
            )


_TOUCH_MM = 0.02


def largest_sets(found: Sequence[Candidate], careful: bool = False) -> set[frozenset[int]]:
    """List the largest sets of candidates of one frame that share a cell, cell by cell.

    Bodies with the bands that open one way, and bodies with the near halves of bands that open
    opposite ways; sets within sets are left out.
    """
    sets: set[frozenset[int]] = set()
    for frame in {candidate.frame for candidate in found}:
        members = [i for i, candidate in enumerate(found) if candidate.frame == frame]
        for boxes in _families(found, members, frame, careful):
            across = _lines([(left, right) for _, left, right, _, _ in boxes])
            up = _lines([(bottom, top) for _, _, _, bottom, top in boxes])
            cells: dict[tuple[int, int], set[int]] = {}
            for (i, *_), (left, right), (bottom, top) in zip(boxes, across, up, strict=True):
                for cell in itertools.product(range(left, right), range(bottom, top)):
                    cells.setdefault(cell, set()).add(i)
            sets |= {frozenset(cell) for cell in cells.values() if len(cell) > 1}
    return {one for one in sets if not any(one < other for other in sets)}


def _families(
    found: Sequence[Candidate], members: Sequence[int], frame: float, careful: bool
) -> Iterator[list[tuple[int, float, float, float, float]]]:
    bodies = [(i, *_spans(found[i].body, frame)) for i in members]
    bands: dict[int, list[tuple[int, float, float, float, float]]] = {0: [], 90: []}
    bands |= {180: [], 270: []}
    halves: dict[int, list[tuple[int, float, float, float, float]]] = {0: [], 90: []}
    for i in members:
        around = found[i].around
        for half in halves.values():
            if careful and around is not None:
                half.append((i, *_spans(around, frame)))
        for way, band, depth in found[i].bands:
            quarter = round((way - frame) / 90.0) * 90 % 360
            left, right, bottom, top = _spans(band, frame)
            bands[quarter].append((i, left, right, bottom, top))
            near = {
                0: (left, right - depth / 2, bottom, top),
                90: (left, right, bottom, top - depth / 2),
                180: (left + depth / 2, right, bottom, top),
                270: (left, right, bottom + depth / 2, top),
            }
            halves[quarter % 180].append((i, *near[quarter]))
    for extra in (*bands.values(), *halves.values()):
        yield [*bodies, *extra]


def _spans(shape: Polygon, frame: float) -> tuple[float, float, float, float]:
    cos, sin = math.cos(math.radians(frame)), math.sin(math.radians(frame))
    u = [x * cos + y * sin for x, y in shape.exterior.coords]
    v = [-x * sin + y * cos for x, y in shape.exterior.coords]
    return min(u), max(u), min(v), max(v)


def _lines(spans: Sequence[tuple[float, float]]) -> list[tuple[int, int]]:
    """Give the numbers of the lines at the ends of spans; those that all but touch are one."""
    edges = np.unique([edge for span in spans for edge in span])
    number = np.cumsum(np.r_[0, np.diff(edges) > _TOUCH_MM])
    return [(int(a), int(b)) for a, b in number[np.searchsorted(edges, np.array(spans))]]
