"""Leaves wishes out of a clash until every one of those left is needed for it."""

from __future__ import annotations

from collections.abc import Sequence

from shopfit.model.scenario import Scenario
from shopfit.solver.judging import HASTY_SHARE, Judge
from shopfit.solver.wish import Wish, without

# Up to how many lines of a category, or secured lines, are told one by one.
FEW = 4


class LeavingOut:
    """Leaves wishes out, many at once where that goes.

    Parameters
    ----------
    judge
        Who tells what is possible.
    least
        A scenario that is impossible.
    hasty
        Whether searches are short, and nothing more is asked once a question has stayed open.

    Attributes
    ----------
    least
        The same, without what was left out so far; still impossible.
    smallest
        Whether each of the wishes kept is known to be needed; else time ran out.
    """

    def __init__(self, judge: Judge, least: Scenario, hasty: bool = False) -> None:
        self._judge, self._hasty, self._ended = judge, hasty, False
        self.least, self.smallest = least, True

    def needed(self, wishes: Sequence[Wish]) -> list[Wish]:
        """Leave out what can be, earlier ones first; gives those without which there is no clash.

        Parameters
        ----------
        wishes
            Those of the scenario that may be left out.
        """
        kept: list[Wish] = []
        verdict = self._left_out(wishes) if wishes else False
        if verdict is not False:
            self._narrow(wishes, verdict, kept, len(wishes))
        return kept

    def split(self, wish: Wish) -> list[Wish]:
        """Give the few smaller wishes that a needed wish comes down to, or the wish itself."""
        parts, before, smallest = wish.split(), self.least, self.smallest
        kept: list[Wish] = []
        if parts and self._narrow(parts, True, kept, FEW) and self.smallest:
            return kept
        self.least, self.smallest = before, smallest
        return [wish]

    def _left_out(self, wishes: Sequence[Wish]) -> bool | None:
        """Leave wishes out if the rest still clashes; gives whether the rest is possible."""
        if self._ended:
            return None
        rest = without(self.least, wishes)
        ask = self._judge.possible
        verdict = ask(rest, HASTY_SHARE) if self._hasty else ask(rest)
        if verdict is False:
            self.least = rest
        self._ended = self._hasty and verdict is None
        return verdict

    def _narrow(
        self, wishes: Sequence[Wish], verdict: bool | None, kept: list[Wish], most: int
    ) -> bool:
        """Narrow wishes down to those needed; gives whether that are no more than so many.

        Parameters
        ----------
        wishes, verdict
            Those that cannot all be left out at once, and whether the rest is possible.
        kept, most
            The needed ones so far, and how many there may be.
        """
        if len(wishes) == 1:
            kept += wishes
            self.smallest &= verdict is True
            return len(kept) <= most
        first, second = wishes[: len(wishes) // 2], wishes[len(wishes) // 2 :]
        without_first = self._left_out(first)
        if without_first is not False:
            if not self._narrow(first, without_first, kept, most):
                return False
            verdict = None
        if verdict is not True:
            verdict = self._left_out(second)
        return verdict is False or self._narrow(second, verdict, kept, most)
