"""Checks the clear floor before the low part of a counter."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import dist

from shapely.geometry.base import BaseGeometry

from shopfit.checks.between import move_off
from shopfit.checks.clauses import drawn
from shopfit.checks.notes import join, middle, published, severity_of, way_out
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene, Stood
from shopfit.checks.stretches import Line, Stretch, clear_stretches, has_room, taken
from shopfit.geometry.footprint import side_ends
from shopfit.model.finding import Finding
from shopfit.standards import Rulebook, surfaces
from shopfit.units import TOLERANCE_MM


@dataclass(frozen=True)
class _Wanted:
    """The clear floor that a counter wants.

    Parameters
    ----------
    line, length
        Its front, left to right as the customer faces it, and how long it is, mm.
    across, out
        Size of the floor along the front and out from it, mm.
    forward
        Whether one drives up to it forward.
    parts
        Where along the front the low part may be, mm.
    cover
        How much of the low part the floor has to lie before, mm.
    """

    line: Line
    length: float
    across: float
    out: float
    forward: bool
    parts: tuple[tuple[float, float], ...]
    cover: float

    @property
    def span(self) -> tuple[float, float]:
        """From where to where along the front the floor may lie, mm."""
        return -self.across, self.length + self.across

    def stretches(self, shapes: Sequence[BaseGeometry]) -> list[Stretch]:
        """Give the clear stretches before the counter among what is in the way."""
        return clear_stretches(self.line, self.span, 0.0, shapes)

    def fits(self, book: Rulebook, shapes: Sequence[BaseGeometry]) -> list[bool]:
        """Say for each place of the low part whether the floor is there, alcoves counted: 305.7."""
        roomy = []
        for each in self.stretches(shapes):
            space = surfaces.clear_floor(book, self.forward, each.alcove)
            wanted = space.across_mm if self.forward else space.along_mm
            if each.right - each.left >= max(wanted, self.across) - 2 * TOLERANCE_MM:
                roomy.append(each)
        return [
            has_room(roomy, part, self.across, min(part[1] - part[0], self.across, self.cover))
            for part in self.parts
        ]


def _wanted(scene: Scene, one: Stood, forward: bool) -> _Wanted:
    book, fixture = scene.rulebook, one.fixture
    start, end = side_ends(fixture, one.placement, "front")
    length = dist(start, end)
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    line = Line(start, along, (along[1], -along[0]))
    space = surfaces.clear_floor(book, forward)
    across, out = space.along_mm, space.across_mm
    if forward:
        across, out = space.across_mm, space.along_mm
        if fixture.knees is not None:
            # The floor may go on under the counter as far as there is room for knees and toes.
            knees = min(fixture.knees.depth, book.mm("knee-depth-counted"))
            out -= surfaces.counted_toe_depth(book, fixture.knees.toes, knees)
    part = min(fixture.service_width or length, length)
    lefts = (0.0, length - part)
    if fixture.service_offset is not None:
        lefts = (min(fixture.service_offset, length - part),) * 2
    parts = tuple(dict.fromkeys((left, left + part) for left in lefts))
    cover = book.mm("counter-width-forward" if forward else "counter-width")
    return _Wanted(line, length, across, out, forward, parts, cover)


def floor(scene: Scene, one: Stood, forward: bool) -> Iterator[Finding]:
    """Judge the clear floor before the low part of a counter.

    Parameters
    ----------
    scene, one
        Which counter.
    forward
        Whether one drives up to it forward, or stands alongside.

    Source
    ------
    2010 ADA Standards, 904.4.1, 904.4.2 and 305. Text read.
    """
    book, need = scene.rulebook, _wanted(scene, one, forward)
    blocked = taken(scene, need.line, need.span, 0.0, need.out, one)
    fits = need.fits(book, [shape for shape, _ in blocked])
    if all(fits):
        return
    size = f"{scene.words.say(need.across)} along it and {scene.words.say(need.out)} deep"
    source = published(book.requirement("clear-length"))
    whole = need.line.rectangle(0.0, need.length, 0.0, need.out)
    if any(fits):
        yield say(
            "counter-place-not-checked",
            "not checked",
            one.name,
            f"Before one end of {one.name} there is clear floor {size}, before the other not; "
            "where its low part is was not given.",
            f"Say from its left end on where it begins: service_offset of {one.fixture.id}.",
            source,
            at_mm=middle(whole),
        )
        return
    others = [who for _, who in blocked if who is not None]
    fixed = [shape for shape, who in blocked if who is None or who.fixture.fixed]
    longest = max((s.right - s.left for s in need.stretches([b for b, _ in blocked])), default=0.0)
    yield say(
        "counter-floor",
        # Loose fixtures alone are in the way where without them there is room.
        severity_of([True]) if any(need.fits(book, fixed)) else "violation",
        f"{one.name} and {join(who.name for who in others)}" if others else one.name,
        f"Before the low part of {one.name} a wheelchair has no clear floor {size}.",
        _mend(scene, others, whole),
        source,
        required=need.across,
        measured=min(longest, need.across),
        at_mm=middle(whole),
        drawn_mm=drawn(whole),
    )


def _mend(scene: Scene, others: Sequence[Stood], whole: BaseGeometry) -> str:
    for other in others:
        if way_out(other.shape, whole) > TOLERANCE_MM:
            return f"{move_off(scene, other, whole)}."
    return "Stand the counter where there is room before it."
