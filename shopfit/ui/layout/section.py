"""Lay out: one search at a time, what it has reached, and what came of it."""

from __future__ import annotations

import time

import streamlit as st

from shopfit.errors import InputFaults, ShopfitError
from shopfit.files.origin import in_units
from shopfit.jobs import SolveJob
from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.planning import Plan
from shopfit.ui import session
from shopfit.ui.layout import results, rows, running, searching
from shopfit.ui.limits import limits
from shopfit.ui.text import plain, show_faults

CHANGED_MEANWHILE = (
    "The case was changed while this search went on. What was found is not for the case as it is "
    "now and was not taken in: lay the shop out again."
)


def show() -> None:
    """Show the section."""
    searching.prepare()
    scenario = session.scenario()
    if scenario is None:
        count = len(session.judged().faults)
        told = f"{count} thing{'s' if count != 1 else ''} to mend before the shop can be laid out"
        show_faults(session.judged().faults, told)
        return
    _brief(scenario)
    job: SolveJob[Plan] | None = st.session_state.get("job")
    _start(scenario, session.busy())
    if session.busy() and job is not None:
        running.follow(job, st.session_state.get("started", time.monotonic()))
        return
    if job is not None:
        _ended(job)
    plan = session.plan()
    if plan is not None:
        _stale(plan)
        results.show_plan(plan)


def _brief(scenario: Scenario) -> None:
    pairs = rows.brief_rows(scenario)
    with st.container(key="brief", horizontal=True, gap="large"):
        for name, text in pairs:
            with st.container(width="content", gap=None):
                st.caption(name)
                st.write(plain(text))


def _start(scenario: Scenario, busy: bool) -> None:
    most, left = limits().seconds, searching.seconds_left()
    st.session_state.setdefault("seconds", min(30, most))
    with st.container(horizontal=True, vertical_alignment="bottom", key="search"):
        seconds = st.number_input(
            "Seconds to search",
            min_value=1,
            max_value=most,
            key="seconds",
            disabled=busy,
            width=180,
        )
        st.button(
            "Lay the shop out",
            key="start",
            type="primary",
            disabled=busy or left <= 0,
            on_click=begin,
            args=(scenario, float(seconds)),
        )
    if left <= 0:
        st.warning("This visit has used up the seconds of searching that one may have here.")


def begin(scenario: Scenario, seconds: float) -> None:
    """Start a search, unless one runs."""
    if session.busy() or searching.seconds_left() <= 0:
        return  # one search at a time
    options = SolveOptions(seconds=min(seconds, searching.seconds_left()), workers=limits().workers)
    searching.start(scenario, options)


def _ended(job: SolveJob[Plan]) -> None:
    """Take in what a search gave, once; what failed is told until the next search."""
    if job.failure is not None:
        _failed(job.failure)
        return
    plan = job.result()
    if plan.layout is None:
        results.no_layout(plan.solution.clash, plan.solution.stopped)
        return
    if st.session_state.get("taken in") is not job:
        st.session_state["taken in"] = job
        searching.forget(job)
        now = session.scenario()
        same = now is not None and plan.scenario == in_units(now, plan.scenario.shop.units)
        st.session_state["missed"] = not same
        if same:
            session.the_work().do("Lay the shop out", layout=plan.layout)
        if plan.scenario == now:
            session.put_made("plan", plan, now, plan.layout)
    if st.session_state.get("missed"):
        st.warning(CHANGED_MEANWHILE, icon=":material/history:")


def _failed(failure: BaseException) -> None:
    with st.container(key="failed"):
        if isinstance(failure, InputFaults):
            show_faults(failure.faults)
        elif isinstance(failure, ShopfitError):
            st.error(plain(str(failure)))
        else:
            st.error("The search broke off through a fault of the program. Nothing was kept.")
            st.caption(plain(f"{type(failure).__name__}: {failure}"))


def _stale(plan: Plan) -> None:
    from shopfit import planning

    assert plan.layout is not None
    if not planning.made_for(plan.scenario, plan.layout):
        st.warning(
            "The case has changed since this layout was made. The checks below are of the layout "
            "as it stands under what is given now.",
            icon=":material/history:",
        )
