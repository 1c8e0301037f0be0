"""Compare: two to four cases side by side, what changes between them, and what more would bring."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import streamlit as st

from shopfit import planning, wording
from shopfit.cases.store import StoreError
from shopfit.files.drafts import judge
from shopfit.model.schedule import Comparison
from shopfit.planning import Plan
from shopfit.ui import session
from shopfit.ui.layout import curves, gains, studies
from shopfit.ui.text import plain, plain_cells

MOST = 4
Named = tuple[str, Plan]


def show() -> None:
    """Show the section."""
    plan = session.plan()
    if plan is None or plan.layout is None:
        st.info("Lay the shop out first; then it can be set beside other cases.")
        return
    others = _others()
    chosen = st.multiselect(
        "Beside this case",
        others,
        key=session.own("beside"),
        max_selections=MOST - 1,
        placeholder="Cases that are kept here" if others else "No other case is kept here",
        disabled=not others,
    )
    cases: list[Named] = [(session.the_work().name, plan)]
    for name in chosen:
        other = _read(name)
        if other is not None:
            cases.append((name, other))
    if len(cases) > 1:
        _side_by_side(cases)
    st.header("What more would bring", anchor=False)
    study = studies.running()
    if study is not None:
        studies.follow(study)
    curves.show(plan)
    gains.show(plan)


def _others() -> list[str]:
    place = session.store()
    if place is None:
        return []
    try:
        return [kept.name for kept in place.names() if kept.name != session.the_work().name]
    except StoreError as error:
        st.warning(plain(str(error)))
        return []


def _read(name: str) -> Plan | None:
    """Read a case that is kept, and check its layout; once for each version of it."""
    place = session.store()
    assert place is not None
    try:
        found = session.once(f"case {name}", lambda: _planned(name), place.revision(name))
    except StoreError as error:
        st.warning(plain(str(error)))
        return None
    if found is None:
        st.warning(plain(f"'{name}' has no layout, or faults: open it and lay it out first."))
    return found


def _planned(name: str) -> Plan | None:
    place = session.store()
    assert place is not None
    case, _ = place.read(name)
    scenario = judge(case.draft, name).scenario
    if scenario is None or case.layout is None:
        return None
    return session.planned(scenario, case.layout)


def _side_by_side(cases: Sequence[Named]) -> None:
    columns = st.columns(len(cases))
    for column, (name, plan) in zip(columns, cases, strict=True):
        with column:
            st.subheader(plain(name), anchor=False)
            _plan_picture(name, plan)
    st.table(plain_cells(number_rows(cases)), hide_index=True)
    st.subheader("Facings of every category", anchor=False)
    st.table(plain_cells(category_rows(cases)), hide_index=True)
    for name, plan in cases[1:]:
        _changes(cases[0], (name, plan))


def _plan_picture(name: str, plan: Plan) -> None:
    from shopfit.drawing import draw_plan

    layout = plan.layout
    assert layout is not None
    drawn = session.once(
        f"plan of {name}", lambda: draw_plan(plan.scenario, layout).files["plan.svg"], plan
    )
    st.image(drawn.decode("utf-8"), width="stretch", alt=f"Plan of {name}")


def number_rows(cases: Sequence[Named]) -> list[dict[str, Any]]:
    """Give the main numbers of cases side by side."""

    def row(what: str, values: Sequence[str]) -> dict[str, Any]:
        return {"": what, **{name: v for (name, _), v in zip(cases, values, strict=True)}}

    layouts = [plan.layout for _, plan in cases if plan.layout is not None]
    counts = [wording.severity_counts(plan.findings) for _, plan in cases]
    money = [
        wording.money(layout.claims.cost, plan.scenario.shop.currency)
        for (_, plan), layout in zip(cases, layouts, strict=True)
    ]
    return [
        row("facings", [f"{layout.claims.facings:,}" for layout in layouts]),
        row("units held", [f"{layout.claims.units:,}" for layout in layouts]),
        row("cost", money),
        row("fixtures", [str(len(layout.placements)) for layout in layouts]),
        row("slat-wall runs", [str(len(layout.runs)) for layout in layouts]),
        row("violations", [str(count["violation"]) for count in counts]),
        row("barriers to review", [str(count["barrier to review"]) for count in counts]),
    ]


def category_rows(cases: Sequence[Named]) -> list[dict[str, Any]]:
    """Give the facings of every category side by side."""
    facings: dict[str, dict[str, int]] = {}
    for name, plan in cases:
        assert plan.layout is not None
        for block in plan.layout.blocks:
            shown = sum(slot.facings for row in block.rows for slot in row.slots)
            mine = facings.setdefault(block.category, {})
            mine[name] = mine.get(name, 0) + shown
    return [
        {"category": category, **{name: mine.get(name, 0) for name, _ in cases}}
        for category, mine in sorted(facings.items())
    ]


def _changes(first: Named, second: Named) -> None:
    (one, before), (other, after) = first, second
    assert before.layout is not None
    assert after.layout is not None
    found = planning.compare(before.scenario, before.layout, after.scenario, after.layout)
    with st.expander(plain(f"From {one} to {other}: what is bought, returned and moved")):
        rows = change_rows(found, before.scenario.shop.currency)
        if rows:
            st.table(plain_cells(rows), hide_index=True)
        else:
            st.write("Nothing is bought, returned or moved.")


def change_rows(comparison: Comparison, currency: str) -> list[dict[str, Any]]:
    """Give what has to be done to come from one layout to another, one a row."""
    from shopfit.takeaway import changes

    return [
        {
            "do": row.do,
            "item": row.name,
            "how many": row.number,
            "money": "" if row.money is None else wording.money(row.money, currency),
            "tag": " → ".join(dict.fromkeys(t for t in (row.tag_before, row.tag_after) if t)),
        }
        for row in changes(comparison)
    ]
