"""A part of a file on the page: read from the draft, shown as a table or a form, written back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import streamlit as st

from shopfit.files.parts import FIXTURES, SHOP, VALUES
from shopfit.ui import session
from shopfit.ui.tables import records
from shopfit.ui.tables.cells import Field, value_at, with_value
from shopfit.ui.tables.records import Faulty, Item, Records

_HELD_IN = {SHOP: "shop", FIXTURES: "fixtures", VALUES: "values"}


@dataclass(frozen=True)
class Part:
    """A place in a file.

    Parameters
    ----------
    file
        Which.
    where
        Where in it; nothing for the whole file.
    """

    file: str
    where: tuple[str, ...] = ()

    def read(self) -> Any:
        """Give what is written there, or none."""
        return value_at(self._whole(), self.where)

    def items(self) -> list[Item]:
        """Give what is written there as a list of things; empty where it is no such list."""
        found = self.read()
        listed = found if isinstance(found, list | tuple) else ()
        return [item for item in listed if isinstance(item, Mapping)]

    def write(self, what: str, value: Any, drawn_anew: bool) -> None:
        """Write something there as one step, and draw the page.

        Parameters
        ----------
        what
            What the step is called.
        value
            What is written; an empty mapping or none takes it out.
        drawn_anew
            Whether tables and forms forget what was typed into them.
        """
        # A mapping is put in whole, for `with_value` takes out what comes to nothing.
        whole = with_value(self._whole(), self.where, value) if self.where else dict(value)
        session.the_work().write(what, **{_HELD_IN[self.file]: whole})
        if drawn_anew:
            session.redraw()
        st.rerun()

    def _whole(self) -> Mapping[str, Any]:
        found: Mapping[str, Any] = getattr(session.draft(), _HELD_IN[self.file])
        return found


def listed(spec: Records, part: Part, folded: bool = True) -> None:
    """Show a list that stands somewhere in a file: as a table, and one at a time in forms.

    Parameters
    ----------
    spec, part
        What is listed, and where it stands.
    folded
        Whether the form for one is folded away.
    """
    items = part.items()
    faults = session.faults(part.file, *part.where)
    checks = records.checks_of(faults, part.where, items, spec)
    faulty = records.faulty_cells(faults, part.where, items, spec)
    changed = changes(spec, items, checks, faulty, folded)
    if changed is not None:
        part.write(f"Change a {spec.one}", changed.items, changed.by_form)


@dataclass(frozen=True)
class Changed:
    """A list as changed on the page.

    Parameters
    ----------
    items
        What it holds now.
    by_form
        Whether a form changed it, so that the table has to be drawn anew.
    """

    items: list[Item]
    by_form: bool


def changes(
    spec: Records,
    items: Sequence[Item],
    checks: Sequence[str] = (),
    faulty: Sequence[Faulty] = (),
    folded: bool = True,
) -> Changed | None:
    """Show a list as a table and in forms, and give it as changed, or none where it was not."""
    after = records.edit(spec, items, checks or [""] * len(items), faulty=faulty)
    formed = None
    if folded:
        with st.expander(f"Add or change one {spec.one}"):
            formed = records.one_at_a_time(spec, items)
    else:
        formed = records.one_at_a_time(spec, items)
    if spec.more and items:
        with st.expander(f"What else can be said of a {spec.one}"):
            more = records.seldom_wanted(spec, items)
        formed = formed if formed is not None else more
    if formed is not None:
        return Changed(formed, by_form=True)
    return Changed(after, by_form=False) if after is not None else None


def single(spec: Records, part: Part) -> None:
    """Show what there is one of as a form."""
    found = part.read()
    formed = records.whole_form(spec, found if isinstance(found, Mapping) else {})
    if formed is not None:
        part.write(f"Change the {spec.one}", formed, drawn_anew=True)


def by_name(spec: Records, part: Part) -> None:
    """Show a mapping from names to single values as a list of its pairs.

    Parameters
    ----------
    spec
        Its first two fields are the name and the value.
    part
        Where the mapping stands.
    """
    found = part.read()
    name, value = (field.path for field in spec.fields[:2])
    items = [
        with_value(with_value({}, name, str(key)), value, each)
        for key, each in (found.items() if isinstance(found, Mapping) else ())
    ]
    faults = session.faults(part.file, *part.where)
    checks = records.checks_of(faults, part.where, items, spec)
    faulty = records.faulty_cells(faults, part.where, items, spec)
    changed = changes(spec, items, checks, faulty)
    if changed is not None:
        after = {str(value_at(item, name) or ""): value_at(item, value) for item in changed.items}
        part.write(f"Change a {spec.one}", after, changed.by_form)


def within(spec: Records, outer: Part, owner: Field, inner: str) -> None:
    """Show the lists that each of several things has as one, with a column for whose each is.

    Parameters
    ----------
    spec
        What is listed; its first field is the owner's.
    outer
        Where the owners are listed.
    owner
        Where an owner's own name stands.
    inner
        What the list is called in an owner.
    """
    owners = outer.items()
    name = spec.fields[0].path
    items = [
        with_value(dict(each), name, value_at(one, owner.path))
        for one in owners
        for each in one.get(inner) or ()
        if isinstance(each, Mapping)
    ]
    changed = changes(spec, items)
    if changed is None:
        return
    after = []
    for one in owners:
        mine = [
            with_value(item, name, None)
            for item in changed.items
            if value_at(item, name) == value_at(one, owner.path)
        ]
        bare = {key: each for key, each in one.items() if key != inner}
        after.append({**bare, inner: mine} if mine else bare)
    outer.write(f"Change a {spec.one}", after, changed.by_form)
