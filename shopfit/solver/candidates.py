"""Every position that a fixture or a bay of slat-wall may take, with the faces it brings."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from shapely import Polygon

from shopfit.geometry.footprint import against_wall, footprint, rectangles, shapes
from shopfit.geometry.shell import WallLine
from shopfit.model.fixtures import Fixture
from shopfit.model.layout import Placement
from shopfit.model.scenario import Keep
from shopfit.solver.candidate import Candidate
from shopfit.solver.making import (
    allowed,
    bare_candidate,
    divider_candidate,
    fits_under,
    free_at,
    plain_candidate,
    round_about,
    slat_over,
    spots,
    wall_candidate,
    with_room,
)
from shopfit.solver.nearness import marked
from shopfit.solver.parts import SlatWall, fixture_parts, slat_area
from shopfit.solver.site import Site
from shopfit.solver.spacing import (
    FEW_ROWS,
    ISLAND_STEPS,
    LAST_STEPS,
    ROWS,
    Spacing,
    goes_in_rows,
    lane_pitch,
    places_across,
    places_along,
)

__all__ = [
    "Candidate",
    "allowed",
    "bare_candidate",
    "candidates",
    "divider_candidate",
    "fits_under",
    "plain_candidate",
    "wall_candidate",
    "with_room",
]

_EPS = 1e-6
# On a coarser grid, offsets as near as this to a flush place count as flush, mm.
_FLUSH_MM = 0.02
_FLUSH_DEG = 1e-3
# The part of the positions wanted that lanes may take: they stand nearer one another than grids,
# and so exclude more.
LANES_SHARE = 0.75
# Islands on a coarse grid that tell too little of how many there are on finer ones.
_FEW = 20
# Steps along lanes up to which a coarse grid is tried besides.
_FINE_STEPS = 4
# Whether a position is on the grid asked for, and the position.
_Found = Iterator[tuple[bool, Candidate]]


def candidates(site: Site, every: int = 1, spacing: Spacing | None = None) -> list[Candidate]:
    """List every position allowed by the shell alone, pinned ones first.

    Parameters
    ----------
    site
        The shop, with the floor that nothing may take.
    every
        Only each so-manieth step is tried along walls and edges, where flush places stay, and
        each so-manieth both ways for islands. What is found is among the positions of the whole
        grid, in the same order.
    spacing
        Where islands are tried, alone and in rows; one by one on the same steps if left out.
    """
    found = list(_pinned(site))
    seen = {_key(candidate) for candidate in found}
    spacing = Spacing(every) if spacing is None else spacing
    walks = [
        _against_walls(site, every),
        *(_islands(site, part) for part in spacing.parts),
        *(_rows(site, part) for part in spacing.parts),
        _dividers(site, every),
        _bare_runs(site, every),
    ]
    for walk in walks:
        for wanted, candidate in walk:
            key = _key(candidate)
            if key not in seen:
                seen.add(key)
                if wanted:
                    found.append(candidate)
    return marked(site, found)


def _key(candidate: Candidate) -> tuple[object, ...]:
    p = candidate.placement
    width = candidate.slat[0].width if candidate.fixture is None else 0.0
    place = (round(p.x_mm, 2), round(p.y_mm, 2), round(p.angle_deg, 3))
    return (candidate.fixture, *place, width, candidate.row)


def _offsets(site: Site, wall: WallLine, width: float, every: int) -> dict[float, bool]:
    """Give the offsets along a wall: on the step, and flush with ends and openings.

    Returns
    -------
    Offsets from the left, each with whether it is on the grid of every so-manieth step.
    """
    room = wall.length - width
    if room < -_EPS:
        return {}
    step = site.step
    flush = [round(room, 4)]
    for edge in site.wall_edges(wall):
        flush += [round(edge, 4), round(edge - width, 4)]
    found = {round(k * step, 4): k % every == 0 for k in range(int(room / step + _EPS) + 1)}
    found |= dict.fromkeys(flush, True)
    return {
        x: found[x] or any(abs(x - edge) <= _FLUSH_MM for edge in flush)
        for x in sorted(found)
        if -_EPS <= x <= room + _EPS
    }


def _against_walls(site: Site, every: int) -> _Found:
    for wall in site.shell.walls:
        if not wall.fixtures:
            continue
        hung = SlatWall(site, wall)
        for fixture in site.fixtures("wall"):
            offsets = _offsets(site, wall, fixture.width, every)
            places = [x for x in offsets if fits_under(site, wall, fixture, x)]
            if not places:
                continue
            points = [wall.point(offset) for offset in places]
            x, y = ([round(point[axis], 4) for point in points] for axis in range(2))
            made = spots(site, fixture, x, y, round(wall.angle_deg, 6))
            free = free_at(site, made.body, made.bands, None)
            for k in np.flatnonzero(free).tolist():
                placement = against_wall("", fixture, wall, places[k])
                slat = slat_over(site, fixture, hung, places[k])
                cost = site.slat_cost(slat_area(slat))
                yield offsets[places[k]], made.candidate(k, placement, slat, cost)


def _bare_runs(site: Site, every: int) -> _Found:
    """Give slat-wall with nothing below it, which may only stand out a little (ADA 307.2)."""
    sheet = site.sheet
    shallow = site.shallowest_holder <= site.protrusion + _EPS
    if sheet is None or not shallow:
        return
    widths = sorted({sheet.width / 2, sheet.width})
    for wall in site.shell.walls:
        hung = SlatWall(site, wall)
        for width in widths if wall.slat_wall else ():
            for offset, wanted in _offsets(site, wall, width, every).items():
                slat = hung.parts(offset, offset + width, site.brief.run_bottom, site.protrusion)
                if len(slat) == 1 and abs(slat[0].width - width) < _EPS:
                    for candidate in allowed(site, [bare_candidate(site, wall, offset, slat)]):
                        yield wanted, candidate


def _islands(site: Site, spacing: Spacing) -> _Found:
    for fixture in site.fixtures("island"):
        if fixture.height > site.brief.island_height + _EPS:
            continue
        for room in site.shell.rooms.values():
            for turn in _turns(fixture):
                for candidate in _island_grid(site, fixture, room, turn, spacing):
                    yield True, candidate


def _rows(site: Site, spacing: Spacing) -> _Found:
    """Give rows of islands that are looked at from front and back alone, as gondolas are."""
    for fixture in site.fixtures("island"):
        if fixture.height > site.brief.island_height + _EPS or not goes_in_rows(fixture):
            continue
        for count in spacing.rows:
            if count > fixture.available + fixture.owned:
                continue
            long = fixture.model_copy(update={"width": count * fixture.width})
            own = fixture_parts(fixture) * count
            for room in site.shell.rooms.values():
                for turn in _turns(fixture):
                    for candidate in _island_grid(site, long, room, turn, spacing):
                        cost = count * fixture.price
                        yield True, replace(candidate, faces=own, cost=cost, row=count)


def _turns(fixture: Fixture) -> tuple[int, ...]:
    """Give the quarter turns that differ; one that shows the same at front and back needs two."""
    both = {face.side: face.model_copy(update={"side": "front"}) for face in fixture.faces}
    same = both.get("front") == both.get("back") and both.get("left") == both.get("right")
    return (0, 90) if same and fixture.kind != "counter" else (0, 90, 180, 270)


def _island_grid(
    site: Site, fixture: Fixture, room: Polygon, turn: int, spacing: Spacing
) -> Iterator[Candidate]:
    main = math.radians(site.main_angle)
    cos, sin = math.cos(main), math.sin(main)
    corners = [(x * cos + y * sin, -x * sin + y * cos) for x, y in room.exterior.coords]
    low_u, low_v = min(u for u, _ in corners), min(v for _, v in corners)
    high_u, high_v = max(u for u, _ in corners), max(v for _, v in corners)
    wide, deep = fixture.width, fixture.depth
    span_u, span_v = (wide, deep) if turn % 180 == 0 else (deep, wide)
    # Back left corner from the lower left corner of the box, for each quarter turn.
    shift = {0: (0.0, deep), 90: (0.0, 0.0), 180: (wide, 0.0), 270: (deep, wide)}[turn]
    along, across = (
        (places_along, places_across) if turn % 180 == 0 else (places_across, places_along)
    )
    at_u = along(site, low_u, high_u - span_u, spacing)
    at_v = across(site, low_v, high_v - span_v, spacing)
    u, v = (grid.ravel() for grid in np.meshgrid(at_u, at_v, indexing="ij"))
    if not u.size:
        return
    # Bodies are judged before anything else is made of them: most places of an odd room are taken.
    corners_u = np.stack([u, u + span_u, u + span_u, u], axis=1)
    corners_v = np.stack([v, v, v + span_v, v + span_v], axis=1)
    rings = np.stack([corners_u * cos - corners_v * sin, corners_u * sin + corners_v * cos], axis=2)
    free = site.customer_floor.covers_each(shapes(rings))
    a, b = u[free] + shift[0], v[free] + shift[1]
    x = [round(value, 4) for value in (a * cos - b * sin).tolist()]
    y = [round(value, 4) for value in (a * sin + b * cos).tolist()]
    yield from _standing_free(site, fixture, x, y, round((site.main_angle + turn) % 360.0, 6))


def _standing_free(
    site: Site, fixture: Fixture, x: Sequence[float], y: Sequence[float], angle: float
) -> Iterator[Candidate]:
    made = spots(site, fixture, x, y, angle)
    around, whole = (rectangles(x, y, angle, *span) for span in round_about(site, fixture))
    # Most have sales floor all round them, of which body and bands are part.
    roomy = site.customer_floor.covers_each(shapes(whole))
    rest = np.flatnonzero(~roomy)
    bands = tuple((way, band[rest], depth) for way, band, depth in made.bands)
    free = roomy.copy()
    free[rest] = free_at(site, made.body[rest], bands, None)
    tight = np.flatnonzero(free & ~roomy)
    roomy[tight] = site.passable.covers_each(shapes(whole[tight]))
    for k in np.flatnonzero(free).tolist():
        placement = Placement(id="", fixture=fixture.id, x_mm=x[k], y_mm=y[k], angle_deg=angle)
        yield made.candidate(k, placement, around=around[k], hemmed_in=not roomy[k])


def _dividers(site: Site, every: int) -> _Found:
    """Give positions on the edges of staff zones that face the sales floor."""
    for start, end in site.divider_edges:
        length = math.dist(start, end)
        ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
        for fixture in site.fixtures("divider"):
            room = length - fixture.width
            if room < -_EPS:
                continue
            count = int(room / site.step + _EPS) + 1
            offsets = {round(k * site.step, 4): k % every == 0 for k in range(count)}
            offsets[round(room, 4)] = True
            for offset in sorted(offsets):
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
                for candidate in allowed(site, [divider_candidate(site, fixture, placement)]):
                    yield offsets[offset], candidate


def _pinned(site: Site) -> Iterator[Candidate]:
    for keep in site.scenario.pins.keep:
        fixture = site.scenario.catalogue.fixture(keep.fixture)
        if keep.wall is not None and keep.offset is not None:
            yield wall_candidate(site, site.shell.wall(keep.wall), fixture, keep.offset, True)
            continue
        assert keep.at is not None
        behind = _wall_behind(site, fixture, keep)
        if behind is not None:
            yield wall_candidate(site, *behind, True)
            continue
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


def _wall_behind(
    site: Site, fixture: Fixture, keep: Keep
) -> tuple[WallLine, Fixture, float] | None:
    """Give the wall that a fixture pinned by its place stands against, and where along it."""
    if "wall" not in fixture.stands or keep.at is None:
        return None
    for wall in site.shell.walls:
        turned = (keep.angle - wall.angle_deg + 180.0) % 360.0 - 180.0
        dx, dy = keep.at[0] - wall.start[0], keep.at[1] - wall.start[1]
        along = dx * wall.along[0] + dy * wall.along[1]
        out = dx * wall.inward[0] + dy * wall.inward[1]
        inside = -_FLUSH_MM <= along <= wall.length - fixture.width + _FLUSH_MM
        if inside and abs(out) <= _FLUSH_MM and abs(turned) <= _FLUSH_DEG:
            return wall, fixture, min(max(along, 0.0), wall.length - fixture.width)
    return None


def positions(site: Site, most: int, every: int = 1) -> tuple[list[Candidate], Spacing]:
    """List the positions of a search: as fine for islands as leaves about so many.

    Where islands on every step are too many they stand in lanes, which lose no floor between them.

    Parameters
    ----------
    site
        The shop.
    most
        Positions wanted at most, as far as walls leave it.
    every
        Steps along walls.

    Returns
    -------
    The positions, with rows of islands, and how islands are spread.
    """
    spacing = Spacing(every, rows=ROWS)
    if not site.fixtures("island"):
        return candidates(site, every, spacing), spacing
    coarse = candidates(site, every, Spacing(LAST_STEPS, rows=ROWS))
    free = _free(coarse)
    walls = len(coarse) - free
    # Both ways there are so many times more of them; a few tell little of how many.
    few = free < _FEW
    if few or free * (LAST_STEPS / every) ** 2 + walls <= most:
        found = candidates(site, every, spacing)
        if not few or len(found) <= most:
            return found, spacing
    spacing = _in_lanes(site, LANES_SHARE * most - walls, free, every)
    found = candidates(site, every, spacing)
    if _free(found) <= free:  # A room too narrow for lanes.
        return _on_grid(site, coarse, most, every)
    return found, spacing


def _free(found: Sequence[Candidate]) -> int:
    return sum(1 for candidate in found if candidate.stands_free)


def _in_lanes(site: Site, room: float, coarse: int, every: int) -> Spacing:
    """Choose how finely lanes are filled for about so many positions of islands."""
    steps = [steps for steps in ISLAND_STEPS if steps >= every]
    for rows, last, beside in ((ROWS, _FINE_STEPS, coarse), (FEW_ROWS, LAST_STEPS, 0)):
        apart = Spacing(LAST_STEPS, lanes=True, rows=rows)
        # Along walls on so coarse a step too, for only islands are counted.
        count = _free(candidates(site, LAST_STEPS, apart))
        for each in steps:
            if each <= last and count * LAST_STEPS / each + beside <= room:
                return Spacing(each, True, LAST_STEPS if beside else None, rows)
    return Spacing(LAST_STEPS, lanes=True, rows=FEW_ROWS)


def _on_grid(
    site: Site, coarse: list[Candidate], most: int, every: int
) -> tuple[list[Candidate], Spacing]:
    """Choose, of grids that leave about so many positions, that on which rows are nearest."""
    free = _free(coarse)
    able = [
        steps
        for steps in ISLAND_STEPS[:-1]
        if steps >= every and free * (LAST_STEPS / steps) ** 2 + len(coarse) - free <= most
    ]
    # A finer grid that makes rows stand farther apart is no help.
    best = min([*able, LAST_STEPS], key=lambda steps: (_pitch(site, steps), steps))
    spacing = Spacing(best, rows=ROWS)
    return coarse if best == LAST_STEPS else candidates(site, every, spacing), spacing


def _pitch(site: Site, steps: int) -> int:
    """Give how many steps apart rows of islands stand on a grid of every so-manieth step."""
    return steps * math.ceil(lane_pitch(site) / site.step / steps - _EPS)
