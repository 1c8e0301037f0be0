"""Measures of a shop that a tape can take: each is read from a layout, and set in it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any, Literal

from shapely import LineString
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from shopfit.geometry.footprint import against_wall, footprint, place_point
from shopfit.geometry.reshape import with_wall_lengths
from shopfit.geometry.shell import PlanPoint, ShellPlan, WallLine, survey
from shopfit.model.fixtures import Fixture
from shopfit.model.layout import Block, Layout, Placement, Run
from shopfit.model.scenario import Scenario

GAP = "gap to"
OWN_SIZE = " as-built "  # between the id of a fixture and the tag of the one made otherwise
_TOUCHING_MM = 1e-6
Size = Literal["width", "depth", "height"]


@dataclass(frozen=True)
class Built:
    """A shop as it stands: what was given and what was decided, as measured so far.

    Parameters
    ----------
    scenario, layout
        As for the checks.
    """

    scenario: Scenario
    layout: Layout

    @property
    def shell(self) -> ShellPlan:
        """The shell on the plan."""
        return survey(self.scenario.shop)

    def fixture(self, placement: Placement) -> Fixture:
        """Give the fixture of a placement."""
        return self.scenario.catalogue.fixture(placement.fixture)


@dataclass(frozen=True)
class Handle:
    """A measure that can be read from a shop and set in it.

    Parameters
    ----------
    what, measure, to
        The thing, which of its measures, and for a gap the other thing.
    read
        Gives it, mm.
    put
        Gives the shop with this measure; raises ValueError where it cannot be.
    """

    what: str
    measure: str
    to: str
    read: Callable[[Built], float]
    put: Callable[[Built, float], Built]


def measures(built: Built) -> dict[tuple[str, str], Handle]:
    """List every measure of a shop by thing and measure, gaps left out."""
    found = [
        *_shell_measures(built),
        *_fixture_measures(built),
        *_run_measures(built),
    ]
    return {(one.what, one.measure): one for one in found}


def things(built: Built) -> tuple[str, ...]:
    """List the names of all things that have a measure, and of columns and zones beside them."""
    columns = [f"column {column.id}" for column in built.scenario.shop.columns]
    names = [what for what, _ in measures(built)]
    return tuple(dict.fromkeys([*names, *columns]))


def gap(built: Built, what: str, to: str) -> Handle | None:
    """Give the clear distance from a fixture to something else, or none where there is none.

    Parameters
    ----------
    built
        The shop.
    what
        Tag of the fixture that is taken to have moved where the gap is not as planned.
    to
        Tag of another fixture, a wall or a column.
    """
    tags = {placement.id for placement in built.layout.placements}
    if what not in tags or what == to or _outline(built, to) is None:
        return None

    def read(shop: Built) -> float:
        return _clear(shop, what, to)

    def put(shop: Built, size: float) -> Built:
        for _ in range(4):
            short = size - _clear(shop, what, to)
            if abs(short) < 1e-4:
                break
            ux, uy = _apart(shop, what, to)
            shop = _shift(shop, what, ux * short, uy * short)
        return shop

    return Handle(what, GAP, to, read, put)


# ----------------------------------------------------------------------------- fixtures


def _fixture_measures(built: Built) -> Iterator[Handle]:
    for placement in built.layout.placements:
        tag = placement.id
        if placement.wall is not None:
            yield Handle(tag, "from left", "", _along_of(tag, 0), _put_along(tag, 0))
            yield Handle(tag, "from right", "", _along_of(tag, 1), _put_along(tag, 1))
            yield Handle(tag, "out from wall", "", _out_of(tag), _put_out(tag))
        for size in ("width", "depth", "height"):
            yield Handle(tag, size, "", _size_of(tag, size), _put_size(tag, size))


def _wall_frame(built: Built, tag: str) -> tuple[Placement, WallLine, float, float]:
    """Give a fixture at a wall, the wall, and its back left corner along and out from it."""
    placement = built.layout.placement(tag)
    assert placement.wall is not None
    wall = built.shell.wall(placement.wall)
    dx, dy = placement.x_mm - wall.start[0], placement.y_mm - wall.start[1]
    (ux, uy), (vx, vy) = wall.along, wall.inward
    return placement, wall, dx * ux + dy * uy, dx * vx + dy * vy


def _along_of(tag: str, end: int) -> Callable[[Built], float]:
    def read(built: Built) -> float:
        placement, wall, along, _ = _wall_frame(built, tag)
        return wall.length - along - built.fixture(placement).width if end else along

    return read


def _put_along(tag: str, end: int) -> Callable[[Built, float], Built]:
    def put(built: Built, size: float) -> Built:
        now = _along_of(tag, end)(built)
        _, wall, _, _ = _wall_frame(built, tag)
        by = now - size if end else size - now
        return _shift(built, tag, wall.along[0] * by, wall.along[1] * by)

    return put


def _out_of(tag: str) -> Callable[[Built], float]:
    return lambda built: _wall_frame(built, tag)[3]


def _put_out(tag: str) -> Callable[[Built, float], Built]:
    def put(built: Built, size: float) -> Built:
        _, wall, _, out = _wall_frame(built, tag)
        by = size - out
        return _shift(built, tag, wall.inward[0] * by, wall.inward[1] * by)

    return put


def _shift(built: Built, tag: str, east: float, north: float) -> Built:
    def moved(one: Placement) -> Placement:
        place = {"x_mm": one.x_mm + east, "y_mm": one.y_mm + north}
        there = one.model_copy(update=place)
        if one.wall is None or one.offset_mm is None:
            return there
        wall = built.shell.wall(one.wall)
        along = east * wall.along[0] + north * wall.along[1]
        return there.model_copy(update={"offset_mm": one.offset_mm + along})

    return _with_placements(built, lambda one: moved(one) if one.id == tag else one)


def _with_placements(built: Built, change: Callable[[Placement], Placement]) -> Built:
    changed = tuple(change(one) for one in built.layout.placements)
    return replace(built, layout=built.layout.model_copy(update={"placements": changed}))


def _size_of(tag: str, size: str) -> Callable[[Built], float]:
    return lambda built: float(getattr(built.fixture(built.layout.placement(tag)), size))


def _put_size(tag: str, size: str) -> Callable[[Built, float], Built]:
    def put(built: Built, value: float) -> Built:
        if value <= 0:
            raise ValueError("a size is more than nought")
        placement = built.layout.placement(tag)
        fixture = built.fixture(placement)
        # One that was made otherwise than the rest of its kind is a fixture of its own.
        suffix = f"{OWN_SIZE}{tag}"
        name = fixture.id if fixture.id.endswith(suffix) else f"{fixture.id}{suffix}"
        own = fixture.model_copy(update={"id": name, size: value})
        listed = [one for one in built.scenario.catalogue.fixtures if one.id != name]
        catalogue = built.scenario.catalogue.model_copy(update={"fixtures": (*listed, own)})
        scenario = built.scenario.model_copy(update={"catalogue": catalogue})
        there = replace(built, scenario=scenario)
        return _with_placements(
            there, lambda one: one.model_copy(update={"fixture": name}) if one.id == tag else one
        )

    return put


def _outline(built: Built, name: str) -> BaseGeometry | None:
    for placement in built.layout.placements:
        if placement.id == name:
            return footprint(built.fixture(placement), placement)
    kind, _, rest = name.partition(" ")
    shell = built.shell
    if kind == "wall":
        walls = [LineString([wall.start, wall.end]) for wall in shell.walls if wall.id == rest]
        return walls[0] if walls else None
    return shell.columns.get(rest) if kind == "column" else None


def _clear(built: Built, what: str, to: str) -> float:
    one, other = _outline(built, what), _outline(built, to)
    assert one is not None
    assert other is not None
    return float(one.distance(other))


def _apart(built: Built, what: str, to: str) -> PlanPoint:
    """Give the unit direction in which a fixture leaves another thing soonest."""
    one, other = _outline(built, what), _outline(built, to)
    assert one is not None
    assert other is not None
    near, far = nearest_points(one, other)
    length = math.dist((near.x, near.y), (far.x, far.y))
    if length > _TOUCHING_MM:
        return (near.x - far.x) / length, (near.y - far.y) / length
    placement = built.layout.placement(what)
    origin = place_point(placement, 0.0, 0.0)
    ways = [place_point(placement, *way) for way in ((1, 0), (-1, 0), (0, 1), (0, -1))]
    units = [(x - origin[0], y - origin[1]) for x, y in ways]
    return max(units, key=lambda u: translate(one, 10 * u[0], 10 * u[1]).distance(other))


# --------------------------------------------------------------------------- shell and approach

_OF_DOORS = {"from left": "offset", "width": "width", "height": "height"}
_OF_WINDOWS = {"from left": "offset", "width": "width", "sill": "sill", "head": "head"}
_OF_THINGS = {
    "from left": "offset",
    "width": "width",
    "lower edge": "bottom",
    "upper edge": "top",
    "out from wall": "depth",
}
_OF_RAMPS = {"rise": "rise", "run": "run", "width": "width"}
_OF_STEPS = {"riser": "riser", "tread": "tread", "width": "width"}


def _shell_measures(built: Built) -> Iterator[Handle]:
    shop = built.scenario.shop
    curved = {wall.id for room in shop.rooms for wall in room.walls if wall.arc is not None}
    for wall in built.shell.walls:
        if not any(wall.id.rpartition("-")[0] == name for name in curved):
            yield _wall_length(wall.id)
    for kind, group, fields in (
        ("door", "doors", _OF_DOORS),
        ("window", "windows", _OF_WINDOWS),
        ("thing", "obstructions", _OF_THINGS),
    ):
        for item in getattr(shop, group):
            for measure, name in fields.items():
                yield _item_field(f"{kind} {item.id}", measure, group, item.id, name)
    for ramp in shop.approach.ramps:
        for measure, name in _OF_RAMPS.items():
            yield _ramp_field(ramp.id, measure, (name,))
        for end in ("top", "bottom"):
            for name in ("length", "width"):
                yield _ramp_field(ramp.id, f"{end} landing {name}", (end, name))
    if shop.approach.steps is not None:
        for measure, name in _OF_STEPS.items():
            yield _steps_field(measure, name)


def _with_shop(built: Built, **changed: Any) -> Built:
    shop = built.scenario.shop.model_copy(update=changed)
    return replace(built, scenario=built.scenario.model_copy(update={"shop": shop}))


def _item_field(what: str, measure: str, group: str, item_id: str, name: str) -> Handle:
    def read(built: Built) -> float:
        items = getattr(built.scenario.shop, group)
        return float(next(getattr(item, name) for item in items if item.id == item_id))

    def put(built: Built, size: float) -> Built:
        items = tuple(
            item.model_copy(update={name: size}) if item.id == item_id else item
            for item in getattr(built.scenario.shop, group)
        )
        return _with_shop(built, **{group: items})

    return Handle(what, measure, "", read, put)


def _ramp_field(ramp_id: str, measure: str, path: tuple[str, ...]) -> Handle:
    def read(built: Built) -> float:
        ramp: Any = next(r for r in built.scenario.shop.approach.ramps if r.id == ramp_id)
        for name in path:
            ramp = getattr(ramp, name)
        return float(ramp)

    def put(built: Built, size: float) -> Built:
        approach = built.scenario.shop.approach
        ramps = tuple(_set(r, path, size) if r.id == ramp_id else r for r in approach.ramps)
        return _with_shop(built, approach=approach.model_copy(update={"ramps": ramps}))

    return Handle(f"ramp {ramp_id}", measure, "", read, put)


def _steps_field(measure: str, name: str) -> Handle:
    def read(built: Built) -> float:
        return float(getattr(built.scenario.shop.approach.steps, name))

    def put(built: Built, size: float) -> Built:
        approach = built.scenario.shop.approach
        changed = {"steps": _set(approach.steps, (name,), size)}
        return _with_shop(built, approach=approach.model_copy(update=changed))

    return Handle("steps", measure, "", read, put)


def _set(item: Any, path: tuple[str, ...], size: float) -> Any:
    name, *rest = path
    value = _set(getattr(item, name), tuple(rest), size) if rest else size
    return item.model_copy(update={name: value})


def _wall_length(wall_id: str) -> Handle:
    def read(built: Built) -> float:
        return built.shell.wall(wall_id).length

    def put(built: Built, size: float) -> Built:
        return with_walls(built, {wall_id: size})

    return Handle(f"wall {wall_id}", "length", "", read, put)


def with_walls(built: Built, lengths: dict[str, float]) -> Built:
    """Give the shop with walls of other lengths, and what stands against them gone along.

    Parameters
    ----------
    built
        The shop.
    lengths
        By wall, mm.

    Raises
    ------
    ValueError
        If a length is not more than nought, or the room has a curved wall.
    """
    frames = {
        one.id: _wall_frame(built, one.id)
        for one in built.layout.placements
        if one.wall is not None
    }
    shop = with_wall_lengths(built.scenario.shop, lengths)
    moved = replace(built, scenario=built.scenario.model_copy(update={"shop": shop}))
    walls = {wall.id: wall for wall in survey(shop).walls}

    def with_its_wall(one: Placement) -> Placement:
        if one.id not in frames or one.wall is None:
            return one
        _, _, along, out = frames[one.id]
        wall = walls[one.wall]
        x, y = wall.point(along, out)
        there = against_wall(one.id, built.fixture(one), wall, along, one.pinned)
        return there.model_copy(update={"x_mm": x, "y_mm": y})

    return _with_placements(moved, with_its_wall)


# ------------------------------------------------------------------------------ runs and rows


def _run_measures(built: Built) -> Iterator[Handle]:
    for run in built.layout.runs:
        yield _run_field(run.id, "from left", "from_mm", ("from_mm", "to_mm"))
        yield _run_field(
            run.id, "lower edge", "bottom_mm", ("bottom_mm", "top_mm", "first_groove_mm")
        )
        yield _run_field(run.id, "upper edge", "top_mm", ("top_mm",))
    for block in built.layout.blocks:
        for index in range(len(block.rows)):
            yield _row_height(block.id, index)


def _run_field(tag: str, measure: str, name: str, moving: tuple[str, ...]) -> Handle:
    def read(built: Built) -> float:
        return float(getattr(built.layout.run(tag), name))

    def put(built: Built, size: float) -> Built:
        run = built.layout.run(tag)
        by = size - getattr(run, name)
        there = run.model_copy(update={each: getattr(run, each) + by for each in moving})
        blocks = built.layout.blocks
        if "first_groove_mm" in moving:
            blocks = tuple(_raised(block, by) if block.host == tag else block for block in blocks)
        runs: tuple[Run, ...] = tuple(there if one.id == tag else one for one in built.layout.runs)
        changed = {"runs": runs, "blocks": blocks}
        return replace(built, layout=built.layout.model_copy(update=changed))

    return Handle(tag, measure, "", read, put)


def _raised(block: Block, by: float, only: int | None = None) -> Block:
    rows = tuple(
        row.model_copy(update={"bottom_mm": row.bottom_mm + by, "top_mm": row.top_mm + by})
        if only in (None, index)
        else row
        for index, row in enumerate(block.rows)
    )
    return block.model_copy(update={"rows": rows})


def _row_height(tag: str, index: int) -> Handle:
    def read(built: Built) -> float:
        block = next(block for block in built.layout.blocks if block.id == tag)
        return block.rows[index].bottom_mm

    def put(built: Built, size: float) -> Built:
        by = size - read(built)
        blocks = tuple(
            _raised(block, by, index) if block.id == tag else block for block in built.layout.blocks
        )
        return replace(built, layout=built.layout.model_copy(update={"blocks": blocks}))

    return Handle(f"{tag} row {index + 1}", "height", "", read, put)
