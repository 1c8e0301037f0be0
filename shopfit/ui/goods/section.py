"""To come."""

from __future__ import annotations

import streamlit as st


def show() -> None:
    """Show the section."""
    st.info("To come.")
