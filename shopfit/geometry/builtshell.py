"""Measures of the shell and of the way in, each read from a shop and set in it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from shopfit.geometry.built import Built, Handle, wall_frame, with_placements
from shopfit.geometry.footprint import against_wall
from shopfit.geometry.reshape import with_wall_lengths
from shopfit.geometry.shell import survey
from shopfit.model.layout import Placement

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


def shell_measures(built: Built) -> Iterator[Handle]:
    """List lengths of walls, and the measures of openings, things on walls, ramps and steps."""
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
        one.id: wall_frame(built, one.id) for one in built.layout.placements if one.wall is not None
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

    return with_placements(moved, with_its_wall)
