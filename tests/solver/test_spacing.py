"""Islands on every step, in lanes and in rows: exact distances, and a sentence that says so."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.solver.candidates import candidates, positions
from shopfit.solver.conflicts import cliques
from shopfit.solver.scope import grid_in_words
from shopfit.solver.site import Site
from shopfit.solver.spacing import FEW_ROWS, ROWS, Spacing, lane_pitch, places_across, places_along
from shopfit.units import format_length

from . import build as b

DEEP, AISLE, CABINET = 600.0, 900.0, 500.0
PITCH, FIRST = DEEP + AISLE, CABINET + AISLE


def hall(width: float = 12000.0, depth: float = 12000.0, **changes: Any) -> Site:
    """Give a room with cabinets for the walls and gondolas for the floor."""
    faces = [b.face(side=side) for side in ("front", "back")]
    isle = b.fixture(
        "isle",
        kind="gondola",
        width=b.mm(1200.0),
        depth=b.mm(DEEP),
        height=b.mm(1300.0),
        available=99,
        stands=["island"],
        faces=faces,
    )
    fixtures = [b.fixture(depth=b.mm(CABINET)), isle]
    return Site(b.scenario(fixtures=fixtures, width=width, depth=depth, **changes))


def told(length: float) -> str:
    return format_length(length, "ft-in")


@pytest.mark.parametrize(
    ("high", "count"),
    [(FIRST - 0.1, 0), (FIRST, 1), (FIRST + PITCH - 0.1, 1), (FIRST + PITCH, 2)],
)
def test_lanes_begin_an_aisle_before_the_wall_and_are_an_aisle_apart(high: float, count: int):
    """The first lane leaves the wall's fixtures their aisle, and each next one begins as soon."""
    site = hall()
    lanes = places_across(site, 100.0, 100.0 + high, Spacing(4, lanes=True))
    assert list(lanes) == pytest.approx([100.0 + FIRST + k * PITCH for k in range(count)])
    assert lane_pitch(site) == PITCH


@pytest.mark.parametrize("steps", [1, 3])
def test_along_lanes_and_on_grids_every_few_steps(steps: int):
    """Steps count from the end of the room, and a place at the very end is one."""
    site = hall()
    wanted = pytest.approx([k * 300.0 for k in range(0, 7, steps)])
    assert list(places_along(site, 0.0, 1800.0, Spacing(steps))) == wanted
    assert list(places_across(site, 0.0, 1800.0, Spacing(steps))) == wanted
    assert len(places_along(site, 0.0, -0.1, Spacing(steps))) == 0


@pytest.mark.parametrize(("wider", "apart"), [(-0.1, False), (0.0, True), (0.1, True)])
def test_rows_of_neighbouring_lanes_keep_an_aisle_with_all_care(wider: float, apart: bool):
    """Two rows in lanes side by side exclude one another if the aisle is a hair narrower."""
    brief = {"aisle": b.mm(AISLE - wider)}
    lanes = Spacing(4, lanes=True, rows=(2,))
    site = hall()
    found = candidates(site, 8, lanes)
    rows = [n for n, c in enumerate(found) if c.row == 2 and c.placement.angle_deg == 0.0]
    low = min(found[n].body.bounds[1] for n in rows)
    one = next(n for n in rows if found[n].body.bounds[1] == low)
    beside = (found[one].body.bounds[0], low + PITCH)
    other = next(n for n in rows if found[n].body.bounds[:2] == pytest.approx(beside))
    # The same two places under an aisle that is a little wider or narrower.
    again = hall(brief=brief)
    pair = [
        c
        for c in candidates(again, 8, Spacing(1, rows=(2,)))
        if c.row == 2 and c.placement.angle_deg == 0.0
    ]
    where = {tuple(round(v, 3) for v in c.body.bounds[:2]): n for n, c in enumerate(pair)}
    step_low = next(y for _, y in sorted(where))
    names = [(round(found[one].body.bounds[0], 3), y) for y in (step_low, step_low + PITCH)]
    both = {where[name] for name in names}
    together = any(both <= set(group.tolist()) for group in cliques(pair, careful=True))
    assert together is not apart
    assert not any({one, other} <= set(g.tolist()) for g in cliques(found, careful=True))


def test_few_positions_stay_on_every_step():
    """Where all fit there are no lanes, and the sentence tells the step alone."""
    site = hall(4500.0, 4500.0)
    found, spacing = positions(site, 10_000)
    assert spacing == Spacing(1, rows=ROWS)
    assert {c.row for c in found} >= {1, 2}
    assert grid_in_words(site, spacing).endswith(f"gondolas, every {told(300.0)}")


@pytest.mark.parametrize(
    ("most", "rows"), [(2500, ROWS), (1500, ROWS), (1000, FEW_ROWS), (600, FEW_ROWS)]
)
def test_many_positions_become_lanes(most: int, rows: tuple[int, ...]):
    """Islands stand in lanes then, with a coarse grid besides where there is room for both."""
    site = hall()
    found, spacing = positions(site, most)
    assert len(found) <= most
    assert spacing.lanes
    assert spacing.rows == rows
    assert (spacing.beside is not None) is (rows == ROWS)
    on_lanes = [c for c in found if c.stands_free and c.placement.angle_deg == 0.0]
    lanes = {round((c.body.bounds[1] - FIRST) % PITCH, 3) % PITCH for c in on_lanes}
    assert 0.0 in lanes
    assert (lanes == {0.0}) is (spacing.beside is None)
    words = grid_in_words(site, spacing)
    assert f"along lanes {told(PITCH)} apart" in words
    assert ("both ways" in words) is (spacing.beside is not None)


def test_a_room_too_narrow_for_lanes_keeps_a_grid():
    """With no lane clear of both walls islands stand on the steps, as far as any do."""
    site = hall(2700.0, 2700.0)
    every = candidates(site, 1, Spacing(rows=ROWS))
    assert not any(c.stands_free for c in candidates(site, 1, Spacing(1, lanes=True, rows=ROWS)))
    found, spacing = positions(site, len(every) - 1)
    assert not spacing.lanes
    assert any(c.stands_free for c in found)


def test_no_islands_no_spacing():
    """A shop without islands has the positions along its walls, whatever number is wanted."""
    site = Site(b.scenario())
    found, spacing = positions(site, 1)
    assert found == candidates(site)
    assert spacing == Spacing(1, rows=ROWS)
