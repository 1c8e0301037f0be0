"""Where landings, runs and steps of the way in lie, by what is told of which way each leaves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from shapely import Polygon, box

from shopfit.geometry.shell import WallLine
from shopfit.model.approach import Approach, Landing, Leaves, Ramp, Steps
from shopfit.model.openings import Door
from shopfit.model.rampplan import PartKind

Rect = tuple[float, float, float, float]
Place = tuple[float, float]
OUT: Place = (0.0, 1.0)


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
        Which of the ramps it is, or that it is the landing below; none for what leads to the first.
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


class Platform(NamedTuple):
    """A landing as one comes onto it.

    Parameters
    ----------
    left, way
        Left end of the side one comes over, and the way one comes.
    deep, wide
        Its size along that way and across, mm.
    reach, coming
        How far it reaches to the left of what comes to it, and how wide that is, mm.
    """

    left: Place
    way: Place
    deep: float
    wide: float
    reach: float
    coming: float

    @property
    def rect(self) -> Rect:
        """Its ground."""
        return _rect(self.left, self.way, self.deep, self.wide)

    def room(self, leaves: Leaves) -> float:
        """Give how much of a side there is for what leaves over it, mm."""
        return {
            "ahead": self.wide,
            "left": self.deep,
            "right": self.deep,
            "back left": self.reach,
            "back right": self.wide - self.reach - self.coming,
        }[leaves]

    def leave(self, leaves: Leaves, set_off: float | None, width: float) -> tuple[Place, Place]:
        """Give the left end of the upper edge of what leaves it, as one walks down, and the way."""
        if leaves == "ahead":
            in_line = self.reach + (self.coming - width) / 2
            return self._at(self.deep, in_line if set_off is None else set_off), self.way
        off = self.room(leaves) - width if set_off is None else set_off
        if leaves == "left":
            return self._at(off, 0.0), to_left(self.way)
        if leaves == "right":
            return self._at(off + width, self.wide), _reversed(to_left(self.way))
        if leaves == "back left":
            return self._at(0.0, self.reach - off), _reversed(self.way)
        return self._at(0.0, self.reach + self.coming + off + width), _reversed(self.way)

    def _at(self, along: float, across: float) -> Place:
        """Give a place by how far it is along the way one comes, and to the right of the left."""
        right = _reversed(to_left(self.way))
        return _moved(_moved(self.left, self.way, along), right, across)

    def told(self, rect: Rect, way: Place) -> tuple[Leaves, float]:
        """Give how to tell of what leaves it: which way, and how far it is set off, mm."""
        along, across = self._span(rect, self.way), self._span(rect, _reversed(to_left(self.way)))
        if way == self.way:
            return "ahead", across[0]
        if way == to_left(self.way):
            return "left", along[0]
        if way == _reversed(to_left(self.way)):
            return "right", along[0]
        if across[0] + across[1] < 2 * self.reach + self.coming:
            return "back left", self.reach - across[1]
        return "back right", across[0] - self.reach - self.coming

    def _span(self, rect: Rect, way: Place) -> tuple[float, float]:
        near, far = _span(rect, way)
        base = self.left[0] * way[0] + self.left[1] * way[1]
        return near - base, far - base


def to_left(way: Place) -> Place:
    """Give the way to the left of a way, in the frame of the door; that mirrors the plan."""
    return (way[1], _turned(way[0]))


def _reversed(way: Place) -> Place:
    return (_turned(way[0]), _turned(way[1]))


def _turned(part: float) -> float:
    return -part if part else 0.0


def _moved(place: Place, way: Place, far: float) -> Place:
    return (place[0] + way[0] * far, place[1] + way[1] * far)


def _rect(left: Place, way: Place, length: float, width: float) -> Rect:
    far = _moved(_moved(left, way, length), _reversed(to_left(way)), width)
    (u0, u1), (v0, v1) = sorted((left[0], far[0])), sorted((left[1], far[1]))
    return (u0, u1, v0, v1)


def _span(rect: Rect, way: Place) -> tuple[float, float]:
    u0, u1, v0, v1 = rect
    ends = sorted(u * way[0] + v * way[1] for u, v in ((u0, v0), (u1, v1)))
    return ends[0], ends[1]


def turns_told(approach: Approach) -> bool:
    """Say whether it is told which way each run leaves the landing below the one before."""
    return all(ramp.leaves is not None for ramp in approach.ramps[1:])


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
    start = _moved(_moved(left, way, ramp.run), to_left(way), reach)
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
        yield Laid(ramp.id, "run", _rect(left, way, ramp.run, ramp.width), way, height, low, index)
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
    elif steps.leaves is None and (approach.ramps[0].leaves or "ahead") == "ahead":
        # Left of the ramp as one faces the door, which is its right seen from inside.
        widest = max(ramp.width for ramp in approach.ramps)
        left, way = (-widest / 2, head.deep), OUT
    else:
        left, way = head.leave(steps.leaves or "ahead", steps.set_off, steps.width)
    top = approach.floor_above_grade
    rect = _rect(left, way, length, steps.width)
    return Laid("steps", "steps", rect, way, top, top - sum(risers(steps)))


def risers(steps: Steps) -> tuple[float, ...]:
    """Give the heights of the steps from the top down, mm; alike where not measured one by one."""
    return steps.risers if len(steps.risers) == steps.count else (steps.riser,) * steps.count


def treads(steps: Steps) -> tuple[float, ...]:
    """Give the goings between the risers from the top down, mm: one less than there are risers."""
    between = steps.count - 1
    return steps.treads[:between] if len(steps.treads) >= between else (steps.tread,) * between


class Telling(NamedTuple):
    """How to tell of a run or of steps, so that they are laid where they lie.

    Parameters
    ----------
    leaves, set_off
        Which way it leaves its landing, and how far it is set off, mm.
    top, bottom
        How far the landings above and below reach to the left, mm; none below steps.
    """

    leaves: Leaves
    set_off: float
    top: float
    bottom: float | None = None


def telling(parts: Sequence[tuple[PartKind, Rect, Place]], door_width: float) -> list[Telling]:
    """Give how to tell of every run in order, and of the steps at the end.

    Parameters
    ----------
    parts
        From the landing at the door down: what each is, its ground in the frame of the door, and
        the way down over it. Steps come last.
    door_width
        Of the door, mm.
    """
    told: list[Telling] = []
    opening = (-door_width / 2, door_width / 2, 0.0, 0.0)
    head = landing = _platform(parts[0][1], OUT, opening)
    for number, (kind, rect, way) in enumerate(parts):
        if kind == "run":
            below_it = _platform(parts[number + 1][1], way, rect)
            told.append(Telling(*landing.told(rect, way), landing.reach, below_it.reach))
            landing = below_it
        elif kind == "steps":
            told.append(Telling(*head.told(rect, way), head.reach))
    return told


def _platform(rect: Rect, way: Place, comes: Rect) -> Platform:
    """Give a landing as one comes onto it from something, along a way."""
    right = _reversed(to_left(way))
    (near, far), (first, last) = _span(rect, way), _span(rect, right)
    start, end = _span(comes, right)
    left = _moved(_moved((0.0, 0.0), way, near), right, first)
    return Platform(left, way, far - near, last - first, start - first, end - start)


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
