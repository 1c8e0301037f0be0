"""Reads a scenario folder, and says every fault of all its files in one pass."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from shopfit.errors import Fault, InputFaults
from shopfit.files.crosscheck import crosscheck
from shopfit.files.documents import Document, missing_part, read_yaml
from shopfit.files.ownvalues import scenario_values, too_wide_for_brief
from shopfit.files.parts import FIXTURES, PINS, RANGE, SHOP, VALUES, Parts, fault, read_model
from shopfit.files.rangefile import RangeText, read_range
from shopfit.model.fixtures import Catalogue
from shopfit.model.ownvalues import OwnValues
from shopfit.model.scenario import Pins, Scenario, Shop

# What stands for a lost name or for lost rooms, so that the rest of a shop is still looked at.
_SQUARE = [["0", "0"], ["0", "9 m"], ["9 m", "9 m"], ["9 m", "0"]]
_STAND_INS = {"name": "?", "rooms": [{"id": "lost", "height": "3 m", "corners": _SQUARE}]}


def load_scenario(folder: str | Path) -> Scenario:
    """Read a scenario folder.

    Parameters
    ----------
    folder
        Holds ``shop.yaml``, ``range.csv``, ``fixtures.yaml`` and, if wanted, ``pins.yaml`` and
        ``values.yaml``.

    Raises
    ------
    InputFaults
        With every fault of all files, in the user's names.
    """
    folder = Path(folder)
    if not folder.is_dir():
        raise InputFaults([_no_folder(folder)])
    parts, faults = _read(folder)
    if faults or parts.shop is None or parts.catalogue is None:
        raise InputFaults(faults)
    return Scenario(
        shop=parts.shop,
        lines=tuple(parts.lines.values()),
        catalogue=parts.catalogue,
        pins=parts.pins,
        own=parts.own,
        folder=folder.resolve().name,
    )


def _read(folder: Path) -> tuple[Parts, list[Fault]]:
    documents: dict[str, Document] = {}
    faults: list[Fault] = []
    for name in (SHOP, FIXTURES, PINS, VALUES):
        if not (folder / name).exists():
            if name in (SHOP, FIXTURES):
                documents[name] = Document(name, None)
                faults.append(missing_part(name))
            continue
        documents[name], more = read_yaml(folder / name)
        faults += more
    parts, more = judge_parts(documents, read_range(folder / RANGE))
    placed = [
        documents[each.file].placed(each) if each.file in documents else each
        for each in (*faults, *more)
    ]
    return parts, placed


def judge_parts(documents: Mapping[str, Document], goods: RangeText) -> tuple[Parts, list[Fault]]:
    """Judge what the files of a scenario hold, each alone and all together.

    Parameters
    ----------
    documents
        What ``shop.yaml``, ``fixtures.yaml`` and, where they are there, ``pins.yaml`` and
        ``values.yaml`` hold.
    goods
        What was read of the range.

    Returns
    -------
    What can be used of them, and every fault, without lines of files.
    """
    shop, faults, lost = read_model(documents[SHOP], Shop, _STAND_INS)
    catalogue, more, lost_items = read_model(documents[FIXTURES], Catalogue)
    faults = [*faults, *more]
    pins: Pins | None = Pins()
    if PINS in documents:
        pins, more, _ = read_model(documents[PINS], Pins)
        faults += more
    faults += goods.faults
    lost |= lost_items | (frozenset({"lines"}) if goods.faults else frozenset())
    own = OwnValues()
    if VALUES in documents:
        # Whether the rulebook exists is told of shop.yaml.
        own, more = scenario_values(documents[VALUES], shop.rulebook if shop else None)
        faults += more
        faults += too_wide_for_brief(VALUES, own, shop) if shop else ()
    parts = Parts(shop, catalogue, pins or Pins(), goods.lines, lost, own)
    return parts, faults + crosscheck(parts)


def _no_folder(folder: Path) -> Fault:
    return fault(
        folder.name or str(folder),
        "whole folder",
        given="a file" if folder.exists() else "nothing",
        allowed=f"a folder with {SHOP}, {RANGE}, {FIXTURES} and perhaps {PINS}",
        mend="Give the folder of a scenario; `shopfit new` writes one to start from.",
    )
