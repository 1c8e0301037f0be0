"""What stands today as positions of its own, and how moves away from it are counted."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from shopfit.geometry.openings import things_on
from shopfit.model.layout import Layout, Placement, Run
from shopfit.model.scenario import Scenario
from shopfit.solver.candidates import (
    Candidate,
    allowed,
    bare_candidate,
    candidates,
    divider_candidate,
    fits_under,
    plain_candidate,
    wall_candidate,
    with_room,
)
from shopfit.solver.display import FaceClass, Holding
from shopfit.solver.floor import FloorAnswer
from shopfit.solver.parts import FacePart, slat_area, slat_class
from shopfit.solver.resume import Dropped, same_place
from shopfit.solver.site import Site
from shopfit.units import TOLERANCE_MM

_EPS = 1e-6


@dataclass(frozen=True)
class MoveCount:
    """How a choice of positions counts in moves.

    Parameters
    ----------
    groups
        For each fixture of the catalogue: positions where none stands today, positions where one
        does, and how many stand. One that leaves its place and comes to another is one move.
    added
        Positions that are one move each: the place of a fixture that stays with other slat-wall
        over it, and bays of slat-wall with nothing below.
    left
        Runs with nothing below as they hang: one move each where they are taken down.
    bared
        Fixtures with slat-wall as it hangs: one move each where they stay and it is taken down.
    always
        Moves that nothing avoids.
    """

    groups: tuple[tuple[tuple[int, ...], tuple[int, ...], int], ...] = ()
    added: tuple[int, ...] = ()
    left: tuple[int, ...] = ()
    bared: tuple[int, ...] = ()
    always: int = 0

    def of(self, floor: FloorAnswer) -> int:
        """Count the moves that a choice of positions takes."""
        chosen, slat = set(floor.chosen), set(floor.slat)
        count = self.always
        for new, kept, before in self.groups:
            arriving = sum(1 for i in new if i in chosen)
            staying = sum(1 for i in kept if i in chosen)
            count += max(arriving, before - staying)
        count += sum(1 for i in self.added if i in chosen)
        count += sum(1 for i in self.left if i not in chosen)
        return count + sum(1 for i in self.bared if i in chosen and i not in slat)


@dataclass(frozen=True)
class Standing:
    """The positions of a shop with what stands today among them.

    Parameters
    ----------
    layout, candidates
        What stands, and every position: first those of what stands.
    same
        Positions of fixtures just as they stand, with slat-wall as it hangs, by number to tag.
    altered
        Positions of fixtures as they stand with other slat-wall over them.
    hung
        Positions of runs with nothing below as they hang, by number to tag.
    pieces
        For each of the positions above with slat-wall as it hangs, the run of each piece.
    lost
        What cannot stay, and why.
    """

    layout: Layout
    candidates: list[Candidate]
    same: dict[int, str]
    altered: dict[int, str]
    hung: dict[int, str]
    pieces: dict[int, tuple[str, ...]]
    lost: tuple[Dropped, ...]
    moves: MoveCount = field(default_factory=MoveCount)


def standing(site: Site, layout: Layout, grid: Sequence[Candidate] | None = None) -> Standing:
    """Put a layout that stands among the positions, on the step or off it.

    Parameters
    ----------
    site, layout
        The shop, and the layout made by whomever.
    grid
        The other positions, of single fixtures; all those of the step if left out.
    """
    return _Stand(site, layout, candidates(site) if grid is None else grid).made()


class _Stand:
    """Puts what stands among the positions, one after the other."""

    def __init__(self, site: Site, layout: Layout, grid: Sequence[Candidate]) -> None:
        self._site, self._layout = site, layout
        self._grid = grid
        self._taken: set[int] = set()
        self._found: list[Candidate] = []
        self._same: dict[int, str] = {}
        self._altered: dict[int, str] = {}
        self._hung: dict[int, str] = {}
        self._pieces: dict[int, tuple[str, ...]] = {}
        self._lost: list[Dropped] = []
        self._sound: list[Run] = []

    def made(self) -> Standing:
        for run in self._layout.runs:
            why = unsound(self._site, self._layout, run)
            if why:
                self._lost.append(Dropped(run.id, "slat-wall", why))
            else:
                self._sound.append(run)
        for placement in self._layout.placements:
            self._add_fixture(placement)
        for run in self._sound:
            if not run.over:
                self._add_run(run)
        rest = [c for i, c in enumerate(self._grid) if i not in self._taken]
        every = [*self._found, *rest]
        return Standing(
            self._layout,
            every,
            self._same,
            self._altered,
            self._hung,
            self._pieces,
            tuple(self._lost),
            self._count(every),
        )

    def _add_fixture(self, placement: Placement) -> None:
        fixtures = {fixture.id for fixture in self._site.scenario.catalogue.fixtures}
        if placement.fixture not in fixtures:
            self._lost.append(Dropped(placement.id, placement.fixture, "it is not in the list"))
            return
        twin = self._twin(placement)
        base = candidate_at(self._site, placement) if twin is None else self._grid[twin]
        if base is None:
            why = "the shop as given leaves no room for it where it stands"
            self._lost.append(Dropped(placement.id, placement.fixture, why))
            return
        stays = placement.model_copy(update={"pinned": base.pinned})
        base = replace(base, placement=stays)
        pieces = list(self._hanging(placement))
        parts = tuple(part for part, _ in pieces)
        whole = all(run in self._sound for run in self._layout.runs if placement.id in run.over)
        as_it_is = replace(base, slat=parts, slat_cost=self._slat_cost(parts))
        alike = _alike(parts, base.slat)
        if twin is not None:
            self._taken.add(twin)
        if whole or not base.pinned:
            number = self._put(as_it_is, placement.id, self._same if whole else self._altered)
            self._pieces[number] = tuple(tag for _, tag in pieces)
        if not alike and base.slat and not (base.pinned and whole):
            self._put(base, placement.id, self._altered)

    def _add_run(self, run: Run) -> None:
        wall = self._site.shell.wall(run.wall)
        part = _piece(self._site, run, run.from_mm, run.to_mm, self._site.protrusion)
        made = bare_candidate(self._site, wall, run.from_mm, (part,))
        if next(allowed(self._site, [made]), None) is None:
            why = "the shop as given leaves no room before it"
            self._lost.append(Dropped(run.id, "slat-wall", why))
            return
        for i, candidate in enumerate(self._grid):
            here = candidate.fixture is None and candidate.placement.wall == run.wall
            if here and _alike((part,), candidate.slat):
                self._taken.add(i)
        made = replace(made, slat_cost=self._slat_cost((part,)))
        self._pieces[self._put(made, run.id, self._hung)] = (run.id,)

    def _put(self, candidate: Candidate, tag: str, among: dict[int, str]) -> int:
        self._found.append(candidate)
        among[len(self._found) - 1] = tag
        return len(self._found) - 1

    def _twin(self, placement: Placement) -> int | None:
        for i, candidate in enumerate(self._grid):
            if i not in self._taken and same_place(candidate.placement, placement):
                return i
        return None

    def _hanging(self, placement: Placement) -> Iterator[tuple[FacePart, str]]:
        """Give the pieces of sound runs that hang over a fixture, each with its run."""
        width = self._site.scenario.catalogue.fixture(placement.fixture).width
        start = placement.offset_mm or 0.0
        for run in self._sound:
            left, right = max(run.from_mm, start), min(run.to_mm, start + width)
            if placement.id in run.over and right - left > TOLERANCE_MM:
                depth = min(_below(self._site.scenario, self._layout, run))
                yield _piece(self._site, run, left, right, depth), run.id

    def _slat_cost(self, parts: Sequence[FacePart]) -> float:
        cost = 0.0
        for part in parts:
            sheet = self._site.scenario.catalogue.sheet(part.sheet or "")
            cost += slat_area([part]) * sheet.price / sheet.pack / (sheet.width * sheet.height)
        return cost

    def _count(self, every: Sequence[Candidate]) -> MoveCount:
        stays = {**self._same, **self._altered}
        before: dict[str, int] = {}
        for placement in self._layout.placements:
            before[placement.fixture] = before.get(placement.fixture, 0) + 1
        new: dict[str, list[int]] = {}
        kept: dict[str, list[int]] = {}
        bays = []
        for i, candidate in enumerate(every):
            if candidate.fixture is not None:
                (kept if i in stays else new).setdefault(candidate.fixture, []).append(i)
            elif i not in self._hung:
                bays.append(i)
        names = dict.fromkeys((*before, *new))
        runs = [run for run in self._layout.runs if not run.over]
        return MoveCount(
            tuple((tuple(new.get(f, ())), tuple(kept.get(f, ())), before.get(f, 0)) for f in names),
            (*self._altered, *bays),
            tuple(self._hung),
            tuple(i for i in self._same if every[i].slat),
            len(runs) - len(self._hung),
        )


def holdings(now: Standing) -> dict[tuple[str, FaceClass], Holding]:
    """Say how each line is mostly held today on each class of face that can stay."""
    kinds: dict[tuple[str, str], FaceClass] = {}
    for i, tag in {**now.altered, **now.same, **now.hung}.items():
        candidate = now.candidates[i]
        kinds |= {(tag, part.side): part.kind for part in candidate.faces}
        runs = now.pieces.get(i, ())
        for run, part in zip(runs, candidate.slat if runs else (), strict=True):
            kinds[run, "front"] = part.kind
    counts: dict[tuple[str, FaceClass], Counter[Holding]] = {}
    for block in now.layout.blocks:
        kind = kinds.get((block.host, block.side))
        for slot in (slot for row in block.rows for slot in row.slots):
            if kind is not None:
                count = counts.setdefault((slot.line, kind), Counter())
                count[slot.way, slot.holder] += slot.facings
    return {key: count.most_common(1)[0][0] for key, count in counts.items()}


def candidate_at(site: Site, placement: Placement) -> Candidate | None:
    """Make the candidate of a fixture where a layout has it, or none where it may not stand.

    Parameters
    ----------
    site, placement
        The shop, and the place of a fixture of its catalogue, on the step or off it.
    """
    fixture = site.scenario.catalogue.fixture(placement.fixture)
    if placement.wall is not None and placement.offset_mm is not None:
        wall = next((wall for wall in site.shell.walls if wall.id == placement.wall), None)
        offset = placement.offset_mm
        if wall is None or not wall.fixtures or "wall" not in fixture.stands:
            return None
        if not -_EPS <= offset <= wall.length - fixture.width + _EPS:
            return None
        if not fits_under(site, wall, fixture, offset):
            return None
        found = wall_candidate(site, wall, fixture, offset)
    else:
        found = plain_candidate(site, fixture, placement)
        inside = site.staff_zones.covers(found.body.buffer(-1e-3))
        if "divider" in fixture.stands and inside:
            found = divider_candidate(site, fixture, placement)
        elif "island" in fixture.stands and fixture.height <= site.brief.island_height + _EPS:
            found = with_room(site, fixture, found)
        else:
            return None
    return next(allowed(site, [found]), None)


def unsound(site: Site, layout: Layout, run: Run) -> str:
    """Say why a run can no longer hang as it does, or nothing where it can.

    Parameters
    ----------
    site, layout, run
        The shop as given, and a run of the layout that stands.
    """
    wall = next((wall for wall in site.shell.walls if wall.id == run.wall), None)
    sheet = next((s for s in site.scenario.catalogue.sheets if s.id == run.sheet), None)
    if wall is None or not wall.slat_wall:
        return "its wall takes no slat-wall"
    if sheet is None:
        return "its sheet is not in the list"
    if run.from_mm < -TOLERANCE_MM or run.to_mm > wall.length + TOLERANCE_MM:
        return "it reaches past its wall"
    top = min(site.brief.display_top, wall.lowest(run.from_mm, run.to_mm))
    height = run.top_mm - run.bottom_mm
    if run.top_mm > top + TOLERANCE_MM or height > sheet.height + TOLERANCE_MM:
        return "it reaches too high"
    if abs(run.bottom_mm + sheet.first_groove - run.first_groove_mm) > TOLERANCE_MM:
        return "its grooves are not where its sheet has them"
    for thing in things_on(site.scenario.shop, run.wall):
        across = min(run.to_mm, thing.right) - max(run.from_mm, thing.left)
        up = min(run.top_mm, thing.top) - max(run.bottom_mm, thing.bottom)
        if across > TOLERANCE_MM and up > TOLERANCE_MM:
            return f"it covers {thing.kind} {thing.id}"
    return _below_unsound(site, layout, run)


def _below_unsound(site: Site, layout: Layout, run: Run) -> str:
    catalogue = {fixture.id: fixture for fixture in site.scenario.catalogue.fixtures}
    below = [layout.placement(tag) for tag in run.over]
    if any(p.fixture not in catalogue or p.wall != run.wall for p in below):
        return "what stands below it is gone"
    if any(not catalogue[p.fixture].slat_above for p in below):
        return "what stands below it takes no slat-wall above"
    tallest = max((catalogue[p.fixture].height + site.brief.run_gap for p in below), default=0.0)
    least = tallest if below else site.brief.run_bottom
    if run.bottom_mm < least - TOLERANCE_MM:
        return "it hangs too low"
    at = run.from_mm
    for p in sorted(below, key=lambda p: p.offset_mm or 0.0):
        if (p.offset_mm or 0.0) > at + TOLERANCE_MM:
            return "what stands below it leaves a gap"
        at = max(at, (p.offset_mm or 0.0) + catalogue[p.fixture].width)
    return "what stands below it leaves a gap" if below and at < run.to_mm - TOLERANCE_MM else ""


def _below(scenario: Scenario, layout: Layout, run: Run) -> list[float]:
    return [scenario.catalogue.fixture(layout.placement(tag).fixture).depth for tag in run.over]


def _piece(site: Site, run: Run, left: float, right: float, depth: float) -> FacePart:
    """Make a piece of a run as it hangs; the whole run has the depth of its shallowest fixture."""
    sheet = site.scenario.catalogue.sheet(run.sheet)
    kind = slat_class(sheet, run.bottom_mm, run.top_mm, min(depth, site.deepest_holder))
    return FacePart(
        "front", kind, right - left, (left, right, run.bottom_mm, run.top_mm), run.sheet
    )


def _alike(parts: Sequence[FacePart], others: Sequence[FacePart]) -> bool:
    """Say whether two hangings of slat-wall are one."""

    def near(one: FacePart, other: FacePart) -> bool:
        if one.wall_span is None or other.wall_span is None:
            return False
        pairs = zip(one.wall_span, other.wall_span, strict=True)
        same = all(math.isclose(a, b, abs_tol=TOLERANCE_MM) for a, b in pairs)
        return same and one.kind == other.kind and one.sheet == other.sheet

    return len(parts) == len(others) and all(
        near(one, other) for one, other in zip(parts, others, strict=True)
    )
