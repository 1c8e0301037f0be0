"""A list of like things: a table to change in place, and a form for one at a time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

import streamlit as st

from shopfit.errors import Fault
from shopfit.ui import session
from shopfit.ui.tables import marked
from shopfit.ui.tables.cells import Field, Path, shown, unit_hint, value_at, with_value, written
from shopfit.ui.text import label
from shopfit.units import LengthStyle

CHECK = "Check"
MARK = marked.MARK
SHORT = 12
Item = Mapping[str, Any]
Faulty = Mapping[str, str]


@dataclass(frozen=True)
class Records:
    """What a list on the page is made of.

    Parameters
    ----------
    key
        Its name in keys, such as ``doors``.
    one
        What one of them is called.
    fields
        What is written of each; the first is its name.
    named_by
        Where the name is that faults call one by, if not in the first field.
    more
        What else may be written of each: seldom wanted, and so in a form of its own.
    """

    key: str
    one: str
    fields: tuple[Field, ...]
    named_by: tuple[Path, ...] = ()
    more: tuple[Field, ...] = ()


def edit(
    records: Records,
    items: Sequence[Item],
    checks: Sequence[str],
    part: str = "",
    faulty: Sequence[Faulty] = (),
) -> list[Item] | None:
    """Show a list to be changed in place.

    Parameters
    ----------
    records, items
        What is listed.
    checks
        What is wrong with each; empty where nothing is.
    part
        Which part of a longer list it is.
    faulty
        For each, the fields that are at fault, with their mend.

    Returns
    -------
    The items as changed, or none where nothing was.
    """
    if not items:
        st.caption(f"No {records.one} yet.")
        return None
    import pandas as pd

    units = session.units()
    rows = [row_of(item, records.fields, units) for item in items]
    for row, check in zip(rows, checks, strict=True):
        row[CHECK] = check
    after = st.data_editor(
        pd.DataFrame(rows, columns=[*(f.label for f in records.fields), CHECK]),
        key=f"{records.key}-table-{session.generation()}-{part}",
        hide_index=True,
        column_config=_columns(records.fields, units, any(checks)),
        disabled=[CHECK],
        width="stretch",
        height="content" if len(items) <= SHORT else 35 * (SHORT + 1) + 3,
        alt=f"Table of {records.one}s; each cell can be changed",
    )
    marked.show(records.fields, rows, faulty)
    typed: list[Mapping[str, Any]] = [dict(row) for _, row in after.iterrows()]
    changed = changed_items(items, typed, records.fields, units)
    return None if changed == list(items) else changed


def checks_of(
    faults: Sequence[Fault], group: Sequence[str], items: Sequence[Item], records: Records
) -> list[str]:
    """Say what is wrong with each item, each in one line; ``group`` is what faults begin with."""
    return [
        said(faults, group, item, records, place) if faults else ""
        for place, item in enumerate(items)
    ]


def faulty_cells(
    faults: Sequence[Fault], group: Sequence[str], items: Sequence[Item], records: Records
) -> list[Faulty]:
    """Say which fields of each item are at fault, and how each is mended."""
    return [
        _faulty(faults, " > ".join((*group, name_of(records, item, place))), records.fields)
        if faults
        else {}
        for place, item in enumerate(items)
    ]


def _faulty(faults: Sequence[Fault], start: str, fields: Sequence[Field]) -> Faulty:
    found: dict[str, str] = {}
    for fault in faults:
        if fault.where != start and not fault.where.startswith(f"{start} > "):
            continue
        inner = fault.where[len(start) + 3 :]
        label = next(
            (f.label for f in fields if inner == " > ".join(map(str, f.path))),
            next((f.label for f in fields if inner.split(" > ")[0] == f.path[0]), None),
        )
        # What belongs to no column is told at the name.
        found.setdefault(label or fields[0].label, fault.mend)
    return found


def name_of(records: Records, item: Item, place: int) -> str:
    """Give what an item is called, as faults call it."""
    paths = records.named_by or (records.fields[0].path,)
    named = (value_at(item, path) for path in paths)
    return next((str(name) for name in named if name), f"item {place + 1}")


def row_of(item: Item, fields: Sequence[Field], units: LengthStyle) -> dict[str, Any]:
    """Give an item as a row of cells."""
    cells = {}
    for field in fields:
        cell = shown(value_at(item, field.path), field, units)
        cells[field.label] = ", ".join(cell) if field.kind == "choices" else cell
    return cells


def changed_items(
    items: Sequence[Item],
    rows: Sequence[Mapping[str, Any]],
    fields: Sequence[Field],
    units: LengthStyle,
) -> list[Item]:
    """Give items with what was typed into their rows; what was not touched stays as written."""
    found = []
    for item, row in zip(items, rows, strict=True):
        before = row_of(item, fields, units)
        for field in fields:
            given = row.get(field.label)
            if _plain(given) != _plain(before[field.label]):
                item = with_value(item, field.path, written(_plain(given), field, units))
        found.append(item)
    return found


def said(
    faults: Sequence[Fault],
    group: Sequence[str],
    item: Item,
    records: Records,
    place: int,
) -> str:
    """Say what is wrong with one item, in one line."""
    start = " > ".join((*group, name_of(records, item, place)))
    mends = [
        f"{fault.where[len(start) + 3 :] or records.one}: {fault.mend}"
        for fault in faults
        if fault.where == start or fault.where.startswith(f"{start} > ")
    ]
    return MARK + " ".join(dict.fromkeys(mends)) if mends else ""


def one_at_a_time(records: Records, items: Sequence[Item]) -> list[Item] | None:
    """Show a form for a new one or one of those there.

    Returns
    -------
    The items as changed, or none where nothing was asked for.
    """
    new = f"a new {records.one}"
    names = [name_of(records, item, place) for place, item in enumerate(items)]
    key = f"{records.key}-form-{session.generation()}"
    chosen = st.selectbox(
        f"Add or change one {records.one}",
        range(-1, len(items)),
        format_func=lambda place: new if place < 0 else names[place],
        key=f"{key}-which",
    )
    item: Item = items[chosen] if chosen >= 0 else fresh(records, names)
    with st.form(f"{key}-{chosen}", border=True):
        given = _inputs(records.fields, item, f"{key}-{chosen}")
        with st.container(horizontal=True):
            put = st.form_submit_button(
                f"Add the {records.one}" if chosen < 0 else "Change it",
                key=f"{records.key}-put",
                type="primary",
            )
            out = chosen >= 0 and st.form_submit_button("Take it out", key=f"{records.key}-out")
    if out:
        return [each for place, each in enumerate(items) if place != chosen]
    if not put:
        return None
    (after,) = changed_items([item], [given], records.fields, session.units())
    if chosen < 0:
        return [*items, after]
    return [after if place == chosen else each for place, each in enumerate(items)]


def fresh(records: Records, names: Sequence[str]) -> Item:
    """Give a new item with what usually stands there, under a name that is free."""
    item: Item = {}
    for field in records.fields:
        if field.start:
            start: Any = [field.start] if field.kind == "choices" else field.start
            item = with_value(item, field.path, start)
    if records.fields[0].kind != "text":
        return item
    number = len(names) + 1
    while f"{records.one} {number}" in names:
        number += 1
    return with_value(item, records.fields[0].path, f"{records.one} {number}")  # type: ignore[no-any-return]


def seldom_wanted(records: Records, items: Sequence[Item]) -> list[Item] | None:
    """Show a form for what is seldom written of one of those there.

    Returns
    -------
    The items as changed, or none where nothing was asked for.
    """
    names = [name_of(records, item, place) for place, item in enumerate(items)]
    key = f"{records.key}-more-{session.generation()}"
    chosen = st.selectbox(
        f"Which {records.one}",
        range(len(items)),
        format_func=lambda place: names[place],
        key=f"{key}-which",
    )
    with st.form(f"{key}-{chosen}", border=True):
        given = _inputs(records.more, items[chosen], f"{key}-{chosen}")
        put = st.form_submit_button("Change it", key=f"{records.key}-more-put", type="primary")
    if not put:
        return None
    (after,) = changed_items([items[chosen]], [given], records.more, session.units())
    return [after if place == chosen else each for place, each in enumerate(items)]


def _inputs(fields: Sequence[Field], item: Item, key: str) -> dict[str, Any]:
    units = session.units()
    given: dict[str, Any] = {}
    columns = st.columns(2)
    for place, field in enumerate(fields):
        with columns[place % 2]:
            given[field.label] = _input(field, item, units, f"{key}-{place}")
    return given


def _input(field: Field, item: Item, units: LengthStyle, key: str) -> Any:
    value = shown(value_at(item, field.path), field, units)
    hint = unit_hint(field.kind, units)
    name = label(f"{field.label} ({hint})" if hint else field.label)
    told = field.help or None
    if field.kind == "yes or no":
        return st.checkbox(name, value=value, help=told, key=key)
    if field.kind == "choice":
        options = list(dict.fromkeys([*field.options, *([value] if value else [])]))
        place = options.index(value) if value in options else None
        return st.selectbox(
            name,
            options,
            index=place,
            format_func=partial(_worded, field),
            help=told,
            key=key,
        )
    if field.kind == "choices":
        options = list(dict.fromkeys([*field.options, *value]))
        return ", ".join(st.multiselect(name, options, default=value, help=told, key=key))
    return st.text_input(name, value=value, help=told, key=key)


def _worded(field: Field, option: Any) -> str:
    return str(field.words.get(option, option))


def _columns(fields: Sequence[Field], units: LengthStyle, faulty: bool) -> dict[str, Any]:
    config: dict[str, Any] = {
        CHECK: st.column_config.TextColumn(CHECK, width="medium", pinned=True) if faulty else None
    }
    for field in fields:
        hint = unit_hint(field.kind, units)
        name, told = (f"{field.label} ({hint})" if hint else field.label), field.help or None
        if field.kind == "yes or no":
            config[field.label] = st.column_config.CheckboxColumn(name, help=told)
        elif field.kind == "choice" and field.options:
            config[field.label] = st.column_config.SelectboxColumn(
                name,
                help=told,
                options=list(field.options),
                format_func=partial(_worded, field),
            )
        else:
            config[field.label] = st.column_config.TextColumn(name, help=told)
    return config


def _plain(cell: Any) -> Any:
    # An emptied cell comes back as none, or as not a number.
    return "" if cell is None or cell != cell else cell


def whole_form(records: Records, item: Item) -> dict[str, Any] | None:
    """Show a form for one thing of which there is only one.

    Returns
    -------
    The thing as changed, or none where nothing was asked for.
    """
    key = f"{records.key}-whole-{session.generation()}"
    with st.form(key, border=True):
        given = _inputs(records.fields, item, key)
        put = st.form_submit_button("Change it", type="primary", key=f"{records.key}-put")
    if not put:
        return None
    (after,) = changed_items([item], [given], records.fields, session.units())
    return dict(after)
