"""Rows of a change list: what to buy, send back, stand, take out and move."""

from __future__ import annotations

from typing import Literal

from shopfit.model.base import Frozen


class ChangeRow(Frozen):
    """One thing to do when an earlier layout becomes a later one.

    Parameters
    ----------
    do
        ``buy`` or ``return`` packs; ``stand``, ``take out`` or ``move`` a fixture.
    item, name
        Id in the catalogue and name in words.
    number
        Packs, or 1 for a fixture.
    money
        What it costs; under nought for what comes back, none for what costs nothing.
    tag_before, tag_after
        Tags of a fixture in the two layouts; none where it is missing.
    moved_mm, turned_deg
        How far a fixture's back left corner moves, and how far it turns.
    """

    do: Literal["buy", "return", "stand", "take out", "move"]
    item: str
    name: str
    number: int
    money: float | None = None
    tag_before: str | None = None
    tag_after: str | None = None
    moved_mm: float | None = None
    turned_deg: float | None = None
