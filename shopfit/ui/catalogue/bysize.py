"""Fixtures and brackets of one's own, from their size alone.

What a carpenter or a maker would say otherwise is filled in as is usual (common practice, no
source) and can be changed after.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from shopfit.units import INCH_MM

SIDE_MM = 0.75 * INCH_MM
TOE_MM = 4 * INCH_MM
TOP_MM = 2 * INCH_MM
BACK_MM = 1 * INCH_MM
GOODS_ON_TABLE_MM = 18 * INCH_MM
CASE_BASE_MM = 18 * INCH_MM
LOAD_KG_PER_M = 35.0
STANDS: Mapping[str, tuple[str, ...]] = {
    "base-cabinet": ("wall",),
    "rack": ("wall",),
    "plinth": ("wall", "island"),
    "glass-case": ("wall", "divider"),
    "counter": ("divider", "wall"),
    "table": ("island",),
    "gondola": ("island",),
}
FASTENED = ("base-cabinet", "rack", "glass-case", "counter")


def fixture_by_size(
    kind: str,
    width_mm: float,
    depth_mm: float,
    height_mm: float,
    price: str,
    taken: Iterable[str] = (),
) -> dict[str, Any]:
    """Give a fixture as it is written down.

    Parameters
    ----------
    kind
        What it is, as in `shopfit.model.fixtures`.
    width_mm, depth_mm, height_mm
        Overall, mm.
    price
        Each, as written.
    taken
        Ids that are in use.
    """
    inches = round(width_mm / INCH_MM)
    fixture: dict[str, Any] = {
        "id": free_id(f"{kind}-{inches}", taken),
        "kind": kind,
        "name": f"{kind.replace('-', ' ').capitalize()} of our own, {inches} in wide",
        "width": _mm(width_mm),
        "depth": _mm(depth_mm),
        "height": _mm(height_mm),
        "stands": list(STANDS[kind]),
        "slat_above": "true" if kind == "base-cabinet" else "false",
        "fixed": "true" if kind in FASTENED else "false",
        "price": price,
    }
    faces = _FACES[kind](width_mm, depth_mm, height_mm)
    if faces:
        fixture["faces"] = faces
    if kind == "counter":
        fixture |= {"service_height": _mm(height_mm), "service_width": _mm(width_mm)}
    return fixture


def bracket_by_size(
    kind: str, depth_mm: float, load: str, price: str, pack: str, taken: Iterable[str] = ()
) -> dict[str, Any]:
    """Give a bracket as it is written down; its depth in mm, the rest as written."""
    inches = round(depth_mm / INCH_MM)
    return {
        "id": free_id(f"{kind}-{inches}", taken),
        "name": f"{kind.capitalize()} of our own, {inches} in",
        "kind": kind,
        "depth": _mm(depth_mm),
        "load": load,
        "price": price,
        "pack": pack or "1",
    }


def free_id(wanted: str, taken: Iterable[str]) -> str:
    """Give an id that is not in use, as near as can be to the one wanted."""
    used, name, number = set(taken), wanted, 1
    while name in used:
        number += 1
        name = f"{wanted}-{number}"
    return name


def _shelves(width: float, depth: float, height: float) -> list[dict[str, Any]]:
    return [
        _face("front", "shelf", width - 2 * SIDE_MM, TOE_MM, height - TOP_MM, depth - 2 * BACK_MM)
    ]


def _rack(width: float, depth: float, height: float) -> list[dict[str, Any]]:
    return [_face("front", "shelf", width - 2 * SIDE_MM, TOE_MM, height, depth - BACK_MM)]


def _both_sides(width: float, depth: float, height: float) -> list[dict[str, Any]]:
    half = depth / 2 - BACK_MM
    return [
        _face(side, "shelf", width - 2 * SIDE_MM, TOE_MM, height, half)
        for side in ("front", "back")
    ]


def _table(width: float, depth: float, height: float) -> list[dict[str, Any]]:
    top = height + GOODS_ON_TABLE_MM
    return [_face(side, "table", width, height, top, depth / 2) for side in ("front", "back")]


def _plinth(width: float, depth: float, height: float) -> list[dict[str, Any]]:
    return [_face("front", "table", width, height, height + GOODS_ON_TABLE_MM, depth)]


def _case(width: float, depth: float, height: float) -> list[dict[str, Any]]:
    base = min(CASE_BASE_MM, height / 2)
    return [_face("front", "case", width - 2 * BACK_MM, base, height - TOP_MM, depth - 3 * BACK_MM)]


def _none(width: float, depth: float, height: float) -> list[dict[str, Any]]:
    return []


def _face(
    side: str, kind: str, width: float, bottom: float, top: float, depth: float
) -> dict[str, Any]:
    return {
        "side": side,
        "kind": kind,
        "width": _mm(width),
        "bottom": _mm(bottom),
        "top": _mm(top),
        "depth": _mm(depth),
        "load": f"{LOAD_KG_PER_M * width / 1000:.3g} kg",
    }


_FACES: Mapping[str, Callable[[float, float, float], list[dict[str, Any]]]] = {
    "base-cabinet": _shelves,
    "rack": _rack,
    "plinth": _plinth,
    "glass-case": _case,
    "counter": _none,
    "table": _table,
    "gondola": _both_sides,
}


def _mm(size: float) -> str:
    return f"{size:.9g} mm"
