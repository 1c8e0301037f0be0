"""Fields of a scenario and of a search by dotted names, and how one of them is changed."""

from __future__ import annotations

import types
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import partial
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError

from shopfit import standards
from shopfit.files.wording import nearest, refusals, shortened
from shopfit.model.brief import Brief, Wanted
from shopfit.model.fixtures import FixtureKind
from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario

Given = tuple[Scenario, SolveOptions]
# What names a thing is no wish that could be changed.
_NAMES = ("id", "name", "line", "fixture", "kind")
_GROUPS = ("brief", "catalogue", "range", "rulebook")
_LISTS = ("fixtures", "sheets", "brackets", "shelves")


class Refused(Exception):  # noqa: N818 - carries what a fault needs, and is none of ours
    """A field that is not known, or a value that it does not take.

    Parameters
    ----------
    given, allowed, mend
        As in `shopfit.errors.Fault`.
    """

    def __init__(self, given: str, allowed: str, mend: str) -> None:
        super().__init__(f"{given}; allowed: {allowed}. {mend}")
        self.given, self.allowed, self.mend = given, allowed, mend


@dataclass(frozen=True)
class _Holder:
    """What holds a field, and how the scenario or the options look with another in its place."""

    model: BaseModel
    field: str
    put: Callable[[Any], Given]


def changed(given: Given, path: str, value: object) -> Given:
    """Change one field.

    Parameters
    ----------
    given
        Scenario and options before.
    path
        The field, such as ``brief.aisle`` or ``catalogue.cab-24.available``.
    value
        What it shall be, written as in the scenario's own files; ``none`` or nothing where a
        field may be left out.

    Raises
    ------
    Refused
        If there is no such field, or it does not take the value.
    """
    holder = _holder(given, path)
    kind, field = type(holder.model), holder.field
    if isinstance(value, str) and value.strip().lower() == "none" and _may_be_none(kind, field):
        value = None
    data = {**holder.model.model_dump(mode="json"), field: value}
    try:
        read = kind.model_validate(data)
    except ValidationError as error:
        found = refusals(error, kind, data)
        mine = next((each for each in found if each.loc[:1] == (field,)), found[0])
        raise Refused(mine.given, mine.allowed, mine.mend) from None
    if field == "rulebook" and read.rulebook not in standards.names():  # type: ignore[attr-defined]
        known = standards.names()
        raise Refused(shortened(value), "the name of a rulebook", nearest(str(value), known, ""))
    # Only the one field is taken over: writing the others down and reading them may round them.
    return holder.put(holder.model.model_copy(update={field: getattr(read, field)}))


def label(path: str) -> str:
    """Give the short name of a field: without its group, so ``aisle`` or ``cab-24 available``."""
    group, _, rest = path.partition(".")
    if not rest:
        return group
    subject, _, field = rest.removeprefix("wanted.").rpartition(".")
    return f"{subject} {field}".strip().replace("_", " ")


def _holder(given: Given, path: str) -> _Holder:
    scenario, options = given
    group, _, rest = path.partition(".")
    if group in SolveOptions.model_fields and not rest:
        return _Holder(options, group, lambda new: (scenario, new))
    if group == "rulebook" and not rest:
        shop = scenario.shop
        return _Holder(shop, group, lambda new: (_with(scenario, shop=new), options))
    if group == "brief" and rest.startswith("wanted."):
        return _wanted(given, rest.removeprefix("wanted."))
    if group == "brief":
        return _checked(
            _Holder(scenario.brief, rest, lambda new: (with_brief(scenario, new), options))
        )
    if group == "catalogue":
        return _item(given, rest)
    if group == "range":
        return _line(given, rest)
    words = [*_GROUPS, *SolveOptions.model_fields]
    allowed = (
        "brief.<field>, brief.wanted.<fixture or kind>.<field>, catalogue.<id>.<field>, "
        f"range.<line>.<field>, rulebook, {', '.join(SolveOptions.model_fields)}"
    )
    raise Refused(shortened(path), allowed, nearest(group, words, "Correct the field."))


def _wanted(given: Given, rest: str) -> _Holder:
    scenario, options = given
    subject, _, field = rest.rpartition(".")
    wanted = list(scenario.brief.wanted)
    place = next((i for i, each in enumerate(wanted) if each.subject == subject), len(wanted))
    if place == len(wanted):
        ids = [fixture.id for fixture in scenario.catalogue.fixtures]
        kinds = list(get_args(FixtureKind))
        if subject not in (*ids, *kinds):
            raise _unknown(
                subject or rest, "the id of a fixture or a kind of fixtures", [*ids, *kinds]
            )
        wanted.append(Wanted.model_validate({"fixture" if subject in ids else "kind": subject}))

    def put(new: Any) -> Given:
        entries = (*wanted[:place], new, *wanted[place + 1 :])
        return with_brief(scenario, _with(scenario.brief, wanted=entries)), options

    return _checked(_Holder(wanted[place], field, put))


def _item(given: Given, rest: str) -> _Holder:
    catalogue = given[0].catalogue
    name, _, field = rest.rpartition(".")
    for group in _LISTS:
        for place, item in enumerate(getattr(catalogue, group)):
            if item.id == name:
                return _checked(_Holder(item, field, partial(_with_item, given, group, place)))
    ids = [item.id for group in _LISTS for item in getattr(catalogue, group)]
    raise _unknown(name or rest, "an id of fixtures.yaml, then a dot and its field", ids)


def _with_item(given: Given, group: str, place: int, new: Any) -> Given:
    scenario, options = given
    items = getattr(scenario.catalogue, group)
    changes = {group: (*items[:place], new, *items[place + 1 :])}
    return _with(scenario, catalogue=_with(scenario.catalogue, **changes)), options


def _line(given: Given, rest: str) -> _Holder:
    scenario, options = given
    name, _, field = rest.rpartition(".")
    lines = scenario.lines
    place = next((i for i, line in enumerate(lines) if line.line == name), None)
    if place is None:
        names = [line.line for line in lines]
        raise _unknown(name or rest, "a line of range.csv, then a dot and its field", names)

    def put(new: Any) -> Given:
        return _with(scenario, lines=(*lines[:place], new, *lines[place + 1 :])), options

    return _checked(_Holder(lines[place], field, put))


def _checked(holder: _Holder) -> _Holder:
    """Refuse a field that there is not, that holds more than one value, or that is a name."""
    kind = type(holder.model)
    known = [name for name in kind.model_fields if name not in _NAMES and _single(kind, name)]
    if holder.field not in known:
        raise _unknown(holder.field, f"one of the fields {', '.join(known)}", known)
    return holder


def _unknown(word: str, allowed: str, options: Iterable[str]) -> Refused:
    given = f"an unknown name '{word}'" if word else "nothing"
    return Refused(given, allowed, nearest(word, options, "Correct the name."))


def _single(kind: type[BaseModel], name: str) -> bool:
    core = kind.model_fields[name].annotation
    while get_origin(core) in (Annotated, Union, types.UnionType):
        core = next(part for part in get_args(core) if part is not type(None))
    nested = isinstance(core, type) and issubclass(core, BaseModel)
    return not nested and get_origin(core) not in (tuple, dict, list)


def _may_be_none(kind: type[BaseModel], name: str) -> bool:
    return type(None) in get_args(kind.model_fields[name].annotation)


def with_brief(scenario: Scenario, brief: Brief) -> Scenario:
    """Give a scenario another brief."""
    shop = scenario.shop.model_copy(update={"brief": brief})
    return scenario.model_copy(update={"shop": shop})


def _with(model: Any, **changes: object) -> Any:
    return model.model_copy(update=changes)
