"""Checks what the files of a scenario say of one another."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice

from shopfit import standards
from shopfit.errors import Fault
from shopfit.files.buildingcheck import check_building
from shopfit.files.finishlists import check_finishes
from shopfit.files.goodscheck import check_goods
from shopfit.files.makingcheck import check_making
from shopfit.files.measurecheck import check_fixture_measures, check_shop_measures
from shopfit.files.ordercheck import check_ordering
from shopfit.files.parts import FIXTURES, PINS, SHOP, Parts, fault
from shopfit.files.pincheck import check_pins
from shopfit.files.rangecheck import check_range
from shopfit.files.rangefile import FAULTS_SHOWN, further_rows
from shopfit.files.shellcheck import check_shell
from shopfit.files.waycheck import check_way_in
from shopfit.files.wording import nearest, shortened
from shopfit.geometry.footprint import side_length
from shopfit.model.brief import Wanted
from shopfit.model.fixtures import Catalogue, Fixture
from shopfit.model.scenario import Shop
from shopfit.units import TOLERANCE_MM, LengthStyle, format_length


def crosscheck(parts: Parts) -> list[Fault]:
    """Give every fault between the parts of a scenario.

    Parameters
    ----------
    parts
        What could be read.
    """
    faults: list[Fault] = []
    plan = None
    if parts.shop:
        faults += _shop_ids(parts.shop)
        faults += _shop_names(parts.shop, parts)
        plan, more = check_shell(parts.shop, parts.lost)
        faults += more
        faults += check_goods(parts, parts.shop, plan)
        faults += check_shop_measures(parts.shop, plan)
        faults += check_way_in(parts.shop, plan, parts.lost) if plan else ()
        faults += check_finishes(parts.shop) if plan else ()
        faults += check_building(parts.shop, plan, parts.lost) if plan else ()
    if parts.catalogue:
        style: LengthStyle = parts.shop.units if parts.shop else "ft-in"
        faults += _catalogue_ids(parts.catalogue)
        faults += check_ordering(parts.catalogue, parts.lost)
        faults += check_making(parts.catalogue, parts.lost, style)
        for fixture in parts.catalogue.fixtures:
            faults += _fixture(fixture, style)
            faults += check_fixture_measures(fixture, style)
    faults += _some(check_range(parts, plan))
    faults += _twice(PINS, "clear", (clear.id for clear in parts.pins.clear))
    if parts.shop and parts.catalogue and plan:
        faults += check_pins(parts.pins, parts.shop, plan, parts.catalogue, parts.lost)
    return faults


def _some(faults: Iterator[Fault]) -> Iterator[Fault]:
    """Give the first faults of a range; where one bracket is missing, every row may have one."""
    yield from islice(faults, FAULTS_SHOWN)
    if next(faults, None) is not None:
        yield further_rows("more")


def _twice(file: str, group: str, ids: Iterable[str]) -> Iterator[Fault]:
    seen: set[str] = set()
    for name in ids:
        if name in seen:
            yield fault(
                file,
                group,
                name,
                given=f"'{name}' a second time",
                allowed="each id once",
                mend="Rename one of the two.",
            )
        seen.add(name)


def _shop_ids(shop: Shop) -> Iterator[Fault]:
    yield from _twice(SHOP, "rooms", (room.id for room in shop.rooms))
    yield from _twice(SHOP, "doors", (door.id for door in shop.doors))
    yield from _twice(SHOP, "windows", (window.id for window in shop.windows))
    yield from _twice(SHOP, "obstructions", (thing.id for thing in shop.obstructions))
    yield from _twice(SHOP, "columns", (column.id for column in shop.columns))
    yield from _twice(SHOP, "zones", (zone.id for zone in shop.zones))
    yield from _twice(SHOP, "overheads", (over.id for over in shop.overheads))
    yield from _twice(SHOP, "fitting_rooms", (room.id for room in shop.fitting_rooms))
    yield from _twice(SHOP, "brief > bands", (band.id for band in shop.brief.bands))


def _shop_names(shop: Shop, parts: Parts) -> Iterator[Fault]:
    if shop.rulebook not in standards.names():
        yield fault(
            SHOP,
            "rulebook",
            given=shortened(shop.rulebook),
            allowed="the name of a rulebook",
            mend=nearest(shop.rulebook, standards.names(), "Use us."),
        )
    door = shop.approach.door
    doors = [each.id for each in shop.doors]
    if door is not None and door not in doors and "doors" not in parts.lost:
        yield fault(
            SHOP,
            "approach",
            "door",
            given=shortened(door),
            allowed="the id of a door",
            mend=nearest(door, doors, "Add the door."),
        )
    if parts.catalogue and "fixtures" not in parts.lost:
        for wanted in shop.brief.wanted:
            yield from _wanted(wanted, parts.catalogue)


def _wanted(wanted: Wanted, catalogue: Catalogue) -> Iterator[Fault]:
    ids = [fixture.id for fixture in catalogue.fixtures]
    kinds = list(dict.fromkeys(fixture.kind for fixture in catalogue.fixtures))
    if wanted.fixture is not None and wanted.fixture not in ids:
        yield fault(
            SHOP,
            "brief",
            "wanted",
            wanted.fixture,
            given=shortened(wanted.fixture),
            allowed=f"the id of a fixture in {FIXTURES}",
            mend=nearest(wanted.fixture, ids, "Add the fixture."),
        )
        return
    chosen = [f for f in catalogue.fixtures if wanted.subject in (f.id, f.kind)]
    if wanted.kind is not None and not chosen and wanted.at_least > 0:
        yield fault(
            SHOP,
            "brief",
            "wanted",
            wanted.kind,
            given=f"at least {wanted.at_least} of '{wanted.kind}'",
            allowed=f"a kind that {FIXTURES} holds: {', '.join(kinds) or 'none'}",
            mend=f"Add a {wanted.kind} to {FIXTURES}, or take the wish out.",
        )
        return
    most = sum(fixture.available + fixture.owned for fixture in chosen)
    if wanted.at_least > most:
        yield fault(
            SHOP,
            "brief",
            "wanted",
            wanted.subject,
            given=f"at least {wanted.at_least}",
            allowed=f"at most {most}, available and owned together in {FIXTURES}",
            mend="Want fewer, or raise available.",
        )


def _catalogue_ids(catalogue: Catalogue) -> Iterator[Fault]:
    groups = {
        "fixtures": [item.id for item in catalogue.fixtures],
        "sheets": [item.id for item in catalogue.sheets],
        "brackets": [item.id for item in catalogue.brackets],
        "shelves": [item.id for item in catalogue.shelves],
    }
    seen: dict[str, str] = {}
    for group, ids in groups.items():
        for name in ids:
            if name in seen:
                yield fault(
                    FIXTURES,
                    group,
                    name,
                    given=f"'{name}', already among the {seen[name]}",
                    allowed="each id once in the whole file",
                    mend="Rename one of the two.",
                )
            seen.setdefault(name, group)


def _fixture(fixture: Fixture, style: LengthStyle) -> Iterator[Fault]:
    yield from _twice(FIXTURES, f"fixtures > {fixture.id} > faces", (f.side for f in fixture.faces))
    for face in fixture.faces:
        across = side_length(fixture, face.side)
        behind = fixture.depth if face.side in ("front", "back") else fixture.width
        for name, size, most in (("width", face.width, across), ("depth", face.depth, behind)):
            if size is not None and size > most + TOLERANCE_MM:
                yield fault(
                    FIXTURES,
                    "fixtures",
                    fixture.id,
                    "faces",
                    face.side,
                    name,
                    given=format_length(size, style),
                    allowed=f"at most {format_length(most, style)}, the fixture's own size there",
                    mend="Correct the face or the fixture.",
                )
