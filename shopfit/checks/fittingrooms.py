"""Checks fitting rooms: how many of each group can be used from a wheelchair."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from shopfit.checks.clauses import judge
from shopfit.checks.notes import less, more, published
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene
from shopfit.model.finding import Finding
from shopfit.model.shell import FittingRoom
from shopfit.standards import counters
from shopfit.standards.routes import fitting_rooms_wanted


def check(scene: Scene) -> Iterator[Finding]:
    """Find groups of fitting rooms of which too few are large enough and equipped.

    Source
    ------
    2010 ADA Standards, 222.1 (5 per cent of each group, at least one) and 803. Text read.
    """
    groups: dict[str, list[FittingRoom]] = defaultdict(list)
    for room in scene.scenario.shop.fitting_rooms:
        groups[room.group].append(room)
    for group, rooms in groups.items():
        lacking = {room.id: list(_room(scene, room)) for room in rooms}
        good = sum(not each for each in lacking.values())
        wanted = fitting_rooms_wanted(scene.rulebook, len(rooms))
        if good >= wanted:
            continue
        share = published(scene.rulebook.requirement("fitting-share"))
        yield say(
            "fitting-rooms",
            "violation",
            group,
            f"Of the {group} {good} of {len(rooms)} meet the values on fitting rooms, and "
            f"{wanted} of them {'is' if wanted == 1 else 'are'} wanted.",
            f"Mend {wanted - good} of them; what those lack that lack least comes next.",
            share,
            required=float(wanted),
            measured=float(good),
            margin=float(good - wanted),
            unit="count",
        )
        for each in sorted(filter(None, lacking.values()), key=len)[: wanted - good]:
            yield from each


def _room(scene: Scene, room: FittingRoom) -> Iterator[Finding]:
    book, name = scene.rulebook, f"fitting room {room.id}"
    door = book.outcome("door-width", room.door_width)
    yield from judge(scene, door, "fitting-door", name, "Widen its door by {short}.")
    yield from _floor(scene, room, name)
    bench = (room.bench_length, room.bench_depth, room.bench_height)
    if None in bench:
        seat = published(book.requirement("bench-length"))
        yield say(
            "fitting-bench",
            "violation",
            name,
            f"Of {name} no bench is given; one is wanted there.",
            "Fill in bench_length, bench_depth and bench_height, or put one in.",
            seat,
        )
    else:
        length, depth, height = (each or 0.0 for each in bench)
        for outcome in counters.bench(book, length, depth, height):
            yield from judge(scene, outcome, "fitting-bench", name)
    if room.shelf is not None:
        for outcome in counters.fitting_shelf(book, room.shelf):
            yield from judge(scene, outcome, "fitting-shelf", name)


def _floor(scene: Scene, room: FittingRoom, name: str) -> Iterator[Finding]:
    """Judge the room to turn, and to clear the swing of a door: 803.2 and 803.3."""
    book, words = scene.rulebook, scene.words
    circle = book.requirement("turning-circle")
    short = min(room.width, room.depth - (room.bench_depth or 0.0))
    if less(short, circle.value):
        yield say(
            "fitting-turning",
            "violation",
            name,
            f"{name[0].upper()}{name[1:]} has too little floor to turn a wheelchair beside its "
            f"bench: {words.versus(short, circle.value)}.",
            f"Make it {words.enough(circle.value - short)} larger, or draw a T-shaped turning "
            "space with a designer.",
            published(circle),
            required=circle.value,
            measured=short,
        )
    if not room.door_in:
        return
    beyond = room.depth - (room.bench_depth or 0.0) - room.door_width
    across, along = book.mm("clear-width"), book.requirement("clear-length")
    # One way round or the other, by what the room's width leaves.
    wanted = across if not more(along.value, room.width) else along.value
    if less(beyond, wanted) or more(across, room.width):
        yield say(
            "fitting-door-in",
            "violation",
            name,
            f"The door of {name} swings into it and leaves {words.say(max(beyond, 0.0))} of floor "
            f"beyond; a clear space of {words.say(across)} by {words.say(along.value)} is wanted.",
            "Let it swing out, or hang a curtain.",
            published(along),
            required=wanted,
            measured=max(beyond, 0.0),
        )
