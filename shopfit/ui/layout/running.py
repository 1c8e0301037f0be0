"""A running search: what it has reached, and a stop."""

from __future__ import annotations

import time

import streamlit as st

from shopfit import wording
from shopfit.jobs import SolveJob
from shopfit.planning import Plan
from shopfit.ui.text import plain

TICK_SECONDS = 0.5
BOUND_HELP = "No layout on the positions tried, by the rules stated, can have more."


def follow(job: SolveJob[Plan], started: float) -> None:
    """Show a running search, looking at it twice a second; run the page again once it is over.

    Parameters
    ----------
    job
        The search.
    started
        When it began, by the monotonic clock, seconds.
    """

    @st.fragment(run_every=TICK_SECONDS)
    def tick() -> None:
        if job.over:
            st.rerun()
        _numbers(job, time.monotonic() - started)
        _stop(job)

    tick()


def _numbers(job: SolveJob[Plan], seconds: float) -> None:
    objective = job.scenario.brief.objective
    facings, bound, gap, stage = wording.progress_parts(job.newest, objective)
    with st.container(key="live", border=True):
        columns = st.columns(4)
        columns[0].metric("Facings so far", facings or "none yet")
        columns[1].metric("Bound", bound or "not yet known", help=BOUND_HELP)
        columns[2].metric("Gap", gap or "not yet known")
        columns[3].metric("Time", f"{seconds:.0f} s of about {job.options.seconds:.0f}")
        st.caption(plain(stage))


def _stop(job: SolveJob[Plan]) -> None:
    if job.stopping:
        st.button("Stopping …", key="stop", disabled=True)
    else:
        st.button("Stop and keep the best so far", key="stop", on_click=job.stop)
