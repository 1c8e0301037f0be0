"""The floor as a choice of positions: what they bring, what excludes what, what is wanted."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon, STRtree

from shopfit.geometry.footprint import shapes
from shopfit.geometry.freefloor import standing_places
from shopfit.model.fixtures import Fixture
from shopfit.solver.candidate import Candidate
from shopfit.solver.conflicts import Cliques
from shopfit.solver.display import FaceClass
from shopfit.solver.parts import FacePart
from shopfit.solver.site import Site

_GATE_STEP_MM = 25.0


@dataclass(frozen=True)
class FloorAnswer:
    """A choice of positions.

    Parameters
    ----------
    chosen
        Numbers of the candidates that stand.
    slat
        Those of them with slat-wall above.
    """

    chosen: tuple[int, ...]
    slat: tuple[int, ...]


@dataclass(frozen=True)
class FloorProblem:
    """The floor, ready to be built into models.

    Parameters
    ----------
    site, candidates, cliques, classes
        The shop, its positions, what excludes what, and the classes of face.
    widths, slat_widths
        For each candidate, (class number, mm) of its own faces and of the slat-wall above it.
    gates
        Sets of candidate sets: of each outer set, one inner set must be wholly absent, so that
        staff get past the dividers.
    left_out
        Candidates that a careful search does without.
    thrifty
        Whether money counts, though there is no budget.
    """

    site: Site
    candidates: Sequence[Candidate]
    cliques: Cliques
    classes: Sequence[FaceClass]
    widths: tuple[tuple[tuple[int, float], ...], ...]
    slat_widths: tuple[tuple[tuple[int, float], ...], ...]
    gates: tuple[tuple[frozenset[int], ...], ...]
    left_out: frozenset[int] = frozenset()
    thrifty: bool = False

    @cached_property
    def places(self) -> tuple[NDArray[np.object_], NDArray[np.int64], NDArray[np.float64]]:
        """Where customers may stand before all candidates: places, whose, and their middles."""
        places, owners = customer_places(self.site, self.candidates)
        return places, owners, shapely.get_coordinates(shapely.centroid(places))

    @property
    def separate_slat(self) -> bool:
        """Whether leaving slat-wall out can pay: only where money or sheets are short."""
        short = self.site.brief.budget is not None or self.site.slat_to_be_had is not None
        return self.thrifty or short

    def fixture(self, index: int) -> Fixture | None:
        """Give a candidate's fixture."""
        name = self.candidates[index].fixture
        return None if name is None else self.site.scenario.catalogue.fixture(name)

    def cost(self, chosen: Sequence[int], slat: Iterable[int]) -> float:
        """Add up the least money that a choice costs, goods' brackets and shelves not counted."""
        return sum(
            self.bought(self.standing(chosen)),
            start=sum(self.candidates[i].slat_cost for i in slat),
        )

    def standing(self, chosen: Iterable[int]) -> Counter[str | None]:
        """Count the fixtures of each kind that stand where some are chosen."""
        names = Counter[str | None]()
        for i in chosen:
            names[self.candidates[i].fixture] += self.candidates[i].row
        return names

    def bought(self, names: Counter[str | None]) -> Iterable[float]:
        """Give what is paid for the fixtures of each kind, of which those owned cost nothing."""
        for fixture in self.site.scenario.catalogue.fixtures:
            yield max(0, names[fixture.id] - fixture.owned) * fixture.price

    def money_left(self, chosen: Sequence[int], slat: Iterable[int]) -> float | None:
        """Give the money left for brackets and shelves, or none without a budget."""
        budget = self.site.brief.budget
        return None if budget is None else budget - self.cost(chosen, slat)


def customer_places(
    site: Site, candidates: Sequence[Candidate]
) -> tuple[NDArray[np.object_], NDArray[np.int64]]:
    """Give where the centre of a customer may be before each customer side of some candidates.

    Returns
    -------
    Places, and for each the number of its candidate among those given.
    """
    bands = [(k, way, at) for k, one in enumerate(candidates) for way, at in one.customer_bands_at]
    corners = np.array([at for _, _, at in bands]).reshape(-1, 4, 2)
    directions = np.array([way for _, way, _ in bands])
    places = standing_places(corners, directions, site.brief.aisle)
    return places, np.array([k for k, _, _ in bands], dtype=np.int64)


def face_classes(candidates: Iterable[Candidate]) -> list[FaceClass]:
    """List the classes of face that candidates bring, sorted."""
    # All positions of a fixture share one tuple of faces.
    parts = {id(own): own for c in candidates for own in (c.faces, c.slat)}
    return sorted({part.kind for own in parts.values() for part in own})


def floor_problem(
    site: Site, candidates: Sequence[Candidate], cliques: Cliques, careful: bool = False
) -> FloorProblem:
    """Gather what the floor models need."""
    classes = face_classes(candidates)
    hemmed_in = (i for i, c in enumerate(candidates) if c.hemmed_in and not c.pinned)
    left_out = frozenset(hemmed_in if careful else ())
    number = {kind: k for k, kind in enumerate(classes)}
    known: dict[int, tuple[tuple[int, float], ...]] = {}

    def widths(parts: tuple[FacePart, ...]) -> tuple[tuple[int, float], ...]:
        if id(parts) not in known:
            known[id(parts)] = tuple((number[part.kind], part.width) for part in parts)
        return known[id(parts)]

    return FloorProblem(
        site,
        candidates,
        cliques,
        classes,
        tuple(widths(c.faces) for c in candidates),
        tuple(widths(c.slat) for c in candidates),
        tuple(_gates(site, candidates)),
        left_out,
    )


def _gates(site: Site, candidates: Sequence[Candidate]) -> Iterable[tuple[frozenset[int], ...]]:
    """Give the ways past the dividers into each staff zone that has no door of its own."""
    doors = [
        shapely.intersection(site.approach(d, True), site.staff_zones) for d in site.staff_doors
    ]
    dividers = np.array([i for i, c in enumerate(candidates) if c.fixture is not None], dtype=int)
    wide = site.brief.staff_aisle
    tree: STRtree | None = None
    for zone in site.scenario.shop.zones:
        outline = Polygon(zone.corners)
        if zone.kind != "staff" or any(outline.intersects(d) and not d.is_empty for d in doors):
            continue
        edges = outline.exterior.buffer(1.0)
        squares = np.array(
            [
                square
                for start, end in site.divider_edges
                if edges.covers(shapely.LineString([start, end]))
                for square in _gate_squares(start, end, wide)
            ],
            dtype=object,
        )
        squares = squares[site.passable.covers_each(squares)]
        if not len(squares):
            continue
        if tree is None:
            bodies = np.array([candidates[i].body_at for i in dividers]).reshape(-1, 4, 2)
            tree = STRtree(shapes(bodies))
        which, what = tree.query(shapely.buffer(squares, -0.02), predicate="intersects")
        ways = {frozenset(dividers[what[which == k]].tolist()) for k in range(len(squares))}
        least = [w for w in ways if not any(other < w for other in ways)]
        yield tuple(sorted(least, key=lambda w: (len(w), sorted(w))))


def _gate_squares(
    start: tuple[float, float], end: tuple[float, float], wide: float
) -> Iterable[Polygon]:
    length = math.dist(start, end)
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    places = [k * _GATE_STEP_MM for k in range(int((length - wide) / _GATE_STEP_MM) + 1)]
    for place in sorted({*places, length - wide}):
        corners = [(place, -wide / 2), (place + wide, -wide / 2)]
        corners += [(place + wide, wide / 2), (place, wide / 2)]
        yield Polygon(
            [(start[0] + a * ux - b * uy, start[1] + a * uy + b * ux) for a, b in corners]
        )


def numbers(problem: FloorProblem) -> Iterable[tuple[int, int, list[int]]]:
    """Give the limits on how many fixtures stand: stock, and what the brief wants.

    Returns
    -------
    Least, most, and the candidates that count, each as often as it has fixtures.
    """
    scenario = problem.site.scenario
    everything = sum(candidate.row for candidate in problem.candidates)
    for fixture in scenario.catalogue.fixtures:
        own = (i for i, c in enumerate(problem.candidates) if c.fixture == fixture.id)
        members = [i for i in own for _ in range(problem.candidates[i].row)]
        if len(members) > fixture.available + fixture.owned:
            yield 0, fixture.available + fixture.owned, members
    for wanted in scenario.brief.wanted:
        members = []
        for i, candidate in enumerate(problem.candidates):
            kind = problem.fixture(i)
            if kind is not None and (
                candidate.fixture == wanted.fixture or kind.kind == wanted.kind
            ):
                members += [i] * candidate.row
        high = everything if wanted.at_most is None else wanted.at_most
        if wanted.at_least > 0 or high < len(members):
            yield wanted.at_least, high, members
