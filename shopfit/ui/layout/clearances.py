"""Clearances: what the checks found with its place, the ways through the shop, two calculators."""

from __future__ import annotations

from typing import Any

import streamlit as st

from shopfit import planning
from shopfit.model.route import MeasuredRoute, MeasuredRoutes
from shopfit.model.scenario import Scenario
from shopfit.planning import Plan
from shopfit.ui import session
from shopfit.ui.layout import calculators, results
from shopfit.ui.text import plain, plain_cells
from shopfit.units import LengthStyle, format_length


def show() -> None:
    """Show the section."""
    plan = session.plan()
    if plan is None or plan.layout is None:
        st.info("Lay the shop out first; the calculators below need no layout.")
    else:
        _picture(plan)
        results.show_findings(plan)
        _ways(plan)
    scenario = session.scenario()
    with st.expander("Ramp to the door", key="ramp-calculator"):
        calculators.ramp(scenario)
    with st.expander("Aisles across a room", key="aisle-calculator"):
        calculators.aisle(scenario)


def _picture(plan: Plan) -> None:
    files = _drawn(plan)
    for name in files:
        if name.startswith("findings") and name.endswith(".svg") and "-tables-" not in name:
            st.image(
                files[name].decode("utf-8"),
                caption="Findings by their numbers, ways and their narrowest places",
                width="stretch",
                alt="Plan with every finding marked by its number",
            )


def _drawn(plan: Plan) -> dict[str, bytes]:
    """Draw the findings of a plan, once for each; all other drawings are left out."""
    from shopfit.outputs import findings_files

    layout = plan.layout
    assert layout is not None
    return session.once(
        "findings drawn", lambda: findings_files(plan.scenario, layout, plan.findings), plan
    )


def routes_of(plan: Plan) -> MeasuredRoutes:
    """Measure the ways of a plan, once for each."""
    layout = plan.layout
    assert layout is not None
    return session.once("routes", lambda: planning.measured_routes(plan.scenario, layout), plan)


def _ways(plan: Plan) -> None:
    routes = routes_of(plan)
    st.header("Ways through the shop", anchor=False)
    rows = route_rows(plan.scenario, routes)
    if rows:
        st.table(plain_cells(rows), hide_index=True)
    count = len(routes.turning_spaces)
    told = f"Turning spaces found: {count}. Ways that lead no farther: {len(routes.dead_ends)}."
    st.write(plain(told))


def route_rows(scenario: Scenario, routes: MeasuredRoutes) -> list[dict[str, Any]]:
    """Give the ways, one a row, the narrowest first."""
    style = scenario.shop.units
    ordered = sorted(routes.routes, key=lambda route: route.widest_mm)
    return [_route_row(route, style) for route in ordered]


def _route_row(route: MeasuredRoute, style: LengthStyle) -> dict[str, Any]:
    narrow = route.narrowest
    reached = route.widest_mm > 0
    return {
        "to": route.target,
        "widest way": format_length(route.widest_mm, style) if reached else "none",
        "wanted": format_length(route.wanted_mm, style),
        "length": format_length(route.length_mm, style) if reached else "",
        "narrowest": "" if narrow is None else format_length(narrow.width_mm, style),
        "between": "" if narrow is None else narrow.between,
    }
