"""What comes after the first objective: the second one, then cost, in whole packs at last."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from shopfit.solver.bettering import Betterer
from shopfit.solver.effort import Purse
from shopfit.solver.held import Filled, Held
from shopfit.solver.laterbounds import Floors, LaterBounds
from shopfit.solver.paying import Payer
from shopfit.solver.spending import laid_out, least_cost
from shopfit.solver.thrift import Thrift

# Parts of the seconds asked for: kept back for the end, half of it for bounds; more for bounds
# where the first objective has left some over; the most that cheaper floors are looked for; and
# the most for whole packs saved at last, which mostly ends much earlier.
LAST_SHARE = 0.08
_MORE_SHARE = 0.1
_THRIFT_SHARE = 0.3
_SAVING_SHARE = 0.1


@dataclass
class LaterStages:
    """The end of a search.

    Parameters
    ----------
    betterer
        What has filled floors so far; it knows how hard to search, and the stop flag.
    held
        The best filled floor.
    payer
        Knows what whole sheets and packs cost; none where they are not counted.
    tell
        Told what is done.

    Attributes
    ----------
    repeatable
        Whether no clock has ended a search so far.
    """

    betterer: Betterer
    held: Held
    payer: Payer | None
    tell: Callable[[str], None]
    repeatable: bool = True

    def finished(self, floors: Floors, purse: Purse) -> LaterBounds:
        """Finish the best layout and bound what comes after its first objective.

        Parameters
        ----------
        floors
            All floors on the grid.
        purse
            Seconds of a slow core that the first objective has left over.
        """
        own = Purse(self._part(LAST_SHARE))
        best, bounds = self.held.best, LaterBounds()
        assert best is not None
        if best.score.complete:
            bounds = self._bounds(best, floors, own, purse)
            best = self.held.best = self._cheaper(best, bounds, floors, purse)
        self.tell("value, then cost")
        own.left += max(0.0, min(purse.left, self._part(LAST_SHARE) - own.left))
        best.filling = self.betterer.later_stages(best.filler, best.filling, own)
        if self.payer is not None:
            self.held.best = self.payer.saved(best, Purse(self._part(_SAVING_SHARE)))
        return bounds

    def _bounds(self, best: Filled, floors: Floors, own: Purse, purse: Purse) -> LaterBounds:
        """Bound the later stages with half of what is kept back, and some of what is left over."""
        self.tell("bounding value and cost")
        half = own.left / 2
        both = Purse(half + max(0.0, min(purse.left, self._part(_MORE_SHARE))))
        given = both.left
        bounds = floors.bounds(best.score, self.betterer.options, self.betterer.stop, both)
        spent = given - both.left
        own.spend(min(half, spent))
        purse.spend(max(0.0, spent - half))
        return bounds

    def _cheaper(self, best: Filled, bounds: LaterBounds, floors: Floors, purse: Purse) -> Filled:
        """Look for floors that show as much for less money."""
        self.tell("placing fixtures for less money")
        thrift = Thrift(self.betterer, floors.worth, self.cost_of)
        with purse.lent(self._part(_THRIFT_SHARE)) as own:
            found = thrift.search(best, bounds.cost or 0.0, own)
        self.repeatable &= thrift.repeatable
        return found

    def cost_of(self, found: Filled) -> float:
        """Give what a filled floor costs."""
        return least_cost(found) if self.payer is None else self.payer.cost(laid_out(found))

    def _part(self, share: float) -> float:
        return share * self.betterer.options.seconds
