"""The floor as a choice of positions: ways past dividers, and what faces a choice brings."""

from __future__ import annotations

import pytest
from shapely import box

from shopfit.solver.candidates import candidates
from shopfit.solver.floor import FloorProblem, face_classes, floor_problem
from shopfit.solver.site import Site

from . import build as b

TILL = b.fixture("till", kind="counter", stands=["divider"], faces=[])


def problem(depth: float = 1400.0, **changes: object) -> FloorProblem:
    """Give a room with a staff zone so deep along its north wall."""
    zone = {"id": "till", "kind": "staff", "corners": b.box(0.0, 3000.0 - depth, 3000.0, 3000.0)}
    fixtures = [TILL, b.fixture(slat_above=True)]
    site = Site(b.scenario(fixtures=fixtures, sheets=[b.SHEET], zones=[zone], **changes))
    return floor_problem(site, candidates(site), [])


def test_a_gate_is_closed_by_what_stands_in_its_square():
    """Of squares 800 mm wide on the zone's edge, those with the fewest dividers in the way."""
    floor = problem()
    (ways,) = floor.gates
    found = set()
    for left in (*range(0, 2200, 25), 2200):
        square = box(left, 1200, left + 800, 2000)
        found.add(
            frozenset(
                i
                for i, c in enumerate(floor.candidates)
                if c.fixture is not None and c.body.intersection(square).area > 1000
            )
        )
    assert set(ways) == {one for one in found if not any(other < one for other in found)}
    assert len(ways) > 1


def test_a_staff_door_makes_gates_needless():
    """Staff who come in by a door of their own need no way past the dividers."""
    door = b.shop()["doors"][0]
    assert problem(doors=[door, {**door, "id": "back", "wall": "N", "use": "staff"}]).gates == ()


@pytest.mark.parametrize("tills", [True, False])
def test_without_dividers_every_gate_is_open(tills: bool):
    """Where nothing can stand on the edge, one way is closed by nobody."""
    floor = problem(1400.0 if tills else 1000.0)
    assert any(c.staff_band is not None for c in floor.candidates) is tills
    (ways,) = floor.gates
    assert (frozenset() in ways) is not tills


def test_widths_are_those_of_the_faces():
    """Each candidate's faces and slat-wall, by the number of their class."""
    floor = problem()
    assert floor.classes == face_classes(floor.candidates)
    for i, candidate in enumerate(floor.candidates):
        assert [(floor.classes[k], wide) for k, wide in floor.widths[i]] == [
            (part.kind, part.width) for part in candidate.faces
        ]
        assert [(floor.classes[k], wide) for k, wide in floor.slat_widths[i]] == [
            (part.kind, part.width) for part in candidate.slat
        ]
