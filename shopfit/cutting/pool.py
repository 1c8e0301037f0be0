"""Everything that was ever laid on a board, so that the best of it can be put together."""

from __future__ import annotations

from collections.abc import Iterable

from shopfit.cutting.problem import Board, Pattern, area
from shopfit.cutting.shelving import Laid, pattern_of

# Boards laid worse than the best by more than this part of their area are forgotten.
_KEPT = 12_000


class Pool:
    """Patterns found, one for each set of pieces.

    Parameters
    ----------
    boards
        What the patterns are of.
    """

    def __init__(self, boards: tuple[Board, ...]) -> None:
        self.boards = boards
        self._laid: dict[tuple[int, tuple[int, ...]], tuple[Laid, bool] | Pattern] = {}
        self._areas = [
            [area(forms) / (board.width * board.height) if forms else 0.0 for forms in board.forms]
            for board in boards
        ]

    def __len__(self) -> int:
        """Count patterns."""
        return len(self._laid)

    def fill(self, number: int, kinds: Iterable[int]) -> float:
        """Give the part of a board's area that pieces take."""
        areas = self._areas[number]
        return sum(areas[kind] for kind in kinds)

    def add_laid(self, number: int, laid: Laid, upright: bool) -> tuple[int, ...]:
        """Remember what lies on a board; gives its kinds."""
        kinds = laid.kinds()
        known = self._laid.get((number, kinds))
        if known is None:
            self._laid[number, kinds] = (laid, upright)
        elif isinstance(known, Pattern) and self._written(number, laid, upright).cuts < known.cuts:
            self._laid[number, kinds] = self._written(number, laid, upright)
        return kinds

    def get(self, number: int, kinds: tuple[int, ...]) -> Pattern:
        """Give the pattern of a board with just these pieces; raises KeyError."""
        found = self._laid[number, kinds]
        if isinstance(found, Pattern):
            return found
        pattern = self._written(number, *found)
        self._laid[number, kinds] = pattern
        return pattern

    def _written(self, number: int, laid: Laid, upright: bool) -> Pattern:
        board = self.boards[number]
        return pattern_of(number, board.transposed if upright else board, laid, upright)

    def lessen(self, number: int, kinds: tuple[int, ...], kept: tuple[int, ...]) -> tuple[int, ...]:
        """Remember a board with fewer of its pieces; gives what is kept."""
        if (number, kept) not in self._laid:
            left = list(kept)
            places = []
            for place in self.get(number, kinds).places:
                if place.kind in left:
                    left.remove(place.kind)
                    places.append(place)
            cuts = self.get(number, kinds).cuts
            self._laid[number, kept] = Pattern(number, tuple(places), cuts)
        return kept

    def fullest(self, most: int = _KEPT) -> list[tuple[int, tuple[int, ...]]]:
        """List board and kinds of what was found, the fullest boards first."""
        return sorted(self._laid, key=lambda key: (-round(self.fill(*key), 9), key))[:most]
