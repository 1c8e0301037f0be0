"""A curve of facings over aisle or money, of which every point opens as a case of its own."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import streamlit as st

from shopfit import planning, wording
from shopfit.cases.case import Case
from shopfit.errors import Fault, InputFaults
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from shopfit.planning import Plan
from shopfit.stopping import StopFlag
from shopfit.ui import session
from shopfit.ui.layout import searching, studies
from shopfit.ui.limits import limits
from shopfit.ui.tables.cells import typing_hint, with_unit
from shopfit.ui.text import plain, plain_cells, show_faults
from shopfit.units import format_length

if TYPE_CHECKING:
    from shopfit.frontier.curve import CurvePoint
    from shopfit.frontier.run import Curve

OVERS = {"aisle": "the aisle", "budget": "the money"}
WIDER_MM = 152.4
# What the ends are called on the page, where a command line would have options.
ENDS = {"--from": "From", "--to": "To", "--steps": "Steps"}


def show(plan: Plan) -> None:
    """Ask for a curve, and show the last one."""
    st.subheader("Facings against the aisle or the money", anchor=False)
    _ask(plan)
    study = studies.last("curve")
    if study is not None and study.over and studies.came_to_something(study, plan.scenario):
        _curve(*study.result)


def _ask(plan: Plan) -> None:
    over = st.segmented_control(
        "Facings against",
        list(OVERS),
        default="aisle",
        required=True,
        format_func=lambda name: OVERS[name],
        key=session.own("curve-over"),
    )
    busy = studies.running() is not None or searching.seconds_left() <= 0
    low, high = _usual_ends(plan, str(over))
    with st.form("curve", border=True):
        first, second, third = st.columns(3)
        hint = plain(typing_hint(session.units())) if over == "aisle" else None
        start = first.text_input("From", low, key=session.own(f"curve-from-{over}"), help=hint)
        end = second.text_input("To", high, key=session.own(f"curve-to-{over}"), help=hint)
        steps = int(third.number_input("Steps", 1, 12, 3, key="curve-steps"))
        seconds = studies.seconds_asked("curve-seconds")
        asked = st.form_submit_button("Draw the curve", key="draw-curve", disabled=busy)
    if asked:
        _start(plan.scenario, str(over), start, end, steps, seconds)


def _usual_ends(plan: Plan, over: str) -> tuple[str, str]:
    """Give what stands in the form: from the aisle of now, or from half of the money of now."""
    scenario = plan.scenario
    if over == "aisle":
        now, style = scenario.brief.aisle, scenario.shop.units
        return format_length(now, style), format_length(now + WIDER_MM, style)
    spent = plan.layout.claims.cost if plan.layout is not None else 0.0
    most = scenario.brief.budget if scenario.brief.budget is not None else spent
    return f"{most / 2:.0f}", f"{most:.0f}"


def _start(scenario: Scenario, over: str, low: str, high: str, steps: int, seconds: float) -> None:
    from shopfit.frontier.axis import read_axis
    from shopfit.frontier.run import run_frontier

    if over == "aisle":
        low, high = (with_unit(text.strip(), "length", session.units()) for text in (low, high))
    try:
        axis, values = read_axis(scenario, over, low, high, steps)
    except InputFaults as caught:
        show_faults([_as_on_the_page(fault) for fault in caught.faults])
        return
    asked, processes = studies.options(seconds), limits().workers

    def work(study: studies.Study, stop: StopFlag, look: Callable[[], None]) -> Any:
        with tempfile.TemporaryDirectory(prefix="shopfit-curve-") as folder:
            curve = run_frontier(
                axis,
                values,
                asked,
                out=folder,
                processes=processes,
                stop=stop,
                told=lambda settled, _: study.ended(settled.case.name),
                look=look,
            )
            return curve, {
                point.label: planning.read_layout(Path(folder) / point.folder / "layout.json")
                for point in curve.points
                if point.facings is not None
            }

    studies.begin(scenario, "curve", work)


def _as_on_the_page(fault: Fault) -> Fault:
    where, mend = ENDS.get(fault.where, fault.where), fault.mend
    for option, word in ENDS.items():
        mend = mend.replace(option, word)
    return Fault("curve", where, fault.given, fault.allowed, mend)


def _curve(curve: Curve, layouts: dict[str, Layout]) -> None:
    shown = [point for point in curve.points if point.label in layouts]
    if not shown:
        st.warning("No point of the curve has a layout.")
        return
    event = _chart(curve, shown)
    st.table(plain_cells(curve_rows(curve)), hide_index=True)
    names = [point.label for point in shown]
    picked = _picked(event, names)
    with st.container(horizontal=True, vertical_alignment="bottom", key="open-point"):
        label = st.selectbox(
            "Point", names, index=names.index(picked), key=session.own(f"point-{picked}")
        )
        if st.button("Open it as a case of its own", key="open-case"):
            point = next(each for each in shown if each.label == label)
            _open(curve.axis.over, point, layouts[point.label])


def _chart(curve: Curve, shown: list[CurvePoint]) -> Any:
    import altair as alt

    axis, inch = curve.axis, curve.axis.scenario.shop.units in ("ft-in", "in")
    scale, unit = 1.0, ""
    if axis.measure == "length":
        scale, unit = (25.4, " (in)") if inch else (1.0, " (mm)")
    elif axis.measure == "money":
        unit = f" ({axis.scenario.shop.currency})"
    values = [
        {"at": point.at / scale, "label": point.label, "facings": point.facings} for point in shown
    ]
    picked = alt.selection_point(fields=["label"], name="point")
    chart = (
        alt.Chart({"values": values})
        .mark_line(point=alt.OverlayMarkDef(size=140, filled=True), color="#3f83c8")
        .encode(
            x=alt.X("at:Q", title=axis.title.capitalize() + unit, scale=alt.Scale(zero=False)),
            y=alt.Y(
                "facings:Q",
                title="Facings",
                scale=alt.Scale(zero=False),
                # Facings are whole: a flat curve has one number, without decimals.
                axis=alt.Axis(format=",.0f", tickMinStep=1),
            ),
            tooltip=["label:N", "facings:Q"],
        )
        .add_params(picked)
    )
    st.caption("Click a point to choose it; then open it below.")
    return st.altair_chart(chart, on_select="rerun", key=session.own("curve-chart"))


def _picked(event: Any, names: list[str]) -> str:
    """Give the point that was clicked on the curve, else the first."""
    try:
        found = event["selection"]["point"][0]["label"]
    except (TypeError, KeyError, IndexError):
        return names[0]
    return found if found in names else names[0]


def curve_rows(curve: Curve) -> list[dict[str, Any]]:
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


def _open(over: str, point: CurvePoint, layout: Layout) -> None:
    """Go on with a point of a curve under a name of its own."""
    draft = session.draft()
    value = point.label if over == "aisle" else f"{point.at:.2f}"
    brief = {**draft.shop.get("brief", {}), over: value}
    case = Case(draft.changed(shop={**draft.shop, "brief": brief}), layout)
    session.begin(session.free_name(f"{session.the_work().name}, {over} {point.label}"[:50]), case)
    st.rerun()
