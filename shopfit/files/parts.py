"""The readable parts of a scenario, so that faults of all files are found in one pass."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from shopfit.errors import Fault
from shopfit.files.documents import Document, Loc
from shopfit.files.wording import refusals
from shopfit.model.fixtures import Catalogue
from shopfit.model.ownvalues import OwnValues
from shopfit.model.range import Line
from shopfit.model.scenario import Pins, Shop

SHOP, RANGE, FIXTURES, PINS = "shop.yaml", "range.csv", "fixtures.yaml", "pins.yaml"
VALUES = "values.yaml"
Model = TypeVar("Model", bound=BaseModel)
_TRIES = 3


@dataclass(frozen=True)
class Parts:
    """What could be read of a scenario.

    Parameters
    ----------
    shop, catalogue, pins
        Contents of the files, without what could not be read; none for a lost file.
    lines
        Lines of the range by their row.
    lost
        Names of the lists of which something could not be read: nothing is said to be missing
        from those.
    own
        Own values on top of the rulebook.
    """

    shop: Shop | None = None
    catalogue: Catalogue | None = None
    pins: Pins = field(default_factory=Pins)
    lines: Mapping[int, Line] = field(default_factory=dict)
    lost: frozenset[str] = frozenset()
    own: OwnValues = field(default_factory=OwnValues)


def fault(file: str, *path: str, given: str, allowed: str, mend: str) -> Fault:
    """Make a fault from a path of names."""
    return Fault(file, " > ".join(path), given, allowed, mend)


def read_model(
    document: Document, model: type[Model], stand_ins: Mapping[str, Any] | None = None
) -> tuple[Model | None, list[Fault], frozenset[str]]:
    """Validate a document; where that fails, validate what is left without the faulty items.

    Parameters
    ----------
    document, model
        What is read as what.
    stand_ins
        What stands for a field that was lost and must be there.

    Returns
    -------
    The model or none, all faults, and the names of the lists that lost something.
    """
    if document.data is None:
        return None, [], frozenset(model.model_fields)
    try:
        return model.model_validate(document.data), [], frozenset()
    except ValidationError as error:
        found = refusals(error, model, document.data)
    faults = [
        Fault(document.file, document.name(each.loc), each.given, each.allowed, each.mend)
        for each in found
    ]
    rest, lost, locs = document.data, set[str](), {each.loc for each in found}
    for _ in range(_TRIES):
        rest, gone = _without(rest, locs)
        lost |= gone
        for name, value in (stand_ins or {}).items():
            rest[name] = rest.get(name) or value
        try:
            return model.model_validate(rest), faults, frozenset(lost)
        except ValidationError as error:
            # A list that lost an item may be too short now, and a field miss its companion.
            locs = {tuple(detail["loc"]) for detail in error.errors()}
    return None, faults, frozenset(model.model_fields) | frozenset(lost)


def _without(data: Any, locs: set[Loc]) -> tuple[Any, set[str]]:
    """Copy data without the outermost list items, or else the fields, at the paths given."""
    rest = copy.deepcopy(data)
    lost: set[str] = set()
    doomed: set[Loc] = set()
    for loc in filter(None, locs):
        index = next((i for i, step in enumerate(loc) if isinstance(step, int)), len(loc) - 1)
        doomed.add(loc[: index + 1])
        lost.update(step for step in loc[: index + 1] if isinstance(step, str))
    # Last items first, so that the numbers of the others stay right.
    for loc in sorted(doomed, key=lambda loc: [str(s).zfill(6) for s in loc], reverse=True):
        holder = rest
        for step in loc[:-1]:
            holder = holder[step]
        if isinstance(holder, list) and isinstance(loc[-1], int):
            del holder[loc[-1]]
        elif isinstance(holder, dict):
            holder.pop(loc[-1], None)
    return rest, lost
