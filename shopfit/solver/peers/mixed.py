"""A peer: the solver's own kind of program in whole facings, by HiGHS."""

from __future__ import annotations

from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.solver.peers.answers import Course, PeerAnswer, Tell
from shopfit.solver.peers.highs import Highs, loaded
from shopfit.solver.peers.stages import floor_then_faces


def milp(scenario: Scenario, options: SolveOptions, tell: Tell) -> PeerAnswer:
    """Solve floor and faces added up by class with HiGHS, then fill the best floor.

    Parameters
    ----------
    scenario, options
        What is given, and for how long and with how many threads.
    tell
        Told of every better layout and bound.

    Raises
    ------
    ImportError
        Where HiGHS is not installed.
    """
    loaded()
    course = Course(scenario, options, tell)
    floor_then_faces(course, lambda program, gap: Highs(program, options, gap))
    return course.answer()
