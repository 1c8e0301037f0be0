"""Sets that close a way, widened by all that closes it in the place of one of them."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from shopfit.solver.connect import Blockage, Customers, staff_reached
from shopfit.solver.floor import FloorProblem

# Ways walked to widen one set: enough where walks are quick, in small shops.
MOST_WALKS = 400
# Positions up to which sets are widened; with more, walks take too long.
MOST_POSITIONS = 2500


@dataclass(frozen=True)
class Widened:
    """Candidates of which only so many may stand.

    Parameters
    ----------
    members
        Numbers of the candidates.
    most
        How many of them may stand.
    """

    members: frozenset[int]
    most: int


def widened(problem: FloorProblem, closing: Blockage) -> Widened:
    """Widen a set that cannot stand together by what cuts the same off in a member's place.

    In the place of each member but the front come positions that exclude one another, so that at
    most one of them stands; whichever does, the front, or the staff, is cut off.

    Parameters
    ----------
    problem, closing
        The floor, and a set that closes a way; one that does not last stays as it is.
    """
    plain = Widened(closing, len(closing) - 1)
    known = closing.front is not None or closing.staff
    if not known or not closing.lasting or len(problem.candidates) > MOST_POSITIONS:
        return plain
    front = closing.front
    walker = _Walker(problem, front)
    places: list[list[int]] = []
    others = sorted(closing - {front})
    for k, member in enumerate(others):
        rest = [*places, *([other] for other in others[k + 1 :])]
        places.append(walker.instead(member, rest))
    members = {i for place in places for i in place} | ({front} if front is not None else set())
    return Widened(frozenset(members), plain.most)


class _Walker:
    def __init__(self, problem: FloorProblem, front: int | None) -> None:
        self._problem, self._front = problem, front
        own = [] if front is None else [front]
        self._customers = Customers(problem, own, turns=False)
        self._left = MOST_WALKS

    def instead(self, member: int, rest: Sequence[Sequence[int]]) -> list[int]:
        """Give a member and what may stand in its place, of one set that excludes one another."""
        best, known = [member], {member: True}
        for group in self._near(member):
            for i in group:
                if i not in known:
                    known[i] = self._closes(i, rest)
            found = [i for i in group if known[i]]
            best = max(best, found, key=len)
        return best

    def _near(self, member: int) -> Iterable[list[int]]:
        """Give the largest sets that a member is in, without the front."""
        own = [
            group.tolist()
            for group in self._problem.cliques
            if group[np.searchsorted(group, member) % group.size] == member
        ]
        for group in sorted(own, key=len, reverse=True)[:3]:
            yield [i for i in group if i != self._front]

    def _closes(self, index: int, rest: Sequence[Sequence[int]]) -> bool:
        """Say whether a position closes the way with whatever stands of the rest."""
        for standing in itertools.product(*rest):
            if self._left <= 0:
                return False
            self._left -= 1
            if not self._cut_off([index, *standing]):
                return False
        return True

    def _cut_off(self, kept: list[int]) -> bool:
        if self._front is None:
            return not staff_reached(self._problem, kept)
        return self._customers.cut_off(self._front, False, [*kept, self._front])
