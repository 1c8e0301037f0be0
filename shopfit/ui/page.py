"""The one page, from choosing a shop to taking the files away; it holds no logic of the trade."""

from __future__ import annotations

import time

import streamlit as st

from shopfit import planning, wording
from shopfit.errors import InputFaults, ShopfitError
from shopfit.jobs import SolveJob
from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.planning import Plan
from shopfit.ui import choose, results, rows, running
from shopfit.ui.text import plain

MAX_SECONDS = 600
WORKERS = 2
# Drawings want a wide page and little above them; numbers stay smaller than headings.
STYLE = """<style>
[data-testid="stMainBlockContainer"] { max-width: 76rem; padding-top: 2.5rem; }
[data-testid="stMetricValue"] { font-size: 1.5rem; }
[data-testid="stImage"] img { background: #fff; border: 1px solid #d8d4cc; }
</style>"""


def show() -> None:
    """Draw the page."""
    st.set_page_config(page_title="shopfit", layout="wide")
    st.html(STYLE)
    st.title("shopfit", anchor=False)
    st.write("From an odd room and a price list to a shop that can be built.")
    job: SolveJob[Plan] | None = st.session_state.get("job")
    busy = job is not None and not job.over
    scenario = choose.choose(locked=busy)
    if scenario is None:
        st.caption(wording.CAUTION)
        return
    _brief(scenario)
    _start(scenario, busy)
    if job is None or job.scenario != scenario:
        st.caption(wording.CAUTION)
    elif busy:
        running.follow(job, st.session_state.get("started", time.monotonic()))
    elif job.failure is not None:
        _failed(job.failure)
    else:
        results.show_plan(job.result())


def _brief(scenario: Scenario) -> None:
    st.header(plain(scenario.shop.name), anchor=False)
    pairs = rows.brief_rows(scenario)
    with st.container(key="brief"):
        for column, (name, text) in zip(st.columns(len(pairs)), pairs, strict=True):
            column.caption(name)
            column.write(plain(text))


def _start(scenario: Scenario, busy: bool) -> None:
    with st.container(horizontal=True, vertical_alignment="bottom", key="search"):
        seconds = st.number_input(
            "Seconds to search",
            min_value=1,
            max_value=MAX_SECONDS,
            value=30,
            key="seconds",
            disabled=busy,
            width=180,
        )
        st.button(
            "Lay the shop out",
            key="start",
            type="primary",
            disabled=busy,
            on_click=_begin,
            args=(scenario, float(seconds)),
        )


def _begin(scenario: Scenario, seconds: float) -> None:
    before: SolveJob[Plan] | None = st.session_state.get("job")
    if before is not None and not before.over:
        return  # one search at a time
    options = SolveOptions(seconds=seconds, workers=WORKERS)
    st.session_state["started"] = time.monotonic()
    st.session_state["job"] = SolveJob(planning.solve, scenario, options).start()


def _failed(failure: BaseException) -> None:
    with st.container(key="failed"):
        if isinstance(failure, InputFaults):
            choose.show_faults(failure.faults)
        elif isinstance(failure, ShopfitError):
            st.error(plain(str(failure)))
        else:
            st.error("The search broke off through a fault of the program. Nothing was kept.")
            st.caption(plain(f"{type(failure).__name__}: {failure}"))
