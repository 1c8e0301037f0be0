"""Searches once more, shortly, for a floor whose goods are chosen for whole packs at once."""

from __future__ import annotations

from shopfit.solver import shares
from shopfit.solver.choosing import FloorChooser
from shopfit.solver.floor import FloorProblem
from shopfit.solver.jointanswer import JointAnswer
from shopfit.solver.laterbounds import Floors
from shopfit.solver.range_display import Display
from shopfit.solver.search import Search


class SearchAgain(Search):
    """A search whose bound nobody asks for, and whose goods are chosen anew in any case."""

    _paid_share = shares.PAID_AGAIN_SHARE

    def _fill(
        self, problem: FloorProblem, shown: Display, answer: JointAnswer, quick: bool = False
    ) -> None:
        # There is a first layout already, so a coarse floor is filled only if no other is.
        if not quick:
            super()._fill(problem, shown, answer)

    def _careful_floor(self, chooser: FloorChooser, shown: Display) -> float:
        coarse = self._coarse
        if coarse is not None and self._costs_more_than_is_left():
            super()._fill(coarse.problem, coarse.shown, coarse.answer, quick=True)
        short = super()._careful_floor(chooser, shown)
        if coarse is not None and self._best is None:
            super()._fill(coarse.problem, coarse.shown, coarse.answer, quick=True)
        return short

    def _relax(self, chooser: FloorChooser) -> None:
        """Leave the bound: that of the first search is the one told."""

    def _prove(self, chooser: FloorChooser, shown: Display) -> None:
        """Leave the bound as well."""

    def _later_stages(self, floors: Floors) -> None:
        """Leave what comes after the first objective where goods are chosen anew for money."""
        if self._site.scenario.brief.budget is None:
            super()._later_stages(floors)
