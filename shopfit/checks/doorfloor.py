"""Checks the floor before doors: clear for whoever opens them from a wheelchair."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from shopfit.checks.between import move_off
from shopfit.checks.clauses import drawn
from shopfit.checks.notes import join, middle, published, severity_of, way_out
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene, grow
from shopfit.geometry.freefloor import polygons
from shopfit.geometry.shell import WallLine
from shopfit.model.finding import Finding
from shopfit.model.openings import Door
from shopfit.standards.doors import APPROACHES, floors_for, front_approach
from shopfit.standards.manoeuvre import Approach, Manoeuvre, is_recessed
from shopfit.units import TOLERANCE_MM


def check(scene: Scene) -> Iterator[Finding]:
    """Find what stands on the floor before doors, and rooms too small for it."""
    for door, wall in scene.doors:
        for inside in sides(door):
            yield from _space(scene, door, wall, inside)


def sides(door: Door) -> tuple[bool, ...]:
    """List the sides of a door that are floor of the shop: inside, and beyond an inner door."""
    return (True, False) if door.leads_to is not None else (True,)


def manoeuvring(scene: Scene, door: Door, wall: WallLine, inside: bool = True) -> BaseGeometry:
    """Give the floor kept clear on one side of a door, as far as its room reaches, mm.

    It is that of a front approach, unless the door says that people come along the wall.

    Parameters
    ----------
    scene, door, wall
        Which door.
    inside
        Whether on the side of its own room, or beyond it in the room that it leads to.
    """
    space = front_approach(scene.rulebook, door, inside)
    return _reachable(scene, door, wall, inside, space)


def strip(
    wall: WallLine, door: Door, before: float, after: float, depth: float, inside: bool
) -> Polygon:
    """Give the floor along a door, so far beyond its left and right jambs and so deep, mm."""
    near, far = (0.0, depth) if inside else (-door.depth - depth, -door.depth)
    return wall.rectangle(door.offset - before, door.offset + door.width + after, near, far)


def recessing(scene: Scene, door: Door, wall: WallLine, inside: bool, far: float) -> list[str]:
    """Name what makes a door recessed on one side: its own wall, fixtures, things on the wall.

    Parameters
    ----------
    scene, door, wall, inside
        As for `manoeuvring`.
    far
        How deep the floor is that is wanted anyway, mm; what stands beyond it is no recess.

    Source
    ------
    2010 ADA Standards, 404.2.4.3. Text read.
    """
    book = scene.rulebook
    recess = (door.recess or 0.0) if inside else 0.0
    names = [f"wall {wall.id}"] if is_recessed(book, recess, door.recess_beside) else []
    left, right = door.offset, door.offset + door.width
    # What touches the limit is within it, and what only touches a shape is not in that shape.
    beside = book.mm("recess-beside") + 2 * TOLERANCE_MM
    near = max(book.mm("recess-deep") - recess, 0.0)
    out = (near, far) if inside else (-door.depth - far, -door.depth - near)
    along = (left - beside, left) if door.hinge == "right" else (right, right + beside)
    latch = wall.rectangle(*along, *out)
    names += [one.name for one in scene.standing_in(latch)]
    names += [f"column {column}" for column in scene.columns_in(latch)]
    if inside:
        for thing, other in scene.obstructions:
            gap = (
                thing.offset - right if door.hinge == "left" else left - thing.offset - thing.width
            )
            if other is wall and gap >= 0 and is_recessed(book, thing.depth + recess, gap):
                names.append(f"{thing.kind} {thing.id}")
    return names


def _reachable(
    scene: Scene, door: Door, wall: WallLine, inside: bool, space: Manoeuvre
) -> BaseGeometry:
    room = scene.shell.rooms.get(wall.room if inside else door.leads_to or "")
    if room is None:
        return Polygon()
    threshold = strip(wall, door, 0.0, 0.0, 1.0, inside)
    # A space that a corner of the room cuts in two is only what can be reached from the door.
    whole = _whole(door, wall, inside, space)
    parts = [p for p in polygons(whole.intersection(room)) if p.intersects(threshold)]
    return parts[0] if parts else Polygon()


def _whole(door: Door, wall: WallLine, inside: bool, space: Manoeuvre) -> Polygon:
    beside = (space.hinge_side_mm, space.latch_side_mm)
    before, after = beside if door.hinge == "left" else beside[::-1]
    return strip(wall, door, before, after, space.depth_mm, inside)


def _choices(scene: Scene, door: Door, inside: bool, forced: bool) -> tuple[Manoeuvre, ...]:
    stated = door.approach if inside else door.approach_beyond
    if forced:
        return floors_for(scene.rulebook, door, inside, "front")
    ways: tuple[Approach, ...] = APPROACHES if stated == "any" else (stated,)
    return tuple(
        one for approach in ways for one in floors_for(scene.rulebook, door, inside, approach)
    )


def _is_clear(scene: Scene, door: Door, wall: WallLine, inside: bool, space: Manoeuvre) -> bool:
    shape = _reachable(scene, door, wall, inside, space)
    if _short(door, wall, inside, space, shape):
        return False
    return not scene.standing_in(shape) and not scene.columns_in(shape)


def _short(door: Door, wall: WallLine, inside: bool, space: Manoeuvre, shape: BaseGeometry) -> bool:
    return not grow(shape, TOLERANCE_MM).covers(_whole(door, wall, inside, space))


def _space(scene: Scene, door: Door, wall: WallLine, inside: bool) -> Iterator[Finding]:
    stated = door.approach if inside else door.approach_beyond
    far = min(space.depth_mm for space in _choices(scene, door, inside, False))
    recessed = recessing(scene, door, wall, inside, far) if stated != "front" else []
    yield from _own_recess(scene, door, wall, inside)
    choices = _choices(scene, door, inside, bool(recessed))
    if any(_is_clear(scene, door, wall, inside, space) for space in choices):
        return
    other = _other_way(scene, door, wall, inside)
    if recessed:
        other = (
            f" {join(recessed)} stands beside the latch, so the floor for coming straight to it "
            "counts."
        )
    space = choices[0]
    shape = _reachable(scene, door, wall, inside, space)
    if _short(door, wall, inside, space, shape):
        yield _short_of_room(scene, door, wall, inside, space, shape, other)
    yield from _standing(scene, door, wall, inside, space, shape, other)


def _other_way(scene: Scene, door: Door, wall: WallLine, inside: bool) -> str:
    """Say from which side people could come along the wall, where that floor is clear."""
    field = "approach" if inside else "approach_beyond"
    if getattr(door, field) != "front":
        return ""
    for approach in APPROACHES[1:]:
        floors = floors_for(scene.rulebook, door, inside, approach)
        clear = [space for space in floors if _is_clear(scene, door, wall, inside, space)]
        if any(not recessing(scene, door, wall, inside, space.depth_mm) for space in clear):
            return (
                f" The floor for coming along the wall from the {approach} side is clear: where "
                f"everybody comes that way, say {field}: {approach}."
            )
    return ""


def _standing(
    scene: Scene,
    door: Door,
    wall: WallLine,
    inside: bool,
    space: Manoeuvre,
    shape: BaseGeometry,
    other: str,
) -> Iterator[Finding]:
    requirement = scene.rulebook.requirement(space.depth_key)
    for one in scene.standing_in(shape):
        distance = way_out(one.shape, shape)
        yield say(
            "door-space",
            severity_of([not one.fixture.fixed]),
            f"{one.name} and door {door.id}",
            f"{one.name} stands {scene.words.fine(distance)} inside the floor kept clear "
            f"before door {door.id}, {scene.words.say(requirement.value)} deep.",
            f"{move_off(scene, one, shape)}.{other}",
            published(requirement),
            required=requirement.value,
            measured=_depth_left(wall, door, inside, shape.intersection(one.shape)),
            at_mm=middle(shape.intersection(one.shape)),
            drawn_mm=drawn(shape, shape.intersection(one.shape)),
        )
    for column in scene.columns_in(shape):
        blocked = shape.intersection(scene.shell.columns[column])
        yield say(
            "door-space",
            "violation",
            f"door {door.id}",
            f"Column {column} stands in the floor kept clear before door {door.id}.",
            f"Ask a licensed designer about another door or an automatic one.{other}",
            published(requirement),
            required=requirement.value,
            measured=_depth_left(wall, door, inside, blocked),
            at_mm=_at(door, wall),
            wall=wall.id,
            drawn_mm=drawn(shape, blocked),
        )


def _depth_left(wall: WallLine, door: Door, inside: bool, blocked: BaseGeometry) -> float:
    outs = [_out(wall, x, y) for p in polygons(blocked) for x, y in p.exterior.coords]
    if not inside:
        outs = [-door.depth - out for out in outs]
    return max(min(outs, default=0.0), 0.0)


def _out(wall: WallLine, x: float, y: float) -> float:
    vx, vy = wall.inward
    return (x - wall.start[0]) * vx + (y - wall.start[1]) * vy


def _at(door: Door, wall: WallLine) -> tuple[float, float]:
    x, y = wall.point(door.offset + door.width / 2)
    return round(x, 1), round(y, 1)


def _short_of_room(
    scene: Scene,
    door: Door,
    wall: WallLine,
    inside: bool,
    space: Manoeuvre,
    shape: BaseGeometry,
    other: str,
) -> Finding:
    whole = _whole(door, wall, inside, space)
    requirement = scene.rulebook.requirement(space.depth_key)
    lacking = whole.area - shape.area
    side = "inside" if inside else f"in {door.leads_to}"
    beside = f"{scene.words.say(max(space.latch_side_mm, space.hinge_side_mm))} beyond the "
    beside += "hinges" if space.hinge_side_mm > space.latch_side_mm else "latch"
    return say(
        "door-space-shell",
        "advice",
        f"door {door.id}",
        f"The walls leave less floor before door {door.id} ({side}) than a wheelchair user wants: "
        f"{lacking / whole.area:.0%} of a space {scene.words.say(requirement.value)} deep and "
        f"{beside} is missing.",
        "No layout can mend this: ask a licensed designer about moving the door, its hinges, or "
        f"an automatic opener.{other}",
        published(requirement),
        required=requirement.value,
        measured=requirement.value * shape.area / whole.area,
        at_mm=_at(door, wall),
        wall=wall.id,
        drawn_mm=drawn(whole),
    )


def _own_recess(scene: Scene, door: Door, wall: WallLine, inside: bool) -> Iterator[Finding]:
    """Find a recess whose side is nearer to the latch than the floor of a front approach goes."""
    if not inside or not is_recessed(scene.rulebook, door.recess or 0.0, door.recess_beside):
        return
    space = floors_for(scene.rulebook, door, inside, "front")[0]
    lacking = space.latch_side_mm - door.recess_beside
    if lacking <= TOLERANCE_MM:
        return
    deep = scene.rulebook.requirement("recess-deep")
    yield say(
        "door-recess",
        "advice",
        f"door {door.id}",
        f"Door {door.id} lies {scene.words.say(door.recess or 0.0)} back in wall {wall.id}, more "
        f"than {scene.words.say(deep.value)}, and the wall beside its latch begins after "
        f"{scene.words.say(door.recess_beside)}; {scene.words.say(space.latch_side_mm)} of floor "
        "are wanted there.",
        f"Widen the recess by {scene.words.enough(lacking)} at the latch, or hang the door nearer "
        "to the face of the wall.",
        published(deep),
        required=space.latch_side_mm,
        measured=door.recess_beside,
        margin=-lacking,
        at_mm=_at(door, wall),
        wall=wall.id,
    )
