"""Checks the steps of the way in, and the handrails of ramps and steps."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace

from shopfit.checks.clauses import judge, unmeasured
from shopfit.checks.notes import SHELL, more, published
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene
from shopfit.model.approach import Handrail, Steps
from shopfit.model.finding import Finding
from shopfit.standards import handrails
from shopfit.standards.protrusion import handrail_projection
from shopfit.standards.ramps import handrails_needed, is_ramp
from shopfit.standards.rulebook import Outcome


def check(scene: Scene) -> Iterator[Finding]:
    """Find uneven or open steps, and handrails that are hard to hold."""
    steps = scene.scenario.shop.approach.steps
    if steps is not None:
        yield from _flight(scene, steps)
        yield from _rails_of_steps(scene, steps)
    yield from _rail(scene)


def _flight(scene: Scene, steps: Steps) -> Iterator[Finding]:
    """Judge risers, treads and nosings.

    Source
    ------
    2010 ADA Standards, 504.2, 504.3 and 504.5, for stairs of a means of egress (210.1). Text read.
    """
    book = scene.rulebook
    risers = steps.risers or (steps.riser,)
    treads = steps.treads or (steps.tread,)
    codes = ("step-riser", "step-riser", "step-tread")
    for code, outcome in zip(codes, handrails.flight(book, risers, treads), strict=True):
        yield from judge(scene, outcome, code, "steps")
    for what, sizes in (("risers", risers), ("treads", treads)):
        if handrails.uneven(book, sizes):
            yield _uneven(scene, what, sizes)
    if steps.open_risers:
        yield say(
            "step-open",
            "violation",
            "steps",
            "The steps are open between the treads; feet and canes catch under them.",
            "Close the risers.",
            published(book.requirement("riser-low")),
        ).model_copy(update={"clause": f"{_title(scene)}, 504.3"})
    if steps.nosing_radius is not None or steps.nosing_projection is not None:
        found = handrails.nosing(book, steps.nosing_radius or 0.0, steps.nosing_projection or 0.0)
        for outcome in found:
            yield from judge(scene, outcome, "step-nosing", "steps")
    yield from _climb(scene, steps)


def _title(scene: Scene) -> str:
    return scene.rulebook.requirement("riser-low").clause.rpartition(",")[0]


def _uneven(scene: Scene, what: str, sizes: tuple[float, ...]) -> Finding:
    spread, words = max(sizes) - min(sizes), scene.words
    return say(
        f"step-{what}-uneven",
        "violation",
        "steps",
        f"The {what} of the steps differ: {words.say(min(sizes))} to {words.say(max(sizes))}, "
        f"{words.fine(spread)} apart. People fall on the odd one.",
        "Make them all alike.",
        published(scene.rulebook.requirement("tread" if what == "treads" else "riser-low")),
        required=0.0,
        measured=spread,
    )


def _climb(scene: Scene, steps: Steps) -> Iterator[Finding]:
    """Compare what the steps climb with the height of the floor."""
    height, words = scene.scenario.shop.approach.floor_above_grade, scene.words
    climbed = sum(steps.risers) if len(steps.risers) == steps.count else steps.count * steps.riser
    slack = scene.rulebook.mm("level-vertical")
    if more(abs(height - climbed), slack):
        yield say(
            "step-climb",
            "advice",
            "steps",
            f"The steps climb {words.say(climbed)}, the floor lies {words.say(height)} above the "
            f"ground: {words.fine(abs(height - climbed))} apart.",
            "Measure again, or correct count and riser of the steps.",
            SHELL,
            required=height,
            measured=climbed,
        )


def _rails_of_steps(scene: Scene, steps: Steps) -> Iterator[Finding]:
    """Judge whether steps have handrails: 504.6 and 505.2."""
    low = scene.rulebook.requirement("handrail-low")
    if steps.handrails is False:
        yield say(
            "step-handrails",
            "violation",
            "steps",
            "The steps have no handrails on both sides.",
            "Put handrails on both sides, and say handrails: true.",
            published(low),
        ).model_copy(update={"clause": f"{_title(scene)}, 505.2"})


def _rail(scene: Scene) -> Iterator[Finding]:
    approach, book = scene.scenario.shop.approach, scene.rulebook
    on_ramps = [
        ramp
        for ramp in approach.ramps
        if ramp.handrails
        or (is_ramp(book, ramp.rise / ramp.run) and handrails_needed(book, ramp.rise))
    ]
    steps = approach.steps
    missing: dict[str, list[str]] = defaultdict(list)
    if steps is not None:
        for name in ("handrails", "open_risers", "nosing_radius", "nosing_projection"):
            if getattr(steps, name) is None:
                missing[name].append("steps")
    rail = approach.handrail
    if on_ramps or (steps is not None and steps.handrails):
        if rail is None:
            missing["handrail"].append("approach")
        else:
            for code, outcome in _measures(scene, rail, bool(on_ramps), steps):
                yield from judge(scene, outcome, code, "handrails")
            missing.update(_not_given(rail, bool(on_ramps), steps))
    yield from unmeasured(
        scene,
        "rails",
        "steps, and the handrails of ramps and steps",
        missing,
        "Measure the height of the rail over slope and nosings, its clearance to walls, its "
        "section, and how far it runs on beyond each end (handrail: {height, clear, diameter, "
        "beyond_ramp, beyond_top, beyond_bottom}).",
        ("handrail-low", "handrail-clear", "handrail-extension", "nosing-radius"),
    )


def _measures(
    scene: Scene, rail: Handrail, ramps: bool, steps: Steps | None
) -> Iterator[tuple[str, Outcome]]:
    """List what is known of the handrails, each against its value.

    Source
    ------
    2010 ADA Standards, 505.4 to 505.10 and 307.2, exception. Text read.
    """
    book = scene.rulebook
    if rail.height is not None:
        for outcome in handrails.handrail_height(book, rail.height):
            yield "handrail-height", outcome
    if rail.clear is not None:
        yield "handrail-clear", handrails.handrail_clearance(book, rail.clear)
    if rail.blocked is not None:
        yield "handrail-blocked", handrails.handrail_support(book, rail.blocked)
    if rail.diameter is not None:
        for outcome in handrails.round_section(book, rail.diameter):
            yield "handrail-section", outcome
    if rail.perimeter is not None and rail.across is not None:
        for outcome in handrails.other_section(book, rail.perimeter, rail.across):
            yield "handrail-section", outcome
    if rail.out is not None:
        yield "handrail-out", handrail_projection(book, rail.out)
    if ramps and rail.beyond_ramp is not None:
        yield "handrail-beyond", handrails.ramp_extension(book, rail.beyond_ramp)
    if steps is None or not steps.handrails:
        return
    if rail.beyond_top is not None:
        yield "handrail-beyond", book.outcome("handrail-extension-stair", rail.beyond_top)
    if rail.beyond_bottom is not None:
        _, bottom = handrails.stair_extensions(book, max(steps.treads or (steps.tread,)))
        wanted = replace(
            book.requirement("handrail-extension-stair"),
            value=bottom,
            quantity="how far a handrail runs on beyond the bottom of steps, sloping",
            clause=f"{_title(scene)}, 505.10.3",
        )
        yield "handrail-beyond", Outcome(wanted, rail.beyond_bottom)


def _not_given(rail: Handrail, ramps: bool, steps: Steps | None) -> dict[str, list[str]]:
    wanted = ["height", "clear"]
    wanted += ["beyond_ramp"] if ramps else []
    wanted += ["beyond_top", "beyond_bottom"] if steps is not None and steps.handrails else []
    names = [name for name in wanted if getattr(rail, name) is None]
    if rail.diameter is None and (rail.perimeter is None or rail.across is None):
        names.append("diameter")
    return {name: ["handrail"] for name in names}
