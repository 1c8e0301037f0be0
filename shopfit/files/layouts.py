"""Reads and writes layouts and pins, and takes the fingerprint of a scenario."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError

from shopfit.errors import Fault, InputFaults
from shopfit.files.documents import Document, Loc, read_bytes, read_yaml
from shopfit.files.parts import fault, read_model
from shopfit.files.pincheck import check_pins
from shopfit.files.wording import nearest, refusals, shortened
from shopfit.files.writing import write_text
from shopfit.geometry.shell import survey
from shopfit.model.approach import Approach, Landing, Ramp, Steps
from shopfit.model.base import plain
from shopfit.model.brief import Brief
from shopfit.model.building import Building
from shopfit.model.fixtures import Bracket, Catalogue, Fixture, ShelfBoard
from shopfit.model.layout import Layout
from shopfit.model.openings import Door
from shopfit.model.scenario import Pins, Scenario, Shop
from shopfit.model.shell import Room, Studs, WallObstruction, Zone

LAYOUT_BYTES = 100_000_000
DECIMALS = 4
FARTHEST_MM = 1_000_000.0  # 1 km: beyond any shop, and far from where arithmetic gives out
MOST = 1_000_000
# Fields that 0.1.0 did not know.
_LATER: dict[type[BaseModel], tuple[str, ...]] = {
    Room: ("level", "slope", "cross_slope", "carpet", "gaps"),
    Door: (
        *("approach", "approach_beyond", "leaves", "leaf_width", "recess", "recess_beside"),
        *("threshold", "threshold_run", "threshold_existing", "hardware_height", "force"),
        *("closing_seconds", "spring_hinge", "closer_height", "smooth", "glass_bottom"),
        *("fire_door", "outside"),
    ),
    WallObstruction: ("control_height", "used_by", "force", "volts", "opposite"),
    Studs: ("load",),
    Zone: ("raised",),
    Ramp: ("cross_slope", "leaves", "set_off"),
    Landing: ("slope", "left"),
    Steps: (
        *("risers", "treads", "handrails", "open_risers", "nosing_radius", "nosing_projection"),
        *("leaves", "set_off", "level"),
    ),
    Approach: ("handrail",),
    Shop: ("overheads", "fitting_rooms", "finishes"),
    Fixture: (
        *("service", "service_offset", "service_approach", "knees", "service_altered"),
        *("checkout", "edge", "writing_height", "overhang", "raised", "lock_height"),
        "made",
    ),
    Bracket: ("weight", "made"),
    ShelfBoard: ("weight",),
    Catalogue: ("ordering", "materials"),
}
_COUNTS = ("facings", "brackets", "units", "low_groove", "high_groove", "sheet_number")


def read_layout(path: str | Path, scenario: Scenario | None = None) -> Layout:
    """Read a layout file.

    Parameters
    ----------
    path
        A JSON file.
    scenario
        If given, every name of the layout must be known to it.

    Raises
    ------
    InputFaults
        With every fault of the file.
    """
    path = Path(path)
    data = _json(path)
    try:
        layout = Layout.model_validate(data)
    except ValidationError as error:
        document = Document(path.name, data)
        raise InputFaults(
            Fault(path.name, document.name(each.loc), each.given, each.allowed, each.mend)
            for each in refusals(error, Layout, data)
        ) from None
    faults = list(_sizes(Document(path.name, data), layout))
    faults += _tags(path.name, layout)
    if scenario is not None:
        faults += _names(path.name, layout, scenario)
    if faults:
        raise InputFaults(faults)
    return layout


def write_layout(path: str | Path, layout: Layout) -> None:
    """Write a layout as JSON; equal layouts give equal bytes.

    Parameters
    ----------
    path
        Where to; an existing file is replaced in one step.
    layout
        What is written, with numbers to 4 decimals.
    """
    write_text(path, layout_text(layout))


def layout_text(layout: Layout) -> str:
    """Give a layout as JSON text; see `write_layout`."""
    data = _rounded(plain(layout))
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def digest(text: str) -> str:
    """Give a digest of a text."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def fingerprint(scenario: Scenario) -> str:
    """Give a digest of what was given; the folder's name does not count."""
    data = plain(scenario)
    del data["folder"]
    _leave_out_unasked(data)
    text = json.dumps(data, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return digest(text)


def _leave_out_unasked(data: dict[str, Any]) -> None:
    """Leave out what 0.1.0 did not know where it asks for nothing: its layouts stay known."""
    if not data["own"]["values"]:
        del data["own"]
    brief, unasked = data["shop"]["brief"], plain(Brief())
    for name in ("elasticity", "merchandising"):
        if brief[name] == unasked[name]:
            del brief[name]
    for items, name, nothing in (
        (brief["bands"], "weight", 1.0),
        (data["lines"], "new", False),
        (data["lines"], "code", ""),
    ):
        for item in items:
            if item[name] == nothing:
                del item[name]
    shop, approach = data["shop"], data["shop"]["approach"]
    if shop["building"] == plain(Building()):
        del shop["building"]
    ramps = approach["ramps"]
    landings = [ramp[end] for ramp in ramps for end in ("top", "bottom")]
    steps = [approach["steps"]] if approach["steps"] else []
    for model, items in (
        (Room, shop["rooms"]),
        (Door, shop["doors"]),
        (WallObstruction, shop["obstructions"]),
        (Studs, [shop["studs"]]),
        (Zone, shop["zones"]),
        (Ramp, ramps),
        (Landing, landings),
        (Steps, steps),
        (Approach, [approach]),
        (Shop, [shop]),
        (Fixture, data["catalogue"]["fixtures"]),
        (Bracket, data["catalogue"]["brackets"]),
        (ShelfBoard, data["catalogue"]["shelves"]),
        (Catalogue, [data["catalogue"]]),
    ):
        for name in _LATER[model]:
            nothing = model.model_fields[name].default
            for item in items:
                # Lengths are written with their unit, lists as lists.
                written = isinstance(nothing, float | tuple)
                if item[name] in ("0 mm", "0 kg", []) if written else item[name] == nothing:
                    del item[name]


def read_pins(path: str | Path, scenario: Scenario | None = None) -> Pins:
    """Read a pins file.

    Parameters
    ----------
    path
        A YAML file.
    scenario
        If given, every pin must fit its shell and catalogue.

    Raises
    ------
    InputFaults
        With every fault of the file.
    """
    path = Path(path)
    document, faults = read_yaml(path)
    pins, more, lost = read_model(document, Pins)
    faults += more
    if pins is not None and scenario is not None:
        found = check_pins(
            pins, scenario.shop, survey(scenario.shop), scenario.catalogue, lost - {"rooms"}
        )
        faults += [Fault(path.name, f.where, f.given, f.allowed, f.mend) for f in found]
    if faults or pins is None:
        raise InputFaults(document.placed(each) for each in faults)
    return pins


def _not_there(path: Path) -> Fault:
    return Fault(
        str(path),
        "whole file",
        "nothing there",
        "a layout.json, or a folder with one",
        "Lay the shop out first: `shopfit solve` with its folder. Or name another layout.",
    )


def _json(path: Path) -> Any:
    if not path.exists():
        raise InputFaults([_not_there(path)])
    raw = read_bytes(path, LAYOUT_BYTES)
    if isinstance(raw, Fault):
        raise InputFaults([raw])
    try:
        return json.loads(raw.decode("utf-8-sig"), parse_constant=_no_number)
    except _NoNumberError as error:
        where, given, mend = "whole file", str(error), "Replace it by a finite number."
    except json.JSONDecodeError as error:
        where, given = f"line {error.lineno}", "something that is not JSON"
        mend = "Write the layout again with `shopfit solve`, or undo the last change by hand."
    except (UnicodeDecodeError, RecursionError, ValueError):
        where, given = "whole file", "something that is not JSON in UTF-8"
        mend = "Write the layout again with `shopfit solve`."
    raise InputFaults([Fault(path.name, where, given, "a layout written by shopfit", mend)])


class _NoNumberError(ValueError):
    """A constant that is no number, such as NaN."""


def _no_number(name: str) -> float:
    raise _NoNumberError(name)


def _rounded(value: Any) -> Any:
    if isinstance(value, float):
        return round(value, DECIMALS) + 0.0
    if isinstance(value, dict):
        return {key: _rounded(item) for key, item in value.items()}
    return [_rounded(item) for item in value] if isinstance(value, list) else value


def _sizes(document: Document, layout: Layout) -> Iterator[Fault]:
    """Find lengths and counts that no shop has, which nothing could be drawn or counted with."""
    parts = layout.model_dump(include={"placements", "runs", "blocks", "cuts"})
    for loc, name, size in _numbers(parts, ()):
        if name.endswith("_mm") and abs(size) > FARTHEST_MM:
            allowed = "a length from -1 km to 1 km, in mm"
        elif name in _COUNTS and abs(size) > MOST:
            allowed = f"a number up to {MOST:,}"
        else:
            continue
        given, mend = f"{size:.6g}", "Correct the number, or make the layout again."
        yield Fault(document.file, document.name(loc), given, allowed, mend)


def _numbers(value: Any, loc: Loc) -> Iterator[tuple[Loc, str, float]]:
    if isinstance(value, dict):
        for key, item in value.items():
            if isinstance(item, int | float) and not isinstance(item, bool):
                yield (*loc, key), key, item
            else:
                yield from _numbers(item, (*loc, key))
    elif isinstance(value, list | tuple):
        for index, item in enumerate(value):
            yield from _numbers(item, (*loc, index))


def _tags(file: str, layout: Layout) -> Iterator[Fault]:
    fixtures = [placement.id for placement in layout.placements]
    runs = [run.id for run in layout.runs]
    seen: set[str] = set()
    groups = {"placements": fixtures, "runs": runs, "blocks": [b.id for b in layout.blocks]}
    for group, tags in groups.items():
        for tag in tags:
            if tag in seen:
                yield fault(
                    file,
                    group,
                    tag,
                    given=f"'{tag}' a second time",
                    allowed="each tag once",
                    mend="Rename one of the two.",
                )
            seen.add(tag)
    for run in layout.runs:
        for tag in run.over:
            yield from _known(file, ("runs", run.id, "over"), tag, fixtures, "tag of a fixture")
    for block in layout.blocks:
        where = ("blocks", block.id, "host")
        yield from _known(file, where, block.host, [*fixtures, *runs], "tag of a fixture or run")
    for piece in layout.cuts:
        yield from _known(file, ("cuts", piece.run), piece.run, runs, "tag of a run")


def _names(file: str, layout: Layout, scenario: Scenario) -> Iterator[Fault]:
    catalogue = scenario.catalogue
    walls = [wall.id for wall in survey(scenario.shop).walls]
    fixtures = [item.id for item in catalogue.fixtures]
    sheets = [item.id for item in catalogue.sheets]
    holders = [item.id for item in catalogue.brackets]
    holders += [item.id for item in catalogue.shelves]
    lines = [line.line for line in scenario.lines]
    for placement in layout.placements:
        where = ("placements", placement.id)
        yield from _known(file, (*where, "fixture"), placement.fixture, fixtures, "fixture")
        if placement.wall is not None:
            yield from _known(file, (*where, "wall"), placement.wall, walls, "wall")
    for run in layout.runs:
        yield from _known(file, ("runs", run.id, "wall"), run.wall, walls, "wall")
        yield from _known(file, ("runs", run.id, "sheet"), run.sheet, sheets, "sheet")
    for block in layout.blocks:
        where = ("blocks", block.id)
        yield from _known(
            file, (*where, "category"), block.category, scenario.categories, "category"
        )
        for row in block.rows:
            for slot in row.slots:
                yield from _known(file, (*where, "line"), slot.line, lines, "line of the range")
                if slot.holder is not None:
                    yield from _known(
                        file, (*where, "holder"), slot.holder, holders, "bracket or shelf board"
                    )


def _known(
    file: str,
    where: tuple[str, ...],
    word: str,
    names: Sequence[str],
    what: str,
) -> Iterator[Fault]:
    if word not in names:
        yield fault(
            file,
            *where,
            given=shortened(word),
            allowed=f"a known {what}",
            mend=nearest(word, names, "Solve again."),
        )
