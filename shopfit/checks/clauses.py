"""Sets measures against clauses, and gathers what was not measured."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from shapely.geometry.base import BaseGeometry

from shopfit.checks.notes import join, published
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene
from shopfit.geometry.freefloor import polygons
from shopfit.model.finding import Finding, Severity
from shopfit.standards import Requirement
from shopfit.standards.rulebook import Outcome
from shopfit.units import format_force, format_slope


def judge(
    scene: Scene,
    outcome: Outcome,
    code: str,
    subject: str,
    mend: str = "",
    severity: Severity = "violation",
    **more: Any,
) -> Iterator[Finding]:
    """Give a finding if a measure misses a published value.

    Parameters
    ----------
    scene
        Whose words.
    outcome
        The measure set against the value.
    code, subject, severity
        As in a finding.
    mend
        What to do; ``{short}`` stands for how much is missing, rounded up. Left out, it says by
        how much the measure is to change.
    more
        Further fields of a finding.
    """
    if outcome.met:
        return
    wanted = outcome.requirement
    short = amount(scene, wanted, -outcome.margin, up=True)
    least = wanted.comparator in ("min", "above")
    if wanted.unit == "rise/run":
        standard = f"Make it no steeper than {format_slope(wanted.value)}."
    else:
        standard = f"Make it {short} {'more' if least else 'less'}."
    yield say(
        code,
        severity,
        subject,
        f"{subject[0].upper()}{subject[1:]}: {wanted.quantity}: "
        f"{amount(scene, wanted, outcome.measured)} found, {amount(scene, wanted, wanted.value)} "
        f"wanted at {'least' if least else 'most'}.",
        mend.replace("{short}", short) or standard,
        published(wanted),
        required=wanted.value,
        measured=outcome.measured,
        margin=outcome.margin,
        unit=wanted.unit,
        **more,
    )


def amount(scene: Scene, wanted: Requirement, value: float, up: bool = False) -> str:
    """Write a measure in the unit of a published value, lengths rounded up for mends."""
    if wanted.unit == "mm":
        return scene.words.enough(value) if up else scene.words.say(value)
    if wanted.unit == "rise/run":
        return format_slope(value)
    if wanted.unit == "N":
        return format_force(value, scene.words.style)
    units = {"s": " s", "percent": " %", "m2": " m2", "count": ""}
    return f"{value:.3g}{units.get(wanted.unit, f' {wanted.unit}')}"


def unmeasured(
    scene: Scene,
    code: str,
    what: str,
    missing: Mapping[str, Sequence[str]],
    how: str,
    keys: Sequence[str],
    file: str = "shop.yaml",
) -> Iterator[Finding]:
    """Give one finding for all measures of a kind that were not given, or none.

    Parameters
    ----------
    scene
        Whose rulebook.
    code
        Of the finding, without ``-not-checked``.
    what
        What was therefore not checked, in words.
    missing
        Names of the things whose measure is missing, by field.
    how
        How to measure them.
    keys
        Published values that are concerned; those not in the rulebook are left out.
    file
        Where the fields are.
    """
    fields = {name: list(dict.fromkeys(things)) for name, things in missing.items() if things}
    known = [scene.rulebook.requirement(key) for key in keys if key in scene.rulebook]
    if not fields or not known:
        return
    grouped: dict[str, list[str]] = {}
    for name, things in fields.items():
        grouped.setdefault(join(things), []).append(name)
    said = "; ".join(f"{', '.join(names)} of {things}" for things, names in grouped.items())
    everything = dict.fromkeys(thing for things in fields.values() for thing in things)
    title, _, _ = known[0].clause.rpartition(",")
    clauses = dict.fromkeys(one.clause.removeprefix(f"{title},").strip() for one in known)
    source = published(known[0])
    yield say(
        f"{code}-not-checked",
        "not checked",
        join(everything),
        f"Not given, so not checked ({what}): {said}.",
        f"{how} Fill in {'this field' if len(fields) == 1 else 'these fields'} in {file}.",
    ).model_copy(
        update={
            "clause": f"{title}, {', '.join(clauses)}",
            "source": source.source,
            "confidence": source.confidence,
        }
    )


def drawn(*shapes: BaseGeometry) -> tuple[tuple[tuple[float, float], ...], ...]:
    """Give the outlines of shapes as lines for the plan, mm."""
    return tuple(
        tuple((round(x, 1), round(y, 1)) for x, y in part.exterior.coords)
        for shape in shapes
        for part in polygons(shape)
    )
