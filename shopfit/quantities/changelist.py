"""Lists what to do when an earlier layout becomes a later one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from shopfit.model.changes import ChangeRow
from shopfit.model.schedule import Comparison, FixtureChange

_DONE: dict[str, Literal["stand", "take out", "move"]] = {
    "removed": "take out",
    "moved": "move",
    "added": "stand",
}


def change_list(comparison: Comparison) -> tuple[ChangeRow, ...]:
    """List changes in the order of work: buy, return, take out, move, stand.

    Parameters
    ----------
    comparison
        Of the earlier and the later layout. What is returned is what would be bought less of;
        whether a shop takes it back is for the shop to say.
    """
    rows = [*_bought(comparison), *_stood(comparison.fixtures)]
    order = ("buy", "return", "take out", "move", "stand")
    return tuple(sorted(rows, key=lambda row: order.index(row.do)))


def _bought(comparison: Comparison) -> Iterator[ChangeRow]:
    for change in comparison.shopping:
        packs = change.packs_after - change.packs_before
        if packs:
            yield ChangeRow(
                do="buy" if packs > 0 else "return",
                item=change.item,
                name=change.name,
                number=abs(packs),
                money=round(change.total_after - change.total_before, 2),
            )


def _stood(changes: tuple[FixtureChange, ...]) -> Iterator[ChangeRow]:
    for change in changes:
        moved = change.change == "moved"
        yield ChangeRow(
            do=_DONE[change.change],
            item=change.fixture,
            name=change.name,
            number=1,
            tag_before=change.tag_before,
            tag_after=change.tag_after,
            moved_mm=change.moved_mm if moved else None,
            turned_deg=change.turned_deg if moved else None,
        )
