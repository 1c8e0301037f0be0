"""Checks that customers get from the entrance to every front, and staff to their zone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shapely.geometry.base import BaseGeometry

from shopfit.checks import between, ways
from shopfit.checks.dividers import back_band, dividers
from shopfit.checks.doorfloor import manoeuvring
from shopfit.checks.fronts import Front, fronts
from shopfit.checks.notes import BRIEF, Source, less, middle, published
from shopfit.checks.pinches import Pair, counted
from shopfit.checks.scene import Scene
from shopfit.checks.ways import Who
from shopfit.geometry.freefloor import reached
from shopfit.geometry.gaps import Gap
from shopfit.geometry.shell import PlanPoint
from shopfit.model.finding import Finding, Severity

# Ways are drawn for so many fronts that are cut off; the others show the narrow place alone.
_MOST_DRAWN = 24


def check(scene: Scene) -> Iterator[Finding]:
    """Find fronts, staff zones and exits that cannot be reached at the width wanted."""
    yield from _customers(scene)
    yield from _staff(scene)
    yield from _exits(scene)


def _unreached(scene: Scene, fronts_: Sequence[Front], who: Who, width: float) -> list[Front]:
    starts = ways.starts(scene, ways.CUSTOMERS)
    found = reached(ways.areas_of(scene, who, width), starts, ways.links(scene))
    return ways.missed(fronts_, found, width)


def _customers(scene: Scene) -> Iterator[Finding]:
    wanted = fronts(scene)
    if not ways.starts(scene, ways.CUSTOMERS):
        yield _no_start("customers", "entrance", "entrance")
        return
    if not wanted:
        return
    aisle = scene.brief.aisle
    missed = _unreached(scene, wanted, "customers", aisle)
    if not missed:
        return
    route = scene.rulebook.requirement("route-width")
    narrow = missed
    if less(route.value, aisle):
        narrow = _unreached(scene, missed, "customers", route.value)
    pinched = _allowed(scene, narrow, "customers")
    narrow = _others(narrow, pinched)
    hard = _unreached(scene, narrow, "past fixed", route.value) if narrow else []
    hard = _others(hard, _allowed(scene, hard, "past fixed"))
    for number, front in enumerate(missed):
        published_too = any(front is other for other in narrow)
        fixed_too = any(front is other for other in hard)
        told = _Told(scene, front, number < _MOST_DRAWN)
        only_brief = any(front is other for other in pinched)
        if only_brief or less(route.value, aisle) or less(aisle, route.value):
            yield told.finding("reach", "violation", aisle, BRIEF, published_too, only_brief)
        if published_too:
            severity: Severity = "violation" if fixed_too else "barrier to review"
            pair = _too_near(scene, front)
            if pair is not None:
                yield _pinches_apart(scene, front, pair, severity)
            else:
                yield told.finding("accessible-route", severity, route.value, published(route))


def _others(fronts_: Sequence[Front], without: Sequence[Front]) -> list[Front]:
    return [front for front in fronts_ if not any(front is other for other in without)]


def _allowed(scene: Scene, narrow: Sequence[Front], who: Who) -> list[Front]:
    """List the fronts that only pinches keep from being reached, such as the rulebook allows."""
    if not narrow:
        return []
    along, width = counted(scene, who), scene.rulebook.mm("route-width")
    places = [ways.standing(front, width) for front in narrow]
    return [
        front
        for front, place in zip(narrow, places, strict=True)
        if along.reaches(place) and along.too_near(place) is None
    ]


def _too_near(scene: Scene, front: Front) -> Pair | None:
    along = counted(scene, "customers")
    place = ways.standing(front, scene.rulebook.mm("route-width"))
    return along.too_near(place) if along.reaches(place) else None


class _Told:
    """What is said about a front that is not reached."""

    def __init__(self, scene: Scene, front: Front, drawn: bool) -> None:
        self._scene, self._front = scene, front
        place = ways.standing(front, scene.brief.aisle)
        self._widest = ways.widest(scene, "customers").to(place)
        self._line: tuple[PlanPoint, ...] = ()
        if drawn and self._widest.gap is not None:
            paths = ways.paths(scene, "customers", _step_down(self._widest.width))
            (route,) = paths.to([(place, middle(front.band) or front.start)])
            self._line = route.line if route else ()

    def finding(
        self,
        code: str,
        severity: Severity,
        width: float,
        source: Source,
        narrow_too: bool = True,
        pinches: bool = False,
    ) -> Finding:
        """Make a finding."""
        scene, front, words = self._scene, self._front, self._scene.words
        gap = self._widest.gap
        message = (
            f"Nothing {words.say(width)} wide gets from the entrance to {front.name} and turns "
            "about before it"
        )
        if gap is not None and less(self._widest.width, width):
            found = words.fine(self._widest.width)
            message += f": the widest way is {found} {between.named(scene, gap)}."
            mend = between.mend(scene, gap, width)
        else:
            gap = None
            message += "."
            mend = f"Open the way to it to {words.say(width)}: move or leave out what stands "
            mend += "closest."
        if pinches:
            message += " The rulebook allows such a pinch, the brief does not."
        elif not narrow_too:
            narrow = scene.rulebook.mm("route-width")
            message += f" A way {words.say(narrow)} wide is there."
        return Finding(
            code=code,
            severity=severity,
            subject=front.name,
            message=message,
            mend=mend,
            required=width,
            measured=self._widest.width if gap else None,
            clause=source.clause,
            source=source.source,
            confidence=source.confidence,
            at_mm=_rounded(gap.middle) if gap else middle(front.band),
            drawn_mm=_lines(gap, self._line),
        )


def _step_down(width: float) -> float:
    """Round a width down, so that ways of about the same width are worked out once."""
    return max(float(int(width - 0.5)), 1.0)


def _rounded(place: PlanPoint) -> PlanPoint:
    return (round(place[0], 1), round(place[1], 1))


def _lines(gap: Gap | None, line: Sequence[PlanPoint] = ()) -> tuple[tuple[PlanPoint, ...], ...]:
    drawn = [tuple(line)] if len(line) > 1 else []
    if gap is not None:
        drawn.append((gap.start, gap.end))
    return tuple(tuple(_rounded(place) for place in one) for one in drawn)


def _pinches_apart(scene: Scene, front: Front, pair: Pair, severity: Severity) -> Finding:
    words, limit = scene.words, scene.rulebook.requirement("pinch-apart")
    source = published(limit)
    places = [between.named(scene, pinch.gap) for pinch in (pair.first, pair.second)]
    route = scene.rulebook.mm("route-width")
    mends = [between.mend(scene, pinch.gap, route) for pinch in (pair.first, pair.second)]
    return Finding(
        code="pinches-apart",
        severity=severity,
        subject=front.name,
        message=f"On the way to {front.name} two pinches follow one another, {places[0]} and "
        f"{places[1]}: {words.versus(pair.apart, limit.value)}.",
        mend=next((m for m in mends if m.startswith("Move")), mends[0]),
        required=limit.value,
        measured=pair.apart,
        clause=source.clause,
        source=source.source,
        confidence=source.confidence,
        at_mm=_rounded(pair.first.gap.middle),
        drawn_mm=(
            *_lines(pair.first.gap),
            *_lines(pair.second.gap),
        ),
    )


def _no_start(who: str, what: str, use: str) -> Finding:
    return Finding(
        code=f"{who}-route-not-checked",
        severity="not checked",
        subject="routes",
        message=f"The way of {who} through the shop was not checked: the shop has no {what}.",
        mend=f"Add a door with use: {use} in shop.yaml.",
        source=BRIEF.source,
    )


def _staff(scene: Scene) -> Iterator[Finding]:
    zones = [
        zone
        for zone in scene.staff_zones
        if any(zone.shape.intersection(room).area > 1.0 for room in scene.shell.rooms.values())
    ]
    counters = dividers(scene)
    if not zones and not counters:
        return
    starts = ways.starts(scene, ways.STAFF)
    if not starts:
        yield _no_start("staff", "entrance and no staff door", "staff")
        return
    width = scene.brief.staff_aisle
    found = reached(ways.areas_of(scene, "staff", width), starts, ways.links(scene))
    targets: list[tuple[str, BaseGeometry]] = [
        (f"the staff zone {zone.id}", zone.shape) for zone in zones
    ]
    targets += [(f"the floor behind {one.name}", back_band(scene, one)) for one in counters]
    for name, shape in targets:
        if any(area.intersects(shape) for area in found):
            continue
        widest = ways.widest(scene, "staff").to(shape)
        yield Finding(
            code="staff-reach",
            severity="violation",
            subject=name,
            message=f"Nothing {scene.words.say(width)} wide gets from a door to {name}"
            f"{_narrowing(scene, widest.gap, widest.width, width)}.",
            mend=_open(
                scene,
                widest.gap,
                width,
                f"Leave a gap {scene.words.say(width)} wide between dividers, or give the zone "
                "a door of its own.",
            ),
            required=width,
            measured=widest.width if widest.gap else None,
            source=BRIEF.source,
            at_mm=_rounded(widest.gap.middle) if widest.gap else middle(shape),
            drawn_mm=_lines(widest.gap),
        )


def _narrowing(scene: Scene, gap: Gap | None, found: float, wanted: float) -> str:
    if gap is None or not less(found, wanted):
        return ""
    return f": the widest way is {scene.words.fine(found)} {between.named(scene, gap, True)}"


def _open(scene: Scene, gap: Gap | None, wanted: float, otherwise: str) -> str:
    moved = between.mend(scene, gap, wanted, True) if gap is not None else ""
    return moved if moved.startswith("Move") else otherwise


def _exits(scene: Scene) -> Iterator[Finding]:
    doors = [(door, wall) for door, wall in scene.doors if door.use == "exit"]
    if not doors:
        return
    starts = ways.starts(scene, ways.CUSTOMERS)
    if not starts:
        yield _no_start("exit", "entrance", "entrance")
        return
    limit = scene.rulebook.requirement("exit-width")
    source = published(limit)
    width = limit.value
    found = reached(ways.areas_of(scene, "staff", width), starts, ways.links(scene))
    for door, wall in doors:
        space = manoeuvring(scene, door, wall)
        if any(area.intersects(space) for area in found):
            continue
        widest = ways.exits(scene).to(space)
        yield Finding(
            code="exit-reach",
            severity="violation",
            subject=f"door {door.id}",
            message=f"No way {scene.words.say(width)} wide leads through the shop to exit "
            f"{door.id}{_narrowing(scene, widest.gap, widest.width, width)}.",
            mend=_open(
                scene,
                widest.gap,
                width,
                f"Open a way {scene.words.say(width)} wide or more to it.",
            )
            + " Local code may want more.",
            required=width,
            measured=widest.width if widest.gap else None,
            clause=source.clause,
            source=source.source,
            confidence=source.confidence,
            at_mm=_rounded(widest.gap.middle) if widest.gap else middle(space),
            drawn_mm=_lines(widest.gap),
            wall=wall.id,
        )
