"""Checks doors themselves: thresholds, handles, force, closing, glass, and the ground outside."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from shopfit.checks.clauses import judge, unmeasured
from shopfit.checks.doors import opening
from shopfit.checks.notes import join, less, published
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene
from shopfit.checks.surfaces import bevel_lacking
from shopfit.geometry.landing import Platform
from shopfit.geometry.shell import WallLine
from shopfit.geometry.wayin import head_of
from shopfit.model.finding import Finding
from shopfit.model.openings import Door
from shopfit.standards import hardware, routes
from shopfit.standards.doors import front_approach, is_pulled
from shopfit.standards.manoeuvre import Manoeuvre, floor_slope
from shopfit.standards.rulebook import Outcome
from shopfit.standards.surfaces import level_change


@dataclass(frozen=True)
class _Where:
    """A door with its place, for findings.

    Parameters
    ----------
    door, wall
        Which.
    """

    door: Door
    wall: WallLine

    @property
    def name(self) -> str:
        """Its name for people."""
        return f"door {self.door.id}"

    @property
    def at_mm(self) -> tuple[float, float]:
        """Its middle on the plan, mm."""
        x, y = self.wall.point(self.door.offset + self.door.width / 2)
        return round(x, 1), round(y, 1)


def check(scene: Scene) -> Iterator[Finding]:
    """Find doors that are hard to pass or to open, and say what of them was not measured."""
    spare = spare_entrances(scene)
    for door, wall in scene.doors:
        found = [*opening(scene, door, wall), *_itself(scene, _Where(door, wall))]
        yield from _eased(found) if door.id in spare else found
    yield from _entrances(scene)
    yield from _not_measured(scene)


def _itself(scene: Scene, here: _Where) -> Iterator[Finding]:
    yield from _threshold(scene, here)
    yield from _outside(scene, here)
    if here.door.swing != "none":
        yield from _hardware(scene, here)


def _threshold(scene: Scene, here: _Where) -> Iterator[Finding]:
    """Judge a threshold: 404.2.5, with 303.3 for its bevels."""
    door, book = here.door, scene.rulebook
    if door.threshold is None:
        return
    rise, run = door.threshold, door.threshold_run or 0.0
    lacking = bevel_lacking(book, rise, run)
    bevelled = door.threshold_run is not None and lacking <= 0
    outcome = hardware.threshold(book, rise, door.threshold_existing, bevelled)
    yield from judge(
        scene,
        outcome,
        "threshold",
        here.name,
        "Lower the threshold by {short}.",
        at_mm=here.at_mm,
        wall=here.wall.id,
    )
    if outcome.met and lacking > 0:
        slope = book.requirement("level-bevel")
        yield say(
            "threshold-bevel",
            "violation" if door.threshold_run is not None else "advice",
            here.name,
            f"The threshold of {here.name} is {scene.words.say(rise)} high, of which "
            f"{scene.words.say(book.mm('level-vertical'))} may be upright; the rest wants a bevel "
            f"not steeper than 1:2.",
            f"Give it a bevel {scene.words.enough(lacking + run)} long on both sides"
            + ("." if door.threshold_run is not None else ", or fill in threshold_run."),
            published(slope),
            required=lacking + run,
            measured=run,
            margin=-lacking,
            at_mm=here.at_mm,
            wall=here.wall.id,
        )


def _hardware(scene: Scene, here: _Where) -> Iterator[Finding]:
    for code, outcome, mend in _measures(scene, here.door):
        yield from judge(scene, outcome, code, here.name, mend, at_mm=here.at_mm, wall=here.wall.id)


def _measures(scene: Scene, door: Door) -> Iterator[tuple[str, Outcome, str]]:
    """List what is known of a door's own parts, each against its value, with code and mend."""
    book = scene.rulebook
    if door.hardware_height is not None:
        low, high = hardware.handle(book, door.hardware_height)
        yield "door-hardware", low, "Move handles and locks {short} up."
        yield "door-hardware", high, "Move handles and locks {short} down."
    if door.force is not None and has_force_limit(door):
        outcome = hardware.opening_force(book, door.force)
        yield "door-force", outcome, "Ease the closer or the hinges by {short}."
    if door.closing_seconds is not None and (door.closer or door.spring_hinge):
        outcome = hardware.closing(book, door.closing_seconds, door.spring_hinge)
        yield "door-closing", outcome, "Set the closer to take {short} longer."
    if door.smooth is not None and door.swing != "sliding":
        outcome = hardware.smooth_push_side(book, door.smooth)
        yield "door-smooth", outcome, "Cover the push side {short} higher."
    if door.glass_bottom is not None:
        glass = hardware.glass_to_look_through(book, door.glass_bottom)
        if glass is not None:
            yield (
                "door-glass",
                glass,
                "Bring the glass {short} lower.",
            )


def has_force_limit(door: Door) -> bool:
    """Say whether the force that opens a door has a limit: not outer hinged or fire doors.

    Source
    ------
    2010 ADA Standards, 404.2.9. Text read.
    """
    outer = door.use != "inner" and door.swing in ("in", "out")
    return door.swing != "none" and not outer and not door.fire_door


def _leads_out(door: Door) -> bool:
    return door.leads_to is None and door.use in ("entrance", "exit")


def _outside(scene: Scene, here: _Where) -> Iterator[Finding]:
    """Judge the ground outside a door: 404.2.4 on that side, 404.2.5 and 303 for the drop."""
    door, book = here.door, scene.rulebook
    if not _leads_out(door):
        return
    wanted = front_approach(book, door, inside=False)
    found: list[tuple[str, float, float, str]] = []
    if door.outside is not None:
        ground = door.outside
        beside = "outside, beside the"
        found = [
            ("outside, depth of level ground", ground.depth, wanted.depth_mm, wanted.depth_key),
            (f"{beside} latch", ground.latch_side, wanted.latch_side_mm, wanted.beside_key),
            (f"{beside} hinges", ground.hinge_side, wanted.hinge_side_mm, wanted.beside_key),
        ]
        if ground.slope is not None:
            outcome = floor_slope(book, ground.slope)
            yield from judge(
                scene, outcome, "door-outside-slope", here.name, at_mm=here.at_mm, wall=here.wall.id
            )
        yield from _drop(scene, here, ground.drop)
    else:
        found = list(_landing(scene, door, wanted))
    for what, measured, required, key in found:
        if less(measured, required):
            yield say(
                "door-outside",
                "violation",
                here.name,
                f"Door {door.id}, {what}: {scene.words.versus(measured, required)}; it "
                f"is {'pulled' if is_pulled(door, False) else 'pushed'} from there.",
                f"Level {scene.words.enough(required - measured)} more ground there.",
                published(book.requirement(key)),
                required=required,
                measured=measured,
                margin=measured - required,
                at_mm=here.at_mm,
                wall=here.wall.id,
            )


def _led_to(scene: Scene, door: Door) -> Platform | None:
    """Give the landing before a door that a ramp leads to, as one comes out, or none."""
    approach = scene.scenario.shop.approach
    return head_of(approach, door.width) if approach.door == door.id else None


def _landing(
    scene: Scene, door: Door, wanted: Manoeuvre
) -> Iterator[tuple[str, float, float, str]]:
    """List the measures of the landing before a door that a ramp leads to, mm, with their values.

    Length and width are out from the door and along its wall, whichever way the ramp goes.
    """
    approach = scene.scenario.shop.approach
    landing = _led_to(scene, door)
    if landing is None:
        return
    beside = wanted.beside_key or wanted.depth_key
    yield "length of the landing", landing.deep, wanted.depth_mm, wanted.depth_key
    if approach.ramps[0].top.left is None:
        across = door.width + wanted.latch_side_mm + wanted.hinge_side_mm
        yield "width of the landing", landing.wide, across, beside
        return
    # Hinges are named as seen from inside, as one comes out.
    sides = [landing.reach, landing.wide - landing.reach - door.width]
    hinge, latch = sides if door.hinge == "left" else reversed(sides)
    yield "landing beside the latch", latch, wanted.latch_side_mm, beside
    yield "landing beside the hinges", hinge, wanted.hinge_side_mm, beside


def _drop(scene: Scene, here: _Where, drop: float) -> Iterator[Finding]:
    book, words = scene.rulebook, scene.words
    kind = level_change(book, drop)
    if kind == "none":
        return
    limit = book.requirement("level-without-ramp" if kind == "ramp" else "level-vertical")
    yield say(
        "door-step",
        "violation" if kind == "ramp" else "advice",
        here.name,
        f"The ground outside {here.name} lies {words.say(drop)} lower: "
        f"{words.versus(drop, limit.value)}.",
        "Raise the ground, or add a ramp with a level landing."
        if kind == "ramp"
        else "Bevel the edge not steeper than 1:2.",
        published(limit),
        required=limit.value,
        measured=drop,
        at_mm=here.at_mm,
        wall=here.wall.id,
    )


def _entrances(scene: Scene) -> Iterator[Finding]:
    """Count the entrances that miss a value on doors, where there are several.

    Source
    ------
    2010 ADA Standards, 206.4.1 and 206.4.5. Text read.
    """
    entrances = [_Where(d, w) for d, w in scene.doors if d.use == "entrance"]
    if len(entrances) < 2:
        return
    good = [here for here in entrances if not _misses(scene, here)]
    wanted = routes.entrances_wanted(scene.rulebook, len(entrances))
    if len(good) >= wanted:
        return
    share = scene.rulebook.requirement("entrances")
    bad = [here.door.id for here in entrances if here not in good]
    yield say(
        "entrances",
        "violation",
        "entrances",
        f"{len(good)} of {len(entrances)} entrances meet the values on doors, and {wanted} of them "
        f"{'is' if wanted == 1 else 'are'} wanted; not: {join(bad)}.",
        f"Mend {wanted - len(good)} of these doors as said for each.",
        published(share),
        required=float(wanted),
        measured=float(len(good)),
        margin=float(len(good) - wanted),
        unit="count",
    )


def spare_entrances(scene: Scene) -> set[str]:
    """Name the entrances that may miss values on doors, since enough others meet them."""
    entrances = [_Where(d, w) for d, w in scene.doors if d.use == "entrance"]
    bad = [here.door.id for here in entrances if _misses(scene, here)]
    wanted = routes.entrances_wanted(scene.rulebook, len(entrances))
    return set(bad) if bad and len(entrances) - len(bad) >= wanted else set()


def _misses(scene: Scene, here: _Where) -> bool:
    found = [*opening(scene, here.door, here.wall), *_itself(scene, here)]
    return any(each.severity == "violation" for each in found)


def _not_measured(scene: Scene) -> Iterator[Finding]:
    tape: dict[str, list[str]] = defaultdict(list)
    scales: dict[str, list[str]] = defaultdict(list)
    outside: list[str] = []
    for door, _ in scene.doors:
        if door.threshold is None:
            tape["threshold"].append(door.id)
        if _leads_out(door) and door.outside is None and _led_to(scene, door) is None:
            outside.append(door.id)
        if door.swing == "none":
            continue
        for name in ("recess", "hardware_height"):
            if getattr(door, name) is None:
                tape[name].append(door.id)
        if door.swing != "sliding" and door.smooth is None:
            tape["smooth"].append(door.id)
        if has_force_limit(door) and door.force is None:
            scales["force"].append(door.id)
        if (door.closer or door.spring_hinge) and door.closing_seconds is None:
            scales["closing_seconds"].append(door.id)
        if door.closer and door.closer_height is None:
            tape["closer_height"].append(door.id)
    yield from unmeasured(
        scene,
        "door-parts",
        "thresholds, recesses, handles, closers and push sides of doors",
        tape,
        "Measure them with a tape, and glass_bottom where there is glass to look through.",
        (
            *("threshold", "recess-deep", "door-hardware-low", "door-smooth", "door-glass-low"),
            "headroom-closer",
        ),
    )
    yield from unmeasured(
        scene,
        "door-handling",
        "force and time of doors",
        scales,
        "Pull the inner door open with a spring scale, and time the closer from 90 to 12 degrees.",
        ("door-force", "door-closing"),
    )
    yield from unmeasured(
        scene,
        "door-outside",
        "level ground outside doors",
        {"outside": outside},
        "Measure how far level ground runs out from the door and on beside the latch, how far it "
        "lies below the floor, and its slope (outside: {depth, latch_side, hinge_side, drop, "
        "slope}).",
        ("door-pull-depth", "threshold", "door-floor-slope"),
    )


def _eased(findings: Iterable[Finding]) -> Iterator[Finding]:
    """Turn what a spare entrance misses into advice, apart from what can hurt at any door."""
    for found in findings:
        if found.severity == "violation" and found.code not in _ALWAYS:
            said = f"{found.message} Enough other entrances meet these values (206.4.1)."
            found = found.model_copy(update={"severity": "advice", "message": said})
        yield found


_ALWAYS = frozenset({"door-height", "door-closer-height"})
