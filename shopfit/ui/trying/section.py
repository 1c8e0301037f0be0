"""Try: fixtures moved, turned, pinned and taken out by hand, and the rest solved round them."""

from __future__ import annotations

from typing import Any

import streamlit as st

from shopfit import trying
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from shopfit.planning import Plan
from shopfit.trying import Glance, Pose
from shopfit.ui import session
from shopfit.ui.text import plain
from shopfit.ui.trying import floor, heights

PUTS = "puts by hand"


def show() -> None:
    """Show the section."""
    plan = session.plan()
    if plan is None or plan.layout is None:
        st.info("Lay the shop out first; then its fixtures can be moved here.")
        return
    _hand()
    _table(plan.scenario, plan.layout)
    heights.show(plan)


@st.fragment
def _hand() -> None:
    """Show the floor; it alone is drawn anew while something is moved."""
    plan = session.plan()
    if plan is None or plan.layout is None:
        return
    scenario, layout = plan.scenario, plan.layout
    busy = session.busy()
    asked = _event("trial")
    trial = _trial(scenario, layout, asked)
    glance, answers = _settled(plan), 0
    if trial is not None:
        # While it moves, what is near it is told at once, and the long ways when it rests.
        ways = bool(asked.get("rests"))
        glance = trying.glance_at_move(scenario, trial, glance, ways=ways)
        question = asked.get("question")
        answers = int(question) if isinstance(question, int | float) else 0
    floor.show(
        scenario,
        layout,
        glance,
        st.session_state.get(PUTS, 0),
        busy,
        answers,
        on_put_change=_put,
        on_pin_change=_pin,
        on_remove_change=_remove,
        on_trial_change=_tried,
    )
    if st.session_state.pop("by hand", False):
        st.rerun(scope="app")


def _settled(plan: Plan) -> Glance:
    """Give what the layout comes to as it stands; counted once for each."""
    layout = plan.layout
    assert layout is not None
    return session.once(
        "glance", lambda: trying.glance_with(plan.scenario, layout, plan.findings), plan
    )


def _trial(scenario: Scenario, layout: Layout, asked: Any) -> Layout | None:
    """Give the layout with what is in the hand where it is held, or none."""
    pose = _pose(asked)
    if pose is None or all(each.id != pose.tag for each in layout.placements):
        return None
    return trying.put(scenario, layout, pose)


def _pose(given: Any) -> Pose | None:
    try:
        return Pose(str(given["tag"]), *(float(given[k]) for k in ("x", "y", "angle")))
    except (TypeError, KeyError, ValueError):
        return None


def _event(name: str) -> Any:
    return getattr(st.session_state.get(session.own(floor.KEY)), name, None)


def _tried() -> None:
    """Nothing is done: the floor is drawn anew with what is found."""


def _put() -> None:
    plan, pose = session.plan(), _pose(_event("put"))
    if plan is not None and plan.layout is not None and pose is not None and not session.busy():
        st.session_state[PUTS] = st.session_state.get(PUTS, 0) + 1
        if any(each.id == pose.tag for each in plan.layout.placements):
            _do(f"Move {pose.tag}", trying.put(plan.scenario, plan.layout, pose))


def _pin() -> None:
    plan, given = session.plan(), _event("pin")
    if plan is not None and plan.layout is not None and isinstance(given, dict):
        pin_or_free(plan.layout, str(given.get("tag")), bool(given.get("on")))


def pin_or_free(layout: Layout, tag: str, on: bool) -> None:
    """Pin a fixture or let it go."""
    if any(each.id == tag for each in layout.placements):
        _do(f"{'Pin' if on else 'Free'} {tag}", trying.pinned(layout, tag, on))


def _remove() -> None:
    plan, given = session.plan(), _event("remove")
    if plan is not None and plan.layout is not None and isinstance(given, dict):
        take_out(plan.scenario, plan.layout, str(given.get("tag")))


def take_out(scenario: Scenario, layout: Layout, tag: str) -> None:
    """Take a fixture out of the layout."""
    if any(each.id == tag for each in layout.placements):
        _do(f"Take {tag} out", trying.remove(scenario, layout, tag))


def _do(what: str, layout: Layout) -> None:
    session.the_work().do(what, layout=layout)
    st.session_state["by hand"] = True


def _table(scenario: Scenario, layout: Layout) -> None:
    """Offer the same without a pointer: one fixture chosen, and buttons."""
    tags = [each.id for each in layout.placements]
    pinned = [each.id for each in layout.placements if each.pinned]
    busy = session.busy()
    with st.container(horizontal=True, vertical_alignment="bottom", key="by-hand"):
        tag = st.selectbox("Fixture", tags, key=session.own("hand-tag"), disabled=busy, width=160)
        if tag is None:
            return
        on = tag not in pinned
        word = "Pin it" if on else "Let it go"
        if st.button(word, key="hand-pin", disabled=busy):
            pin_or_free(layout, tag, on)
            st.rerun()
        if st.button("Take it out", key="hand-out", disabled=busy):
            take_out(scenario, layout, tag)
            st.rerun()
        st.button(
            "Lay out the rest round the pins",
            key="round-pins",
            type="primary",
            disabled=busy or not pinned,
            help=plain(f"Pinned: {', '.join(pinned)}" if pinned else "Pin something first"),
            on_click=_round_pins,
            args=(layout,),
        )


def _round_pins(layout: Layout) -> None:
    """Write the pins down, go to the section that lays out, and start the search."""
    from shopfit.ui.layout import section as lay_out

    keep = [
        {name: value for name, value in each.model_dump(mode="json").items() if value is not None}
        for each in trying.kept(layout)
    ]
    session.write("Pin what is to stay", pins={**session.draft().pins, "keep": keep})
    scenario = session.scenario()
    st.session_state["section"] = "Lay out"
    if scenario is not None:
        lay_out.begin(scenario, float(st.session_state.get("seconds", 30)))
