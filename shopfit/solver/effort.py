"""Work counted, not timed: equal searches do equal work, on a busy machine too."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

# Deterministic work of CP-SAT that a slow core does in a second.
EFFORT_PER_SECOND = 0.12
# Seconds of a slow core that a position costs before any search; and how many are searched for
# each second there is, within limits.
POSITION_SECONDS = 3.5e-4
_POSITIONS_PER_SECOND = 40
_LEAST_POSITIONS = 1900
_MOST_POSITIONS = 4800
# Seconds of a slow core for what filling whole faces is made of: a step with numbers for every
# width and each of these numbers, a line or column looked at, and a linear program.
_STEP = 7.0e-6
_CELL = 7.0e-9
_LOOK = 5.2e-6
_SOLVE = 1.0e-3

# Seconds of a slow core for a step of the simplex method and for a node of a floor's program: more
# with many entries in the sets that exclude one another, since presolving and heuristics walk
# through all of them, and with more rows than small shops have.
_PIVOT = 6.0e-5
_PIVOT_PER_ENTRY = 9.0e-10
_PIVOT_PER_ROW = 3.0e-8
_FEW_ROWS = 2000
_NODE = 0.015
_NODE_PER_ENTRY = 2.5e-6
# The same where facings are whole: small programs of many quick nodes.
_WHOLE_PIVOT = 8.0e-5
_WHOLE_NODE = 1.2e-3
# Nodes of a search of floors for each second asked for, and the part of these that nodes may take.
_NODES_PER_SECOND = 4.0
_NODES_SHARE = 0.15
# What a step costs more for each entry of blocks in rows of heights, beyond those of usual shops.
_FEW_BLOCKS = 40_000
_PIVOT_PER_BLOCK = 2.0e-8
# The same for a step where positions are divisible, more with many rows.
_DIVISIBLE_PIVOT = 5.0e-5
_DIVISIBLE_PIVOT_PER_ROW = 2.0e-8
# The same where a part of a floor is placed anew, and for each way of walking over a floor.
_PART = 2.0e-3
_PART_PIVOT = 7.0e-5
_PART_NODE = 6.0e-3
_PART_PER_ENTRY = 4.0e-6
_WALK = 0.01
_WALK_PER_FIXTURE = 2.0e-4
# Where something is cut off many ways are walked to find out by what.
_MANY_WALKS = 4.0


@dataclass
class Work:
    """What filling faces at prices has cost.

    Parameters
    ----------
    steps, cells
        Steps that work out a number for every width, and the numbers.
    looks
        Lines and columns looked at one by one.
    solves
        Linear programs.
    """

    steps: int = 0
    cells: int = 0
    looks: int = 0
    solves: int = 0

    @property
    def seconds(self) -> float:
        """About how long a slow core takes for it, s."""
        return _STEP * self.steps + _CELL * self.cells + _LOOK * self.looks + _SOLVE * self.solves


class Purse:
    """Seconds of a slow core that a search may spend, as far as work can be counted.

    Parameters
    ----------
    seconds
        In all.
    """

    def __init__(self, seconds: float) -> None:
        self.left = seconds

    def spend(self, seconds: float) -> None:
        """Take off what was worked."""
        self.left -= seconds

    @contextmanager
    def lent(self, seconds: float) -> Iterator[Purse]:
        """Lend so many seconds, or what is left, and take off what of them was spent."""
        own = Purse(max(0.0, min(seconds, self.left)))
        given = own.left
        yield own
        self.spend(given - own.left)


def effort_of(seconds: float, workers: int) -> float:
    """Give the deterministic work of CP-SAT that slow cores do in so many seconds."""
    return seconds * EFFORT_PER_SECOND * workers


def seconds_of(effort: float, workers: int) -> float:
    """Give the seconds that slow cores take for deterministic work of CP-SAT."""
    return effort / (EFFORT_PER_SECOND * workers)


def most_positions(seconds: float) -> int:
    """Give how many positions are searched at most where there are so many seconds."""
    wanted = int(_POSITIONS_PER_SECOND * seconds)
    return min(_MOST_POSITIONS, max(_LEAST_POSITIONS, wanted))


def most_nodes(seconds: float, entries: int) -> int:
    """Give how many nodes a search of floors may have where so many seconds are asked for.

    Parameters
    ----------
    seconds, entries
        Seconds asked for, and members of the sets that exclude one another.
    """
    return 1 + int(min(_NODES_PER_SECOND, _NODES_SHARE / node_seconds(entries)) * seconds)


def node_seconds(entries: int) -> float:
    """Give about what a node costs where sets have so many members in all, s of a slow core."""
    return _NODE + _NODE_PER_ENTRY * entries


def program_seconds(steps: int, nodes: int, rows: int, entries: int) -> float:
    """Give about what a search of floors costs, s of a slow core.

    Parameters
    ----------
    steps, nodes
        Steps of the simplex method, and nodes.
    rows, entries
        Rows of the program, and members of the sets that exclude one another.
    """
    each = _PIVOT + _PIVOT_PER_ENTRY * entries + _PIVOT_PER_ROW * max(0, rows - _FEW_ROWS)
    return each * steps + node_seconds(entries) * nodes


def whole_facings_seconds(steps: int, nodes: int) -> float:
    """Give about what a search of floors with whole facings costs, s of a slow core."""
    return _WHOLE_PIVOT * steps + _WHOLE_NODE * nodes


def part_seconds(steps: int, nodes: int, entries: int) -> float:
    """Give about what placing a part of a floor anew costs, s of a slow core."""
    return _PART + _PART_PIVOT * steps + _PART_NODE * nodes + _PART_PER_ENTRY * entries


def walk_seconds(standing: int, blocked: bool) -> float:
    """Give about what walking all ways of a floor costs, s of a slow core."""
    return (_WALK + _WALK_PER_FIXTURE * standing) * (_MANY_WALKS if blocked else 1.0)


def divisible_seconds(steps: int, rows: int) -> float:
    """Give about what a program with divisible positions costs, s of a slow core."""
    return (_DIVISIBLE_PIVOT + _DIVISIBLE_PIVOT_PER_ROW * rows) * steps


def dense_seconds(blocks: int, steps: int) -> float:
    """Give about what a search costs more because faces can be divided in many ways.

    Parameters
    ----------
    blocks
        Entries of blocks in rows of heights.
    steps
        Steps of the simplex method.
    """
    return _PIVOT_PER_BLOCK * max(0, blocks - _FEW_BLOCKS) * steps
