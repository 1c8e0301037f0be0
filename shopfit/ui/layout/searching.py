"""Searches of all visitors: in processes apart, in turn, and within the limits of the page."""

from __future__ import annotations

import threading
import time
from functools import lru_cache

import streamlit as st

from shopfit import apart
from shopfit.jobs import SolveJob, Turns
from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.planning import Plan
from shopfit.ui.limits import limits

ENDLESS = 1e9


@lru_cache(maxsize=1)
def turns(at_once: int) -> Turns:
    """Give the one line in which all searches of this server stand."""
    return Turns(at_once)


def start(scenario: Scenario, options: SolveOptions) -> SolveJob[Plan]:
    """Start a search in the background, or have it wait for its turn."""
    solve = turns(limits().searches).in_turn(apart.solve)
    return SolveJob(solve, scenario, options).start()


def prepare() -> None:
    """Have a process ready for the next search, without waiting for it."""
    threading.Thread(target=apart.prepare, daemon=True).start()


def seconds_left() -> float:
    """Give the seconds of searching that this visit may still have."""
    whole = limits().session_seconds
    used: float = st.session_state.get("seconds used", 0.0)
    return ENDLESS if whole is None else whole - used


def count(job: SolveJob[Plan]) -> None:
    """Count the seconds of a search that is over, once."""
    if st.session_state.get("counted") is not job:
        st.session_state["counted"] = job
        spent = time.monotonic() - st.session_state.get("started", time.monotonic())
        used = st.session_state.get("seconds used", 0.0)
        st.session_state["seconds used"] = used + min(spent, job.options.seconds)
