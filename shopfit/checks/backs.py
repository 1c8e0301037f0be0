"""Checks fixtures against walls: back on the wall, under its height, off windows and switches."""

from __future__ import annotations

from collections.abc import Iterator

from shopfit.checks.notes import SHELL, middle, more
from shopfit.checks.scene import Scene, Stood
from shopfit.geometry.footprint import place_point
from shopfit.geometry.openings import OnWall, things_on
from shopfit.geometry.shell import PlanPoint, WallLine
from shopfit.model.finding import Finding
from shopfit.units import TOLERANCE_MM

MUST_STAY_OPEN = ("panelboard", "thermostat", "switch", "radiator")


def check(scene: Scene) -> Iterator[Finding]:
    """Find fixtures that do not fit the wall they stand against."""
    for one in scene.stood:
        if one.placement.wall is None:
            continue
        wall = scene.walls[one.placement.wall]
        if not wall.fixtures:
            yield _finding(
                "wall-not-for-fixtures",
                one,
                wall,
                f"{one.name} stands against wall {wall.id}, where no fixture may stand.",
                "Move it to another wall.",
            )
        yield from _on_line(scene, one, wall)
        yield from _height(scene, one, wall)
        for thing in things_on(scene.scenario.shop, wall.id):
            yield from _hides(scene, one, wall, thing)


def _finding(
    code: str,
    one: Stood,
    wall: WallLine,
    message: str,
    mend: str,
    required: float | None = None,
    measured: float | None = None,
    advice: bool = False,
) -> Finding:
    return Finding(
        code=code,
        severity="advice" if advice else "violation",
        subject=one.name,
        message=message,
        mend=mend,
        required=required,
        measured=measured,
        source=SHELL.source,
        at_mm=middle(one.shape),
        wall=wall.id,
    )


def _along_and_out(wall: WallLine, place: PlanPoint) -> tuple[float, float]:
    (ux, uy), (vx, vy) = wall.along, wall.inward
    dx, dy = place[0] - wall.start[0], place[1] - wall.start[1]
    return dx * ux + dy * uy, dx * vx + dy * vy


def span(one: Stood, wall: WallLine) -> tuple[float, float]:
    """Give the offsets along a wall that a fixture against it covers, mm."""
    left = _along_and_out(wall, place_point(one.placement, 0.0, 0.0))[0]
    right = _along_and_out(wall, place_point(one.placement, one.fixture.width, 0.0))[0]
    return min(left, right), max(left, right)


def _on_line(scene: Scene, one: Stood, wall: WallLine) -> Iterator[Finding]:
    words = scene.words
    left, out_left = _along_and_out(wall, place_point(one.placement, 0.0, 0.0))
    right, out_right = _along_and_out(wall, place_point(one.placement, one.fixture.width, 0.0))
    gap = max(out_left, out_right, key=abs)
    if abs(gap) > TOLERANCE_MM or right < left:
        turned = " and turned round" if right < left else ""
        yield _finding(
            "back-off-wall",
            one,
            wall,
            f"The back of {one.name} is {words.fine(abs(gap))} off wall {wall.id}{turned}.",
            f"Move it {words.enough(abs(gap))} {'to' if gap > 0 else 'off'} the wall.",
            0.0,
            gap,
        )
    claimed = one.placement.offset_mm
    if claimed is None or abs(claimed - left) > TOLERANCE_MM:
        said = "nothing" if claimed is None else words.say(claimed)
        yield _finding(
            "offset",
            one,
            wall,
            f"{one.name} stands {words.say(left)} from the left end of wall {wall.id}, but its "
            f"offset says {said}"
            + ("." if claimed is None else f": {words.fine(abs(claimed - left))} apart."),
            f"Write the offset as {left:.2f} mm.",
            left,
            claimed,
        )
    beyond = max(-min(left, right), max(left, right) - wall.length)
    if beyond > TOLERANCE_MM:
        yield _finding(
            "beyond-wall",
            one,
            wall,
            f"{one.name} reaches {words.fine(beyond)} past the end of wall {wall.id}.",
            f"Move it {words.enough(beyond)} along the wall.",
            0.0,
            beyond,
        )


def _height(scene: Scene, one: Stood, wall: WallLine) -> Iterator[Finding]:
    lowest = wall.lowest(*span(one, wall))
    height = one.fixture.height
    if more(height, lowest):
        yield _finding(
            "too-tall",
            one,
            wall,
            f"{one.name} is taller than wall {wall.id} there: "
            f"{scene.words.versus(height, lowest)}.",
            f"Choose one {scene.words.enough(height - lowest)} lower, or a taller place.",
            lowest,
            height,
        )


def _hides(scene: Scene, one: Stood, wall: WallLine, thing: OnWall) -> Iterator[Finding]:
    left, right = span(one, wall)
    shared = min(right, thing.right) - max(left, thing.left)
    over = one.fixture.height - thing.bottom
    if shared <= TOLERANCE_MM or over <= TOLERANCE_MM:
        return
    words = scene.words
    must = thing.kind in ("door", "window", *MUST_STAY_OPEN)
    message = f"{one.name} stands {words.fine(shared)} in front of {_named(thing.kind, thing.id)}"
    mend = f"Move it {words.enough(shared)} along the wall"
    if thing.kind != "door":
        message += f", {words.fine(over)} above its lower edge"
        mend += f", or choose one {words.enough(over)} lower"
    yield _finding(
        f"hides-{thing.kind}",
        one,
        wall,
        f"{message}.",
        f"{mend}." if must else f"Keep {thing.id} within reach, or move it.",
        thing.bottom,
        one.fixture.height,
        advice=not must,
    )


def _named(kind: str, name: str) -> str:
    """Give a thing's name, with its kind where the name does not say it."""
    return name if kind in name.lower() else f"{kind} {name}"
