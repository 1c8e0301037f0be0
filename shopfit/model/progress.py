"""What a running solve tells, and how it ends."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from shopfit.model.base import Frozen
from shopfit.model.layout import Layout


@dataclass(frozen=True)
class Progress:
    """One message of a running solve.

    Parameters
    ----------
    stage
        What is being done, in words.
    seconds
        Since the start.
    facings, bound, gap
        Best so far and what is proved; none until known.
    objective
        What the brief makes largest, of the best layout so far; none until it misses no minimum.
    """

    stage: str
    seconds: float
    facings: int | None = None
    bound: float | None = None
    gap: float | None = None
    objective: float | None = None


Listener = Callable[[Progress], None]


def unheard(progress: Progress) -> None:
    """Listen to nothing."""


class Change(Frozen):
    """The least change of one wish, or of the shell, that makes a layout possible.

    Parameters
    ----------
    wish
        The wish, or what of the shell is in the way, in trade words.
    change
        What to change it to.
    facings
        Those of a layout that was found with it, all else as it is wished; none where none was
        found in the time given, so that only floor and lengths of rows are known to be enough.
    """

    wish: str
    change: str
    facings: int | None = None


class Clash(Frozen):
    """Why there is no layout.

    Parameters
    ----------
    reason
        One or two sentences in trade words, with numbers.
    wishes
        The smallest set of wishes that cannot all be met: with all others left out, leaving out any
        one of them as well helps.
    changes
        Least changes that each make a layout possible, nearest first; those of the shell last.
    proved
        Whether it is proved that there is no layout, or only none was found in the time given.
    not_alone
        Those of the wishes that it is not enough to give up alone, for others clash as well.
    smallest, tried
        Whether the set, and the changes, were looked at to the end before time ran out.
    """

    reason: str
    wishes: tuple[str, ...] = ()
    changes: tuple[Change, ...] = ()
    proved: bool = True
    not_alone: tuple[str, ...] = ()
    smallest: bool = True
    tried: bool = True


Outcome = Literal["layout", "no layout"]


class Solution(Frozen):
    """How a solve ended: with a layout, or with a clash of wishes.

    Parameters
    ----------
    outcome
        Which of the two.
    layout, clash
        The one that applies; a layout that misses minimums comes with what is known to clash.
    paid
        The same floor with goods chosen so that whole packs keep to the budget, or come nearer to
        it; none where there is no budget.
    within
        What is left of that once minimums are given up for the budget, where it was not kept.
    bound
        What no layout of the search that misses no minimum can be worth more than; told with a
        layout in its proof.
    stopped
        Whether somebody asked for a stop.
    """

    outcome: Outcome
    layout: Layout | None = None
    paid: Layout | None = None
    within: Layout | None = None
    bound: float | None = None
    clash: Clash | None = None
    stopped: bool = False
