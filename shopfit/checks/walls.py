"""Checks slat-wall runs: on their wall, off what is on it, over the fixtures they name."""

from __future__ import annotations

from collections.abc import Iterator

from shopfit.checks.backs import span
from shopfit.checks.notes import BRIEF, CATALOGUE, LAYOUT, SHELL, Source, join, less, more
from shopfit.checks.scene import Hung, Scene
from shopfit.geometry.openings import things_on
from shopfit.model.finding import Finding
from shopfit.units import TOLERANCE_MM


def check(scene: Scene) -> Iterator[Finding]:
    """Find runs that do not fit their wall, their sheet or what stands below them."""
    for one in scene.hung:
        yield from _extent(scene, one)
        yield from _top(scene, one)
        yield from _bottom(scene, one)
        yield from _things(scene, one)
        yield from _below(scene, one)
        yield from _groove(scene, one)
    for wall_id, runs in scene.runs_on.items():
        yield from _meeting(scene, wall_id, runs)


def _finding(
    one: Hung,
    code: str,
    message: str,
    mend: str,
    source: Source,
    required: float | None = None,
    measured: float | None = None,
    height: float | None = None,
) -> Finding:
    run = one.run
    x, y = one.wall.point((run.from_mm + run.to_mm) / 2)
    return Finding(
        code=code,
        severity="violation",
        subject=one.name,
        message=message,
        mend=mend,
        required=required,
        measured=measured,
        source=source.source,
        at_mm=(round(x, 1), round(y, 1)),
        wall=run.wall,
        height_mm=run.bottom_mm if height is None else height,
    )


def _extent(scene: Scene, one: Hung) -> Iterator[Finding]:
    run, words = one.run, scene.words
    if not one.wall.slat_wall:
        yield _finding(
            one,
            "wall-not-for-slat",
            f"{one.name} hangs on wall {run.wall}, where no slat-wall may hang.",
            "Hang it on another wall.",
            SHELL,
        )
    if run.to_mm - run.from_mm <= TOLERANCE_MM or run.top_mm - run.bottom_mm <= TOLERANCE_MM:
        yield _finding(
            one,
            "run-empty",
            f"{one.name} has no size: {run.from_mm:.2f} to {run.to_mm:.2f} mm along the wall, "
            f"{run.bottom_mm:.2f} to {run.top_mm:.2f} mm up.",
            "Give its left end before its right, and its bottom below its top.",
            LAYOUT,
        )
    beyond = max(-run.from_mm, run.to_mm - one.wall.length)
    if beyond > TOLERANCE_MM:
        yield _finding(
            one,
            "run-beyond-wall",
            f"{one.name} reaches {words.fine(beyond)} past the end of wall {run.wall}.",
            f"Shorten it by {words.enough(beyond)}.",
            SHELL,
            0.0,
            beyond,
        )
    height = run.top_mm - run.bottom_mm
    if more(height, one.sheet.height):
        yield _finding(
            one,
            "run-over-sheet",
            f"{one.name} is higher than its sheet {run.sheet}: "
            f"{words.versus(height, one.sheet.height)}.",
            f"Lower its top by {words.enough(height - one.sheet.height)}.",
            CATALOGUE,
            one.sheet.height,
            height,
        )


def _top(scene: Scene, one: Hung) -> Iterator[Finding]:
    run, words = one.run, scene.words
    lowest = one.wall.lowest(min(run.from_mm, run.to_mm), max(run.from_mm, run.to_mm))
    for code, limit, source, what in (
        ("run-over-wall", lowest, SHELL, f"the wall {run.wall}"),
        ("run-over-display-top", scene.brief.display_top, BRIEF, "the brief's highest display"),
    ):
        if more(run.top_mm, limit):
            yield _finding(
                one,
                code,
                f"The top of {one.name} is above {what}: {words.versus(run.top_mm, limit)}.",
                f"Lower it by {words.enough(run.top_mm - limit)}.",
                source,
                limit,
                run.top_mm,
                run.top_mm,
            )


def _bottom(scene: Scene, one: Hung) -> Iterator[Finding]:
    bottom, words = one.run.bottom_mm, scene.words
    if one.below:
        tallest = max(one.below, key=lambda other: other.fixture.height)
        limit = tallest.fixture.height + scene.brief.run_gap
        what = f"{words.say(scene.brief.run_gap)} above {tallest.name}"
    else:
        limit = scene.brief.run_bottom
        what = "the brief's lowest slat-wall"
    if less(bottom, limit):
        yield _finding(
            one,
            "run-too-low",
            f"The bottom of {one.name} is under {what}: {words.versus(bottom, limit)}.",
            f"Raise it by {words.enough(limit - bottom)}.",
            BRIEF,
            limit,
            bottom,
        )


def _things(scene: Scene, one: Hung) -> Iterator[Finding]:
    run, words = one.run, scene.words
    for thing in things_on(scene.scenario.shop, run.wall):
        across = min(run.to_mm, thing.right) - max(run.from_mm, thing.left)
        up = min(run.top_mm, thing.top) - max(run.bottom_mm, thing.bottom)
        if across > TOLERANCE_MM and up > TOLERANCE_MM:
            yield _finding(
                one,
                "run-over-thing",
                f"{one.name} covers {words.fine(across)} by {words.fine(up)} of {thing.kind} "
                f"{thing.id}.",
                f"Shorten it by {words.enough(across)}, or move its edge by {words.enough(up)}.",
                SHELL,
                0.0,
                min(across, up),
            )


def _below(scene: Scene, one: Hung) -> Iterator[Finding]:
    run, words = one.run, scene.words
    spans = []
    for other in one.below:
        if other.placement.wall != run.wall:
            yield _below_fault(one, other.name, "does not stand against the same wall")
            continue
        left, right = span(other, one.wall)
        if min(right, run.to_mm) - max(left, run.from_mm) <= TOLERANCE_MM:
            yield _below_fault(one, other.name, "does not stand below it")
        if not other.fixture.slat_above:
            yield _below_fault(one, other.name, "allows no slat-wall above it")
        spans.append((left, right))
    if not one.below:
        return
    gap, place = _widest_gap(sorted(spans), run.from_mm, run.to_mm)
    if gap > TOLERANCE_MM:
        yield _finding(
            one,
            "run-gap-below",
            f"Below {one.name} {words.fine(gap)} is bare, {words.say(place)} from the left end of "
            f"wall {run.wall}.",
            f"Close the gap, or shorten the run by {words.enough(gap)}.",
            BRIEF,
            0.0,
            gap,
        )


def _below_fault(one: Hung, name: str, what: str) -> Finding:
    return _finding(
        one,
        "run-below",
        f"{name} is listed below {one.name} but {what}.",
        "List only what stands below the run, or move the run.",
        LAYOUT,
    )


def _widest_gap(spans: list[tuple[float, float]], start: float, end: float) -> tuple[float, float]:
    widest, place, covered = 0.0, start, start
    for left, right in [*spans, (end, end)]:
        gap = min(left, end) - covered
        if gap > widest:
            widest, place = gap, covered
        covered = max(covered, right)
    return widest, place


def _groove(scene: Scene, one: Hung) -> Iterator[Finding]:
    wanted = one.run.bottom_mm + one.sheet.first_groove
    measured = one.run.first_groove_mm
    if abs(measured - wanted) > TOLERANCE_MM:
        yield _finding(
            one,
            "first-groove",
            f"The lowest groove of {one.name} is not where its sheet has it: "
            f"{scene.words.versus(measured, wanted)}.",
            f"Write it as {wanted:.2f} mm.",
            CATALOGUE,
            wanted,
            measured,
            measured,
        )


def _meeting(scene: Scene, wall_id: str, runs: list[Hung]) -> Iterator[Finding]:
    ordered = sorted(runs, key=lambda one: (one.run.from_mm, one.run.bottom_mm, one.run.id))
    for index, one in enumerate(ordered):
        for other in ordered[index + 1 :]:
            across = min(one.run.to_mm, other.run.to_mm) - other.run.from_mm
            if across <= TOLERANCE_MM:
                break
            up = min(one.run.top_mm, other.run.top_mm) - max(one.run.bottom_mm, other.run.bottom_mm)
            if up > TOLERANCE_MM:
                yield _finding(
                    other,
                    "run-overlap",
                    f"{one.name} and {other.name} overlap on wall {wall_id} by "
                    f"{scene.words.fine(across)} by {scene.words.fine(up)}.",
                    f"Move {other.run.id} {join([scene.words.enough(across)])} to the right.",
                    LAYOUT,
                    0.0,
                    min(across, up),
                )
