"""Chooses the paper of a plan: lying or upright, and the next larger where it would print small."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from shopfit.drawing.desk import Desk
from shopfit.drawing.scene import Scene
from shopfit.drawing.sheet import PAGES, Page, default_page

PageName = Literal["letter", "tabloid", "a4", "a3"]
_SMALL_PLAN = 75  # beyond this a plan asks for the next larger paper, unless one was chosen
_LARGER = {"letter": "tabloid", "a4": "a3"}


def plan_on_paper(
    desk: Desk, page: PageName | None, drawn: Callable[[Page], Scene]
) -> tuple[Scene, Page]:
    """Draw a plan on the paper, lying or upright, that gives the larger scale.

    Parameters
    ----------
    desk
        What is drawn.
    page
        The paper; if left out Letter or A4 by the shop's units, and the next larger one where the
        plan would print smaller than 1:75.
    drawn
        Draws it at the largest scale that fits a page.
    """
    west, south, east, north = desk.shell.floor.bounds
    name: str | None = page or default_page(desk.shop.units)
    while True:
        paper = PAGES[str(name)]
        papers = [paper, paper.turned] if north - south > east - west else [paper]
        scene, chosen = min(((drawn(p), p) for p in papers), key=lambda each: each[0].scale)
        larger = _LARGER.get(str(name)) if scene.scale > _SMALL_PLAN else None
        if page is not None or larger is None:
            return scene, chosen
        name = larger
