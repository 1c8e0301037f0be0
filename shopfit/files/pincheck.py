"""Checks that what is pinned can be where it is pinned."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from shapely import Polygon

from shopfit.errors import Fault
from shopfit.files.parts import FIXTURES, PINS, fault
from shopfit.files.shellcheck import outline_faults, place
from shopfit.files.wording import nearest, shortened
from shopfit.geometry.footprint import against_wall, footprint
from shopfit.geometry.shell import ShellPlan, WallLine
from shopfit.model.fixtures import Catalogue, Fixture
from shopfit.model.layout import Placement
from shopfit.model.scenario import Keep, Pins, Shop
from shopfit.units import TOLERANCE_MM, format_length


def check_pins(
    pins: Pins, shop: Shop, plan: ShellPlan, catalogue: Catalogue, lost: frozenset[str]
) -> Iterator[Fault]:
    """Give every fault of the pins.

    Parameters
    ----------
    pins, shop, catalogue
        What could be read.
    plan
        The rooms that are sound.
    lost
        Lists that are not complete.
    """
    fixtures = {fixture.id: fixture for fixture in catalogue.fixtures}
    walls = {wall.id: wall for wall in plan.walls}
    sound = "rooms" not in lost and len(plan.rooms) == len(shop.rooms)
    standing: list[tuple[str, Polygon]] = [
        (f"column '{name}'", outline) for name, outline in plan.columns.items()
    ]
    for keep in pins.keep:
        fixture = fixtures.get(keep.fixture)
        if fixture is None:
            if "fixtures" not in lost:
                yield _unknown(keep.fixture, "fixture", keep, fixtures, f"a fixture in {FIXTURES}")
        elif keep.wall is not None and keep.wall not in walls:
            if sound:
                yield _unknown(keep.wall, "wall", keep, walls, "a wall")
        else:
            yield from _standing(keep, fixture, shop, plan, sound, standing)
    yield from _numbers(pins, fixtures)
    for clear in pins.clear:
        broken = list(outline_faults(PINS, ("clear", clear.id, "corners"), clear.corners))
        yield from broken
        outline = Polygon(clear.corners)
        if sound and not broken and outline.intersection(plan.floor).area <= TOLERANCE_MM:
            yield fault(
                PINS,
                "clear",
                clear.id,
                "corners",
                given=f"an outline at {place(clear.corners[0], shop.units)}, outside the rooms",
                allowed="floor of a room",
                mend="Measure it from the same zero as the rooms, x east and y north.",
            )


def _unknown(
    word: str, field: str, keep: Keep, options: dict[str, Fixture] | dict[str, WallLine], what: str
) -> Fault:
    return fault(
        PINS,
        "keep",
        keep.fixture,
        field,
        given=shortened(word),
        allowed=f"the id of {what}",
        mend=nearest(word, options, "Add it."),
    )


def _standing(
    keep: Keep,
    fixture: Fixture,
    shop: Shop,
    plan: ShellPlan,
    sound: bool,
    standing: list[tuple[str, Polygon]],
) -> Iterator[Fault]:
    field, given = "at", place(keep.at, shop.units) if keep.at else ""
    if keep.wall is not None and keep.offset is not None:
        wall = plan.wall(keep.wall)
        field, given = "offset", f"{format_length(keep.offset, shop.units)} on wall '{wall.id}'"
        if keep.offset + fixture.width > wall.length + TOLERANCE_MM:
            most = wall.length - fixture.width
            allowed = "a wall that is wide enough"
            if most >= 0:
                allowed = f"at most {format_length(most, shop.units)}"
            yield fault(
                PINS,
                "keep",
                keep.fixture,
                field,
                given=given,
                allowed=f"{allowed}: '{wall.id}' is {format_length(wall.length, shop.units)} long, "
                f"the fixture {format_length(fixture.width, shop.units)} wide",
                mend="Measure from the wall's left end as you face it from inside.",
            )
            return
        placement = against_wall(keep.fixture, fixture, wall, keep.offset)
    else:
        assert keep.at is not None
        placement = Placement(
            id=keep.fixture,
            fixture=keep.fixture,
            x_mm=keep.at[0],
            y_mm=keep.at[1],
            angle_deg=keep.angle,
        )
    outline = footprint(fixture, placement)
    rooms = [room.buffer(TOLERANCE_MM, join_style="mitre") for room in plan.rooms.values()]
    if sound and not any(room.covers(outline) for room in rooms):
        yield fault(
            PINS,
            "keep",
            keep.fixture,
            field,
            given=given,
            allowed="a place where it stands inside one room",
            mend="Give its back left corner as you face its front, and the direction of its width.",
        )
    for name, other in standing:
        if outline.intersection(other).buffer(-TOLERANCE_MM / 2).area > 0:
            yield fault(
                PINS,
                "keep",
                keep.fixture,
                field,
                given=f"{given}, on {name}",
                allowed="floor that nothing else covers",
                mend="Correct one of the two places.",
            )
    standing.append(
        (f"'{keep.fixture}' at {place(outline.exterior.coords[0], shop.units)}", outline)
    )


def _numbers(pins: Pins, fixtures: dict[str, Fixture]) -> Iterator[Fault]:
    for name, count in Counter(keep.fixture for keep in pins.keep).items():
        fixture = fixtures.get(name)
        if fixture is not None and count > fixture.available + fixture.owned:
            yield fault(
                PINS,
                "keep",
                name,
                given=f"{count} of them",
                allowed=f"{fixture.available + fixture.owned}, available and owned together",
                mend=f"Keep fewer, or raise owned in {FIXTURES}.",
            )
