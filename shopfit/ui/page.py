"""The frame of the page: one case, and its sections in the order of the job."""

from __future__ import annotations

import importlib
from collections.abc import Callable
from dataclasses import dataclass

import streamlit as st

from shopfit.errors import InputFaults
from shopfit.ui import casebar, opening, session
from shopfit.ui.layout import searching
from shopfit.ui.limits import limits
from shopfit.ui.text import plain, show_faults
from shopfit.wording import CAUTION


@dataclass(frozen=True)
class Section:
    """One part of the job.

    Parameters
    ----------
    label
        Its name on the page and in the address.
    module
        What shows it: its ``show()``. Imported when it is first wanted.
    """

    label: str
    module: str


SECTIONS = (
    Section("Measure", "shopfit.ui.measure.section"),
    Section("Range", "shopfit.ui.goods.section"),
    Section("Fixtures", "shopfit.ui.catalogue.section"),
    Section("Lay out", "shopfit.ui.layout.section"),
    Section("Try", "shopfit.ui.trying.section"),
    Section("Clearances", "shopfit.ui.layout.clearances"),
    Section("Compare", "shopfit.ui.layout.compare"),
    Section("Take away", "shopfit.ui.takeaway"),
)
# Pictures want a wide page and little above them; numbers stay smaller than headings. Drawings
# have a white ground in the dark as well, for they are what is printed.
STYLE = """<style>
[data-testid="stMainBlockContainer"] { max-width: 86rem; padding-top: 2.2rem; }
[data-testid="stMetricValue"] { font-size: 1.5rem; }
[data-testid="stImage"] img { background: #fff; border: 1px solid #8a8578; border-radius: 4px; }
[data-testid="stTable"] { overflow-x: auto; }
/* Faded text has too little contrast for small letters. */
[data-testid="stCaptionContainer"], [data-testid="stCaptionContainer"] *,
[data-testid="stTable"] th, [data-testid="stTable"] th *,
[data-testid="stWidgetLabel"] *, [data-testid="stFileUploaderDropzone"] span,
[data-testid="stFileUploaderDropzone"] small, [data-testid="stImageCaption"] {
  color: inherit !important; opacity: 1 !important;
}
/* The chosen one of a row of buttons, in letters that stand out on its tint in light and dark. */
button[data-variant="segmented_control"][data-selected="true"] * {
  color: light-dark(#164a7d, #a8d2f7) !important; font-weight: 600;
}
/* What is folded away is hidden from scanners and readers too. */
details:not([open]) > [data-testid="stExpanderDetails"] { visibility: hidden; }
@media (max-width: 640px) {
  [data-testid="stMainBlockContainer"] { padding: 1rem 0.8rem 3rem; }
  h1 { font-size: 1.6rem !important; }
}
/* On paper there is what was found and drawn, and nothing to press or to fill in. */
@media print {
  header, button, [data-testid="stToolbar"], [data-testid="stForm"], [data-testid="stButton"],
  [data-testid="stButtonGroup"], [data-testid="stExpander"], [data-testid="stFileUploader"],
  [data-testid="stSelectbox"], [data-testid="stMultiSelect"], [data-testid="stNumberInput"],
  [data-testid="stTextInput"], [data-testid="stCheckbox"], [data-testid="stDownloadButton"],
  .st-key-case-bar, .st-key-kept, .st-key-section { display: none !important; }
  [data-testid="stMainBlockContainer"] { max-width: none; padding: 0; }
  /* What scrolls or is flexible on the screen is not broken from page to page. */
  [data-testid="stTable"], [data-testid="stTable"] * { overflow: visible !important; }
  table { display: table !important; width: 100%; }
  [data-testid="stVerticalBlock"], [data-testid="stLayoutWrapper"],
  [data-testid="stElementContainer"] { display: block !important; }
  [data-testid="stElementContainer"] { margin-bottom: 0.6rem; }
  h1, h2, h3 { break-after: avoid; }
  tr, img, svg { break-inside: avoid; }
}
</style>"""


def show() -> None:
    """Draw the page."""
    st.set_page_config(page_title="shopfit", layout="wide")
    st.html(STYLE)
    st.title("shopfit", anchor=False)
    try:
        limits()
    except InputFaults as caught:
        show_faults(caught.faults, "The limits of this page cannot be read")
        return
    session.reopen()
    if session.work() is None:
        st.write("From an odd room and a price list to a shop that can be built.")
        opening.show()
        st.caption(CAUTION)
        return
    searching.take_up()
    section = _switch()
    session.hold("seconds")
    session.keep()
    casebar.show(session.busy())
    _show(section)
    session.keep()
    if st.query_params.get(session.CASE) != session.the_work().name and session.store():
        st.query_params[session.CASE] = session.the_work().name
    st.caption(CAUTION)


def _switch() -> Section:
    labels = [section.label for section in SECTIONS]
    chosen = st.segmented_control(
        "Section",
        labels,
        default=labels[0],
        required=True,
        key="section",
        label_visibility="collapsed",
        bind="query-params",
    )
    return next((each for each in SECTIONS if each.label == chosen), SECTIONS[0])


def _show(section: Section) -> None:
    draw: Callable[[], None] = importlib.import_module(section.module).show
    st.header(section.label, anchor=False)
    try:
        draw()
    except InputFaults as caught:
        show_faults(caught.faults)
    except Exception as error:  # noqa: BLE001 - one section must not take the page with it
        st.error("This section broke off through a fault of the program. Your case is kept.")
        st.caption(plain(f"{type(error).__name__}: {error}"))
