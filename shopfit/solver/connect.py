"""Whether every front and the staff zone can be reached, and who is in the way if not."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.geometry.freefloor import polygons, reached, travel
from shopfit.solver.candidate import Candidate
from shopfit.solver.floor import FloorAnswer, FloorProblem, customer_places
from shopfit.solver.site import Site
from shopfit.solver.tightends import TightEnds, turns_matter
from shopfit.units import TOLERANCE_MM

# Fronts for which what cuts them off is looked for, each time.
_MOST_FRONTS = 6

_Flags = NDArray[np.bool_]


class Blockage(frozenset[int]):
    """Candidates that cannot all stand, because they cut something off.

    Parameters
    ----------
    members
        Numbers of the candidates.
    lasting
        Whether they cut it off whatever else stands. Bodies that leave too little room between
        them always do. Not so an end that is too tight to turn back round: another island that
        touches it makes the element another one, with other ends. Such a set may forbid a floor
        that is in order, which costs quality; nothing is proved by it.
    front, staff
        Whose front is cut off, where that is known, or whether staff are.
    """

    lasting: bool
    front: int | None
    staff: bool

    def __new__(
        cls,
        members: Iterable[int],
        lasting: bool = True,
        front: int | None = None,
        staff: bool = False,
    ) -> Blockage:
        """Make one."""
        made = super().__new__(cls, members)
        made.lasting, made.front, made.staff = lasting, front, staff
        return made


def blockages(
    problem: FloorProblem,
    answer: FloorAnswer,
    turns: bool = True,
    kept: Collection[int] = (),
) -> list[Blockage]:
    """List sets of candidates that cannot all stand, because they cut something off.

    Parameters
    ----------
    problem, answer
        The floor and the positions chosen.
    turns
        Whether customers do without turning back round ends of islands where that is too tight;
        otherwise every set is lasting.
    kept
        Candidates that stay whatever is found: sets are the smaller in others, found sooner, and
        may have more of these in them than need be.

    Returns
    -------
    Small sets, each with the front that is cut off; empty where all is reached.
    """
    chosen = list(answer.chosen)
    customers = Customers(problem, chosen, turns)
    found: dict[Blockage, None] = {}
    tried = 0
    for front, turned in customers.lost().items():
        # Many are cut off by what is found already.
        if tried == _MOST_FRONTS or any(front in one and one <= set(chosen) for one in found):
            continue
        tried += 1
        cut_off = partial(customers.cut_off, front, turned)
        near = customers.around(front, turned)
        least = _least(near if cut_off(near) else chosen, {front, *kept}, cut_off)
        found[Blockage(least, not turned, front)] = None
        found |= dict.fromkeys(customers.behind(frozenset(least) - {front}, turned))
    if not staff_reached(problem, chosen):
        least = _least(chosen, kept, lambda fewer: not staff_reached(problem, fewer))
        found[Blockage(least, staff=True)] = None
    return list(found)


def all_reached(problem: FloorProblem, chosen: Sequence[int]) -> bool:
    """Say whether `blockages` would find nothing, without looking for what is in the way."""
    return not Customers(problem, chosen, True).lost() and staff_reached(problem, chosen)


def _least(
    found: Sequence[int], kept: Collection[int], cut_off: Callable[[Sequence[int]], bool]
) -> Sequence[int]:
    """Drop candidates as long as all stays cut off, many at once where that does no harm."""

    def without(span: Sequence[int], found: Sequence[int]) -> Sequence[int]:
        gone = set(span)
        fewer = [i for i in found if i not in gone]
        if cut_off(fewer):
            return fewer
        half = len(span) // 2
        return without(span[half:], without(span[:half], found)) if half else found

    others = [i for i in found if i not in kept]
    return without(others, found) if others else found


class Customers:
    """Where customers get, among all that is chosen or part of it."""

    def __init__(self, problem: FloorProblem, chosen: Sequence[int], turns: bool) -> None:
        self._problem, self._site, self._chosen = problem, problem.site, chosen
        self._starts = self._site.ways_in("entrance")
        self._turns = turns and turns_matter(self._site)
        self._pockets: dict[bool, list[Polygon]] = {}

    def lost(self) -> dict[int, bool]:
        """List those with a side nobody reaches, and whether only too tight a turn leads there.

        Without an entrance nothing is said of customers.
        """
        if not self._starts:
            return {}
        places, owners = customer_places(self._site, self._of(self._chosen))
        by_bodies, by_turns = self._closed(self._chosen, places, self._turns)
        found = dict.fromkeys((self._chosen[k] for k in owners[by_turns].tolist()), True)
        found |= dict.fromkeys((self._chosen[k] for k in owners[by_bodies].tolist()), False)
        return {i: found[i] for i in self._chosen if i in found}

    def cut_off(self, front: int, turned: bool, kept: Sequence[int]) -> bool:
        """Say whether a front is cut off among some of the candidates."""
        places, _ = customer_places(self._site, self._of([front]))
        by_bodies, by_turns = self._closed(kept, places, turned)
        return bool(by_bodies.any() or by_turns.any())

    def around(self, front: int, turned: bool) -> list[int]:
        """Give those of the chosen round the pocket that a front lies in."""
        if turned not in self._pockets:
            self._pockets[turned] = self._unreached(turned)
        places, _ = customer_places(self._site, self._of([front]))
        own = [a for a in self._pockets[turned] if shapely.intersects(a, places).any()]
        # What makes a turn too tight stands across it from the pocket.
        far = self._site.rulebook.mm("turn-wide") if turned else 0.0
        bodies = np.array([self._problem.candidates[i].body for i in self._chosen])
        pocket = shapely.union_all([*places, *own])
        near = shapely.dwithin(bodies, pocket, max(far, self._site.brief.aisle)).tolist()
        return [i for i, is_near in zip(self._chosen, near, strict=True) if is_near or i == front]

    def behind(self, blockers: frozenset[int], turned: bool) -> list[Blockage]:
        """List every other position behind the same blockers, so that none is tried in its turn."""
        kept = sorted(blockers)
        areas, found = self._walk(kept)
        if turned:
            found = TightEnds(self._site, self._of(kept)).rounded(areas, self._starts)
        lost = _out_of_reach(self._problem, found) - blockers
        if turned:
            lost -= self._touching(kept, lost)
        return [Blockage(blockers | {i}, not turned) for i in sorted(lost)]

    def _of(self, numbers: Iterable[int]) -> list[Candidate]:
        return [self._problem.candidates[i] for i in numbers]

    def _walk(self, kept: Sequence[int]) -> tuple[list[Polygon], list[Polygon]]:
        """Give where the centre of a customer may be, and where it comes."""
        site, bodies = self._site, [one.body for one in self._of(kept)]
        areas = _areas(site.open_sales_floor, bodies, site.brief.aisle)
        return areas, reached(areas, self._starts, site.links)

    def _closed(
        self, kept: Sequence[int], places: NDArray[np.object_], turned: bool
    ) -> tuple[_Flags, _Flags]:
        """Say to which places no way leads, and to which none without too tight a turn."""
        areas, found = self._walk(kept)
        by_bodies = ~_touched(found, places)
        by_turns = np.zeros_like(by_bodies)
        if turned and not by_bodies.all():
            ends = TightEnds(self._site, self._of(kept))
            if ends.tight:
                by_turns = ~by_bodies
                for walk in (ends.passed, ends.rounded):
                    left = np.flatnonzero(by_turns)
                    if len(left):
                        by_turns[left] = ~_touched(walk(areas, self._starts), places[left])
        return by_bodies, by_turns

    def _unreached(self, turned: bool) -> list[Polygon]:
        areas, found = self._walk(self._chosen)
        if not turned:
            return [area for area in areas if area not in found]
        found = TightEnds(self._site, self._of(self._chosen)).rounded(areas, self._starts)
        return polygons(unary_union(areas).difference(unary_union(found)))

    def _touching(self, kept: Sequence[int], others: Iterable[int]) -> set[int]:
        """Give the islands that would make an element of those kept another one."""
        free = unary_union([one.body for one in self._of(kept) if one.stands_free])
        islands = [i for i in others if self._problem.candidates[i].stands_free]
        return {i for i in islands if self._problem.candidates[i].body.dwithin(free, TOLERANCE_MM)}


def _touched(areas: Sequence[Polygon], places: NDArray[np.object_]) -> _Flags:
    """Say which places some area meets."""
    found = np.zeros(len(places), dtype=bool)
    for area in areas:
        shapely.prepare(area)
        left = np.flatnonzero(~found)
        found[left] = shapely.intersects(area, places[left])
    return found


def _out_of_reach(problem: FloorProblem, areas: Sequence[Polygon]) -> set[int]:
    """List the positions with a side that none of some areas gets to."""
    places, owners, middles = problem.places
    met = np.zeros(len(places), dtype=bool)
    for area in areas:
        shapely.prepare(area)
        met |= shapely.contains_xy(area, *middles.T)
    # Most are met in the middle; the others are looked at closely.
    left = np.flatnonzero(~met)
    met[left] = _touched(areas, places[left])
    return set(owners[~met].tolist())


def _areas(
    rooms: Sequence[BaseGeometry], bodies: Sequence[BaseGeometry], width: float
) -> list[Polygon]:
    """Give where the centre of a traveller may be, room by room: only doors join rooms."""
    taken = unary_union(bodies)
    return [area for room in rooms for area in travel(room.difference(taken), width)]


def customer_area(site: Site, bodies: Sequence[Polygon]) -> list[Polygon] | None:
    """Give where the centre of a customer with the wanted aisle may come, or none if no door."""
    starts = site.ways_in("entrance")
    if not starts:
        return None
    areas = _areas(site.open_sales_floor, bodies, site.brief.aisle)
    return reached(areas, starts, site.links)


def staff_reached(problem: FloorProblem, chosen: Sequence[int]) -> bool:
    """Say whether staff get into every staff zone and behind every divider."""
    site = problem.site
    zones = [Polygon(z.corners) for z in site.scenario.shop.zones if z.kind == "staff"]
    starts = site.ways_in("entrance", "staff")
    if not zones or not starts:
        return True
    bodies = [problem.candidates[i].body for i in chosen]
    areas = reached(_areas(site.open_floor, bodies, site.brief.staff_aisle), starts, site.links)
    goals: list[BaseGeometry] = list(zones)
    goals += [band for i in chosen if (band := problem.candidates[i].staff_band) is not None]
    return bool(_touched(areas, np.array(goals, dtype=object)).all())
