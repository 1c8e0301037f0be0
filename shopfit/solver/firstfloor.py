"""Chooses a floor of few positions on a coarser step, so that a first layout is there at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from shopfit.model.options import SolveOptions
from shopfit.solver import shares
from shopfit.solver.candidates import positions
from shopfit.solver.choosing import FIRST_GAP, Chosen, FloorChooser
from shopfit.solver.connect import blockages
from shopfit.solver.effort import POSITION_SECONDS
from shopfit.solver.floor import face_classes
from shopfit.solver.range_display import display
from shopfit.solver.site import Site
from shopfit.solver.worth import Worth
from shopfit.stopping import StopFlag


@dataclass(frozen=True)
class FirstFloor:
    """What was chosen, and what it cost.

    Parameters
    ----------
    chosen
        The floor, or none where there is none with every way open.
    worked
        What choosing it cost, s of a slow core.
    each
        The same for one position.
    repeatable
        Whether no clock ended it.
    """

    chosen: Chosen | None
    worked: float
    each: float
    repeatable: bool


def first_floor(
    site: Site, worth: Worth, options: SolveOptions, tell: Callable[[str], None]
) -> FirstFloor:
    """Choose a first floor; after a stop too, for then there is something to keep.

    Parameters
    ----------
    site, worth, options
        The shop, what facings are worth, and how hard to search.
    tell
        Told what is done.
    """
    tell("setting out positions")
    found, _ = positions(site, shares.FEW_POSITIONS, shares.COARSE_STEPS)
    shown = display(site, face_classes(found))
    chooser = FloorChooser(site, found, shown, worth, options, StopFlag())
    tell("placing fixtures")
    problem, answer = chooser.choose(FIRST_GAP)
    chosen = None
    if answer is not None and answer.floor is not None and not blockages(problem, answer.floor):
        chosen = Chosen(chooser, shown, problem, answer)
    each = chooser.worked / max(1, len(found))
    worked = POSITION_SECONDS * len(found) + chooser.worked
    return FirstFloor(chosen, worked, each, chooser.repeatable)
