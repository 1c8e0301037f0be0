"""What a search led to: drawings, findings, lists, and the files to take away."""

from __future__ import annotations

import io
import zipfile
from typing import Literal

import streamlit as st

from shopfit import planning, wording
from shopfit.model.progress import Clash
from shopfit.model.schedule import TakeOff
from shopfit.planning import Plan
from shopfit.ui import rows
from shopfit.ui.text import plain, plain_cells

LONGEST_TABLE = 14
_KINDS = {
    ".svg": "image/svg+xml",
    ".pdf": "application/pdf",
    ".csv": "text/csv",
    ".json": "application/json",
    ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}


def show_plan(plan: Plan) -> None:
    """Show a plan with everything that belongs to it, or why there is none."""
    if plan.layout is None:
        _no_layout(plan.solution.clash, plan.solution.stopped)
        return
    files = _files(plan)
    with st.container(key="outcome"):
        (st.success if not plan.violations else st.error)(plain(wording.verdict(plan.findings)))
        st.write(plain(wording.outcome(plan.solution)))
    _numbers(plan)
    take_off = planning.quantities(plan.scenario, plan.layout)
    _drawings(plan, take_off, files)
    _findings(plan)
    _lists(plan, take_off)
    _downloads(plan, files)


def _no_layout(clash: Clash | None, stopped: bool) -> None:
    with st.container(key="outcome"):
        st.warning(plain(wording.no_layout(clash, stopped)))
        if clash is None:
            return
        if told := wording.reason(clash, stopped):
            st.write(plain(told))
        if clash.wishes:
            st.write("The fewest wishes that stand in each other's way:")
            wishes = [{"wish": wish} for wish in clash.wishes]
            st.table(plain_cells(wishes), hide_index=True)
        if clash.changes:
            st.write("Any one of these changes is enough, the nearest first:")
            changes = [{"wish": each.wish, "change to": each.change} for each in clash.changes]
            st.table(plain_cells(changes), hide_index=True)


def _files(plan: Plan) -> dict[str, bytes]:
    """Make every file once for each plan; later runs of the page find them here."""
    kept = st.session_state.get("files")
    if kept is None or kept[0] is not plan:
        kept = (plan, planning.plan_files(plan))
        st.session_state["files"] = kept
    files: dict[str, bytes] = kept[1]
    return files


def _numbers(plan: Plan) -> None:
    assert plan.layout is not None
    numbers = rows.main_numbers(plan.scenario, plan.layout)
    for column, (name, size) in zip(st.columns(len(numbers)), numbers, strict=True):
        column.metric(name, size)


def _drawings(plan: Plan, take_off: TakeOff, files: dict[str, bytes]) -> None:
    st.header("Plan and walls", anchor=False)
    # Sheets of tables are for print; the page has the same tables below.
    sheets = [name for name in files if name.endswith(".svg") and "-tables-" not in name]
    plans = [name for name in sheets if name.startswith("plan")]
    left, right = st.columns([3, 2])
    with left:
        for name in plans:
            _picture(files[name], _caption(name))
    with right:
        st.subheader("Fixtures", anchor=False)
        fixtures = rows.fixture_rows(plan.scenario.shop, take_off)
        st.table(plain_cells(fixtures), hide_index=True)
    columns = st.columns(2)
    for index, name in enumerate(name for name in sheets if name not in plans):
        with columns[index % 2]:
            _picture(files[name], _caption(name))


def _caption(name: str) -> str:
    return name.removesuffix(".svg").replace("-", " ").capitalize()


def _picture(svg: bytes, caption: str) -> None:
    # As an image, so that nothing inside the drawing can run as a script.
    st.image(svg.decode("utf-8"), caption=plain(caption), width="stretch", alt=caption)


def _findings(plan: Plan) -> None:
    st.header("What the checks found", anchor=False)
    found = rows.finding_rows(plan.scenario, plan.findings)
    if found:
        # A table wraps long sentences, which a data frame cuts off.
        st.table(plain_cells(found), hide_index=True)
    else:
        st.write("Nothing: every value checked is met.")
    st.caption(wording.CAUTION)


def _lists(plan: Plan, take_off: TakeOff) -> None:
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


def _downloads(plan: Plan, files: dict[str, bytes]) -> None:
    st.header("Files", anchor=False)
    name = plan.scenario.folder or "shop"
    st.download_button(
        "Everything in one zip",
        zipped(name, files),
        file_name=f"{name}.zip",
        mime="application/zip",
        key="take-all",
        on_click="ignore",
        type="primary",
    )
    with st.container(horizontal=True, key="single-files"):
        for file_name, data in files.items():
            kind = _KINDS.get(file_name[file_name.rfind(".") :], "application/octet-stream")
            st.download_button(
                plain(file_name),
                data,
                file_name=file_name,
                mime=kind,
                key=f"take-{file_name}",
                on_click="ignore",
            )


def zipped(folder: str, files: dict[str, bytes]) -> bytes:
    """Pack files into one zip under a folder; equal files give equal bytes."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in sorted(files.items()):
            archive.writestr(zipfile.ZipInfo(f"{folder}/{name}"), data, zipfile.ZIP_DEFLATED)
    return packed.getvalue()
