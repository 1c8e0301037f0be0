"""How much money is kept back when a shop is asked for again."""

from __future__ import annotations

from dataclasses import dataclass

from shopfit.solver.spending import MONEY_STEP


@dataclass
class KeptBack:
    """How much money is kept back, found by halving once too much and too little are known.

    Parameters
    ----------
    much, over
        What is surely too much, and how far the first layout is over the budget.
    little, now
        What is surely too little, and what is kept back next; less than nothing where packs were
        reckoned too dear.
    plain
        Whether pieces are to be reckoned at their own price, for nothing was found otherwise.
    """

    much: float
    over: float
    little: float = 0.0
    now: float = 0.0
    plain: bool = False

    def after(self, over: float, worse: bool, growth: int) -> None:
        """Take in how far a layout is over the budget, and whether it misses more than the first.

        What costs as much in whole packs is mostly found again unless ever more is kept back.
        """
        kept = self.now
        if worse:
            # With so little money or slat-wall something is missed that need not be.
            self.much = kept if kept > 0 else self.much
            self.now += min(0.0, over)
        else:
            self.little = max(0.0, kept)
            self.now += over * (growth if over > 0 else 1)
        self._halve()

    def refused(self) -> bool:
        """Take in that nothing was found; say whether less can be kept back or be reckoned."""
        if self.now <= 0 and (self.plain or self.over <= MONEY_STEP):
            return False
        if self.now <= 0:
            self.plain, self.now = True, self.over
        else:
            self.much = self.now
        self._halve()
        return True

    def _halve(self) -> None:
        if self.now >= self.much:
            self.now = (self.little + self.much) / 2
