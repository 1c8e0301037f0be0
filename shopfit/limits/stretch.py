"""A shell drawn apart at a line, with all that is in it, and a layout carried along."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from shopfit.geometry.footprint import against_wall, footprint
from shopfit.geometry.shell import PlanPoint, ShellPlan, WallLine, survey
from shopfit.limits.cuts import Cut, clusters, kept_outline
from shopfit.model.layout import Layout, Placement, Run
from shopfit.model.scenario import Keep, Pins, Scenario, Shop
from shopfit.model.shell import HeightPoint, Room, Wall

Along = Callable[[str | None, float], float]
_EPS = 1e-6


def stretch(scenario: Scenario, cut: Cut, by_mm: float) -> Scenario:
    """Draw a shell apart.

    Walls that the line crosses get longer; all that lies beyond it moves; nothing else changes.

    Parameters
    ----------
    scenario
        Shop and pins.
    cut
        Where.
    by_mm
        How far, mm.
    """
    shop, plan = scenario.shop, survey(scenario.shop)
    crossed = {wall.id: cut.offset(wall) for wall in plan.walls}

    def along(wall: str | None, offset: float) -> float:
        place = None if wall is None else crossed[wall]
        return offset + by_mm if place is not None and offset >= place else offset

    def on_walls(things: Iterable[object]) -> tuple[object, ...]:
        return tuple(
            thing.model_copy(update={"offset": along(thing.wall, thing.offset)})  # type: ignore[attr-defined]
            for thing in things
        )

    changes: dict[str, object] = {
        "rooms": tuple(_room(room, plan, cut, by_mm) for room in shop.rooms),
        "columns": tuple(
            column.model_copy(update={"at": cut.moved(column.at, by_mm)}) for column in shop.columns
        ),
        "zones": tuple(
            zone.model_copy(update={"corners": _moved(zone.corners, cut, by_mm)})
            for zone in shop.zones
        ),
        "brief": _brief(shop, cut, by_mm),
    }
    for group in ("doors", "windows", "obstructions"):
        changes[group] = on_walls(getattr(shop, group))
    return scenario.model_copy(
        update={
            "shop": shop.model_copy(update=changes),
            "pins": _pins(scenario, plan, cut, by_mm, along),
        }
    )


def carried(scenario: Scenario, layout: Layout, cut: Cut, by_mm: float) -> Layout:
    """Carry a layout along where the shell is drawn apart.

    What stands together on a wall stays together, at the end of the wall where it begins.

    Parameters
    ----------
    scenario, layout
        As they were before.
    cut, by_mm
        Where, and how far, mm.
    """
    before, after = survey(scenario.shop), survey(stretch(scenario, cut, by_mm).shop)
    shifted: set[str] = set()
    for wall in before.walls:
        place = cut.offset(wall)
        if place is not None:
            for (left, _), tags in clusters(wall, scenario, layout):
                shifted |= tags if left >= place - _EPS else set()

    def placed(one: Placement) -> Placement:
        fixture = scenario.catalogue.fixture(one.fixture)
        if one.wall is not None and one.offset_mm is not None:
            offset = one.offset_mm + (by_mm if one.id in shifted else 0.0)
            wall = after.wall(one.wall)
            return against_wall(one.id, fixture, wall, offset, one.pinned)
        middle = footprint(fixture, one).centroid
        if not cut.beyond((middle.x, middle.y)):
            return one
        x, y = one.x_mm + by_mm * cut.along[0], one.y_mm + by_mm * cut.along[1]
        return one.model_copy(update={"x_mm": x, "y_mm": y})

    def hung(run: Run) -> Run:
        by = by_mm if run.id in shifted else 0.0
        return run.model_copy(update={"from_mm": run.from_mm + by, "to_mm": run.to_mm + by})

    return layout.model_copy(
        update={
            "placements": tuple(placed(one) for one in layout.placements),
            "runs": tuple(hung(run) for run in layout.runs),
            "fingerprint": "",
            "proof": None,
        }
    )


def _room(room: Room, plan: ShellPlan, cut: Cut, by_mm: float) -> Room:
    walls = []
    for wall in room.walls:
        line = next((each for each in plan.walls if each.id == wall.id), None)
        place = None if line is None else cut.offset(line)
        walls.append(wall if place is None else _longer(wall, place, by_mm))
    changes: dict[str, object] = {"walls": tuple(walls)}
    if room.corners:
        changes["corners"] = _moved(room.corners, cut, by_mm)
    else:
        changes["start"] = cut.moved(room.start, by_mm)
    return room.model_copy(update=changes)


def _longer(wall: Wall, place: float, by_mm: float) -> Wall:
    """Give a wall with a piece let in at a place, as high as the wall is there."""
    changes: dict[str, object] = {}
    if wall.length is not None:
        changes["length"] = wall.length + by_mm
    if wall.heights:
        points = [(point.offset, point.height) for point in wall.heights]
        height = _height(points, place)
        points = [(at, high) for at, high in points if at < place] + [
            (place, height),
            (place + by_mm, height),
            *((at + by_mm, high) for at, high in points if at >= place),
        ]
        changes["heights"] = tuple(
            HeightPoint.model_construct(offset=at, height=high) for at, high in points
        )
    return wall.model_copy(update=changes)


def _height(points: list[tuple[float, float]], place: float) -> float:
    line = WallLine("", "", (0.0, 0.0), (1.0, 0.0), tuple(sorted(points, key=lambda each: each[0])))
    return line.height_at(place)


def _moved(corners: tuple[PlanPoint, ...], cut: Cut, by_mm: float) -> tuple[PlanPoint, ...]:
    return tuple(cut.moved(corner, by_mm) for corner in corners)


def _brief(shop: Shop, cut: Cut, by_mm: float) -> object:
    wishes = shop.brief.merchandising
    if wishes.way is None:
        return shop.brief
    way = _moved(wishes.way, cut, by_mm)
    return shop.brief.model_copy(update={"merchandising": wishes.model_copy(update={"way": way})})


def _pins(scenario: Scenario, plan: ShellPlan, cut: Cut, by_mm: float, along: Along) -> Pins:
    def kept(keep: Keep) -> Keep:
        if keep.at is None:
            return keep.model_copy(update={"offset": along(keep.wall, keep.offset or 0.0)})
        # One that the line crosses goes with its middle.
        middle = kept_outline(scenario, plan, keep).centroid
        if not cut.beyond((middle.x, middle.y)):
            return keep
        x, y = keep.at
        return keep.model_copy(update={"at": (x + by_mm * cut.along[0], y + by_mm * cut.along[1])})

    pins = scenario.pins
    clear = tuple(
        each.model_copy(update={"corners": _moved(each.corners, cut, by_mm)}) for each in pins.clear
    )
    return pins.model_copy(update={"keep": tuple(kept(each) for each in pins.keep), "clear": clear})
