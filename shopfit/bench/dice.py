"""Draws numbers that are the same for the same seed in every version of Python."""

from __future__ import annotations

import random
from collections.abc import Sequence
from typing import TypeVar

from shopfit.bench.sizes import Span

T = TypeVar("T")


class Dice:
    """A seeded source of numbers; only ``random()`` is asked, which never changes.

    Parameters
    ----------
    seed
        Any text.
    """

    def __init__(self, seed: str) -> None:
        self._source = random.Random(seed)

    def part(self) -> float:
        """Draw from 0 to 1."""
        return self._source.random()

    def between(self, span: Span, step: float = 0.0) -> float:
        """Draw from a span, both ends included; with a step, on multiples of it from the low end.

        Parameters
        ----------
        span, step
            In any one unit.
        """
        low, high = span
        if step <= 0:
            return low + (high - low) * self.part()
        return low + step * self.whole(0, int((high - low) / step + 1e-9))

    def whole(self, low: int, high: int) -> int:
        """Draw a whole number, both ends included."""
        return low + min(int(self.part() * (high - low + 1)), high - low)

    def pick(self, items: Sequence[T]) -> T:
        """Draw one of some things."""
        return items[self.whole(0, len(items) - 1)]

    def happens(self, chance: float) -> bool:
        """Say yes so often."""
        return self.part() < chance

    def shuffled(self, items: Sequence[T]) -> list[T]:
        """Give things in an order drawn."""
        keys = [self.part() for _ in items]
        return [items[k] for k in sorted(range(len(items)), key=keys.__getitem__)]


def inches(length: float) -> str:
    """Write inches as the models read them."""
    return f"{length:.6f} in"


def pounds(mass: float) -> str:
    """Write pounds as the models read them."""
    return f"{mass:.6f} lb"
