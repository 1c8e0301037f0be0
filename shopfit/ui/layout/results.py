"""What a search led to: drawings, findings, lists, and the files to take away."""

from __future__ import annotations

from typing import Literal

import streamlit as st

from shopfit import planning, wording
from shopfit.model.progress import Clash
from shopfit.model.schedule import TakeOff
from shopfit.outputs import drawing_files
from shopfit.planning import Plan
from shopfit.ui import session
from shopfit.ui.layout import room, rows, sheets
from shopfit.ui.text import plain, plain_cells

LONGEST_TABLE = 14


def show_plan(plan: Plan) -> None:
    """Show a plan with everything that belongs to it."""
    layout = plan.layout
    assert layout is not None
    with st.container(key="outcome"):
        (st.success if not plan.violations else st.error)(plain(wording.verdict(plan.findings)))
        st.write(plain(wording.outcome(plan.solution)))
        _reasons(plan.solution.clash, plan.solution.stopped)
    _numbers(plan)
    take_off = session.once("lists", lambda: planning.quantities(plan.scenario, layout), plan)
    _drawings(plan, take_off)
    show_findings(plan)
    show_lists(plan, take_off)


def no_layout(clash: Clash | None, stopped: bool) -> None:
    """Say why there is no layout."""
    with st.container(key="outcome"):
        st.warning(plain(wording.no_layout(clash, stopped)))
        _reasons(clash, stopped)


def _reasons(clash: Clash | None, stopped: bool) -> None:
    """Say what clashes, and what would help."""
    if clash is None:
        return
    if told := wording.reason(clash, stopped):
        st.write(plain(told))
    if clash.wishes:
        st.write(plain(wording.clashing(clash)))
        wishes = [{"wish": wish} for wish in clash.wishes]
        st.table(plain_cells(wishes), hide_index=True)
    if clash.changes:
        st.write(f"{wording.helping(clash)}, the nearest first:")
        changes = [
            {
                "wish": each.wish,
                "change to": each.change,
                "layout with it": wording.found_with(each),
            }
            for each in clash.changes
        ]
        st.table(plain_cells(changes), hide_index=True)
    if told := wording.not_alone(clash):
        st.write(plain(told))


def drawings(plan: Plan) -> dict[str, bytes]:
    """Draw plan and walls, once for each plan; lists and findings are left to Take away."""
    layout = plan.layout
    assert layout is not None
    return session.once(
        "drawings", lambda: drawing_files(plan.scenario, layout, plan.findings), plan
    )


def _numbers(plan: Plan) -> None:
    assert plan.layout is not None
    # As wide as each is: in columns of one width large sums are cut off on small screens.
    with st.container(horizontal=True, gap="large"):
        for name, size in rows.main_numbers(plan.scenario, plan.layout):
            st.metric(name, size, width="content")
    told = wording.later_bounds(plan.layout.proof, plan.scenario.shop.currency)
    if told:
        st.caption(plain(" ".join(f"{name.capitalize()} {text}." for name, text in told)))


def _drawings(plan: Plan, take_off: TakeOff) -> None:
    assert plan.layout is not None
    st.header("Plan and walls", anchor=False)
    with st.spinner("Drawing"):
        files = drawings(plan)
    sheets.show(plan.scenario, plan.layout, take_off, files)
    room.show(plan.scenario, plan.layout)
    st.subheader("Fixtures", anchor=False)
    fixtures = rows.fixture_rows(plan.scenario.shop, take_off)
    picked = st.dataframe(
        fixtures,
        hide_index=True,
        key=session.own("fixture-rows"),
        height=_height(fixtures),
        on_select="rerun",
        selection_mode="single-row",
    )
    numbers = picked["selection"]["rows"]
    if numbers and st.session_state.get("row chosen") != numbers[0]:
        st.session_state["row chosen"] = numbers[0]
        sheets.choose(fixtures[numbers[0]]["tag"])
        st.rerun()


def show_findings(plan: Plan) -> None:
    """Show what the checks found."""
    st.header("What the checks found", anchor=False)
    found = rows.finding_rows(plan.scenario, plan.findings)
    if found:
        # A table wraps long sentences, which a data frame cuts off.
        st.table(plain_cells(found), hide_index=True)
    else:
        st.write("Nothing: every value checked is met.")
    st.caption(wording.CAUTION)


def show_lists(plan: Plan, take_off: TakeOff) -> None:
    """Show what is bought and where it goes."""
    shop = plan.scenario.shop
    st.header("What to buy and where it goes", anchor=False)
    st.subheader("Shopping list", anchor=False)
    cents = st.column_config.NumberColumn(format="%.2f")
    st.dataframe(
        rows.shopping_rows(take_off),
        hide_index=True,
        key="shopping",
        height="content",
        column_config={"price a pack": cents, "total": cents},
    )
    st.write(plain(rows.money_line(shop, take_off)))
    st.subheader("Set-out of brackets and shelves", anchor=False)
    set_out = rows.set_out_rows(shop, take_off)
    st.dataframe(set_out, hide_index=True, key="set-out", height=_height(set_out))


def _height(cells: list[rows.Cells]) -> Literal["content"] | int:
    return "content" if len(cells) <= LONGEST_TABLE else 35 * (LONGEST_TABLE + 1)
