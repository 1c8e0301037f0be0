"""Takes an owner's own list in: any column names, chosen once and remembered with the case."""

from __future__ import annotations

import streamlit as st

from shopfit.errors import InputFaults
from shopfit.files.columnuse import (
    LENGTH_UNITS,
    LENGTHS,
    MASS_UNITS,
    MASSES,
    ColumnUse,
    guess_use,
    use_columns,
)
from shopfit.files.rangefile import COLUMNS, REQUIRED
from shopfit.files.sheets import SheetText, read_sheet
from shopfit.model.range import WAYS
from shopfit.ui import session
from shopfit.ui.limits import limits
from shopfit.ui.tables.cells import metric
from shopfit.ui.text import label, plain, plain_cells, show_faults
from shopfit.wording import counted

NONE = "– not in the list –"
_WORDS = {
    "line": "Line (its name)",
    "category": "Category",
    "width": "Width",
    "height": "Height",
    "depth": "Depth",
    "weight": "Weight of one",
    "min_facings": "Fewest facings",
    "max_facings": "Most facings",
    "holding": "Fewest units held",
    "value": "Value of a facing",
    "ways": "Ways of display",
    "band": "Height band",
    "secured": "Locked",
    "new": "New",
}
SAMPLE = 5


def words(column: str) -> str:
    """Say what a column of the range is called on the page."""
    return _WORDS.get(column, column.replace("_", " ").capitalize())


def show() -> None:
    """Show where a list is given, and once it is there, which column is which."""
    megabytes = limits().upload_megabytes
    given = st.file_uploader(
        "Your list of goods, as CSV or XLSX, with any column names",
        type=["csv", "txt", "tsv", "xlsx"],
        key=f"list-{session.generation()}",
        max_upload_size=megabytes,
        help=f"At most {megabytes} MB and 100,000 rows. It is read here and goes nowhere else.",
    )
    if given is None:
        return
    try:
        sheet = _read(given.file_id, given.name, given.getvalue())
    except InputFaults as caught:
        show_faults(caught.faults, "This list cannot be taken in")
        return
    for note in sheet.notes:
        st.caption(plain(note))
    if not sheet.rows:
        st.error("Below the names of its columns this list has no row.")
        return
    if st.session_state.get("list mapped") != given.file_id:
        # What was chosen for the list before says nothing of this one.
        st.session_state["list mapped"] = given.file_id
        for ours in COLUMNS:
            for kind in ("column", "unit"):
                st.session_state.pop(f"{kind}-{ours}", None)
    _map(sheet)


def _read(file_id: str, name: str, data: bytes) -> SheetText:
    return session.once("list read", lambda: read_sheet(name, data), file_id)


def _map(sheet: SheetText) -> None:
    draft = session.draft()
    guess = guess_use(sheet.header, draft.columns, metric(session.units()))
    st.write(f"{counted(len(sheet.rows), 'rows')}. Which column is which?")
    first = [dict(zip(sheet.header, row, strict=True)) for row in sheet.rows[:SAMPLE]]
    st.table(plain_cells(first), hide_index=True)
    with st.form("list-columns", border=True):
        use = _choices(sheet, guess)
        add = False
        if draft.rows:
            add = st.radio("Lines that are there already", ("replace them", "keep them too")) != (
                "replace them"
            )
        put = st.form_submit_button("Take the list in", type="primary", key="take-list")
    if not put:
        return
    missing = [name for name in REQUIRED if name not in use.taken and not use.instead.get(name)]
    if missing:
        names = ", ".join(words(name) for name in missing)
        st.error(plain(f"Say which column is: {names}."))
        return
    rows, notes = use_columns(sheet, use)
    session.write(
        "Take a list in",
        rows=(*(draft.rows if add else ()), *rows),
        columns={**draft.columns, **use.taken},
    )
    st.session_state["notes"] = [
        f"{counted(len(rows), 'lines')} taken in.",
        *notes,
    ]
    st.rerun()


def _choices(sheet: SheetText, guess: ColumnUse) -> ColumnUse:
    taken, units, instead = {}, {}, {}
    options = [NONE, *dict.fromkeys(name for name in sheet.header if name)]
    columns = st.columns(3)
    for place, ours in enumerate(COLUMNS):
        with columns[place % 3]:
            guessed = guess.taken.get(ours, NONE)
            name = words(ours) + (" *" if ours in REQUIRED else "")
            index = options.index(guessed) if guessed in options else 0
            theirs = st.selectbox(label(name), options, index=index, key=f"column-{ours}")
            if theirs != NONE:
                taken[ours] = theirs
            if ours in (*LENGTHS, *MASSES):
                names = LENGTH_UNITS if ours in LENGTHS else MASS_UNITS
                units[ours] = st.selectbox(
                    label(f"{words(ours)}: numbers without a unit are"),
                    names,
                    index=names.index(guess.units[ours]),
                    key=f"unit-{ours}",
                )
    st.caption("For columns that the list does not have:")
    left, right = st.columns(2)
    category = left.text_input("One category for all", key="instead-category")
    ways = right.multiselect("Ways of display for all", WAYS, key="instead-ways")
    if "category" not in taken:
        instead["category"] = category.strip()
    if "ways" not in taken:
        instead["ways"] = "|".join(ways)
    return ColumnUse(taken, units, instead)
