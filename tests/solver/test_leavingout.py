"""Leaving wishes out: what is needed for a clash, and where it is given up."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.model.scenario import Scenario
from shopfit.solver.judging import HASTY_SHARE
from shopfit.solver.leavingout import LeavingOut
from shopfit.solver.wish import Wish, with_brief

from . import build as b

# The wishes that clash, numbers of an aisle's bits; and sets that are hard to tell.
Bits = frozenset[int]


class Judging:
    """Stands for who judges: the clash is impossible, some sets of wishes stay open."""

    def __init__(self, clash: set[int], hard: list[set[int]]) -> None:
        self.clash, self.hard = clash, hard
        self.asked: list[set[int]] = []
        self.shares: list[float] = []

    def possible(self, scenario: Scenario, share: float = 1.0) -> bool | None:
        """Say whether the wishes left do not hold the clash."""
        left = {n for n in range(4) if int(scenario.brief.aisle) >> n & 1}
        self.asked.append(left)
        self.shares.append(share)
        return None if left in self.hard else not self.clash <= left


def wish(n: int) -> Wish:
    def drop(given: Scenario) -> Scenario:
        return with_brief(given, aisle=float(int(given.brief.aisle) & ~(1 << n)))

    return Wish(str(n), drop, lambda _: [])


def needed(judge: Any, hasty: bool = False) -> tuple[list[str], bool]:
    leaving = LeavingOut(judge, with_brief(b.scenario(), aisle=15.0), hasty)
    kept = leaving.needed([wish(n) for n in range(4)])
    return [each.words for each in kept], leaving.smallest


@pytest.mark.parametrize("clash", [{0}, {3}, {0, 1}, {1, 2}, {0, 3}, {0, 1, 2, 3}])
@pytest.mark.parametrize("hasty", [False, True])
def test_what_is_needed_for_the_clash_is_kept(clash: set[int], hasty: bool):
    """Where every question is answered haste changes nothing."""
    assert needed(Judging(clash, []), hasty) == ([str(n) for n in sorted(clash)], True)


def test_nothing_is_kept_where_the_shell_is_impossible():
    """The empty clash holds with every wish left out."""
    assert needed(Judging(set(), [])) == ([], True)


def test_no_wishes_are_not_asked_about():
    """Where all wishes are known to be needed there is nothing to leave out."""
    judge: Any = Judging({0}, [])
    leaving = LeavingOut(judge, b.scenario())
    assert leaving.needed([]) == []
    assert judge.asked == []


def test_an_open_question_ends_it_only_in_haste():
    """Without the first two it stays open: with patience the last two are left out all the same."""
    patient, hasty = Judging({0, 1}, [{2, 3}]), Judging({0, 1}, [{2, 3}])
    assert needed(patient) == (["0", "1"], True)
    assert needed(hasty, hasty=True) == (["0", "1", "2", "3"], False)
    assert len(hasty.asked) < len(patient.asked)
    assert set(hasty.shares) == {HASTY_SHARE}
    assert set(patient.shares) == {1.0}
