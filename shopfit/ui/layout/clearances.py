"""Clearances: what the checks found, by severity."""

from __future__ import annotations

import streamlit as st

from shopfit.ui import session
from shopfit.ui.layout import results


def show() -> None:
    """Show the section."""
    plan = session.plan()
    if plan is None:
        st.info("Lay the shop out first.")
        return
    results.show_findings(plan)
