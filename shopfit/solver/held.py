"""What a search holds: the best filled floor so far, and the one that promises most."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shopfit.solver.fill import Filler
from shopfit.solver.filling import Filling, Score
from shopfit.solver.fixing import Fixed
from shopfit.solver.floor import FloorAnswer, FloorProblem


@dataclass
class Filled:
    """A filled floor and where it came from.

    Parameters
    ----------
    problem, floor, fixed
        The positions it was chosen from, those that stand, and their faces.
    filler, filling
        What fills them, and what stands on them.
    """

    problem: FloorProblem
    floor: FloorAnswer
    fixed: Fixed
    filler: Filler
    filling: Filling

    @property
    def score(self) -> Score:
        """What it is worth."""
        return self.filler.score(self.filling)


class Held:
    """The best filled floor, and the one that bettering is to go on from.

    Attributes
    ----------
    best
        That with the fewest minimums and wishes missed, then the most worth; or none yet.
    """

    def __init__(self) -> None:
        self.best: Filled | None = None
        self._promising: Filled | None = None

    def offer(self, found: Filled) -> bool:
        """Take a filled floor in; say whether it is the best so far."""
        promising = self._promising
        if promising is None or _promise(found) > _promise(promising):
            self._promising = found
        if self.best is not None and found.score.key() <= self.best.score.key():
            return False
        self.best = found
        return True

    def shows(self, worth: float = -math.inf) -> bool:
        """Say whether the best misses no minimum, breaks no wish and is worth so much."""
        if self.best is None:
            return False
        score = self.best.score
        return score.complete and score.worth >= worth

    def outshines(self, filler: Filler, filling: Filling, part: float) -> bool:
        """Say whether another floor misses no minimum and this one shows less than a part of it.

        Parameters
        ----------
        filler, filling
            The floor at hand and what stands on it.
        part
            Of the worth of the best.
        """
        if self.best is None or self.best.filler is filler:
            return False
        known = self.best.score
        return known.short == 0 and filler.score(filling).worth < part * known.worth

    @property
    def onward(self) -> Filled | None:
        """That which is worth bettering: as long as none meets all minimums, the most promising."""
        met = self.best is None or self.best.score.short <= 0
        return self.best if met else self._promising


def _promise(found: Filled) -> float:
    return promise(found.score, sum(found.filling.facings.values()))


def promise(score: Score, facings: int) -> float:
    """Give what a filling that misses minimums may come to be worth once they are met.

    Every facing or unit missing takes the place of a facing of ordinary worth: few of them missed
    on full faces are mended more easily than faces filled for the minimums alone are filled well.

    Parameters
    ----------
    score, facings
        What it is worth, and how many facings it shows.
    """
    return score.worth * (1 - score.short / max(1, facings))
