"""Checks that measures of doors, steps, fixtures and what hangs overhead fit one another."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import Polygon

from shopfit.errors import Fault
from shopfit.files.parts import FIXTURES, SHOP, fault
from shopfit.files.shellcheck import outline_faults
from shopfit.geometry.shell import ShellPlan
from shopfit.model.fixtures import Fixture
from shopfit.model.openings import Door
from shopfit.model.scenario import Shop
from shopfit.units import TOLERANCE_MM, LengthStyle, format_length


def check_shop_measures(shop: Shop, plan: ShellPlan | None) -> Iterator[Fault]:
    """Give the faults of measures in ``shop.yaml``.

    Parameters
    ----------
    shop, plan
        What could be read, and the rooms that are sound.
    """
    for door in shop.doors:
        yield from _door(door, shop.units)
    steps = shop.approach.steps
    if steps is not None:
        for name, sizes, wanted in (
            ("risers", steps.risers, (steps.count,)),
            # The floor above is the last tread, and may be counted or not.
            ("treads", steps.treads, (steps.count - 1, steps.count)),
        ):
            if sizes and len(sizes) not in wanted:
                yield fault(
                    SHOP,
                    "approach",
                    "steps",
                    name,
                    given=f"{len(sizes)} {name}, count {steps.count}",
                    allowed=f"{' or '.join(str(each) for each in wanted)} {name}",
                    mend="Measure each of them, or correct the count.",
                )
    for over in shop.overheads:
        where = ("overheads", over.id, "corners")
        crooked = list(outline_faults(SHOP, where, over.corners))
        yield from crooked
        if plan is not None and not crooked and not Polygon(over.corners).intersects(plan.floor):
            yield fault(
                SHOP,
                *where,
                given="an outline outside the rooms",
                allowed="an outline over the floor of a room",
                mend="Correct the corners; they are places on the plan.",
            )


def _door(door: Door, style: LengthStyle) -> Iterator[Fault]:
    if door.outside is not None and door.leads_to is not None:
        yield fault(
            SHOP,
            "doors",
            door.id,
            "outside",
            given=f"ground outside a door that leads to '{door.leads_to}'",
            allowed="outside on doors that lead out of the shop",
            mend="Take outside out, or leads_to.",
        )
    if door.closing_seconds is not None and not door.closer and not door.spring_hinge:
        yield fault(
            SHOP,
            "doors",
            door.id,
            "closing_seconds",
            given=f"{door.closing_seconds:g} without a closer",
            allowed="closing_seconds on doors with a closer or spring hinges",
            mend="Say closer: true or spring_hinge: true, or take closing_seconds out.",
        )
    height = ("the height of the door", door.height)
    yield from _at_most(
        SHOP, ("doors", door.id, "hardware_height"), door.hardware_height, *height, style
    )


def check_fixture_measures(fixture: Fixture, style: LengthStyle) -> Iterator[Fault]:
    """Give the faults of a fixture's measures beyond its faces.

    Parameters
    ----------
    fixture, style
        Which, and how lengths are written.
    """
    path = ("fixtures", fixture.id)
    height = ("the height of the fixture", fixture.height)
    width = ("the width of the fixture", fixture.width)
    depth = ("the depth of the fixture", fixture.depth)
    measures: list[tuple[tuple[str, ...], float | None, tuple[str, float]]] = [
        (("raised",), fixture.raised, height),
        (("lock_height",), fixture.lock_height, height),
        (("service_width",), fixture.service_width, width),
    ]
    if fixture.overhang is not None:
        measures.append((("overhang", "out"), fixture.overhang.out, depth))
        measures.append((("overhang", "bottom"), fixture.overhang.bottom, height))
    if fixture.knees is not None:
        measures.append((("knees", "width"), fixture.knees.width, width))
        measures.append((("knees", "depth"), fixture.knees.depth, depth))
        measures.append((("knees", "toes"), fixture.knees.toes, depth))
    if fixture.service_offset is not None:
        end = fixture.service_offset + (fixture.service_width or 0.0)
        measures.append((("service_offset",), end, width))
    for names, size, limit in measures:
        yield from _at_most(FIXTURES, (*path, *names), size, *limit, style)


def _at_most(
    file: str,
    path: tuple[str, ...],
    size: float | None,
    what: str,
    most: float,
    style: LengthStyle,
) -> Iterator[Fault]:
    if size is not None and size > most + TOLERANCE_MM:
        end = path[-1] == "service_offset"
        yield fault(
            file,
            *path,
            given=f"{'an end at ' if end else ''}{format_length(size, style)}",
            allowed=f"at most {format_length(most, style)}, {what}",
            mend="Measure again, and correct one of the two.",
        )
