"""What more would bring: a curve of facings over aisle or money, and each limit moved a little."""

from __future__ import annotations

import tempfile
import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import streamlit as st

from shopfit import planning, wording
from shopfit.cases.case import Case
from shopfit.cases.store import StoreError
from shopfit.errors import InputFaults
from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.planning import Plan
from shopfit.stopping import StopFlag
from shopfit.ui import session
from shopfit.ui.limits import limits
from shopfit.ui.tables.cells import typing_hint
from shopfit.ui.text import plain, plain_cells, show_faults
from shopfit.units import format_length

TICK_SECONDS = 1.0


@dataclass
class Study:
    """Many searches in the background, and what they came to.

    Parameters
    ----------
    scenario, what
        Of which shop, and ``curve`` or ``limits``.
    """

    scenario: Scenario
    what: str
    stop: StopFlag = field(default_factory=StopFlag)
    told: list[str] = field(default_factory=list)
    result: Any = None
    failure: BaseException | None = None
    _thread: threading.Thread | None = None

    def start(self, work: Callable[[Study], Any]) -> Study:
        """Begin; what the work gives is the result."""

        def run() -> None:
            try:
                self.result = work(self)
            except BaseException as error:  # noqa: BLE001 - told on the page, which goes on
                self.failure = error

        self._thread = threading.Thread(target=run, daemon=True)
        self._thread.start()
        return self

    @property
    def over(self) -> bool:
        """Whether it has ended."""
        return self._thread is None or not self._thread.is_alive()


def show(plan: Plan) -> None:
    """Show both studies and what the last one of each came to."""
    study: Study | None = st.session_state.get("study")
    running = study is not None and not study.over
    st.header("What more would bring", anchor=False)
    _ask_curve(plan, running)
    _ask_limits(plan, running)
    if study is None:
        return
    if running:
        _follow(study)
        return
    if isinstance(study.failure, InputFaults):
        show_faults(study.failure.faults)
    elif study.failure is not None:
        st.error("The study broke off through a fault of the program.")
        st.caption(plain(f"{type(study.failure).__name__}: {study.failure}"))
    elif study.scenario is not plan.scenario and study.scenario != plan.scenario:
        st.caption("The last study was of another state of this case.")
    elif study.what == "curve":
        _curve(study)
    else:
        _limits(study)


def _follow(study: Study) -> None:
    @st.fragment(run_every=TICK_SECONDS)
    def tick() -> None:
        if study.over:
            st.rerun()
        with st.container(key="study-live", border=True):
            st.write(plain(f"Searching: {len(study.told)} done. {' '.join(study.told[-1:])}"))
            if study.stop.requested:
                st.button("Stopping …", key="study-stop", disabled=True)
            else:
                st.button("Stop", key="study-stop", on_click=study.stop.request)

    tick()


def _options(seconds: float) -> SolveOptions:
    return SolveOptions(seconds=min(seconds, limits().seconds), workers=1)


def _seconds(key: str) -> float:
    most = limits().seconds
    return float(
        st.number_input(
            "Seconds for each search", min_value=1, max_value=most, value=min(10, most), key=key
        )
    )


def _ask_curve(plan: Plan, running: bool) -> None:
    scenario = plan.scenario
    with st.form("curve", border=True):
        st.write("Facings against the aisle or the money")
        first, second, third, fourth = st.columns(4)
        over = first.selectbox("Over", ["aisle", "budget"], key="curve-over")
        low = second.text_input(
            "From", value=_low(scenario), key="curve-from", help=plain(typing_hint(session.units()))
        )
        high = third.text_input("To", value=_high(scenario), key="curve-to")
        steps = int(fourth.number_input("Steps", 1, 12, 3, key="curve-steps"))
        seconds = _seconds("curve-seconds")
        if st.form_submit_button("Draw the curve", key="draw-curve", disabled=running):
            _start_curve(scenario, str(over), low, high, steps, seconds)


def _low(scenario: Scenario) -> str:
    return format_length(scenario.brief.aisle, scenario.shop.units)


def _high(scenario: Scenario) -> str:
    return format_length(scenario.brief.aisle + 152.4, scenario.shop.units)


def _start_curve(
    scenario: Scenario, over: str, low: str, high: str, steps: int, seconds: float
) -> None:
    from shopfit.frontier.axis import read_axis
    from shopfit.frontier.run import run_frontier

    try:
        axis, values = read_axis(scenario, over, low, high, steps)
    except InputFaults as caught:
        show_faults(caught.faults)
        return
    options, folder = _options(seconds), Path(tempfile.mkdtemp(prefix="shopfit-curve-"))

    def work(study: Study) -> Any:
        curve = run_frontier(
            axis,
            values,
            options,
            out=folder,
            stop=study.stop,
            told=lambda settled, _: study.told.append(settled.case.name),
        )
        layouts = {
            point.label: planning.read_layout(folder / point.folder / "layout.json")
            for point in curve.points
            if point.facings is not None
        }
        return curve, layouts

    st.session_state["study"] = Study(scenario, "curve").start(work)
    st.rerun()


def _curve(study: Study) -> None:
    import altair as alt

    curve, layouts = study.result
    rows = [
        {"at": point.at, "label": point.label, "facings": point.facings, "bound": point.bound}
        for point in curve.points
        if point.facings is not None
    ]
    if not rows:
        st.warning("No point of the curve has a layout.")
        return
    picked = alt.selection_point(fields=["label"], name="point")
    title = curve.axis.title.capitalize()
    chart = (
        alt.Chart({"values": rows})
        .mark_line(point=alt.OverlayMarkDef(size=120, filled=True), color="#1d5a96")
        .encode(
            x=alt.X("at:Q", title=title, scale=alt.Scale(zero=False)),
            y=alt.Y("facings:Q", scale=alt.Scale(zero=False)),
            tooltip=["label:N", "facings:Q", "bound:Q"],
        )
        .add_params(picked)
    )
    event = st.altair_chart(chart, on_select="rerun", key="curve-chart")
    st.table(plain_cells(curve_rows(curve)), hide_index=True)
    names = [row["label"] for row in rows]
    chosen = _picked(event, names)
    with st.container(horizontal=True, vertical_alignment="bottom", key="open-point"):
        label = st.selectbox("Point", names, index=names.index(chosen), key=f"point-{chosen}")
        if st.button("Open it as a case of its own", key="open-case"):
            point = next(each for each in curve.points if each.label == label)
            _open(curve.axis.over, point.label, layouts[point.label])


def _picked(event: Any, names: list[str]) -> str:
    """Give the point that was clicked on the curve, else the first."""
    try:
        found = event["selection"]["point"][0]["label"]
    except (TypeError, KeyError, IndexError):
        return names[0]
    return found if found in names else names[0]


def curve_rows(curve: Any) -> list[dict[str, Any]]:
    """Give the points of a curve, one a row."""
    return [
        {
            curve.axis.over: point.label,
            "facings": "none" if point.facings is None else f"{point.facings:,}",
            "bound": "" if point.bound is None else f"{point.bound:,.6g}",
            "gap": "proved" if point.proved else wording.percent(point.gap),
            "cost": "" if point.cost is None else f"{point.cost:,.2f}",
            "violations": "" if point.violations is None else str(point.violations),
        }
        for point in curve.points
    ]


def _open(over: str, label: str, layout: Layout) -> None:
    """Go on with a point of a curve under a name of its own."""
    draft = session.draft()
    brief = {**draft.shop.get("brief", {}), over: label}
    case = Case(draft.changed(shop={**draft.shop, "brief": brief}), layout)
    name = session.free_name(f"{session.the_work().name}, {over} {label}"[:50])
    try:
        session.begin(name, case)
    except StoreError as error:
        st.warning(plain(str(error)))
        return
    st.rerun()


def _ask_limits(plan: Plan, running: bool) -> None:
    with st.form("limits", border=True):
        st.write("One more sheet, foot of wall, fixture or sum of money, each by itself")
        seconds = _seconds("limits-seconds")
        if st.form_submit_button("See what each would bring", key="see-limits", disabled=running):
            _start_limits(plan, seconds)


def _start_limits(plan: Plan, seconds: float) -> None:
    from shopfit.limits.run import run_limits

    scenario, layout, options = plan.scenario, plan.layout, _options(seconds)
    made_for = layout is not None and planning.made_for(scenario, layout)

    def work(study: Study) -> Any:
        return run_limits(
            scenario,
            options,
            layout if made_for else None,
            stop=study.stop,
            told=lambda settled, _: study.told.append(settled.case.name),
        )

    st.session_state["study"] = Study(scenario, "limits").start(work)
    st.rerun()


def _limits(study: Study) -> None:
    report = study.result
    rows = limit_rows(report)
    if not rows:
        st.warning("There is no layout that meets the values checked, so nothing is compared.")
        return
    st.table(plain_cells(rows), hide_index=True)
    if report.full:
        st.caption("Every line has as many facings as the range allows: only more would gain.")


def limit_rows(report: Any) -> list[dict[str, Any]]:
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
