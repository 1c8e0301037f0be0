"""Floor first, with faces added up by class, then the faces of the best floors in whole facings."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from shopfit.solver.filling import BlockKey
from shopfit.solver.floor import FloorAnswer
from shopfit.solver.peers.answers import Care, Course
from shopfit.solver.peers.engines import End, Engine, Rounds
from shopfit.solver.peers.program import GoodsProgram
from shopfit.solver.peers.summed import SummedProgram
from shopfit.solver.peers.whole import FacesProgram, faces_size

# Hands a program to a solver, to end at a gap.
Handing = Callable[[GoodsProgram, float], Engine]
# What is taken off every face when a floor is chosen to be filled, mm: what ends of rows lose, as
# mostly is right, then nothing, then other lengths for as long as there is time; and how far
# islands keep off.
FLOORS = (
    (70.0, Care.APART),
    (70.0, Care.CLEAR),
    (0.0, Care.RULES),
    (35.0, Care.APART),
    (110.0, Care.APART),
    (20.0, Care.APART),
    (150.0, Care.CLEAR),
)
# Gap that is good enough for such a floor, since filling loses more.
STEERED_GAP = 0.01
# Parts of the seconds left.
BOUND_SHARE, STEERED_SHARE, LAID_SHARE, ANY_SHARE = 0.2, 0.3, 0.55, 0.5
# Part of them up to which a floor is waited for that misses no minimum.
WAITING_SHARE = 0.8
# Variables of the faces of a floor up to which any block is tried on any face; beyond, nothing
# better than what was laid out comes of it in a minute.
MOST_FACES_SIZE = 40_000


def floor_then_faces(course: Course, handing: Handing) -> None:
    """Search in stages, within the seconds left.

    The bound comes of a floor with nothing taken off. Other floors have some length to spare on
    every face. The blocks that each lays along its faces are filled with whole facings; where
    that is soon done, any blocks are tried on its faces. As long as there is time, the next best
    floor follows.

    Parameters
    ----------
    course
        What is given and found.
    handing
        Hands a program to a solver.
    """
    plain = SummedProgram(course)
    engine = handing(plain, course.options.gap)
    rounds = Rounds(plain, engine, bounding=True)
    rounds.run(BOUND_SHARE * course.left)
    bounded = rounds.decent
    tried: set[FloorAnswer] = set()
    for remainder, care in FLOORS:
        if course.proved or course.left <= 0:
            return
        if care is Care.CLEAR and not course.islands:
            continue
        again = remainder == 0.0 and bounded
        floor = plain if again else _steered(course, handing, remainder, care)
        if floor.best is not None and floor.best[0] not in tried:
            tried.add(floor.best[0])
            _fill(course, handing, *floor.best)
    while plain.best is not None and not course.proved and course.left > 0:
        engine.add(plain.forbidding(plain.best[0].chosen))
        plain.best = None
        Rounds(plain, engine, bounding=False).run(STEERED_SHARE * course.left)
        if plain.best is not None:
            _fill(course, handing, *plain.best)


def _steered(course: Course, handing: Handing, remainder: float, care: Care) -> SummedProgram:
    program = SummedProgram(course, remainder, care)
    engine = handing(program, max(course.options.gap, STEERED_GAP))
    rounds = Rounds(program, engine, bounding=care is Care.RULES and remainder == 0.0)
    rounds.run(STEERED_SHARE * course.left, WAITING_SHARE * course.left)
    return program


def _fill(
    course: Course, handing: Handing, floor: FloorAnswer, blocks: Mapping[BlockKey, float]
) -> None:
    laid = FacesProgram(course, floor, blocks)
    end = Rounds(laid, handing(laid, 0.0), bounding=False).run(LAID_SHARE * course.left)
    if end is End.PROVED and faces_size(course, floor) <= MOST_FACES_SIZE:
        faces = FacesProgram(course, floor)
        Rounds(faces, handing(faces, 0.0), bounding=False).run(ANY_SHARE * course.left)
