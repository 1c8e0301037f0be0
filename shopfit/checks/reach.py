"""Checks what is worked by hand: height, what is reached over, force, and floor before it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from shopfit.checks.clauses import drawn, judge, unmeasured
from shopfit.checks.goods import Shown, shown
from shopfit.checks.notes import less, more, published, severity_of
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene, Stood
from shopfit.checks.stretches import Line, clear_stretches, has_room, taken
from shopfit.geometry.shell import WallLine
from shopfit.model.finding import Finding, Severity
from shopfit.model.shell import UsedBy, WallObstruction
from shopfit.standards.reach import Reach, forward_reach, handling, side_reach

_CONTROLS = ("thermostat", "switch", "outlet")


@dataclass(frozen=True)
class _Control:
    """A thing on a wall that is worked by hand.

    Parameters
    ----------
    thing, wall
        Which.
    low, high
        Between which heights the part that is worked lies, mm.
    used_by
        Who works it.
    before
        Fixtures between it and whoever reaches for it.
    over
        How far these stand out of the wall, mm.
    """

    thing: WallObstruction
    wall: WallLine
    low: float
    high: float
    used_by: UsedBy
    before: tuple[Stood, ...]
    over: float

    @property
    def name(self) -> str:
        """Its name for people."""
        return f"{self.thing.kind} {self.thing.id}"

    @property
    def centre(self) -> float:
        """Its middle along the wall, mm."""
        return self.thing.offset + self.thing.width / 2

    @property
    def at_mm(self) -> tuple[float, float]:
        """Its place on the plan, mm."""
        x, y = self.wall.point(self.centre)
        return round(x, 1), round(y, 1)

    @property
    def severity(self) -> Severity:
        """Of what it misses: what only staff work is advice (203.9)."""
        return "violation" if self.used_by == "customers" else "advice"


def check(scene: Scene) -> Iterator[Finding]:
    """Find controls and locks out of reach from a wheelchair, and count such goods."""
    unsure: list[str] = []
    for control in _controls(scene):
        yield from _height(scene, control, unsure)
        yield from _floor(scene, control)
        if control.thing.force is not None:
            yield from judge(
                scene,
                handling(scene.rulebook, control.thing.force),
                "control-force",
                control.name,
                "Choose one that takes {short} less, worked with one hand without twisting.",
                control.severity,
                at_mm=control.at_mm,
                wall=control.wall.id,
            )
    yield from unmeasured(
        scene,
        "control",
        "reach of what is worked by hand, which lies partly within the heights and partly not",
        {"control_height": unsure},
        "Measure the height of the button, dial or socket itself.",
        ("reach-high", "reach-low"),
    )
    yield from _locks(scene)
    yield from _goods(scene)


def _controls(scene: Scene) -> Iterator[_Control]:
    deepest = scene.rulebook.mm("side-depth")
    for thing, wall in scene.obstructions:
        height = thing.control_height
        if thing.kind not in _CONTROLS and height is None:
            continue
        used_by = thing.used_by or ("staff" if thing.kind in _CONTROLS else "customers")
        if used_by == "service":
            continue
        left, right = thing.offset, thing.offset + thing.width
        strip = wall.rectangle(left, right, 0.0, deepest)
        before = tuple(scene.standing_in(strip))
        low, high = (thing.bottom, thing.top) if height is None else (height, height)
        if any(one.fixture.height > low for one in before):
            # It is hidden; the checks of what stands before walls say so.
            continue
        line = Line(wall.start, wall.along, wall.inward)
        over = max(
            (line.measures((x, y))[1] for one in before for x, y in one.shape.exterior.coords),
            default=0.0,
        )
        yield _Control(thing, wall, low, high, used_by, before, over)


def _reaches(scene: Scene, control: _Control) -> list[Reach]:
    tallest = max((one.fixture.height for one in control.before), default=0.0)
    found = [side_reach(scene.rulebook, control.over, tallest)]
    if not control.before:
        found.append(forward_reach(scene.rulebook))
    return [each for each in found if each is not None]


def _height(scene: Scene, control: _Control, unsure: list[str]) -> Iterator[Finding]:
    """Judge the height of a control: 308.2 and 308.3, over what stands before it."""
    words, reaches = scene.words, _reaches(scene, control)
    severity = control.severity
    if control.before and severity == "violation":
        severity = severity_of([not one.fixture.fixed for one in control.before])
    over = f" over {', '.join(one.name for one in control.before)}" if control.before else ""
    if not reaches:
        depth = scene.rulebook.requirement("side-depth")
        if depth.holds(control.over):
            depth = scene.rulebook.requirement("side-over-height")
        tallest = max(one.fixture.height for one in control.before)
        measured = tallest if depth.key == "side-over-height" else control.over
        yield say(
            "control-reach",
            severity,
            control.name,
            f"{_capital(control.name)} is reached{over}, which is too "
            f"{'high' if depth.key == 'side-over-height' else 'deep'} to reach over: "
            f"{words.versus(measured, depth.value)}.",
            f"Move {control.before[0].tag} along, or move {control.thing.id}.",
            published(depth),
            required=depth.value,
            measured=measured,
            at_mm=control.at_mm,
            wall=control.wall.id,
            height_mm=control.high,
            drawn_mm=drawn(*(one.shape for one in control.before)),
        )
        return
    if any(each.holds(control.low) and each.holds(control.high) for each in reaches):
        return
    limits = reaches[0]
    beyond = more(control.low, limits.high.value) or less(control.high, limits.low.value)
    if control.low < control.high and not beyond:
        # Its edges lie on both sides of a limit, or on it: where it is worked decides.
        unsure.append(control.thing.id)
        return
    high = more(control.low, limits.high.value)
    wanted = limits.high if high else limits.low
    measured = control.low if high else control.high
    # All of it comes within reach, not its nearer edge alone.
    off = control.high - wanted.value if high else wanted.value - control.low
    yield say(
        "control-reach",
        severity,
        control.name,
        f"{_capital(control.name)} is out of reach from a wheelchair{over}: "
        f"{words.versus(measured, wanted.value)}.",
        f"Move it {words.enough(off)} {'down' if high else 'up'}"
        + (f", or {control.before[0].tag} along." if control.before else "."),
        published(wanted),
        required=wanted.value,
        measured=measured,
        at_mm=control.at_mm,
        wall=control.wall.id,
        height_mm=measured,
    )


def _floor(scene: Scene, control: _Control) -> Iterator[Finding]:
    """Judge the clear floor before a control: 309.2 and 305, alongside or, at the wall, forward."""
    book = scene.rulebook
    short, long = book.mm("clear-width"), book.mm("clear-length")
    line = Line(control.wall.start, control.wall.along, control.wall.inward)
    ways = [(long, short)] if control.before else [(long, short), (short, long)]
    in_the_way: list[Stood] = []
    for along, out in ways:
        span = (control.centre - along, control.centre + along)
        near = control.over
        blocked = taken(scene, line, span, near, near + out, None)
        stretches = clear_stretches(line, span, near, [shape for shape, _ in blocked])
        if has_room(stretches, (control.centre, control.centre), along):
            return
        in_the_way += [one for _, one in blocked if one is not None]
    wanted = book.requirement("clear-length")
    severity = control.severity
    if severity == "violation" and in_the_way:
        severity = severity_of([not one.fixture.fixed for one in in_the_way])
    name = in_the_way[0].name if in_the_way else "the room"
    yield say(
        "control-floor",
        severity,
        control.name,
        f"Before {control.name} a wheelchair has no clear floor of {scene.words.say(short)} by "
        f"{scene.words.say(long)}; {name} is in the way.",
        f"Leave that floor clear before it, or move {control.thing.id} to where it is.",
        published(wanted),
        required=wanted.value,
        at_mm=control.at_mm,
        wall=control.wall.id,
    )


def _capital(name: str) -> str:
    return name[0].upper() + name[1:]


def _locks(scene: Scene) -> Iterator[Finding]:
    """Judge the locks of cases, which staff work: advice."""
    missing: dict[str, list[str]] = defaultdict(list)
    for one in scene.stood:
        fixture = one.fixture
        if all(face.kind != "case" for face in fixture.faces):
            continue
        if fixture.lock_height is None:
            missing["lock_height"].append(fixture.id)
            continue
        for key in ("reach-low", "reach-high"):
            yield from judge(
                scene,
                scene.rulebook.outcome(key, fixture.lock_height),
                "lock-reach",
                one.name,
                "Choose a case with a lock within reach for whoever works there.",
                "advice",
                at_mm=(round(one.shape.centroid.x, 1), round(one.shape.centroid.y, 1)),
                height_mm=fixture.lock_height,
            )
    yield from unmeasured(
        scene,
        "lock",
        "reach of the locks of cases",
        missing,
        "Measure the height of the lock.",
        ("reach-high", "reach-low"),
        "fixtures.yaml",
    )


def _goods(scene: Scene) -> Iterator[Finding]:
    """Count facings out of reach, as advice.

    Source
    ------
    2010 ADA Standards, 308 for reach; 225.2.2: self-service shelves are on an accessible route,
    and need not be within reach. Text read.
    """
    above = below = beyond = 0
    for item in shown(scene):
        reach = _over(scene, item)
        if reach is None:
            beyond += item.slot.facings
        elif more(item.row.bottom_mm, reach.high.value):
            above += item.slot.facings
        elif less(item.row.top_mm, reach.low.value):
            below += item.slot.facings
    if not above and not below and not beyond:
        return
    high, low = (scene.rulebook.requirement(f"reach-{which}") for which in ("high", "low"))
    top = f"{scene.words.say(high.value)} (less over deep cabinets)"
    said = [
        f"{above} facings stand higher than {top}",
        f"{below} lower than {scene.words.say(low.value)}",
    ]
    if beyond:
        said.append(f"{beyond} behind something too high or deep to reach over")
    yield say(
        "reach",
        "advice",
        "layout",
        f"{', '.join(said)}: out of reach from a wheelchair. 225.2.2 asks that shelves are on an "
        "accessible route, not that they are within reach.",
        "Show one of each within reach where it can be done, or offer help.",
        published(high),
        required=high.value,
    )


def _over(scene: Scene, item: Shown) -> Reach | None:
    """Give the reach for goods, over the cabinet below where they hang on a wall."""
    hung = scene.hung_by_tag.get(item.block.host)
    if hung is None or not hung.below:
        return side_reach(scene.rulebook)
    holder = item.bracket or item.board
    out = holder.depth if holder is not None else 0.0
    over = max(max(one.fixture.depth for one in hung.below) - out, 0.0)
    return side_reach(scene.rulebook, over, max(one.fixture.height for one in hung.below))
