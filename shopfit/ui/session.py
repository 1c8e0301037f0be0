"""The case of this visit: what it is, what it comes to, and that it is kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar

import streamlit as st

from shopfit.cases.case import Case, Work
from shopfit.cases.store import NAME_SIGNS, SavedElsewhere, Store, StoreError
from shopfit.errors import Fault
from shopfit.files.drafts import Draft, Judged, judge
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from shopfit.planning import Plan
from shopfit.ui.limits import limits
from shopfit.units import LengthStyle

STYLES: tuple[LengthStyle, ...] = ("ft-in", "in", "mm", "m")
CASE = "case"
# What belongs to a visit and not to a case; all else is forgotten when another case is opened.
OF_THE_VISIT = frozenset(
    ("section", "seconds", "meter", "studies", "generation", "opened", "not opened", "notes")
)
Made = TypeVar("Made")


@dataclass
class Trouble:
    """Why the case could not be kept.

    Parameters
    ----------
    message
        In words.
    elsewhere
        Whether another window has kept a newer version.
    """

    message: str
    elsewhere: bool


def work() -> Work | None:
    """Give the case being worked on, or none before one was opened."""
    found: Work | None = st.session_state.get("work")
    return found


def the_work() -> Work:
    """Give the case being worked on, which must be there."""
    found = work()
    assert found is not None
    return found


def draft() -> Draft:
    """Give the draft being worked on."""
    return the_work().now.draft


def begin(name: str, case: Case, revision: int = 0) -> None:
    """Work on a case from now on; nothing that was made or chosen for another one stays."""
    _leave()
    st.session_state["opened"] = st.session_state.get("opened", 0) + 1
    st.session_state["work"] = Work(name, case, revision, dirty=revision == 0)
    redraw()


def _leave() -> None:
    """Stop what runs for the case that was open, and forget what belonged to it."""
    for running in (st.session_state.get("job"), *st.session_state.get("studies", {}).values()):
        if running is not None:
            running.stop()
    for name in [str(name) for name in st.session_state]:
        if name not in OF_THE_VISIT:
            del st.session_state[name]


def hold(key: str) -> None:
    """Keep what was typed into a field while sections that do not show it are open.

    Parameters
    ----------
    key
        The field's; one that was never shown has nothing to keep.
    """
    if key in st.session_state:
        st.session_state[key] = st.session_state[key]


def own(key: str) -> str:
    """Give the key of something on the page that must not go on from one case to another.

    Parameters
    ----------
    key
        What it is called; the first case of a visit has it as it is.
    """
    opened: int = st.session_state.get("opened", 0)
    return key if opened < 2 else f"{key}-{opened}"


def once(name: str, make: Callable[[], Made], *of: object) -> Made:
    """Give what is made of something; it is made anew when that is another thing.

    Parameters
    ----------
    name
        What it is called here.
    make
        Makes it.
    of
        What it is made of: texts and numbers by their value, everything else by identity.
    """
    known: dict[str, tuple[tuple[object, ...], Any]] = st.session_state.setdefault("made", {})
    if name not in known or not _same(known[name][0], of):
        known[name] = (of, make())
    made: Made = known[name][1]
    return made


def put_made(name: str, made: object, *of: object) -> None:
    """Have `once` give something that is there already."""
    st.session_state.setdefault("made", {})[name] = (of, made)


def _same(some: tuple[object, ...], others: tuple[object, ...]) -> bool:
    # Scenarios and layouts are the same only as long as nobody has touched them; to compare them
    # by what they hold would take as long as some of what is made of them.
    return len(some) == len(others) and all(
        a is b or (isinstance(a, str | int) and a == b) for a, b in zip(some, others, strict=True)
    )


def write(what: str, **parts: Any) -> None:
    """Change parts of the draft from outside the tables, which are drawn anew."""
    the_work().write(what, **parts)
    redraw()


def undo() -> None:
    """Take the last step back."""
    the_work().undo()
    redraw()


def redo() -> None:
    """Take the last step again."""
    the_work().redo()
    redraw()


def redraw() -> None:
    """Have tables and forms forget what was typed into them, for the draft holds it."""
    st.session_state["generation"] = generation() + 1


def generation() -> int:
    """Give the number that keys of tables and forms carry."""
    number: int = st.session_state.get("generation", 0)
    return number


def units() -> LengthStyle:
    """Give the way in which lengths are written and read on the page."""
    written = draft().shop.get("units", "ft-in")
    return next((style for style in STYLES if style == written), "ft-in")


def currency() -> str:
    """Give the currency of prices."""
    return str(draft().shop.get("currency") or "USD")


def judged() -> Judged:
    """Say what the draft comes to; judged once for each draft."""
    now, name = draft(), the_work().name
    return once("judged", lambda: judge(now, name), now)


def scenario() -> Scenario | None:
    """Give the whole scenario, or none while there are faults."""
    return judged().scenario


def faults(file: str, *path: str) -> tuple[Fault, ...]:
    """Give the faults of one file, or of one place in it."""
    start = " > ".join(path)
    return tuple(
        fault
        for fault in judged().faults
        if fault.file == file
        and (not start or fault.where == start or fault.where.startswith(f"{start} > "))
    )


def plan() -> Plan | None:
    """Give the layout with everything that belongs to it, or none; checked once for each."""
    given, layout = scenario(), the_work().now.layout
    if given is None or layout is None:
        return None
    return once("plan", lambda: planned(given, layout), given, layout)


def planned(given: Scenario, layout: Layout) -> Plan:
    """Give a layout with what the checks find on it now."""
    from shopfit import planning
    from shopfit.model.progress import Solution

    solution = Solution(outcome="layout", layout=layout)
    return Plan(given, solution, layout, planning.check(given, layout))


def store() -> Store | None:
    """Give the place where cases are kept, or none where they are not."""
    held = limits()
    return Store(held.store) if held.keep else None


def trouble() -> Trouble | None:
    """Say why the case could not be kept, or nothing."""
    found: Trouble | None = st.session_state.get("trouble")
    return found


def keep() -> None:
    """Keep the case if it has changed; where that cannot be, the trouble is remembered."""
    now, place = work(), store()
    found = trouble()
    if now is None or place is None or not now.dirty or (found and found.elsewhere):
        return
    try:
        now.revision = place.keep(now.name, now.now, now.revision)
    except SavedElsewhere as error:
        st.session_state["trouble"] = Trouble(str(error), elsewhere=True)
    except StoreError as error:
        st.session_state["trouble"] = Trouble(str(error), elsewhere=False)
    else:
        now.dirty = False
        st.session_state.pop("trouble", None)


def keep_as(name: str) -> None:
    """Go on under another name, which must be free; the trouble is remembered where it is not."""
    now, place = the_work(), store()
    if place is None:
        now.name = name
        return
    try:
        now.revision = place.keep(name, now.now, 0)
    except SavedElsewhere:
        told = f"There is a case '{name}' already; choose another name."
        st.session_state["trouble"] = Trouble(told, elsewhere=True)
    except StoreError as error:
        st.session_state["trouble"] = Trouble(str(error), elsewhere=False)
    else:
        now.name, now.dirty = name, False
        st.session_state.pop("trouble", None)


def take_other() -> None:
    """Take the version that another window kept, in place of this one."""
    now, place = the_work(), store()
    if place is None:
        return
    try:
        case, revision = place.read(now.name)
    except StoreError as error:
        st.session_state["trouble"] = Trouble(str(error), elsewhere=True)
    else:
        begin(now.name, case, revision)


def free_name(wanted: str) -> str:
    """Give a name under which nothing is kept, as near as can be to the one wanted."""
    place = store()
    try:
        taken = {kept.name for kept in place.names()} if place is not None else set()
    except StoreError:
        taken = set()
    name, number = wanted[:NAME_SIGNS], 1
    while name in taken:
        number += 1
        name = f"{wanted[: NAME_SIGNS - len(str(number)) - 1]} {number}"
    return name


def reopen() -> None:
    """Open the case that the address names, after a reload."""
    named, place = st.query_params.get(CASE), store()
    if work() is not None or not named or place is None:
        return
    try:
        case, revision = place.read(named)
    except StoreError as error:
        st.session_state["not opened"] = str(error)
        del st.query_params[CASE]
    else:
        begin(named, case, revision)


def busy() -> bool:
    """Say whether a search runs for this visit."""
    job = st.session_state.get("job")
    return job is not None and not job.over
