"""Checks sales counters: a low part at each place, room for knees, and floor before it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from math import dist

from shopfit.checks.clauses import drawn, judge, unmeasured
from shopfit.checks.notes import join, less, middle, more, published, severity_of, way_out
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene, Stood
from shopfit.checks.stretches import Line, clear_stretches, has_room, taken
from shopfit.geometry.footprint import side_ends
from shopfit.model.finding import Finding
from shopfit.standards import counters, surfaces
from shopfit.standards.rulebook import Outcome
from shopfit.units import TOLERANCE_MM


def check(scene: Scene) -> Iterator[Finding]:
    """Find counters whose low part is too high or short, or cannot be driven up to.

    Source
    ------
    2010 ADA Standards, 227.3 and 904.4: one of each kind, at each place. Text read.
    """
    found = [one for one in scene.stood if one.fixture.kind == "counter"]
    for group in places(scene, [one for one in found if not one.fixture.checkout]):
        yield from _group(scene, group)
    yield from _not_given(scene, found)
    yield from _checkouts(scene, [one for one in found if one.fixture.checkout])


def places(scene: Scene, found: Sequence[Stood]) -> list[list[Stood]]:
    """Group counters of one kind that stand together: nearer to one another than a way is wide."""
    near = scene.rulebook.mm("route-width")
    groups: list[list[Stood]] = []
    for one in found:
        with_it = [
            group
            for group in groups
            if any(
                _service(one) == _service(other) and one.shape.distance(other.shape) < near
                for other in group
            )
        ]
        rest = [group for group in groups if group not in with_it]
        groups = [*rest, [*(each for group in with_it for each in group), one]]
    return groups


def _service(one: Stood) -> str:
    return one.fixture.service or "sales"


def _group(scene: Scene, group: Sequence[Stood]) -> Iterator[Finding]:
    """Judge counters at one place: one low part of each kind is enough."""
    judged = {one.tag: list(_one(scene, one)) for one in group}
    enough = any(
        not any(found.severity in ("violation", "barrier to review") for found in each)
        for tag, each in judged.items()
        if any(one.tag == tag and one.fixture.service_height is not None for one in group)
    )
    for each in judged.values():
        for found in each:
            if enough and found.severity in ("violation", "barrier to review"):
                said = f"{found.message} Another counter there meets these values (227.3)."
                yield found.model_copy(update={"severity": "advice", "message": said})
            else:
                yield found


def _one(scene: Scene, one: Stood) -> Iterator[Finding]:
    if one.fixture.service_height is None:
        return
    forward = one.fixture.service_approach == "forward"
    yield from _low_part(scene, one, one.fixture.service_height, forward)
    if forward:
        yield from _knees(scene, one)
    yield from _floor(scene, one, forward)


def _low_part(scene: Scene, one: Stood, height: float, forward: bool) -> Iterator[Finding]:
    fixture, book = one.fixture, scene.rulebook
    length = fixture.width if fixture.service_width is None else fixture.service_width
    outcomes = list(counters.low_part(book, length, height, forward, fixture.width))
    if fixture.service_altered:
        outcomes[1:] = [counters.altered_low_part(book, length)]
    for outcome in outcomes:
        if outcome.met:
            continue
        wanted, measured = outcome.requirement, outcome.measured
        too_high = outcome is outcomes[0]
        off = scene.words.enough(-outcome.margin)
        yield say(
            "counter-height" if too_high else "counter-width",
            "violation",
            one.name,
            f"The low part of {one.name} is too {'high' if too_high else 'short'}: "
            f"{scene.words.versus(measured, wanted.value)}.",
            f"{'Lower' if too_high else 'Lengthen'} it by {off}, or choose another counter.",
            published(wanted),
            required=wanted.value,
            measured=measured,
            margin=outcome.margin,
            at_mm=middle(one.shape),
            drawn_mm=drawn(one.shape),
        )


def _knees(scene: Scene, one: Stood) -> Iterator[Finding]:
    """Judge the room for knees and toes: 306 and 305.7.1."""
    room, book = one.fixture.knees, scene.rulebook
    if room is None:
        return
    counted = min(room.depth, book.mm("knee-depth-counted"))
    toes = surfaces.counted_toe_depth(book, room.toes, counted)
    wide = surfaces.clear_floor(book, forward=True, alcove_mm=max(counted, toes))
    high = book.requirement("knee-height")
    found: list[tuple[str, Outcome]] = [
        ("counter-knees", outcome)
        for outcome in surfaces.knee_room(book, room.width, room.depth, room.depth_high)
    ]
    found += [("counter-toes", o) for o in surfaces.toe_room(book, room.width, room.toes, counted)]
    for code, outcome in found:
        yield from judge(
            scene, outcome, code, one.name, at_mm=middle(one.shape), drawn_mm=drawn(one.shape)
        )
    for code, measured, required, clause, what in (
        ("counter-knees", room.height, high.value, published(high), "high"),
        (
            "counter-alcove",
            room.width,
            wide.across_mm,
            published(book.requirement("alcove-forward-width")),
            "wide",
        ),
    ):
        least = code == "counter-knees" or wide.across_mm > book.mm("clear-width")
        if least and less(measured, required):
            yield say(
                code,
                "violation",
                one.name,
                f"The room for knees under {one.name} is not {what} enough: "
                f"{scene.words.versus(measured, required)}.",
                f"Make it {scene.words.enough(required - measured)} more {what}.",
                clause,
                required=required,
                measured=measured,
                margin=measured - required,
                at_mm=middle(one.shape),
            )


def _front(one: Stood) -> tuple[Line, float]:
    """Give the front of a counter as a line, left to right as the customer faces it, and length."""
    start, end = side_ends(one.fixture, one.placement, "front")
    length = dist(start, end)
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    return Line(start, along, (along[1], -along[0])), length


def _parts(one: Stood, length: float) -> list[tuple[float, float]]:
    """List where along the front the low part may be: where it is said to be, or at either end."""
    part = min(one.fixture.service_width or length, length)
    if one.fixture.service_offset is not None:
        left = min(one.fixture.service_offset, length - part)
        return [(left, left + part)]
    return list(dict.fromkeys([(0.0, part), (length - part, length)]))


def _floor(scene: Scene, one: Stood, forward: bool) -> Iterator[Finding]:
    """Judge the clear floor before the low part: 904.4.1, 904.4.2 and 305."""
    line, length = _front(one)
    book = scene.rulebook
    space = surfaces.clear_floor(book, forward)
    under = 0.0
    if forward and one.fixture.knees is not None:
        knees = one.fixture.knees
        counted = min(knees.depth, book.mm("knee-depth-counted"))
        under = surfaces.counted_toe_depth(book, knees.toes, counted)
    across, out = (
        (space.across_mm, space.along_mm - under)
        if forward
        else (
            space.along_mm,
            space.across_mm,
        )
    )
    span = (-across, length + across)
    blocked = taken(scene, line, span, 0.0, out, one)
    stretches = clear_stretches(line, span, 0.0, [shape for shape, _ in blocked])
    least = book.mm("counter-width-forward" if forward else "counter-width")
    fits = []
    for part in _parts(one, length):
        roomy = [
            each
            for each in stretches
            if each.right - each.left >= _wanted(scene, each.alcove, forward, across)
        ]
        fits.append(has_room(roomy, part, across, min(part[1] - part[0], across, least)))
    if all(fits):
        return
    wanted = book.requirement("clear-length")
    loose = [who for shape, who in blocked if who is not None]
    at_mm = middle(line.rectangle(0.0, length, 0.0, out))
    size = f"{scene.words.say(across)} along it and {scene.words.say(out)} deep"
    if any(fits):
        yield say(
            "counter-place-not-checked",
            "not checked",
            one.name,
            f"Before one end of {one.name} there is clear floor {size}, before the other not; "
            "where its low part is was not given.",
            f"Say from its left end on where it begins: service_offset of {one.fixture.id}.",
            published(wanted),
            at_mm=at_mm,
        )
        return
    moves = ""
    whole = line.rectangle(0.0, length, 0.0, out)
    for other in loose[:1]:
        distance, direction = way_out(other.shape, whole)
        if distance > TOLERANCE_MM:
            moves = f"Move {other.tag} {scene.words.enough(distance)} {direction}."
    longest = max((s.right - s.left for s in stretches), default=0.0)
    only_loose = bool(loose) and all(who is not None for _, who in blocked)
    yield say(
        "counter-floor",
        severity_of([not other.fixture.fixed for other in loose]) if only_loose else "violation",
        f"{one.name} and {join(other.name for other in loose)}" if loose else one.name,
        f"Before the low part of {one.name} a wheelchair has no clear floor {size}.",
        moves or "Stand the counter where there is room before it.",
        published(wanted),
        required=across,
        measured=min(longest, across),
        at_mm=at_mm,
        drawn_mm=drawn(whole),
    )


def _wanted(scene: Scene, alcove: float, forward: bool, across: float) -> float:
    """Give the length of clear floor wanted, mm, more where it is shut in on both sides: 305.7."""
    space = surfaces.clear_floor(scene.rulebook, forward, alcove)
    wanted = space.across_mm if forward else space.along_mm
    return max(wanted, across) - 2 * TOLERANCE_MM


def _not_given(scene: Scene, found: Sequence[Stood]) -> Iterator[Finding]:
    missing: dict[str, list[str]] = defaultdict(list)
    for one in found:
        fixture = one.fixture
        if fixture.service_height is None:
            missing["service_height"].append(fixture.id)
        elif fixture.service_approach == "forward" and fixture.knees is None:
            missing["knees"].append(fixture.id)
    yield from unmeasured(
        scene,
        "counter",
        "low parts of counters, and the room for knees under them",
        missing,
        "Measure height and length of the lowest part (service_height, service_width), and under "
        "it width, height and depths 9 in and 27 in up and at the toes (knees: {width, height, "
        "depth, depth_high, toes}).",
        ("counter-height", "counter-width", "knee-width", "toe-depth"),
        "fixtures.yaml",
    )


def _checkouts(scene: Scene, found: Sequence[Stood]) -> Iterator[Finding]:
    """Judge check-out aisles: 227.2, and 904.3 for those that are to be accessible."""
    book = scene.rulebook
    kinds: dict[str, list[Stood]] = defaultdict(list)
    for one in found:
        kinds[_service(one)].append(one)
    free = scene.shell.floor.difference(scene.shell.off_limits)
    for kind, group in kinds.items():
        wanted = counters.checkouts_wanted(book, len(group), free.area / 1e6)
        judged = {one.tag: list(_checkout(scene, one)) for one in group}
        good = sum(not each for each in judged.values())
        if good >= wanted:
            continue
        yield say(
            "checkouts",
            "violation",
            f"check-out aisles for {kind}",
            f"{good} of {len(group)} check-out aisles for {kind} meet the values checked, and "
            f"{wanted} of them are wanted.",
            f"Mend {wanted - good} of them as said for each.",
            published(book.requirement("checkout-small")),
            required=float(wanted),
            measured=float(good),
            margin=float(good - wanted),
            unit="count",
        )
        for each in judged.values():
            yield from each


def _checkout(scene: Scene, one: Stood) -> Iterator[Finding]:
    fixture = one.fixture
    height = fixture.service_height or fixture.height
    for outcome in counters.checkout_counter(scene.rulebook, height, fixture.edge or 0.0):
        yield from judge(
            scene,
            outcome,
            outcome.requirement.key,
            one.name,
            "Lower it by {short}.",
            at_mm=middle(one.shape),
            drawn_mm=drawn(one.shape),
        )
    if fixture.writing_height is None:
        return
    low = scene.rulebook.requirement("table-low")
    outcome = scene.rulebook.outcome("checkout-writing", fixture.writing_height)
    yield from judge(scene, outcome, "checkout-writing", one.name, at_mm=middle(one.shape))
    if more(low.value, fixture.writing_height):
        yield from judge(
            scene,
            Outcome(low, fixture.writing_height),
            "checkout-writing",
            one.name,
            at_mm=middle(one.shape),
        )
