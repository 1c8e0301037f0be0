"""Checks the brief's wishes on where goods stand, against the range and the rooms."""

from __future__ import annotations

import math
from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise

from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shopfit.errors import Fault
from shopfit.files.parts import RANGE, SHOP, Parts, fault
from shopfit.files.shellcheck import place
from shopfit.files.wording import nearest, shortened
from shopfit.geometry.faceplace import entrances
from shopfit.geometry.shell import ShellPlan
from shopfit.model.base import Point as Place
from shopfit.model.brief import Merchandising
from shopfit.model.scenario import Shop
from shopfit.units import INCH_MM, TOLERANCE_MM

# A way is sketched, not measured: it may begin on the threshold.
SKETCH_MM = INCH_MM
_PATH = ("brief", "merchandising")


def check_goods(parts: Parts, shop: Shop, plan: ShellPlan | None) -> Iterator[Fault]:
    """Give every fault of the wishes on where goods stand, and of elasticities.

    Parameters
    ----------
    parts, shop
        What could be read.
    plan
        The rooms that are sound, or none.
    """
    rules = shop.brief.merchandising
    yield from _names(parts, shop)
    for field, pairs in (("touch", rules.touch), ("apart", rules.apart)):
        yield from _pairs(field, pairs, parts.lost)
    yield from _both(rules, parts.lost)
    yield from _lists(rules, parts.lost)
    yield from _new(parts, rules)
    whole = plan is not None and len(plan.rooms) == len(shop.rooms)
    if rules.way and plan and whole and not parts.lost & {"rooms", "way"}:
        yield from _way(rules.way, shop, plan, parts.lost)


def _path(lost: frozenset[str], field: str, what: str, number: int) -> tuple[str, ...]:
    """Give the path of an item; where others of its list are lost, numbers would mislead."""
    return (*_PATH, field) if field in lost else (*_PATH, field, f"{what} {number}")


def _named(rules: Merchandising, lost: frozenset[str]) -> Iterator[tuple[tuple[str, ...], str]]:
    """Give every category named, with the path of its place."""
    for category in rules.blocks:
        yield (*_PATH, "blocks", category), category
    for field, what, lists in (
        ("touch", "pair", rules.touch),
        ("apart", "pair", rules.apart),
        ("order", "list", rules.order),
    ):
        for number, items in enumerate(lists, 1):
            for category in items:
                yield _path(lost, field, what, number), category


def _names(parts: Parts, shop: Shop) -> Iterator[Fault]:
    sold = {line.category for line in parts.lines.values()}
    known = sorted(sold | set(shop.categories))
    complete = "lines" not in parts.lost
    if "categories" in parts.lost or not (complete or shop.categories):
        return
    named = [
        (("brief", "elasticity", "categories", category), category)
        for category in shop.brief.elasticity.categories
    ]
    for path, category in (*named, *_named(shop.brief.merchandising, parts.lost)):
        if category not in known:
            yield fault(
                SHOP,
                *path,
                given=shortened(category),
                allowed=f"a category of {RANGE}",
                mend=nearest(category, known, f"Add lines of it to {RANGE}."),
            )
        elif complete and category not in sold and "touch" in path:
            yield fault(
                SHOP,
                *path,
                given=f"'{category}', of which {RANGE} has no line",
                allowed="two categories of which goods are sold",
                mend="Add lines of it, or take the pair out.",
            )


def _new(parts: Parts, rules: Merchandising) -> Iterator[Fault]:
    """Give a wish for new goods where there are none, which would ask for nothing."""
    if rules.new_within is None or "lines" in parts.lost:
        return
    if not any(line.new for line in parts.lines.values()):
        yield fault(
            SHOP,
            *_PATH,
            "new_within",
            given=f"a length, but {RANGE} has no line marked new",
            allowed="a length where lines are marked new",
            mend=f"Write yes under new beside those lines of {RANGE}, or take it out.",
        )


def _pairs(field: str, pairs: tuple[tuple[str, str], ...], lost: frozenset[str]) -> Iterator[Fault]:
    seen: dict[frozenset[str], int] = {}
    for number, (one, other) in enumerate(pairs, 1):
        path = _path(lost, field, "pair", number)
        first = seen.setdefault(frozenset((one, other)), number)
        if one == other:
            yield fault(
                SHOP,
                *path,
                given=f"'{one}' twice",
                allowed="two categories",
                mend="Name another category; that one keeps together is said under blocks.",
            )
        elif first != number:
            yield fault(
                SHOP,
                *path,
                given=f"'{one}' and '{other}' a second time",
                allowed="each pair once",
                mend="Take out one.",
            )


def _both(rules: Merchandising, lost: frozenset[str]) -> Iterator[Fault]:
    touching = {frozenset(pair) for pair in rules.touch}
    for number, pair in enumerate(rules.apart, 1):
        if len(set(pair)) == 2 and frozenset(pair) in touching:
            yield fault(
                SHOP,
                *_path(lost, "apart", "pair", number),
                given=f"'{pair[0]}' and '{pair[1]}', which touch brings together",
                allowed="categories that are not to touch as well",
                mend="Take the pair out of touch or out of apart.",
            )


def _lists(rules: Merchandising, lost: frozenset[str]) -> Iterator[Fault]:
    before: TopologicalSorter[str] = TopologicalSorter()
    for number, chain in enumerate(rules.order, 1):
        twice = next((name for name in chain if chain.count(name) > 1), None)
        if twice is not None:
            yield fault(
                SHOP,
                *_path(lost, "order", "list", number),
                given=f"'{twice}' {chain.count(twice)} times",
                allowed="each category once in a list",
                mend="Leave it where customers are to pass it first.",
            )
            continue
        for earlier, later in pairwise(chain):
            before.add(later, earlier)
    try:
        before.prepare()
    except CycleError as error:
        yield fault(
            SHOP,
            *_PATH,
            "order",
            given=" before ".join(f"'{name}'" for name in error.args[1]),
            allowed="lists that agree with one another",
            mend="Take one of these categories out of one of the lists.",
        )


def _way(
    way: tuple[Place, ...], shop: Shop, plan: ShellPlan, lost: frozenset[str]
) -> Iterator[Fault]:
    floor = _floor(shop, plan)
    inside = [bool(floor.covers(Point(point))) for point in way]
    for number, (point, within) in enumerate(zip(way, inside, strict=True), 1):
        if not within:
            yield _off(number, f"{place(point, shop.units)}, outside the rooms", "floor of a room")
    for number, (one, other) in enumerate(pairwise(way), 2):
        if math.dist(one, other) <= TOLERANCE_MM:
            yield _off(
                number,
                f"{place(other, shop.units)}, as the point before",
                "points in different places",
                "Take out one of the two.",
            )
        elif (
            inside[number - 2] and inside[number - 1] and not floor.covers(LineString((one, other)))
        ):
            yield _off(
                number,
                f"a straight line from {place(one, shop.units)} to {place(other, shop.units)}, "
                "partly outside the rooms",
                "a line over the floor of the rooms and through inner doors",
                "Add a point where the way turns.",
            )
    doors = entrances(shop, plan)
    if doors and "doors" not in lost:
        first, last = (min(math.dist(end, door) for door in doors) for end in (way[0], way[-1]))
        if first > last + shop.brief.aisle:
            yield fault(
                SHOP,
                *_PATH,
                "way",
                given=f"a way that ends nearer to an entrance than it begins, at "
                f"{place(way[0], shop.units)}",
                allowed="a way from an entrance on",
                mend="Write its points in the order in which customers pass them.",
            )


def _floor(shop: Shop, plan: ShellPlan) -> BaseGeometry:
    """Give where a way may lead: the rooms and the thickness of walls in inner doors."""
    walls = {wall.id: wall for wall in plan.walls}
    passages = [
        walls[door.wall].rectangle(door.offset, door.offset + door.width, -door.depth, 1.0)
        for door in shop.doors
        if door.use == "inner" and door.wall in walls
    ]
    return unary_union([*plan.rooms.values(), *passages]).buffer(SKETCH_MM, join_style="mitre")


def _off(
    number: int,
    given: str,
    allowed: str,
    mend: str = "Measure it from the same zero as the rooms, x east and y north.",
) -> Fault:
    path = (*_PATH, "way", f"point {number}")
    return fault(SHOP, *path, given=given, allowed=allowed, mend=mend)
