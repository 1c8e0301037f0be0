"""What one more sheet, foot of wall, fixture or sum of money would bring, each by itself."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import streamlit as st

from shopfit import planning
from shopfit.planning import Plan
from shopfit.stopping import StopFlag
from shopfit.ui.layout import searching, studies
from shopfit.ui.limits import limits
from shopfit.ui.text import plain_cells

if TYPE_CHECKING:
    from shopfit.limits.run import Report


def show(plan: Plan) -> None:
    """Ask for gains, and show the last ones."""
    st.subheader("One more sheet, foot of wall, fixture or sum of money", anchor=False)
    busy = studies.running() is not None or searching.seconds_left() <= 0
    with st.form("limits", border=True):
        seconds = studies.seconds_asked("limits-seconds")
        if st.form_submit_button("See what each would bring", key="see-limits", disabled=busy):
            _start(plan, seconds)
    study = studies.last("limits")
    if study is not None and study.over and studies.came_to_something(study, plan.scenario):
        _report(study.result)


def _start(plan: Plan, seconds: float) -> None:
    from shopfit.limits.run import run_limits

    scenario, layout, asked = plan.scenario, plan.layout, studies.options(seconds)
    made_for = layout is not None and planning.made_for(scenario, layout)
    processes = limits().workers

    def work(study: studies.Study, stop: StopFlag, look: Callable[[], None]) -> Any:
        return run_limits(
            scenario,
            asked,
            layout if made_for else None,
            processes=processes,
            stop=stop,
            told=lambda settled, _: study.ended(settled.case.name),
            look=look,
        )

    studies.begin(scenario, "limits", work)


def _report(report: Report) -> None:
    from shopfit.limits.run import CAUTION

    rows = limit_rows(report)
    if not rows:
        st.warning("There is no layout that meets the values checked, so nothing is compared.")
        return
    st.table(plain_cells(rows), hide_index=True)
    if report.full:
        st.write("Every line has as many facings as the range allows: only more would gain.")
    st.caption(CAUTION)


def limit_rows(report: Report) -> list[dict[str, Any]]:
    """Give what every change gains, one a row, those that gain most first."""
    return [
        {
            "change": one.change,
            "now": "" if one.now is None else f"{one.now:,.6g}",
            "then": one.status if one.then is None else f"{one.then:,.6g}",
            "found": "" if one.found is None else f"{one.found:+,.6g}",
            "which is": one.verdict,
        }
        for one in report.gains
    ]
