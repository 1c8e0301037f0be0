"""Checks floors: carpets, gaps, slopes, and changes in level between rooms."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from shopfit.checks.clauses import drawn, judge, unmeasured
from shopfit.checks.notes import middle, published
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene
from shopfit.geometry.shell import WallLine
from shopfit.model.finding import Finding
from shopfit.model.openings import Door
from shopfit.model.shell import Room
from shopfit.standards import Rulebook, surfaces
from shopfit.standards.routes import walking_surface


def check(scene: Scene) -> Iterator[Finding]:
    """Find floors on which wheels and feet catch, and rooms at other levels."""
    missing: dict[str, list[str]] = defaultdict(list)
    for room in scene.scenario.shop.rooms:
        yield from _room(scene, room)
        for name in ("carpet", "gaps", "slope", "cross_slope"):
            if getattr(room, name) is None:
                missing[name].append(room.id)
    for door, wall in scene.doors:
        yield from _between(scene, door, wall)
    yield from unmeasured(
        scene,
        "floors",
        "carpets, gaps and slopes of floors, of the ways, clear spaces and floor before doors on "
        "them",
        missing,
        "Measure the pile of carpets and the widest gap (0 where there is none), and the steepest "
        "slopes with a level.",
        ("carpet-pile", "floor-opening", "walk-slope", "clear-slope", "door-floor-slope"),
    )


def bevel_lacking(rulebook: Rulebook, rise: float, run: float) -> float:
    """Give how much longer a bevel has to be, mm; nought or less where it is enough.

    Parameters
    ----------
    rulebook
        Whose values.
    rise, run
        Change in level, and level length of its bevel, mm.

    Source
    ------
    2010 ADA Standards, 303.2 and 303.3: 1/4 in may be upright, the rest is bevelled not steeper
    than 1:2. Text read; that the two may be joined in one edge, from memory (advisory to 303.3).
    """
    if surfaces.level_change(rulebook, rise) == "none":
        return 0.0
    bevelled = rise - rulebook.mm("level-vertical")
    slack = rulebook.requirement("level-vertical").slack
    lacking = bevelled / rulebook.slope("level-bevel") - run
    return lacking if lacking > slack else 0.0


def _room(scene: Scene, room: Room) -> Iterator[Finding]:
    book, shape = scene.rulebook, scene.shell.rooms[room.id]
    name = f"floor of {room.id}"
    at_mm = middle(shape)
    if room.carpet is not None:
        pile = surfaces.carpet(book, room.carpet)
        mend = "Lay a carpet with a pile {short} lower, on a firm pad or none, its edges fastened."
        yield from judge(scene, pile, "carpet", name, mend, at_mm=at_mm)
    if room.gaps is not None:
        gap = surfaces.opening(book, room.gaps)
        mend = "Close the gaps by {short}; long ones lie across the way."
        yield from judge(scene, gap, "floor-gaps", name, mend, at_mm=at_mm)
    slope, across = room.slope, room.cross_slope
    outcomes = walking_surface(book, slope or 0.0, across or 0.0)
    for given, outcome in zip((slope, across), outcomes, strict=True):
        if given is not None:
            yield from judge(scene, outcome, "floor-slope", name, at_mm=at_mm)
    steepest = max(slope or 0.0, across or 0.0)
    if all(outcome.met for outcome in outcomes):
        # Floor before doors, counters and for turning is nearly level both ways.
        yield from judge(
            scene,
            book.outcome("clear-slope", steepest),
            "floor-slope-standing",
            name,
            "Level it to 1:48 or less where people stand, turn or open doors.",
            severity="advice",
            at_mm=at_mm,
        )


def _between(scene: Scene, door: Door, wall: WallLine) -> Iterator[Finding]:
    """Judge the change in level from room to room: 303.2 to 303.4."""
    levels = {room.id: room.level for room in scene.scenario.shop.rooms}
    if door.leads_to not in levels:
        return
    book, words = scene.rulebook, scene.words
    rise = abs(levels[door.leads_to] - levels[wall.room])
    kind = surfaces.level_change(book, rise)
    if kind == "none":
        return
    lacking = bevel_lacking(book, rise, door.threshold_run or 0.0)
    if kind == "bevel" and lacking <= 0:
        return
    limit = book.requirement("level-without-ramp" if kind == "ramp" else "level-bevel")
    beyond = f"between {wall.room} and {door.leads_to}, at door {door.id},"
    floor = wall.rectangle(door.offset, door.offset + door.width, -door.depth, 0.0)
    x, y = wall.point(door.offset + door.width / 2, -door.depth / 2)
    if kind == "ramp":
        message = f"The floor {beyond} changes its level by {words.say(rise)}: "
        message += f"{words.versus(rise, limit.value)}."
        mend = "Bring the floors to one level, or add a ramp between them."
        required, measured = limit.value, rise
    else:
        run = door.threshold_run or 0.0
        required, measured = lacking + run, run
        message = f"The floor {beyond} changes its level by {words.say(rise)}, which wants a "
        message += "bevel not steeper than 1:2."
        mend = f"Give it a bevel {words.enough(required)} long, or fill in threshold_run."
    unknown = kind == "bevel" and door.threshold_run is None
    yield say(
        "level-change",
        "advice" if unknown else "violation",
        f"door {door.id}",
        message,
        mend,
        published(limit),
        required=required,
        measured=measured,
        at_mm=(round(x, 1), round(y, 1)),
        wall=wall.id,
        drawn_mm=drawn(floor),
    )
