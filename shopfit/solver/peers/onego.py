"""A peer: the whole shop as one integer program, by CP-SAT."""

from __future__ import annotations

import logging

from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.solver.peers.answers import Care, Course, PeerAnswer, Tell
from shopfit.solver.peers.cpsat import CpSat
from shopfit.solver.peers.engines import End, Rounds
from shopfit.solver.peers.stages import floor_then_faces
from shopfit.solver.peers.whole import WholeProgram, size_of

_log = logging.getLogger(__name__)

# Variables of blocks and facings up to which one program is of use. Memory would hold a million
# (300,000 take 2 GB with two threads), but a narrow shell with 115,000 showed 240 facings and
# missed five minimums after 90 s of two cores, where faces added up by class show 311 in 30 s.
MOST_VARIABLES = 50_000
# And for each second asked for: the first answer that misses nothing takes about so long.
VARIABLES_A_SECOND = 600
# Blocks of all patterns are tried for a proof up to so many times as many.
PROVABLE = 3.0
# Part of the seconds for one block a face and category; the rest is for the proof without that.
CHOICE_SHARE = 0.7
# If blocks of all patterns take no more than this many times the variables, only they are tried.
LITTLE_MORE = 1.3


def direct(scenario: Scenario, options: SolveOptions, tell: Tell) -> PeerAnswer:
    """Solve one program of positions, slat-wall, blocks and every whole facing with CP-SAT.

    First a category has one block a face, its pattern by choice. Then, where that is small
    enough, blocks of all patterns may stand side by side, which leaves out nothing that the rules
    allow: only the bound of that program is told. Where even the first is too large, floor and
    faces are solved one after the other, with whole facings added up by class; that is logged.
    No answer is hinted at to either.

    Parameters
    ----------
    scenario, options
        What is given, and for how long and with how many threads.
    tell
        Told of every better layout and bound.
    """
    course = Course(scenario, options, tell)
    limit = min(MOST_VARIABLES, VARIABLES_A_SECOND * options.seconds)
    size = size_of(course, exact=False)
    if size > limit:
        _log.warning("direct: %d variables are over %d, so faces are added up", size, int(limit))
        floor_then_faces(course, lambda program, gap: CpSat(program, options, gap))
        return course.answer()
    _log.info("direct: one program of %d variables", size)
    exact = size_of(course, exact=True)
    provable = exact <= PROVABLE * limit
    if not provable or exact > LITTLE_MORE * size:
        share = CHOICE_SHARE if provable else 1.0
        until = course.seconds + share * course.left
        for care in (Care.APART, Care.RULES) if course.islands else (Care.RULES,):
            if course.seconds > until:
                break
            choice = WholeProgram(course, exact=False, care=care)
            engine = CpSat(choice, options, options.gap)
            Rounds(choice, engine, bounding=False).run(until - course.seconds)
    if provable:
        _log.info("direct: proof with %d variables", exact)
        _prove(course, options)
    else:
        # What that program proves holds for one block a face and category only.
        course.prove(course.most)
    return course.answer()


def _prove(course: Course, options: SolveOptions) -> None:
    """Look for something better than the best with blocks of all patterns side by side."""
    program = WholeProgram(course, exact=True)
    worth = course.worth
    if worth is not None:
        program.demand(worth)
    end = Rounds(program, CpSat(program, options, options.gap), bounding=True).run(course.left)
    if end is End.IMPOSSIBLE and worth is not None:
        course.prove(worth)
