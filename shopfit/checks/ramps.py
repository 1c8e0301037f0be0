"""Checks the way in from outside: ramps, landings, handrails and the step at the door."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from shopfit.checks.clauses import judge, unmeasured
from shopfit.checks.notes import SHELL, less, more, published
from shopfit.checks.scene import Scene
from shopfit.geometry.wayin import below
from shopfit.model.approach import Landing, Ramp
from shopfit.model.finding import Finding, Severity
from shopfit.standards import Requirement
from shopfit.standards.ramps import (
    cross_slope,
    handrails_needed,
    is_ramp,
    landing_slope,
    longest_going,
    steepest_slope,
)


def check(scene: Scene) -> Iterator[Finding]:
    """Find ramps too steep, narrow or high, and floors that no ramp reaches."""
    approach = scene.scenario.shop.approach
    yield from _climb(scene)
    yield from _level(scene)
    for index, ramp in enumerate(approach.ramps):
        yield from _width(scene, ramp)
        if is_ramp(scene.rulebook, ramp.rise / ramp.run):
            yield from _slope(scene, ramp)
            yield from _rise(scene, ramp)
            yield from _going(scene, ramp)
            yield from _handrails(scene, ramp)
            yield from _edges(scene, ramp)
            last = index == len(approach.ramps) - 1
            yield from _landing(scene, ramp, "top", _as_left(ramp, index), between=index > 0)
            yield from _landing(scene, ramp, "bottom", ramp.bottom, between=not last)
            if not last:
                yield from _turn(scene, index)


def _finding(
    code: str,
    subject: str,
    message: str,
    mend: str,
    requirement: Requirement,
    required: float,
    measured: float,
    severity: Severity = "violation",
) -> Finding:
    source = published(requirement)
    return Finding(
        code=code,
        severity=severity,
        subject=subject,
        message=message,
        mend=mend,
        required=required,
        measured=measured,
        clause=source.clause,
        source=source.source,
        confidence=source.confidence,
    )


def _climb(scene: Scene) -> Iterator[Finding]:
    approach, words = scene.scenario.shop.approach, scene.words
    height = approach.floor_above_grade
    climbed = sum(ramp.rise for ramp in approach.ramps)
    left = height - climbed
    free = scene.rulebook.requirement("level-vertical")
    bevel = scene.rulebook.requirement("level-without-ramp")
    if approach.ramps and abs(left) > free.value + 1e-9:
        yield Finding(
            code="ramp-climb",
            severity="violation",
            subject="approach",
            message=f"The ramps climb {words.say(climbed)}, the floor lies {words.say(height)} "
            f"above the ground: {words.fine(abs(left))} {'is left' if left > 0 else 'too much'}.",
            mend="Measure again, or make the rises of the ramps add up to the floor's height.",
            required=height,
            measured=climbed,
            source=SHELL.source,
        )
    if not approach.ramps and more(height, bevel.value):
        yield _finding(
            "no-ramp",
            "approach",
            f"The floor lies {words.say(height)} above the ground and no ramp leads to it: "
            f"{words.versus(height, bevel.value)}.",
            "Add a ramp; local code and a licensed person decide on its form.",
            bevel,
            bevel.value,
            height,
        )
    elif not approach.ramps and more(height, free.value):
        yield _finding(
            "threshold-bevel",
            "approach",
            f"The step at the door wants a bevel: {words.versus(height, free.value)}.",
            "Bevel it not steeper than 1:2.",
            free,
            free.value,
            height,
            "advice",
        )


def _level(scene: Scene) -> Iterator[Finding]:
    """Judge slopes across ramps and of landings: 405.3 and 405.7.1."""
    missing: dict[str, list[str]] = defaultdict(list)
    for ramp in scene.scenario.shop.approach.ramps:
        name = f"ramp {ramp.id}"
        if ramp.cross_slope is None:
            missing["cross_slope"].append(ramp.id)
        else:
            across = cross_slope(scene.rulebook, ramp.cross_slope)
            yield from judge(scene, across, "ramp-cross-slope", name)
        for which, landing in (("top", ramp.top), ("bottom", ramp.bottom)):
            if landing.slope is None:
                missing["slope"].append(f"the {which} landing of {ramp.id}")
            else:
                level = landing_slope(scene.rulebook, landing.slope)
                yield from judge(scene, level, "landing-slope", f"{which} landing of {name}")
    yield from unmeasured(
        scene,
        "ramp-level",
        "slopes across ramps and of landings",
        missing,
        "Measure them with a level.",
        ("ramp-cross-slope", "landing-slope"),
    )


def _slope(scene: Scene, ramp: Ramp) -> Iterator[Finding]:
    limit = steepest_slope(scene.rulebook, ramp.rise, ramp.existing_site)
    needed = ramp.rise / limit.value
    ratio = f"1:{1 / limit.value:.0f}"
    if less(ramp.run, needed):
        yield _finding(
            "ramp-slope",
            f"ramp {ramp.id}",
            f"Ramp {ramp.id} is steeper than {ratio}: it rises {scene.words.say(ramp.rise)} over "
            f"{scene.words.say(ramp.run)} and wants {scene.words.say(needed)}, "
            f"{scene.words.fine(needed - ramp.run)} more.",
            f"Lengthen it by {scene.words.enough(needed - ramp.run)}.",
            limit,
            needed,
            ramp.run,
        )
    elif ramp.existing_site and less(ramp.run, ramp.rise / scene.rulebook.slope("ramp-slope")):
        yield _finding(
            "ramp-existing",
            f"ramp {ramp.id}",
            f"Ramp {ramp.id} is steeper than 1:12 and leans on the exception for existing sites.",
            "Keep a note of why no longer ramp fits; local code and a licensed person decide.",
            limit,
            needed,
            ramp.run,
            "advice",
        )


def _width(scene: Scene, ramp: Ramp) -> Iterator[Finding]:
    limit = scene.rulebook.requirement("ramp-width")
    if less(ramp.width, limit.value):
        yield _finding(
            "ramp-width",
            f"ramp {ramp.id}",
            f"Ramp {ramp.id} is too narrow: {scene.words.versus(ramp.width, limit.value)}.",
            f"Widen it by {scene.words.enough(limit.value - ramp.width)}, between handrails.",
            limit,
            limit.value,
            ramp.width,
        )


def _rise(scene: Scene, ramp: Ramp) -> Iterator[Finding]:
    limit = scene.rulebook.requirement("ramp-rise")
    if more(ramp.rise, limit.value):
        yield _finding(
            "ramp-rise",
            f"ramp {ramp.id}",
            f"Ramp {ramp.id} climbs too much in one run: "
            f"{scene.words.versus(ramp.rise, limit.value)}.",
            "Part it with a landing.",
            limit,
            limit.value,
            ramp.rise,
        )


def _going(scene: Scene, ramp: Ramp) -> Iterator[Finding]:
    if "ramp-going" not in scene.rulebook:
        return
    limit = scene.rulebook.requirement("ramp-going")
    if more(ramp.run, limit.value):
        yield _finding(
            "ramp-going",
            f"ramp {ramp.id}",
            f"Ramp {ramp.id} is too long in one flight: "
            f"{scene.words.versus(ramp.run, limit.value)}.",
            "Part it with a landing.",
            limit,
            limit.value,
            ramp.run,
        )
        return
    longest = longest_going(scene.rulebook, ramp.rise / ramp.run)
    if longest > 0 and more(ramp.run, longest):
        by_slope = scene.rulebook.requirement("ramp-going-steepest")
        ratio = f"1:{ramp.run / ramp.rise:.3g}"
        yield _finding(
            "ramp-gradient",
            f"ramp {ramp.id}",
            f"Ramp {ramp.id} is too long in one flight at {ratio}: "
            f"{scene.words.versus(ramp.run, longest)}.",
            "Part it with a landing, or make it less steep.",
            by_slope,
            longest,
            ramp.run,
        )


def _handrails(scene: Scene, ramp: Ramp) -> Iterator[Finding]:
    limit = scene.rulebook.requirement("ramp-handrail-rise")
    if handrails_needed(scene.rulebook, ramp.rise) and not ramp.handrails:
        yield _finding(
            "ramp-handrails",
            f"ramp {ramp.id}",
            f"Ramp {ramp.id} has no handrails and rises more than {scene.words.say(limit.value)}: "
            f"{scene.words.versus(ramp.rise, limit.value)}.",
            "Put handrails on both sides.",
            limit,
            limit.value,
            ramp.rise,
        )


def _edges(scene: Scene, ramp: Ramp) -> Iterator[Finding]:
    if ramp.edge_protection:
        return
    limit = scene.rulebook.requirement("ramp-edge-drop")
    yield _finding(
        "ramp-edges",
        f"ramp {ramp.id}",
        f"Ramp {ramp.id} has no edge protection; open sides want kerbs or rails that keep wheels "
        "on.",
        "Add kerbs or rails, or say edge_protection: true where walls or kerbs are there.",
        limit,
        limit.value,
        ramp.rise,
        "advice",
    )


def _as_left(ramp: Ramp, index: int) -> Landing:
    """Give a top landing along and across the run that leaves it, wherever that goes."""
    if index == 0 or ramp.leaves not in ("left", "right"):
        return ramp.top
    turned = {"length": ramp.top.width, "width": ramp.top.length}
    return ramp.top.model_copy(update=turned)


def _turn(scene: Scene, index: int) -> Iterator[Finding]:
    """Judge the size of a landing below a run on which the ramp turns, where it is told: 405.7.4.

    Source
    ------
    2010 ADA Standards, 405.7.4. Text read.
    """
    approach, book, words = scene.scenario.shop.approach, scene.rulebook, scene.words
    ramp, following = approach.ramps[index : index + 2]
    if following.leaves in (None, "ahead") or "landing-turn" not in book:
        return
    length, width, _ = below(approach, index)
    limit, measured = book.requirement("landing-turn"), min(length, width)
    if less(measured, limit.value):
        yield _finding(
            "landing-turn",
            f"ramp {ramp.id}, bottom landing",
            f"The landing below ramp {ramp.id}, where the ramp turns, is too small: "
            f"{words.versus(measured, limit.value)}.",
            f"Make it {words.enough(limit.value - measured)} "
            f"{'longer' if length <= width else 'wider'}.",
            limit,
            limit.value,
            measured,
        )


def _landing(
    scene: Scene, ramp: Ramp, which: str, landing: Landing, between: bool
) -> Iterator[Finding]:
    book = scene.rulebook
    apart = between and "landing-length-between" in book
    limit = book.requirement("landing-length-between" if apart else "landing-length")
    for what, measured, required in (
        ("short", landing.length, limit.value),
        ("narrow", landing.width, ramp.width),
    ):
        if less(measured, required):
            yield _finding(
                f"landing-{what}",
                f"ramp {ramp.id}, {which} landing",
                f"The {which} landing of ramp {ramp.id} is too {what}: "
                f"{scene.words.versus(measured, required)}.",
                f"Make it {scene.words.enough(required - measured)} "
                f"{'longer' if what == 'short' else 'wider'}.",
                limit,
                required,
                measured,
            )
