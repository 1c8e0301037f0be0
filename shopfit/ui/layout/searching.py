"""Searches of all visitors: in processes apart, in turn, and within the limits of the page."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from functools import lru_cache
from typing import NamedTuple, TypeVar

import streamlit as st
from streamlit import runtime
from streamlit.runtime.scriptrunner import get_script_run_ctx

from shopfit import apart
from shopfit.jobs import SolveJob, Turns
from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.planning import Plan
from shopfit.ui import session
from shopfit.ui.limits import limits

ENDLESS = 1e9
REMEMBERED = 16
Result = TypeVar("Result")


class Meter:
    """Seconds that the searches of one visit have taken so far; waiting for a turn is free.

    Parameters
    ----------
    spent
        Seconds to begin with.
    """

    def __init__(self, spent: float = 0.0) -> None:
        self._spent = spent
        self._lock = threading.Lock()
        self._begun: dict[object, float] = {}

    @property
    def seconds(self) -> float:
        """Seconds in all, with those of searches that run now."""
        now = time.monotonic()
        with self._lock:
            return self._spent + sum(now - begun for begun in self._begun.values())

    def metered(self, search: Callable[..., Result]) -> Callable[..., Result]:
        """Give a search whose seconds are counted, however it ends and on whatever thread."""

        def counted(*given: object, **more: object) -> Result:
            mark = object()
            with self._lock:
                self._begun[mark] = time.monotonic()
            try:
                return search(*given, **more)
            finally:
                with self._lock:
                    self._spent += time.monotonic() - self._begun.pop(mark)

        return counted


@lru_cache(maxsize=1)
def turns(at_once: int) -> Turns:
    """Give the one line in which all searches of this server stand."""
    return Turns(at_once)


def meter() -> Meter:
    """Give the meter of this visit."""
    found: Meter = st.session_state.setdefault("meter", Meter())
    return found


def within_limits(search: Callable[..., Result]) -> Callable[..., Result]:
    """Give a search that waits for its turn and whose seconds are counted.

    Parameters
    ----------
    search
        Called with ``listener`` and ``stop``, and whatever else it is given.
    """
    return turns(limits().searches).in_turn(meter().metered(search))


class Begun(NamedTuple):
    """A search of a case that is kept, and the visit that follows it."""

    job: SolveJob[Plan]
    started: float
    visit: str


_begun: dict[tuple[str, str], Begun] = {}
_lock = threading.Lock()


def start(scenario: Scenario, options: SolveOptions) -> None:
    """Start a search in the background, or have it wait for its turn."""
    job = SolveJob(within_limits(apart.solve), scenario, options).start()
    st.session_state["job"], st.session_state["started"] = job, time.monotonic()
    case = _case()
    if case is not None:
        with _lock:
            _begun.pop(case, None)
            _begun[case] = Begun(job, st.session_state["started"], _visit())
            for oldest in list(_begun)[:-REMEMBERED]:
                del _begun[oldest]


def take_up() -> None:
    """Follow the search of this case whose window was closed or loaded again, if there is one."""
    case = _case()
    if case is None or st.session_state.get("job") is not None:
        return
    with _lock:
        found = _begun.get(case)
        if found is None or _there(found.visit):
            return
        _begun[case] = found._replace(visit=_visit())
    st.session_state["job"], st.session_state["started"] = found.job, found.started


def forget(job: SolveJob[Plan]) -> None:
    """Let go of a search whose layout has become that of the case."""
    with _lock:
        for case in [case for case, begun in _begun.items() if begun.job is job]:
            del _begun[case]


def _case() -> tuple[str, str] | None:
    """Give what a case is known by to all visits; none where they keep none."""
    now, place = session.work(), session.store()
    return None if now is None or place is None else (str(place.path), now.name)


def _visit() -> str:
    here = get_script_run_ctx()
    return "" if here is None else here.session_id


def _there(visit: str) -> bool:
    """Say whether the window of a visit is still open."""
    return runtime.exists() and runtime.get_instance().is_active_session(visit)


def prepare() -> None:
    """Have a process ready for the next search, without waiting for it."""
    threading.Thread(target=apart.prepare, daemon=True).start()


def seconds_left() -> float:
    """Give the seconds of searching that this visit may still have."""
    whole = limits().session_seconds
    return ENDLESS if whole is None else whole - meter().seconds
