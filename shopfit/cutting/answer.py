"""What a search among boards comes to."""

from __future__ import annotations

from dataclasses import dataclass

from shopfit.cutting.problem import Pattern


@dataclass(frozen=True)
class Answer:
    """What was found.

    Parameters
    ----------
    patterns
        One for each board.
    uncut
        Kinds left over, one for each piece: too large for every board, or no boards left.
    cost
        Of the boards.
    bound
        No plan of three stages costs less.
    any_cuts
        Whether the bound holds for every plan, whatever its cuts.
    """

    patterns: tuple[Pattern, ...]
    uncut: tuple[int, ...]
    cost: int
    bound: int
    any_cuts: bool

    @property
    def proved(self) -> bool:
        """Whether no plan is cheaper."""
        return self.cost <= self.bound and not self.uncut
