"""Puts moves in an order in which they can be done: nothing comes before its place is free."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shapely import Polygon

from shopfit.geometry.footprint import footprint
from shopfit.model.fixtures import Fixture
from shopfit.model.layout import Placement, Run
from shopfit.model.moves import FixtureMove, Moves, RunMove
from shopfit.model.scenario import Scenario
from shopfit.units import TOLERANCE_MM

# What frees places comes first, what is bought last of the fixtures, slat-wall after them.
_ORDER = (
    *("taken down", "taken out", "shortened", "moved", "moved and turned", "turned"),
    *("brought in", "shifted", "lengthened", "hung anew", "kept"),
)


@dataclass(frozen=True)
class Step:
    """Something done with a fixture or a run.

    Parameters
    ----------
    row
        What becomes of it in all.
    aside
        Whether it is only set aside, and comes to its place by a later step.
    """

    row: FixtureMove | RunMove
    aside: bool = False


@dataclass(eq=False)
class _Pending:
    """A fixture or run that has not come to its place yet.

    Parameters
    ----------
    row
        What becomes of it.
    old, new
        What it takes up where it is, and where it shall be; none of what comes or goes.
    """

    row: FixtureMove | RunMove
    old: _Place | None
    new: _Place | None


@dataclass(frozen=True)
class _Place:
    """What a fixture or run takes up: floor, a stretch of wall, and heights, mm."""

    floor: Polygon | None
    wall: str | None
    span: tuple[float, float]
    heights: tuple[float, float]

    def meets(self, other: _Place) -> bool:
        """Say whether both cannot be there at once."""
        if self.floor is not None and other.floor is not None:
            return not self.floor.buffer(-TOLERANCE_MM).disjoint(other.floor.buffer(-TOLERANCE_MM))
        if self.wall is None or self.wall != other.wall:
            return False
        return _shared(self.span, other.span) and _shared(self.heights, other.heights)


def _shared(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return min(one[1], other[1]) - max(one[0], other[0]) > 2 * TOLERANCE_MM


def in_order(scenario: Scenario, moves: Moves) -> tuple[Step, ...]:
    """Put what becomes of fixtures and runs in an order in which it can be done.

    Parameters
    ----------
    scenario
        Of the new layout.
    moves
        What has to be done.

    Returns
    -------
    What is taken down and out, runs shortened, fixtures, other slat-wall, each as early as its
    place is free, and at last what is kept. Where several wait for one another in a ring, one is
    set aside first.
    """
    rows: list[FixtureMove | RunMove] = [*moves.fixtures, *moves.runs]
    rows.sort(key=lambda row: _ORDER.index(row.step))
    pending = [_pending(scenario, row) for row in rows if row.step != "kept"]
    kept = (Step(row) for row in rows if row.step == "kept")
    return (*_freed(pending), *kept)


def _freed(pending: list[_Pending]) -> Iterator[Step]:
    while pending:
        ready = next((each for each in pending if not _in_the_way(each, pending)), None)
        if ready is not None:
            pending.remove(ready)
            yield Step(ready.row)
            continue
        first = _in_a_ring(pending)
        first.old = None
        yield Step(first.row, aside=True)


def _in_a_ring(pending: Sequence[_Pending]) -> _Pending:
    """Give the first of those that wait for one another, where all wait for something."""
    waited: list[_Pending] = []
    each = pending[0]
    while each not in waited:
        waited.append(each)
        each = _in_the_way(each, pending)[0]
    return min(waited[waited.index(each) :], key=pending.index)


def _in_the_way(wanted: _Pending, pending: Sequence[_Pending]) -> list[_Pending]:
    """List what still is where something shall come."""
    if wanted.new is None:
        return []
    others = (each for each in pending if each is not wanted and each.old is not None)
    return [each for each in others if each.old is not None and each.old.meets(wanted.new)]


def _pending(scenario: Scenario, row: FixtureMove | RunMove) -> _Pending:
    if isinstance(row, RunMove):
        return _Pending(row, _hung(row.before), _hung(row.after))
    known = {fixture.id: fixture for fixture in scenario.catalogue.fixtures}
    fixture = known.get(row.fixture)
    # What is not in the catalogue any more is taken out before anything comes.
    if fixture is None:
        return _Pending(row, None, None)
    return _Pending(row, _stood(fixture, row.before), _stood(fixture, row.after))


def _stood(fixture: Fixture, placement: Placement | None) -> _Place | None:
    if placement is None:
        return None
    left = placement.offset_mm or 0.0
    span = (left, left + fixture.width)
    floor = footprint(fixture, placement)
    return _Place(floor, placement.wall, span, (0.0, fixture.height))


def _hung(run: Run | None) -> _Place | None:
    if run is None:
        return None
    return _Place(None, run.wall, (run.from_mm, run.to_mm), (run.bottom_mm, run.top_mm))
