"""The page: choose a shop, lay it out, see the plan and take the lists away."""

from __future__ import annotations


def show() -> None:
    """Draw the page; called by Streamlit on every run of the script."""
    from shopfit.ui.serve import loaded

    loaded()
    from shopfit.ui.page import show as draw_page

    draw_page()
