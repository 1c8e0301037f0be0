"""Checks that customers reach every front without turning back round an end where it is tight."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from shapely.geometry.base import BaseGeometry

from shopfit.checks import ways
from shopfit.checks.fronts import Front, fronts
from shopfit.checks.notes import BRIEF, compass, join, less, published, severity_of
from shopfit.checks.scene import Scene, Stood
from shopfit.geometry.freefloor import reached
from shopfit.geometry.turning import WALL, End, Islands, Tight, cut, narrow_ends, tight_ends
from shopfit.geometry.waysround import Reach, leg_widths, reached_without, turns
from shopfit.model.finding import Finding
from shopfit.standards import Requirement
from shopfit.standards.turns import KEYS, turn_width

# Ends whose mending is tried one by one, for each front that is cut off.
_MOST_TRIED = 8


def check(scene: Scene) -> Iterator[Finding]:
    """Find fronts to which only a turn leads that is too tight, and other ends that are tight."""
    lacking = scene.rulebook.why_without(*KEYS)
    if lacking:
        yield _not_checked(scene, lacking)
        return
    floor = _Floor(scene)
    if not floor.starts or not floor.ends:
        return
    aisle, route = scene.brief.aisle, scene.rulebook.mm("route-width")
    walk = _Walk(floor, aisle)
    lost = walk.lost(fronts(scene))
    cut_off = lost
    if lost and less(route, aisle):
        cut_off = _Walk(floor, route).lost(lost)
    for front in lost:
        if front not in cut_off:
            yield _narrower(scene, front, aisle, route)
    by_ends: dict[tuple[TightEnd, ...], list[Front]] = defaultdict(list)
    for front in cut_off:
        by_ends[walk.needed(front)].append(front)
    for ends, behind in by_ends.items():
        yield _cut_off(floor, ends, behind)
    told = [one.nearest.barrier for ends in by_ends for one in ends]
    tight = [
        one
        for one in walk.tight
        if not less(one.depth, route)
        # Ends that face each other are mended together.
        and not any(one.nearest.barrier.equals_exact(line, 1.0, normalize=True) for line in told)
    ]
    if tight:
        yield _elsewhere(floor, tight)


@dataclass(frozen=True)
class TightEnd:
    """An end before which it is too tight to turn back.

    Parameters
    ----------
    end
        Which.
    closed
        What is too near, one by one.
    leg
        Clear width on the way to the end and away from it, mm.
    wanted
        The value that is missed.
    """

    end: End
    closed: tuple[Tight, ...]
    leg: float
    wanted: Requirement

    @property
    def nearest(self) -> Tight:
        """The nearest of what is too near."""
        return min(self.closed, key=lambda one: one.depth)

    @property
    def depth(self) -> float:
        """Clear depth before the end, mm."""
        return self.nearest.depth

    @property
    def short(self) -> float:
        """How much is missing, mm."""
        return self.wanted.value - self.depth


class _Floor:
    """What stands on the floor, as turns see it."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self.free = [one for one in scene.stood if one.role == "island"]
        self.islands = Islands(
            [one.shape for one in self.free], [one.placement.angle_deg for one in self.free]
        )
        held = [one for one in scene.stood if one.role != "island"]
        bare = [one for one in scene.hung if not one.below]
        self.things = [*self.free, *held]
        self.names = [one.name for one in self.things]
        self.names += [f"column {name}" for name in scene.shell.columns]
        self.names += [f"the {zone.kind} zone {zone.id}" for zone in scene.zones]
        self.names += [one.name for one in bare]
        self.others: list[BaseGeometry] = [
            *(one.shape for one in held),
            *scene.shell.columns.values(),
            *(zone.shape for zone in scene.zones),
            *(one.strip(0.0, scene.free_projection) for one in bare),
        ]
        self.rooms = list(scene.shell.rooms.values())
        self.starts = ways.starts(scene, ("entrance",))
        self.links = ways.links(scene)
        under = scene.rulebook.mm("turn-element")
        self.ends = narrow_ends(self.islands, under, scene.brief.aisle)

    @cached_property
    def measured(self) -> list[tuple[End, tuple[Tight, ...], float]]:
        """Ends with less before them than any rule wants; what is near, and their legs, mm."""
        book = self.scene.rulebook
        near: dict[End, list[Tight]] = defaultdict(list)
        most = max(book.mm("turn-wide"), book.mm("turn-width"))
        for one in tight_ends(self.ends, self.islands, self.others, self.rooms, most):
            near[one.end].append(one)
        back, leg = book.mm("turn-width"), book.mm("turn-leg")
        legs = leg_widths(list(near), self.islands, self.others, self.rooms, back, leg)
        return [
            (end, tuple(closed), width)
            for (end, closed), width in zip(near.items(), legs, strict=True)
        ]

    def tight(self, width: float) -> list[TightEnd]:
        """List the ends that are too tight for a traveller so wide, mm, to turn back."""
        found = []
        for end, near, beside in self.measured:
            # Where the traveller is wider than a leg must be, so is every leg it comes along.
            leg = max(beside, width)
            wanted = turn_width(self.scene.rulebook, end.length, leg)
            closed = tuple(
                one for one in near if wanted is not None and less(one.depth, wanted.value)
            )
            if closed and wanted is not None:
                found.append(TightEnd(end, closed, leg, wanted))
        return found

    def members(self, end: End) -> list[Stood]:
        """List the fixtures of the element that an end belongs to."""
        return [self.free[i] for i in self.islands.elements[end.element]]

    def tags(self, end: End) -> str:
        """Name the element that an end belongs to, by its tags."""
        tags = [one.tag for one in self.members(end)]
        return tags[0] if len(tags) == 1 else f"{', '.join(tags[:-1])} with {tags[-1]}"

    def called(self, end: End) -> str:
        """Name an end for people, such as ``the west end of table F7 (table-4)``."""
        members = self.members(end)
        name = members[0].name if len(members) == 1 else self.tags(end)
        return f"the {compass(end.outward)} end of {name}"


class _Walk:
    """How far customers of one width get, with and without turns."""

    def __init__(self, floor: _Floor, width: float) -> None:
        self.floor = floor
        self.width = width
        self.tight = floor.tight(width)
        self.areas = ways.areas_of(floor.scene, "customers", width)
        self._known: dict[frozenset[TightEnd], Reach] = {}

    def lost(self, wanted: Sequence[Front]) -> list[Front]:
        """List the fronts that are reached, but not without too tight a turn."""
        if not self.tight:
            return []
        lines = [one.barrier for end in self.tight for one in end.closed]
        # Quick and on the safe side: nobody so much as passes before a tight end.
        found = reached(cut(self.areas, lines), self.floor.starts, self.floor.links)
        missed = ways.missed(wanted, found, self.width)
        if missed:
            missed = ways.missed(missed, self.reach(frozenset()).areas, self.width)
        if missed:
            found = reached(self.areas, self.floor.starts, self.floor.links)
            gone = ways.missed(missed, found, self.width)
            missed = [front for front in missed if front not in gone]
        return missed

    def reach(self, mended: frozenset[TightEnd]) -> Reach:
        """Give how far one gets if some ends were wide enough; refused turns count all ends."""
        if mended not in self._known:
            kept = [end for end in self.tight if end not in mended]
            owners = [end for end in kept for _ in end.closed]
            around = turns(
                [one for end in kept for one in end.closed],
                self.floor.islands,
                self.floor.others,
                self.floor.rooms,
                self.floor.scene.rulebook.mm("turning-circle"),
            )
            found = reached_without(self.areas, self.floor.starts, self.floor.links, around)
            numbers = {self.tight.index(owners[k]) for k in found.refused}
            self._known[mended] = Reach(found.areas, tuple(sorted(numbers)))
        return self._known[mended]

    def needed(self, front: Front) -> tuple[TightEnd, ...]:
        """Give the ends that would have to be wider for a front to be reached: few, and little."""
        mended: frozenset[TightEnd] = frozenset()
        while not self._gets_to(front, mended):
            refused = [self.tight[k] for k in self.reach(mended).refused]
            refused.sort(key=lambda one: (one.short, self.tight.index(one)))
            if not refused:
                break
            enough = (one for one in refused[:_MOST_TRIED] if self._gets_to(front, mended | {one}))
            mended |= {next(enough, refused[0])}
        for one in sorted(mended, key=lambda one: -one.short):
            if self._gets_to(front, mended - {one}):
                mended -= {one}
        return tuple(one for one in self.tight if one in mended)

    def _gets_to(self, front: Front, mended: frozenset[TightEnd]) -> bool:
        return not ways.missed([front], self.reach(mended).areas, self.width)


def _cut_off(floor: _Floor, ends: tuple[TightEnd, ...], behind: list[Front]) -> Finding:
    scene, words = floor.scene, floor.scene.words
    worst = max(ends, key=lambda one: one.short)
    source = published(worst.wanted)
    parts = []
    for one in ends:
        thing = one.nearest.things[0]
        before = "the wall" if thing == WALL else floor.names[thing]
        parts.append(
            f"{floor.called(one.end)}, {words.say(one.end.length)} wide, with {before} before it: "
            f"{words.versus(one.depth, one.wanted.value)}"
        )
    message = (
        f"To {join(front.name for front in behind)} no way leads but one that turns back round "
        f"{'; and '.join(parts)}."
    )
    leg = scene.rulebook.mm("turn-leg")
    if less(worst.leg, leg):
        message += (
            f" With ways {words.say(leg)} wide along it, "
            f"{words.say(scene.rulebook.mm('turn-width'))} would do."
        )
    return Finding(
        code="turn",
        severity=severity_of(_movable(floor, ends)),
        subject=join(front.name for front in behind),
        message=message,
        mend=" ".join(_mend(floor, one) for one in ends),
        required=worst.wanted.value,
        measured=worst.depth,
        clause=source.clause,
        source=source.source,
        confidence=source.confidence,
        at_mm=_mark(worst),
    )


def _movable(floor: _Floor, ends: tuple[TightEnd, ...]) -> Iterator[bool]:
    for one in ends:
        for stood in floor.members(one.end):
            yield not stood.fixture.fixed
        for tight in one.closed:
            for k in tight.things:
                if 0 <= k < len(floor.things):
                    yield not floor.things[k].fixture.fixed


def _mend(floor: _Floor, one: TightEnd) -> str:
    words, end = floor.scene.words, one.end
    back = compass((-end.outward[0], -end.outward[1]))
    return (
        f"Move {floor.tags(end)} {words.enough(one.short)} {back}, or leave "
        f"{words.say(one.wanted.value)} clear before its {compass(end.outward)} end in another "
        "way, or open a way that need not turn back there."
    )


def _mark(one: TightEnd) -> tuple[float, float]:
    middle = one.nearest.barrier.interpolate(0.5, normalized=True)
    return (round(middle.x, 1), round(middle.y, 1))


def _narrower(scene: Scene, front: Front, aisle: float, route: float) -> Finding:
    words = scene.words
    return Finding(
        code="turn-aisle",
        severity="advice",
        subject=front.name,
        message=f"The way {words.say(aisle)} wide to {front.name} turns back round a narrow end "
        f"where it is tight; a way {words.say(route)} wide need not.",
        mend=f"Open that other way to {words.say(aisle)}.",
        required=aisle,
        source=BRIEF.source,
        at_mm=None,
    )


def _elsewhere(floor: _Floor, tight: Sequence[TightEnd]) -> Finding:
    words = floor.scene.words
    least = min(tight, key=lambda one: one.depth)
    wanted = max((one.wanted for one in tight), key=lambda one: one.value)
    source = published(wanted)
    ends: dict[str, list[str]] = defaultdict(list)
    for one in tight:
        ends[floor.tags(one.end)].append(compass(one.end.outward))
    listed = join((f"{tags} ({', '.join(sides)})" for tags, sides in ends.items()), most=8)
    number = "One end" if len(tight) == 1 else f"{len(tight)} ends"
    return Finding(
        code="turn-tight",
        severity="advice",
        subject=listed,
        message=f"{number} of islands cannot be turned back round in a wheelchair, the tightest "
        f"with {words.say(least.depth)} before it; no front needs it.",
        mend=f"Leave {words.say(wanted.value)} before them where the plan allows it.",
        required=wanted.value,
        measured=least.depth,
        clause=source.clause,
        source=source.source,
        confidence=source.confidence,
        at_mm=_mark(least),
    )


def _not_checked(scene: Scene, why: str) -> Finding:
    return Finding(
        code="turns-not-checked",
        severity="not checked",
        subject="shop",
        message=f"180-degree turns round narrow fixtures were not checked: {why}.",
        mend="Look at the ends of islands on the plan, with someone who uses a wheelchair.",
        source=f"rulebook {scene.rulebook.title}",
    )
