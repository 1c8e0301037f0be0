"""Whether every front and the staff zone can be reached, and who is in the way if not."""

from __future__ import annotations

import math
from collections.abc import Sequence

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.geometry.freefloor import reached, standing_place, travel
from shopfit.solver.candidates import Candidate
from shopfit.solver.floor import FloorAnswer, FloorProblem
from shopfit.solver.site import Site

# Chords a quarter circle: enough for a search, the witness measures finer.
_SEGMENTS = 16


def blockages(problem: FloorProblem, answer: FloorAnswer) -> list[frozenset[int]]:
    """List sets of candidates that cannot all stand, because they cut something off.

    A set that cuts something off still does so whatever else stands, so each may be forbidden
    for good.

    Parameters
    ----------
    problem, answer
        The floor and the positions chosen.

    Returns
    -------
    Small sets, each with the front that is cut off; empty where all is reached.
    """
    chosen = list(answer.chosen)
    found: list[frozenset[int]] = []
    cut_off = _cut_off(problem, chosen)
    for front in cut_off[:6]:
        keep = _least(problem, chosen, front)
        found.append(frozenset(keep))
        if front >= 0:
            found += _as_lost(problem, frozenset(keep) - {front})
    return list(dict.fromkeys(found))


def _as_lost(problem: FloorProblem, blockers: frozenset[int]) -> list[frozenset[int]]:
    """List every other position behind the same blockers, so that none is tried in its turn."""
    area = customer_area(problem.site, [problem.candidates[i].body for i in sorted(blockers)])
    if area is None:
        return []
    open_floor = unary_union(area)
    shapely.prepare(open_floor)
    return [
        blockers | {i}
        for i, candidate in enumerate(problem.candidates)
        if i not in blockers
        and any(not open_floor.intersects(place) for place in _places(problem.site, candidate))
    ]


def _places(site: Site, candidate: Candidate) -> list[Polygon]:
    """Give where a customer may stand before each customer side of a candidate."""
    found = []
    for direction, band, _ in candidate.bands:
        if band is not candidate.staff_band:
            angle = math.radians(direction)
            outward = (math.cos(angle), math.sin(angle))
            found.append(standing_place(band, outward, site.brief.aisle))
    return found


def _cut_off(problem: FloorProblem, chosen: Sequence[int]) -> list[int]:
    """List the chosen candidates with a side that nobody reaches; -1 stands for the staff zone."""
    site = problem.site
    lost = []
    area = customer_area(site, [problem.candidates[i].body for i in chosen])
    for i in chosen:
        candidate = problem.candidates[i]
        places = _places(site, candidate)
        if area is not None and any(not any(a.intersects(p) for a in area) for p in places):
            lost.append(i)
    if not staff_reached(problem, chosen):
        lost.append(-1)
    return lost


def _least(problem: FloorProblem, chosen: Sequence[int], front: int) -> list[int]:
    """Drop candidates one after the other as long as the front stays cut off."""
    kept = _around(problem, chosen, front)
    for i in list(kept):
        if i == front:
            continue
        fewer = [j for j in kept if j != i]
        if front in _cut_off_of(problem, fewer, front):
            kept = fewer
    return kept


def _around(problem: FloorProblem, chosen: Sequence[int], front: int) -> list[int]:
    """Give the candidates round the pocket that a front lies in, if they alone cut it off."""
    if front == -1:
        return list(chosen)
    site, own = problem.site, problem.candidates[front]
    bodies = [problem.candidates[i].body for i in chosen]
    areas = _areas(site, [*bodies, site.staff_zones], site.brief.aisle)
    bands = _places(site, own)
    pocket = unary_union([*bands, *(a for a in areas if any(a.intersects(b) for b in bands))])
    near = [
        i
        for i in chosen
        if i == front or problem.candidates[i].body.distance(pocket) <= site.brief.aisle
    ]
    return near if _cut_off_of(problem, near, front) else list(chosen)


def _cut_off_of(problem: FloorProblem, chosen: Sequence[int], front: int) -> list[int]:
    if front == -1:
        return [] if staff_reached(problem, chosen) else [-1]
    area = customer_area(problem.site, [problem.candidates[i].body for i in chosen])
    candidate = problem.candidates[front]
    bands = _places(problem.site, candidate)
    if area is None or all(any(part.intersects(band) for part in area) for band in bands):
        return []
    return [front]


def _ways_in(site: Site, uses: Sequence[str]) -> list[BaseGeometry]:
    return [site.approach(door, True) for door in site.scenario.shop.doors if door.use in uses]


def _links(site: Site) -> list[tuple[BaseGeometry, BaseGeometry]]:
    return [
        (site.approach(door, True), site.approach(door, False))
        for door in site.scenario.shop.doors
        if door.leads_to is not None
    ]


def _areas(site: Site, taken: Sequence[BaseGeometry], width: float) -> list[Polygon]:
    """Give where the centre of a traveller may be, room by room: only doors join rooms."""
    obstacles = unary_union([*site.shell.columns.values(), *taken])
    rooms = site.shell.rooms.values()
    return [a for r in rooms for a in travel(r.difference(obstacles), width, _SEGMENTS)]


def customer_area(site: Site, bodies: Sequence[Polygon]) -> list[Polygon] | None:
    """Give where the centre of a customer with the wanted aisle may come, or none if no door."""
    starts = _ways_in(site, ("entrance",))
    if not starts:
        return None
    areas = _areas(site, [*bodies, site.staff_zones], site.brief.aisle)
    return reached(areas, starts, _links(site))


def staff_reached(problem: FloorProblem, chosen: Sequence[int]) -> bool:
    """Say whether staff get into every staff zone and behind every divider."""
    site = problem.site
    zones = [Polygon(z.corners) for z in site.scenario.shop.zones if z.kind == "staff"]
    starts = _ways_in(site, ("entrance", "staff"))
    if not zones or not starts:
        return True
    bodies = [problem.candidates[i].body for i in chosen]
    areas = reached(_areas(site, bodies, site.brief.staff_aisle), starts, _links(site))
    goals: list[BaseGeometry] = list(zones)
    goals += [band for i in chosen if (band := problem.candidates[i].staff_band) is not None]
    return all(any(area.intersects(goal) for area in areas) for goal in goals)
