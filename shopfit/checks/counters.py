"""Checks sales counters: a low part at each place, room for knees, and floor before it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from shopfit.checks.clauses import drawn, judge, unmeasured
from shopfit.checks.counterfloor import floor
from shopfit.checks.notes import less, middle, more, published
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene, Stood
from shopfit.model.finding import Finding
from shopfit.standards import counters, surfaces
from shopfit.standards.rulebook import Outcome


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
    yield from floor(scene, one, forward)


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
    for code, measured, required, clause, what, bigger in (
        ("counter-knees", room.height, high.value, published(high), "high", "higher"),
        (
            "counter-alcove",
            room.width,
            wide.across_mm,
            published(book.requirement("alcove-forward-width")),
            "wide",
            "wider",
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
                f"Make it {scene.words.enough(required - measured)} {bigger}.",
                clause,
                required=required,
                measured=measured,
                margin=measured - required,
                at_mm=middle(one.shape),
            )


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
            f"{wanted} of them {'is' if wanted == 1 else 'are'} wanted.",
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
