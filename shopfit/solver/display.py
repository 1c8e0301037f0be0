"""How each line can be shown on each kind of face: holder, levels taken, units and cost."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from shopfit.model.fixtures import Bracket, ShelfBoard
from shopfit.model.range import Line, Way
from shopfit.model.scenario import Scenario

_EPS = 1e-6
# A way of display and the bracket or shelf board.
Holding = tuple[Way, str | None]


@dataclass(frozen=True, order=True)
class FaceClass:
    """A kind of face: two faces of one class differ only in width and place.

    Parameters
    ----------
    kind
        ``slat``, ``shelf``, ``case`` or ``table``.
    levels, pitch, bottom
        Number of level steps, their size and the height of the lowest, mm.
    depth
        Usable depth, mm.
    load
        Most that a level carries, kg per metre.
    board
        Thickness of its own shelves, mm.
    far
        Whether it lies too far from the entrance for new goods.
    """

    kind: str
    levels: int
    pitch: float
    bottom: float
    depth: float
    load: float
    board: float
    far: bool = False


@dataclass(frozen=True)
class Showing:
    """How a line is shown on a class of face.

    Parameters
    ----------
    way, holder
        Way of display, and the bracket or shelf board; none on a fixture's own shelf.
    levels
        Level steps that a row for it needs.
    units
        Units a facing holds.
    brackets
        Brackets a facing needs.
    cost
        Money a facing costs at least, whole packs and boards not counted.
    """

    way: Way
    holder: str | None
    levels: int
    units: int
    brackets: int
    cost: float


@lru_cache(maxsize=200_000)
def _steps(height: float, pitch: float) -> int:
    return max(1, math.ceil(height / pitch - _EPS))


def showing(
    scenario: Scenario, line: Line, face: FaceClass, today: Holding | None = None
) -> Showing | None:
    """Choose how a line is shown on a class of face.

    Of all holders that carry it, the one is taken that can hold the wanted units with the facings
    allowed, then the one that holds it today, then that takes the fewest levels, then the
    cheapest, then the shallowest.

    Parameters
    ----------
    scenario, line, face
        What is shown where.
    today
        Way of display and holder that it has today, or none.

    Returns
    -------
    The showing, or none where the line cannot stand or hang there.
    """
    if (line.secured and face.kind != "case") or (line.new and face.far):
        return None
    per_facing = math.ceil(line.holding / line.max_facings) if line.max_facings else 0
    options = [
        (
            min(option.units, per_facing) * -1,
            (option.way, option.holder) != today,
            option.levels,
            option.cost,
            depth,
            option.holder or "",
            option,
        )
        for option, depth in _options(scenario, line, face)
        if option.levels <= face.levels and option.units >= 1
    ]
    return min(options, key=lambda entry: entry[:6])[6] if options else None


def _options(scenario: Scenario, line: Line, face: FaceClass) -> Iterator[tuple[Showing, float]]:
    gap = scenario.brief.finger_gap
    if face.kind == "slat":
        for bracket in scenario.catalogue.brackets:
            if bracket.kind in line.ways and bracket.depth <= face.depth + _EPS:
                yield _on_bracket(line, bracket, face, gap), bracket.depth
        if "shelf" in line.ways:
            for board in scenario.catalogue.shelves:
                if board.depth <= face.depth + _EPS:
                    yield _on_board(line, board, face, gap), board.depth
        return
    way: Way = face.kind  # type: ignore[assignment]
    if way in line.ways:
        units = _carried(line, int(face.depth / line.depth + _EPS), face.load)
        levels = _steps(face.board + line.height + gap, face.pitch)
        yield Showing(way, None, levels, units, 0, 0.0), face.depth


def _on_bracket(line: Line, bracket: Bracket, face: FaceClass, gap: float) -> Showing:
    units = int(bracket.depth / line.depth + _EPS)
    if bracket.units is not None:
        units = min(units, bracket.units)
    if line.weight > 0:
        units = min(units, int(bracket.load * bracket.per_facing / line.weight + _EPS))
    units = _carried(line, units, face.load)
    if bracket.kind == "cradle":
        levels = _steps(bracket.rise + line.height + gap, face.pitch)
    else:
        levels = _steps(bracket.rise + line.height, face.pitch) + 1
    cost = bracket.per_facing * bracket.price / bracket.pack
    return Showing(bracket.kind, bracket.id, levels, units, bracket.per_facing, cost)


def _on_board(line: Line, board: ShelfBoard, face: FaceClass, gap: float) -> Showing:
    load = min(face.load, board.load / (board.length / 1000))
    units = _carried(line, int(board.depth / line.depth + _EPS), load)
    levels = _steps(board.thickness + line.height + gap, face.pitch)
    return Showing("shelf", board.id, levels, units, 0, board.cost_of(line.width))


def _carried(line: Line, units: int, load: float) -> int:
    # Every facing's goods stay within the load of the length it takes up, so any mix of lines does.
    if line.weight <= 0:
        return units
    return min(units, int(load * line.width / 1000 / line.weight + _EPS))
