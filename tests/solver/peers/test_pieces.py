"""Faces of positions by themselves: their lengths, their joints, and what they become."""

from __future__ import annotations

from shopfit.solver.candidates import positions
from shopfit.solver.conflicts import cliques
from shopfit.solver.filling import PER_MM
from shopfit.solver.fixing import fix
from shopfit.solver.floor import FloorAnswer, FloorProblem, floor_problem
from shopfit.solver.peers.pieces import FaceFinder, joints, pieces_of, reaches
from shopfit.solver.site import Site

from .. import build as b
from .judge import HOOK


def wall_of_slat() -> FloorProblem:
    """Give cabinets 600 mm wide with slat-wall above, at every 300 mm of walls."""
    cabinet = b.fixture(width=b.mm(600.0), slat_above=True)
    problem, _ = b.floor(b.scenario(fixtures=[cabinet], sheets=[b.SHEET], brackets=[HOOK]))
    return problem


def test_islands_of_a_row_have_faces_of_their_own():
    """Each of two islands tried as one brings both its sides, found on its own fixture."""
    faces = [b.face(side=side) for side in ("front", "back")]
    isle = b.fixture("isle", kind="gondola", width=b.mm(600.0), stands=["island"], faces=faces)
    site = Site(b.scenario(fixtures=[isle], width=5000.0, depth=5000.0))
    found, _ = positions(site, 500)
    problem = floor_problem(site, found, cliques(found))
    two = next(i for i, candidate in enumerate(found) if candidate.row == 2)
    fixed = fix(problem, FloorAnswer((two,), ()))
    finder = FaceFinder(problem, fixed)
    own = [finder.find(piece) for piece in pieces_of(problem) if piece.candidate == two]
    assert sorted(n for n in own if n is not None) == [0, 1, 2, 3]
    hosts = [(fixed.faces[n].host, fixed.faces[n].side) for n in own if n is not None]
    assert hosts == [("F1", "front"), ("F1", "back"), ("F2", "front"), ("F2", "back")]


def at(problem: FloorProblem, wall: str, offset: float) -> int:
    (number,) = [
        i
        for i, c in enumerate(problem.candidates)
        if c.fixture == "cab" and (c.placement.wall, c.placement.offset_mm) == (wall, offset)
    ]
    return number


def slat_piece(problem: FloorProblem, candidate: int) -> int:
    (number,) = [
        n
        for n, piece in enumerate(pieces_of(problem))
        if piece.candidate == candidate and piece.slat
    ]
    return number


def test_every_face_is_a_piece():
    """Each cabinet brings its own face and the slat-wall above it, as long as they are."""
    problem = wall_of_slat()
    own = [p for p in pieces_of(problem) if p.candidate == at(problem, "N", 300.0)]
    assert [(p.slat, p.width) for p in own] == [(False, 600 * PER_MM), (True, 600 * PER_MM)]


def test_neighbours_join_and_no_others():
    """Slat-wall joins where the next piece begins at its end, not a step on, nor backwards."""
    problem = wall_of_slat()
    pairs = set(joints(problem, pieces_of(problem)))
    first, next_, off, far = (
        slat_piece(problem, at(problem, "N", x)) for x in (300, 900, 1200, 1500)
    )
    assert (first, next_) in pairs
    assert (next_, far) in pairs
    assert (first, off) not in pairs
    assert (first, far) not in pairs
    assert (next_, first) not in pairs


def test_reach_is_the_longest_run():
    """From 300 mm on, four cabinets of 600 mm fit along a wall of 3000."""
    problem = wall_of_slat()
    pieces = pieces_of(problem)
    reach = reaches(pieces, joints(problem, pieces))
    assert reach[slat_piece(problem, at(problem, "N", 300.0))] == 4 * 600 * PER_MM
    assert reach[slat_piece(problem, at(problem, "N", 2400.0))] == 600 * PER_MM


def test_pieces_are_found_on_the_faces_they_became():
    """Two neighbours share the face of one run but not their own; what hangs not has none."""
    problem = wall_of_slat()
    pieces = pieces_of(problem)
    chosen = tuple(sorted((at(problem, "N", 300.0), at(problem, "N", 900.0))))
    for slat, same in ((chosen, True), (chosen[:1], False)):
        fixed = fix(problem, FloorAnswer(chosen, slat))
        faces = FaceFinder(problem, fixed)
        found = {
            n: faces.find(piece) for n, piece in enumerate(pieces) if piece.candidate in chosen
        }
        hung = [found[slat_piece(problem, i)] for i in chosen]
        assert (hung[0] == hung[1]) is same
        assert None not in hung if same else None in hung
        shelves = [face for n, face in found.items() if not pieces[n].slat]
        assert len(set(shelves)) == 2
        assert {fixed.faces[face].host for face in shelves if face is not None} == {"F1", "F2"}
