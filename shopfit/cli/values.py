"""The command that lists the values of a rulebook, with how far each is known."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from shopfit.cli.guard import console, faults_said, print_json
from shopfit.cli.shared import as_json

if TYPE_CHECKING:
    from rich.table import Table

    from shopfit.standards import Requirement, Rulebook

_SAID = {
    "min": "at least",
    "max": "at most",
    "above": "from above",
    "under": "under",
    "up to": "up to",
}


@click.command()
@click.argument("rulebook", default="us")
@click.option("--about", help="Only values whose key, quantity or clause holds this text.")
@as_json
def values(rulebook: str, about: str | None, as_json: bool) -> None:
    """List the values of a rulebook: limit, clause, and how far its text is known.

    RULEBOOK is `us`, `england`, a scenario folder (its rulebook with its own values on top), or a
    YAML file of own values on top of one of them.
    """
    with faults_said(as_json):
        from shopfit import planning, wording

        book = planning.rulebook(rulebook)
        rows = [one for one in book if about is None or about.lower() in _text(one)]
        if as_json:
            print_json({"title": book.title, "values": [_plain(one) for one in rows]})
            return
        screen = console()
        screen.print(_table(book, rows))
        screen.print(wording.CAUTION)


def _text(one: Requirement) -> str:
    return f"{one.key} {one.quantity} {one.clause}".lower()


def _plain(one: Requirement) -> dict[str, object]:
    return {
        "key": one.key,
        "quantity": one.quantity,
        "comparator": one.comparator,
        "value": one.value,
        "unit": one.unit,
        "published": one.written,
        "printed": one.printed,
        "clause": one.clause,
        "edition": one.edition,
        "source": one.source,
        "confidence": one.confidence,
    }


def _table(book: Rulebook, rows: list[Requirement]) -> Table:
    from shopfit.cli.tables import plain_table

    table = plain_table(
        f"Values of the rulebook {book.title}",
        [("value", False), ("limit", False), ("clause", False), ("known", False)],
    )
    table.columns[0].ratio, table.columns[2].ratio = 3, 2
    table.expand = True
    for one in rows:
        limit = f"{_SAID[one.comparator]} {one.written}"
        table.add_row(f"{one.quantity} ({one.key})", limit, one.clause, one.confidence)
    return table
