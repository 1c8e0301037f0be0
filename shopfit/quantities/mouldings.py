"""Mouldings of the shell piece by piece: baseboard, crown, and trim round openings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shopfit.geometry.shell import ShellPlan, WallLine
from shopfit.geometry.wallareas import head_lengths, wall_openings
from shopfit.model.finishes import FinishItem
from shopfit.model.scenario import Scenario
from shopfit.units import format_length

MOULDINGS: tuple[FinishItem, ...] = ("baseboard", "crown", "trim")
_LEAST_MM = 1e-6


@dataclass(frozen=True)
class Stretch:
    """What one wall or opening takes of a moulding.

    Parameters
    ----------
    where
        The wall or opening.
    formula
        How its length was reckoned, in the shop's units.
    lengths
        Of its pieces, mm, in order.
    """

    where: str
    formula: str
    lengths: tuple[float, ...]


def stretches(scenario: Scenario, shell: ShellPlan, item: FinishItem) -> list[Stretch]:
    """List what a moulding is wanted for, wall by wall.

    Parameters
    ----------
    scenario, shell
        Which.
    item
        One of the mouldings.
    """
    makers = {"baseboard": _baseboard, "crown": _crown, "trim": _trim}
    return [found for wall in shell.walls for found in makers[item](scenario, wall)]


def _baseboard(scenario: Scenario, wall: WallLine) -> Iterator[Stretch]:
    doors = [
        thing
        for thing in wall_openings(scenario.shop, wall)
        if thing.kind == "door" or thing.bottom <= 0.0
    ]
    style = scenario.shop.units
    formula = f"{format_length(wall.length, style)} of wall"
    pieces, at = [], 0.0
    for door in doors:
        pieces.append(door.left - at)
        at = max(at, door.right)
    pieces.append(wall.length - at)
    pieces = [piece for piece in pieces if piece > _LEAST_MM]
    taken = wall.length - sum(pieces)
    if taken > _LEAST_MM:
        formula += f" − {format_length(taken, style)} of doors"
    yield Stretch(wall.id, formula, tuple(pieces))


def _crown(scenario: Scenario, wall: WallLine) -> Iterator[Stretch]:
    pieces = head_lengths(wall)
    words = format_length(sum(pieces), scenario.shop.units)
    yield Stretch(wall.id, f"{words} of edge", tuple(pieces))


def _trim(scenario: Scenario, wall: WallLine) -> Iterator[Stretch]:
    style = scenario.shop.units
    for thing in wall_openings(scenario.shop, wall):
        width, height = thing.right - thing.left, thing.top - thing.bottom
        door = thing.kind == "door"
        across = format_length(width, style)
        formula = f"2 × {format_length(height, style)} + {across if door else f'2 × {across}'}"
        pieces = (height, height, width) if door else (height, height, width, width)
        # Many openings are called by what they are.
        said = thing.kind in thing.id.lower()
        yield Stretch(thing.id if said else f"{thing.kind} {thing.id}", formula, pieces)
