"""Sentences that go with an answer: what it is proved for, what to know, and the cautions."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from shopfit.access.sizes import door_floor, ratios, sizes, steps_of
from shopfit.model.rampplan import Arrangement
from shopfit.model.rampsite import RampTask
from shopfit.standards import Requirement, Rulebook
from shopfit.units import format_length

_KEYS = (
    "ramp-slope",
    "ramp-width",
    "ramp-rise",
    "ramp-going",
    "ramp-going-steepest",
    "landing-length",
    "landing-length-between",
    "landing-turn",
    "landing-passing",
    "ramp-handrail-rise",
    "handrail-extension",
    "door-pull-depth",
    "door-push-depth",
)


def family(task: RampTask, book: Rulebook) -> tuple[str, ...]:
    """Say of which arrangements all were tried."""
    say, limits, size = _saying(task), task.limits, sizes(task, book)
    turns = f"{limits.fewest_turns} to {limits.most_turns} turns"
    told = [
        f"runs of one slope and one clear width ({say(size.width)}), square to the wall of the "
        f"door, with {turns}; a turn is a quarter turn or one back, either way",
        "a landing at the door just as large as the floor that the door wants outside, the length "
        "of a landing and the ends of handrails ask for; the first run leaves it straight out or "
        "along the wall, flush with either end of it or with the ground",
        "landings of the least size; runs at the outer or at the inner sides of the landings where "
        "they turn; runs between two turns are equally long",
        f"{say(size.beside)} beside the clear width on each side for "
        f"{'handrail and kerb' if size.railed else 'a kerb'}"
        f"{f', and {say(limits.gap)} between runs side by side' if limits.gap else ''}",
        "all of it on the ground given, the landing at the foot too; level ground at the height "
        "of the foot is taken for granted",
    ]
    if size.railed:
        told.append("handrails on every run as soon as the whole rise asks for them")
    return tuple(told)


def grid(task: RampTask, book: Rulebook) -> tuple[str, ...]:
    """Say on which grid they were tried."""
    say = _saying(task)
    plain, steep = ratios(task, book)
    told = [f"slopes {', '.join(f'1:{ratio:g}' for ratio in plain)}"]
    if steep:
        told.append(
            f"on the existing site then {', '.join(f'1:{ratio:g}' for ratio in steep)}, gentlest "
            "first, and only until something fits"
        )
    told.append(
        f"runs before a turn in multiples of {say(task.limits.step)}, in equal shares, in whole "
        "runs of the greatest rise, and exactly as long as the ground lets them be; the last takes "
        "the rest, so that it is exact"
    )
    return tuple(told)


def notes(task: RampTask, book: Rulebook, listed: Sequence[Arrangement] = ()) -> tuple[str, ...]:
    """Say what else there is to know."""
    say, told = _saying(task), []
    if task.rise <= book.mm("level-without-ramp"):
        kept = book.requirement("level-without-ramp")
        told.append(
            f"A change in level of {say(task.rise)} wants no ramp; bevel it not steeper than 1:2 "
            f"over {say(book.mm('level-vertical'))} ({kept.clause})."
        )
        return tuple(told)
    left, right, deep = door_floor(task.door, book, "out")
    told.append(f"Floor that the door wants outside: {say(right - left)} wide, {say(deep)} deep.")
    if any(each.existing_site for each in listed):
        told.append(
            "Nothing fits at the usual slope, so this leans on the exception for existing sites "
            "(2010 ADA Standards, 405.2), taken for the whole rise. Keep a note of why."
        )
    if task.limits.steps != "no" and steps_of(task, book) is None:
        told.append("No equal risers within the values make up this rise, so there are no steps.")
    if "ramp-rise-total" in book and not book.requirement("ramp-rise-total").holds(task.rise):
        limit = book.requirement("ramp-rise-total")
        told.append(
            f"Over {limit.written} of rise another step-free way is wanted ({limit.clause})."
        )
    if "ramp-going-steepest" in book:
        told.append("Goings between the pairs of the table are taken straight between them.")
    return tuple(told)


def cautions(book: Rulebook, listed: Sequence[Arrangement] = ()) -> tuple[str, ...]:
    """Say the cautions that go with every ramp."""
    told = [
        "Local code and a licensed person decide on the form, the structure, the footing and the "
        "drainage of a ramp. Cross slopes, surfaces, wet and ice, and lighting are not looked at.",
        "The ground is taken as level and as free as it was drawn: measure it, and find what lies "
        "in and under it, before anything is ordered. Ask whose ground it is.",
    ]
    if "guard-drop" in book and any(each.guard_mm for each in listed):
        told.append(_guard(book))
    return tuple(told)


def _guard(book: Rulebook) -> str:
    drop, height, sphere = (
        book.requirement(key) for key in ("guard-drop", "guard-height", "guard-sphere")
    )
    return (
        f"Edges with a drop over {drop.written} want a guard ({drop.clause}, {drop.confidence}): "
        f"{height.written} high, that no sphere of {sphere.written} passes ({height.confidence}); "
        "a handrail alone is no guard."
    )


def values(book: Rulebook) -> tuple[Requirement, ...]:
    """Give the published values that arrangements are made by."""
    return tuple(book.requirement(key) for key in _KEYS if key in book)


def _saying(task: RampTask) -> Callable[[float], str]:
    return lambda length: format_length(length, task.units)
