"""Everything that is written for people to act on: layout, drawings, lists and findings."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from shopfit.model.finding import Finding
from shopfit.model.layout import Layout
from shopfit.model.moves import MoveRow, Moves
from shopfit.model.scenario import Scenario

# Written for some layouts only, so that an older one may have left them.
_SHEETS = ("plan*.svg", "wall-*.svg", "islands*.svg", "cutting*.svg", "moves.csv")


def output_files(
    scenario: Scenario,
    layout: Layout,
    findings: tuple[Finding, ...] = (),
    date: str | None = None,
) -> dict[str, bytes]:
    """Make every file of a layout: the layout itself, drawings, lists and findings.

    Parameters
    ----------
    scenario, layout, findings
        What is written down.
    date
        For title blocks; the day the layout was made if left out.

    Returns
    -------
    Contents by file name.
    """
    from shopfit.files.layouts import layout_text

    return {
        "layout.json": layout_text(layout).encode("utf-8"),
        **drawing_files(scenario, layout, findings, date),
        **_lists(scenario, layout, findings),
    }


def drawing_files(
    scenario: Scenario,
    layout: Layout,
    findings: tuple[Finding, ...] = (),
    date: str | None = None,
) -> dict[str, bytes]:
    """Make the drawings of a layout: plan, elevations, and all of them as one PDF."""
    from shopfit.drawing import draw

    day = layout.timing.made[:10] if date is None else date
    return dict(draw(scenario, layout, findings, date=day).files)


def moves_file(scenario: Scenario, moves: Moves) -> dict[str, bytes]:
    """Make the list of what has to be moved, as comma-separated text by its file name."""
    from shopfit.files.tables import csv_text
    from shopfit.quantities.movelist import move_rows

    shop = scenario.shop
    text = csv_text(move_rows(shop, moves), shop.units, shop.currency, MoveRow)
    return {"moves.csv": text.encode("utf-8")}


def write_files(files: dict[str, bytes], folder: Path | str) -> tuple[str, ...]:
    """Write files into a folder, all or none, and remove sheets left there by an older layout.

    Parameters
    ----------
    files
        Contents by name.
    folder
        Made if need be.

    Returns
    -------
    The names written.
    """
    from shopfit.files.writing import Bundle

    folder = Path(folder)
    with Bundle(folder) as bundle:
        for name, data in files.items():
            bundle.write_bytes(name, data)
    for pattern in _SHEETS:
        for old in folder.glob(pattern):
            if old.name not in files:
                old.unlink()
    return tuple(files)


def _lists(scenario: Scenario, layout: Layout, findings: Iterable[Finding]) -> dict[str, bytes]:
    from shopfit.files.tables import findings_csv, shopping_xlsx, take_off_csv
    from shopfit.quantities.takeoff import take_off

    shop, lists = scenario.shop, take_off(scenario, layout)
    texts = take_off_csv(lists, shop)
    texts["shopping-list.csv"] = texts.pop("shopping.csv")
    texts["findings.csv"] = findings_csv(findings, shop.units)
    return {
        **{name: text.encode("utf-8") for name, text in sorted(texts.items())},
        "shopping-list.xlsx": shopping_xlsx(lists, shop, layout.timing.made),
    }
