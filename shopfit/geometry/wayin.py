"""Where landings, runs and steps of the way in lie, by what is told of which way each leaves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shapely import Polygon, box

from shopfit.geometry.doorframe import Place, Rect
from shopfit.geometry.landing import OUT, Platform, moved, rectangle, to_left
from shopfit.geometry.shell import WallLine
from shopfit.model.approach import Approach, Landing, Ramp, Steps
from shopfit.model.openings import Door
from shopfit.model.rampplan import PartKind


@dataclass(frozen=True)
class Laid:
    """A landing, a run or the steps, in the frame of the door.

    Parameters
    ----------
    name, kind
        Its name, and what it is.
    rect
        Its ends along the wall, to the right as one faces the door from outside, and out of it, mm.
    way
        The way down over it in that frame, of length 1.
    top, bottom
        Heights of its ends above the ground at the foot, mm.
    ramp
        Which of the ramps it is, or lies below; none for the landing at the door and for steps.
    """

    name: str
    kind: PartKind
    rect: Rect
    way: Place
    top: float
    bottom: float
    ramp: int | None = None

    @property
    def shape(self) -> Polygon:
        """Its ground in the frame of the door, mm."""
        u0, u1, v0, v1 = self.rect
        return box(u0, v0, u1, v1)

    @property
    def length(self) -> float:
        """Along the way down, mm."""
        u0, u1, v0, v1 = self.rect
        return v1 - v0 if self.way[0] == 0 else u1 - u0

    @property
    def width(self) -> float:
        """Across the way down, mm."""
        u0, u1, v0, v1 = self.rect
        return u1 - u0 if self.way[0] == 0 else v1 - v0

    @property
    def ends(self) -> tuple[Place, Place]:
        """The middles of its upper and its lower end, mm."""
        u0, u1, v0, v1 = self.rect
        u, v, half = (u0 + u1) / 2, (v0 + v1) / 2, self.length / 2
        du, dv = self.way
        return (u - du * half, v - dv * half), (u + du * half, v + dv * half)


def turns_told(approach: Approach) -> bool:
    """Say whether it is told which way each run leaves the landing below the one before."""
    return all(ramp.leaves is not None for ramp in approach.ramps[1:])


def places_told(approach: Approach) -> bool:
    """Say whether anything is told of where landings, runs or steps lie."""
    told: list[object] = []
    for ramp in approach.ramps:
        told += [ramp.leaves, ramp.set_off, ramp.top.left, ramp.bottom.left]
    if approach.steps is not None:
        told += [approach.steps.leaves, approach.steps.set_off, approach.steps.level]
    return any(each is not None for each in told)


def landing_at_door(approach: Approach) -> tuple[float, float] | None:
    """Give how far the landing at the door reaches along the wall and out of it, mm, or none."""
    if not approach.ramps:
        return None
    first = approach.ramps[0]
    along_wall = first.leaves in ("left", "right")
    size = (first.top.length, first.top.width)
    return size if along_wall else (size[1], size[0])


def head_of(approach: Approach, door_width: float) -> Platform | None:
    """Give the landing at the door as one comes out of it, or none without ramps."""
    size = landing_at_door(approach)
    if size is None:
        return None
    wide, deep = size
    told = approach.ramps[0].top.left
    reach = (wide - door_width) / 2 if told is None else told
    return Platform((door_width / 2 + reach, 0.0), OUT, deep, wide, reach, door_width)


def below(approach: Approach, index: int) -> tuple[float, float, float | None]:
    """Give length and width of the landing below a ramp, and its reach to the left if told, mm.

    A landing between two runs is told of twice; the larger counts.
    """
    both: list[Landing] = [approach.ramps[index].bottom]
    both += [ramp.top for ramp in approach.ramps[index + 1 : index + 2]]
    left = next((landing.left for landing in both if landing.left is not None), None)
    return max(landing.length for landing in both), max(landing.width for landing in both), left


def stations(approach: Approach, door_width: float) -> Iterator[tuple[Platform, Place, Place]]:
    """Follow the ramps from the door down.

    Yields
    ------
    For each the landing that it leaves, the left end of its upper edge, and the way down over it.
    """
    landing = head_of(approach, door_width)
    for index, ramp in enumerate(approach.ramps):
        assert landing is not None
        left, way = landing.leave(ramp.leaves or "ahead", ramp.set_off, ramp.width)
        yield landing, left, way
        landing = foot_of(approach, index, left, way)


def foot_of(approach: Approach, index: int, left: Place, way: Place) -> Platform:
    """Give the landing below a ramp as one comes down to it.

    Parameters
    ----------
    approach, index
        Which ramp.
    left, way
        Left end of the upper edge of that ramp, and the way down over it.
    """
    ramp = approach.ramps[index]
    length, width, told = below(approach, index)
    reach = told
    if reach is None:
        following = approach.ramps[index + 1 : index + 2]
        turn = (following[0].leaves if following else None) or "ahead"
        beyond = width - ramp.width
        share = 0.5 if turn == "ahead" or beyond < 0 else 1.0 if turn.endswith("left") else 0.0
        reach = beyond * share
    start = moved(moved(left, way, ramp.run), to_left(way), reach)
    return Platform(start, way, length, width, reach, ramp.width)


def lay(approach: Approach, door_width: float = 0.0) -> tuple[Laid, ...]:
    """Lay out landings and runs from the door down, and then the steps.

    Parameters
    ----------
    approach
        What is told; where nothing is, all lies in one line out from the door.
    door_width
        Of the door it serves, mm.
    """
    ramps = tuple(_down(approach, door_width))
    steps = approach.steps
    return ramps if steps is None else (*ramps, _flight(approach, steps, door_width))


def _down(approach: Approach, door_width: float) -> Iterator[Laid]:
    height = approach.floor_above_grade
    for index, (landing, left, way) in enumerate(stations(approach, door_width)):
        ramp = approach.ramps[index]
        if index == 0:
            yield Laid("landing at the top", "head", landing.rect, way, height, height)
        low = height - ramp.rise
        yield Laid(
            ramp.id, "run", rectangle(left, way, ramp.run, ramp.width), way, height, low, index
        )
        foot, height = foot_of(approach, index, left, way), low
        kind = _kind(approach.ramps[index + 1 : index + 2])
        yield Laid(f"landing below {ramp.id}", kind, foot.rect, way, low, low, index)


def _kind(following: Sequence[Ramp]) -> PartKind:
    if not following:
        return "foot"
    return "between" if (following[0].leaves or "ahead") == "ahead" else "turn"


def _flight(approach: Approach, steps: Steps, door_width: float) -> Laid:
    """Lay steps before the door or off the landing there; beside a ramp straight out if untold."""
    level = steps.level or 0.0
    length = level + sum(treads(steps)) or steps.tread
    head = head_of(approach, door_width)
    if head is None:
        left, way = (steps.width / 2, 0.0), OUT
    elif _beside_the_ramp(approach, steps):
        # Left of the ramp as one faces the door, which is its right seen from inside.
        widest = max(ramp.width for ramp in approach.ramps)
        left, way = (-widest / 2, head.deep), OUT
    else:
        left, way = head.leave(steps.leaves or "ahead", steps.set_off, steps.width)
    top = approach.floor_above_grade
    rect = rectangle(left, way, length, steps.width)
    return Laid("steps", "steps", rect, way, top, top - sum(risers(steps)))


def _beside_the_ramp(approach: Approach, steps: Steps) -> bool:
    """Say whether steps lie beside the ramp: nothing is told of them, and it goes straight out."""
    untold = steps.leaves is None and steps.set_off is None
    return untold and approach.ramps[0].leaves in (None, "ahead")


def risers(steps: Steps) -> tuple[float, ...]:
    """Give the heights of the steps from the top down, mm; alike where not measured one by one."""
    return steps.risers if len(steps.risers) == steps.count else (steps.riser,) * steps.count


def treads(steps: Steps) -> tuple[float, ...]:
    """Give the goings between the risers from the top down, mm: one less than there are risers."""
    between = steps.count - 1
    return steps.treads[:between] if len(steps.treads) >= between else (steps.tread,) * between


@dataclass(frozen=True)
class WayInPlan:
    """Places of the frame of a door on the plan.

    Parameters
    ----------
    wall, door
        The door, and its wall.
    """

    wall: WallLine
    door: Door

    def place(self, place: Place) -> Place:
        """Give a place on the plan, mm."""
        along, out = place
        middle = self.door.offset + self.door.width / 2
        return self.wall.point(middle - along, -self.door.depth - out)

    def shape(self, rect: Rect) -> Polygon:
        """Give a rectangle on the plan, mm."""
        u0, u1, v0, v1 = rect
        return Polygon([self.place(each) for each in ((u1, v0), (u0, v0), (u0, v1), (u1, v1))])
