"""How islands are spread over the floor: every few steps both ways, or in lanes an aisle apart."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from shopfit.model.fixtures import Fixture
from shopfit.solver.site import Site

_EPS = 1e-6
# Islands of a kind that are tried side by side as one: all that are of use, and in large shops.
ROWS = (2, 3, 4, 6, 8, 12, 16)
FEW_ROWS = (2, 4, 8, 16)
# Steps between islands that are tried, to keep to a number of positions; along lanes as well.
ISLAND_STEPS = (1, 2, 3, 4, 6, 8)
LAST_STEPS = ISLAND_STEPS[-1]


@dataclass(frozen=True)
class Spacing:
    """Where islands are tried.

    Parameters
    ----------
    steps
        How many steps of the brief they are apart, both ways or along lanes.
    lanes
        Whether they stand in lanes, the deepest row and an aisle apart, the first an aisle before
        the deepest fixtures along a wall.
    beside
        How many steps they are apart both ways besides; none where they are in lanes alone.
    rows
        How many islands of a kind are tried side by side as one.
    """

    steps: int = 1
    lanes: bool = False
    beside: int | None = None
    rows: tuple[int, ...] = ()

    @property
    def parts(self) -> tuple[Spacing, ...]:
        """The grids of which this one is made."""
        own = Spacing(self.steps, self.lanes, None, self.rows)
        return (own,) if self.beside is None else (own, Spacing(self.beside, rows=self.rows))


def lane_pitch(site: Site) -> float:
    """Give how far lanes are apart from back to back, mm."""
    islands = site.fixtures("island")
    in_rows = [fixture.depth for fixture in islands if goes_in_rows(fixture)]
    deep = in_rows or [fixture.depth for fixture in islands]
    return max(deep, default=0.0) + site.brief.aisle


def goes_in_rows(fixture: Fixture) -> bool:
    """Say whether islands are looked at from front and back alone, as gondolas are."""
    return {face.side for face in fixture.faces} == {"front", "back"}


def places_along(site: Site, low: float, high: float, spacing: Spacing) -> np.ndarray:
    """Give the places from one end of a room to the other, mm, in the direction of rows."""
    count = math.floor((high - low) / site.step + _EPS) + 1
    return low + site.step * np.arange(0, max(0, count), spacing.steps)


def places_across(site: Site, low: float, high: float, spacing: Spacing) -> np.ndarray:
    """Give the places from one side of a room to the other, mm, square to rows."""
    if not spacing.lanes:
        return places_along(site, low, high, spacing)
    before = max((fixture.depth for fixture in site.fixtures("wall")), default=0.0)
    first = low + before + site.brief.aisle
    return np.arange(first, high + _EPS, lane_pitch(site))
