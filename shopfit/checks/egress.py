"""Checks the ways out: people, number, width and places of exits, and how far it is to one.

Model code, as adopted locally, mostly from memory: every finding sends people to the building
department.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations

import shapely
from shapely.ops import unary_union

from shopfit.checks import ways
from shopfit.checks.clauses import drawn
from shopfit.checks.crowd import Crowd
from shopfit.checks.doorfloor import manoeuvring
from shopfit.checks.notes import SHELL, less, middle, published, severity_of
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene
from shopfit.geometry.freefloor import reached
from shopfit.geometry.tautways import Way
from shopfit.geometry.traveldistance import Opening
from shopfit.model.finding import Finding
from shopfit.model.openings import Door
from shopfit.standards import Requirement, egress
from shopfit.standards.doors import clear_opening
from shopfit.standards.rulebook import Outcome
from shopfit.units import FOOT_MM

ASK = "Ask the building department or a licensed designer before anything is built."
# Floor on which somebody could be shut in, mm2.
_SHUT_IN_MM2 = 0.25e6


def check(scene: Scene) -> Iterator[Finding]:
    """Find too few, too narrow, too near and too far exits for the people in the shop."""
    crowd = Crowd(scene)
    if not crowd.exits:
        yield _no_exit(scene)
        return
    yield from _number(crowd)
    yield from _travel(crowd)
    yield from _apart(crowd)
    yield from _width(crowd)
    yield from _doors(crowd)
    yield from _aisles(crowd)
    yield from _shut_in(crowd)
    yield _not_checked(crowd)


def _no_exit(scene: Scene) -> Finding:
    return say(
        "egress-not-checked",
        "not checked",
        "ways out",
        "Ways out were not checked: the shop has no entrance and no exit.",
        "Add a door with use: entrance or use: exit in shop.yaml. " + ASK,
        SHELL,
    )


def _number(crowd: Crowd) -> Iterator[Finding]:
    scene, have = crowd.scene, len(crowd.exits)
    wanted = egress.exits_wanted(scene.rulebook, crowd.people)
    if have >= wanted:
        return
    keys = ("one-exit-people", "two-exits-people", "three-exits-people")
    limit = scene.rulebook.requirement(keys[min(have, len(keys)) - 1])
    yield say(
        "egress-exits",
        "violation",
        "ways out",
        f"The shop holds {crowd.reckoned}; {have} {'exit is' if have == 1 else 'exits are'} "
        f"enough for up to {limit.value:.0f}, and {wanted} are wanted.",
        f"Plan {wanted - have} more, with use: exit in shop.yaml, or a smaller sales floor; where "
        "the building department has set a number of people, write it as building: occupants. "
        + ASK,
        published(limit),
        required=limit.value,
        measured=float(crowd.people),
        unit="people",
        at_mm=middle(crowd.floor.region),
    )


def _travel(crowd: Crowd) -> Iterator[Finding]:
    way, scene = crowd.farthest, crowd.scene
    if way is None:
        return
    if len(crowd.exits) == 1:
        _, path = egress.one_exit(scene.rulebook, crowd.people, way.length_mm)
        if not path.met:
            yield _too_far(crowd, way, path, "egress-one-exit-path", "with one exit")
    plain, sprinkled = (
        egress.travel_distance(scene.rulebook, way.length_mm, sprinklers=there)
        for there in (False, True)
    )
    judged = sprinkled if crowd.sprinklers else plain
    if judged.met:
        return
    if crowd.sprinklers is None and sprinkled.met:
        yield _only_with_sprinklers(
            crowd,
            "egress-travel",
            f"The way to the nearest exit is {scene.words.say(way.length_mm)} long from the "
            f"farthest point, more than {scene.words.say(plain.requirement.value)}",
            sprinkled.requirement,
            (sprinkled.requirement.value, way.length_mm),
            way.line,
        )
        return
    yield _too_far(crowd, way, judged, "egress-travel", f"to {way.door}, the nearest")


def _too_far(crowd: Crowd, way: Way, judged: Outcome, code: str, how: str) -> Finding:
    words, limit = crowd.scene.words, judged.requirement
    return say(
        code,
        "violation",
        "ways out",
        f"From the farthest point of the floor the way out {how} is too long: "
        f"{words.versus(way.length_mm, limit.value)}, as one walks round what stands there.",
        f"Open a straighter way, {words.enough(-judged.margin)} shorter, or plan another exit "
        f"near the far end. {ASK}",
        published(limit),
        required=limit.value,
        measured=way.length_mm,
        margin=judged.margin,
        at_mm=_rounded(way.line[0]),
        drawn_mm=(tuple(_rounded(point) for point in way.line),),
    )


def _only_with_sprinklers(
    crowd: Crowd,
    code: str,
    what: str,
    limit: Requirement,
    sizes: tuple[float, float],
    line: tuple[tuple[float, float], ...],
) -> Finding:
    return say(
        f"{code}-not-checked",
        "not checked",
        "ways out",
        f"{what}, which is enough with sprinklers only, and whether there are any is not said.",
        "Look for sprinklers all over the shop and fill in building: sprinklered in shop.yaml. "
        + ASK,
        published(limit),
        required=sizes[0],
        measured=sizes[1],
        drawn_mm=(tuple(_rounded(point) for point in line),),
    )


def _apart(crowd: Crowd) -> Iterator[Finding]:
    scene = crowd.scene
    if len(crowd.exits) < 2 or egress.exits_wanted(scene.rulebook, crowd.people) < 2:
        return
    doors = [(door, wall.point(door.offset + door.width / 2), wall) for door, wall in crowd.exits]
    one, other = max(combinations(doors, 2), key=lambda pair: math.dist(pair[0][1], pair[1][1]))
    apart, diagonal = math.dist(one[1], other[1]), _diagonal(scene)
    plain, sprinkled = (
        egress.exits_apart(scene.rulebook, apart, diagonal, sprinklers=there)
        for there in (False, True)
    )
    judged = sprinkled if crowd.sprinklers else plain
    if judged.met:
        return
    pair = f"{one[0].id} and {other[0].id}"
    line = (_rounded(one[1]), _rounded(other[1]))
    if crowd.sprinklers is None and sprinkled.met:
        what = (
            f"{pair} are {scene.words.say(apart)} apart, {judged.measured:.2f} of the diagonal of "
            f"the floor and not {plain.requirement.value:.2f}"
        )
        least = sprinkled.requirement
        sizes = (least.value * diagonal, apart)
        yield _only_with_sprinklers(crowd, "exits-apart", what, least, sizes, line)
        return
    wanted = judged.requirement.value * diagonal
    yield say(
        "exits-apart",
        "violation",
        f"doors {pair}",
        f"The exits farthest from each other, {pair}, are too near: "
        f"{scene.words.versus(apart, wanted)}, a part of {scene.words.say(diagonal)} across the "
        "floor.",
        f"Move one {scene.words.enough(wanted - apart)} away from the other, or plan another. "
        + ASK,
        published(judged.requirement),
        required=wanted,
        measured=apart,
        margin=apart - wanted,
        at_mm=line[0],
        drawn_mm=(line,),
    )


def _diagonal(scene: Scene) -> float:
    hull = unary_union(list(scene.shell.rooms.values())).convex_hull
    corners = [(float(x), float(y)) for x, y in shapely.get_coordinates(hull)]
    return max(math.dist(a, b) for a, b in combinations(corners, 2))


def _width(crowd: Crowd) -> Iterator[Finding]:
    scene, words = crowd.scene, crowd.scene.words
    widths = [door.width for door, _ in crowd.exits]
    wanted = egress.way_out_width(scene.rulebook, crowd.people)
    limit = scene.rulebook.requirement("egress-width-person")
    if less(sum(widths), wanted):
        yield say(
            "egress-width",
            "violation",
            "ways out",
            f"The exits are too narrow together for {crowd.reckoned}: "
            f"{words.versus(sum(widths), wanted)}.",
            f"Widen them by {words.enough(wanted - sum(widths))} in all. {ASK}",
            published(limit),
            required=wanted,
            measured=sum(widths),
        )
    if len(widths) > 1 and egress.exits_wanted(scene.rulebook, crowd.people) > 1:
        left = egress.balance(scene.rulebook, widths, wanted)
        if not left.met:
            share = left.requirement.value / 100 * wanted
            found = sum(widths) - max(widths)
            yield say(
                "egress-balance",
                "violation",
                "ways out",
                "With the widest exit lost, the others are too narrow for half of "
                f"{crowd.reckoned}: {words.versus(found, share)}.",
                f"Widen the others by {words.enough(share - found)}. {ASK}",
                published(left.requirement),
                required=share,
                measured=found,
            )


def _told_at_the_door(scene: Scene, door: Door, least: Requirement) -> bool:
    """Say whether the check of the door itself asks for as much, of what is no wider."""
    wanted = clear_opening(scene.rulebook, door)
    return not less(wanted.value, least.value) and less(door.active_width, wanted.value)


def _doors(crowd: Crowd) -> Iterator[Finding]:
    scene = crowd.scene
    least = scene.rulebook.requirement("egress-door")
    swing = scene.rulebook.requirement("door-swings-out")
    for door, wall in crowd.exits:
        place = {
            "at_mm": _rounded(wall.point(door.offset + door.width / 2)),
            "wall": wall.id,
        }
        if less(door.width, least.value) and not _told_at_the_door(scene, door, least):
            yield say(
                "egress-door",
                "violation",
                f"door {door.id}",
                f"Door {door.id} is too narrow as a way out: "
                f"{scene.words.versus(door.width, least.value)}.",
                f"Widen it by {scene.words.enough(least.value - door.width)}. {ASK}",
                published(least),
                required=least.value,
                measured=door.width,
                **place,
            )
        if not egress.door_swings_out(scene.rulebook, crowd.people):
            continue
        if door.swing == "in":
            yield say(
                "egress-swing",
                "violation",
                f"door {door.id}",
                f"Door {door.id} swings in, against the people who leave: the shop holds "
                f"{crowd.reckoned}.",
                f"Hang it to swing out. {ASK}",
                published(swing),
                required=swing.value,
                measured=float(crowd.people),
                unit="people",
                **place,
            )
        if door.swing == "sliding":
            yield say(
                "egress-sliding",
                "advice",
                f"door {door.id}",
                f"Door {door.id} slides; for {crowd.reckoned}, doors swing the way people leave.",
                f"Ask whether it breaks out when it is pushed. {ASK}",
                published(swing),
                **place,
            )


def _aisles(crowd: Crowd) -> Iterator[Finding]:
    """Find exits that no way as wide as an aisle joins to an entrance."""
    scene = crowd.scene
    starts = ways.starts(scene, ("entrance",))
    others = [(door, wall) for door, wall in crowd.exits if door.use == "exit"]
    if not starts or not others:
        return
    limit = scene.rulebook.requirement("egress-aisle")
    share = math.ceil(crowd.people / len(crowd.exits))
    width = max(limit.value, egress.way_out_width(scene.rulebook, share))
    loose = [one.shape for one in scene.stood]
    found = reached(ways.areas(scene, loose, width), starts, ways.links(scene))
    fixed = [one.shape for one in scene.stood if one.fixture.fixed]
    without = reached(ways.areas(scene, fixed, width), starts, ways.links(scene))
    for door, wall in others:
        space = manoeuvring(scene, door, wall)
        if any(area.intersects(space) for area in found):
            continue
        movable = any(area.intersects(space) for area in without)
        yield say(
            "egress-aisle",
            severity_of([movable]),
            f"door {door.id}",
            f"No aisle {scene.words.say(width)} wide leads from an entrance to exit {door.id}.",
            f"Open one {scene.words.say(width)} wide: move or leave out what stands closest. {ASK}",
            published(limit),
            required=width,
            at_mm=middle(space),
            wall=wall.id,
        )


def _shut_in(crowd: Crowd) -> Iterator[Finding]:
    scene = crowd.scene
    limit = scene.rulebook.requirement("exit-width")
    lines = [Opening(door, wall).line for door, wall in scene.doors if door.use == "staff"]
    for area in crowd.floor.cut_off():
        if area.area < _SHUT_IN_MM2 or any(area.distance(line) <= limit.value for line in lines):
            continue
        yield say(
            "egress-shut-in",
            "advice",
            "ways out",
            f"From {area.area / FOOT_MM**2:.0f} sq ft of floor no way "
            f"{scene.words.say(limit.value)} wide leads out; whoever is there is shut in."
            if scene.words.style in ("ft-in", "in")
            else f"From {area.area / 1e6:.1f} m2 of floor no way {scene.words.say(limit.value)} "
            "wide leads out; whoever is there is shut in.",
            f"Open a way {scene.words.say(limit.value)} wide, or close the floor off.",
            published(limit),
            required=limit.value,
            at_mm=middle(area),
            drawn_mm=drawn(area),
        )


def _not_checked(crowd: Crowd) -> Finding:
    scene, way = crowd.scene, crowd.farthest
    limit = scene.rulebook.requirement("one-exit-people")
    count = len(crowd.exits)
    exits = ", ".join(door.id for door, _ in crowd.exits)
    said = f"Reckoned with {crowd.reckoned}, {count} {'exit' if count == 1 else 'exits'} ({exits})"
    if way is not None:
        said += f", and {scene.words.say(way.length_mm)} to {way.door} from the farthest point"
    several = ", where ways part" if count > 1 else ""
    return say(
        "egress-not-checked",
        "not checked",
        "ways out",
        f"{said}. How doors are locked, lit and marked, what lies beyond them{several}, and "
        "doors for staff as ways out were not checked.",
        f"{ASK} Where a door for staff leads outside, write use: exit.",
        published(limit),
        at_mm=None if way is None else _rounded(way.line[0]),
        drawn_mm=() if way is None else (tuple(_rounded(point) for point in way.line),),
    )


def _rounded(point: tuple[float, float]) -> tuple[float, float]:
    return (round(point[0], 1), round(point[1], 1))
