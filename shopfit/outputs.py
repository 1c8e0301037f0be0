"""Everything that is written for people to act on: layout, drawings, lists and findings."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from shopfit import gathering
from shopfit.errors import InputFaults
from shopfit.model.finding import Finding
from shopfit.model.layout import Layout
from shopfit.model.moves import MoveRow, Moves
from shopfit.model.scenario import Scenario

if TYPE_CHECKING:
    from shopfit.drawing import Drawings, PageName

# Written for some layouts only, so that an older one may have left them.
_FINDINGS = ("findings*.svg", "findings.pdf")
_DRAWN = (
    *("cover*.svg", "plan*.svg", "ways*.svg", "wall-*.svg", "islands*.svg", "approach*.svg"),
    *("cutting*.svg", *_FINDINGS, "sheet-*.png"),
)
_SHEETS = (
    *(*_DRAWN, "moves.csv", "order.csv", "order.xlsx"),
    *("finishes.csv", "finishes-parts.csv"),
    *("cut-list.csv", "saw-cuts.csv", "offcuts.csv", "made-parts.csv"),
)


def output_files(
    scenario: Scenario,
    layout: Layout,
    findings: tuple[Finding, ...],
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
    from shopfit.takeaway import takeaway_files

    return {
        "layout.json": layout_text(layout).encode("utf-8"),
        **_lists(scenario, layout),
        **takeaway_files(scenario, layout),
        **_finding_lists(scenario, findings),
        **drawing_files(scenario, layout, findings, date),
    }


def drawings(
    scenario: Scenario,
    layout: Layout,
    findings: tuple[Finding, ...] | None = None,
    date: str | None = None,
    page: PageName | None = None,
) -> Drawings:
    """Draw a layout: plan, ways, elevations, way in, cutting and findings.

    Parameters
    ----------
    scenario, layout
        What is drawn.
    findings
        Drawn on the last sheets, or none where nothing was checked.
    date, page
        As for `shopfit.drawing.draw`; the day the layout was made if left out.
    """
    from shopfit.checks import measured_routes
    from shopfit.drawing import draw
    from shopfit.quantities.takeoff import boards_besides

    boards = boards_besides(scenario, layout)
    ordered = None if findings is None else gathering.in_order(findings)
    routes = measured_routes(scenario, layout)
    return draw(scenario, layout, ordered, page, _day(layout, date), boards, routes)


def drawing_files(
    scenario: Scenario,
    layout: Layout,
    findings: tuple[Finding, ...] | None = None,
    date: str | None = None,
    page: PageName | None = None,
) -> dict[str, bytes]:
    """Make the files of `drawings`: a sheet each, and all of them as one PDF."""
    return dict(drawings(scenario, layout, findings, date, page).files)


def pictures(document: bytes, dots_per_inch: int = 150) -> dict[str, bytes]:
    """Give every page of a PDF document as a PNG picture, by a file name with its number.

    Parameters
    ----------
    document
        The PDF.
    dots_per_inch
        How fine.
    """
    import io

    import pypdfium2

    found: dict[str, bytes] = {}
    for number, page in enumerate(pypdfium2.PdfDocument(document), start=1):
        stream = io.BytesIO()
        page.render(scale=dots_per_inch / 72).to_pil().save(stream, "PNG", optimize=True)
        found[f"sheet-{number:02d}.png"] = stream.getvalue()
    return found


def findings_files(
    scenario: Scenario,
    layout: Layout,
    findings: tuple[Finding, ...],
    date: str | None = None,
) -> dict[str, bytes]:
    """Make lists of findings, and a plan with each of them marked by its number.

    What cannot be drawn, because the layout names things unknown or the shell is not sound, is
    left to the lists.
    """
    from shopfit.checks import measured_routes
    from shopfit.drawing import draw_findings

    day, routes = _day(layout, date), measured_routes(scenario, layout)
    try:
        drawn = draw_findings(scenario, layout, findings, date=day, routes=routes).files
    except InputFaults:
        drawn = {}
    return {**_finding_lists(scenario, findings), **drawn}


def _finding_lists(scenario: Scenario, findings: tuple[Finding, ...]) -> dict[str, bytes]:
    from shopfit.files.findings import findings_csv, findings_data, findings_json

    data = findings_data(scenario, findings)
    return {
        "findings.csv": findings_csv(findings, scenario.shop.units).encode("utf-8"),
        "findings.json": findings_json(data).encode("utf-8"),
    }


def moves_file(scenario: Scenario, moves: Moves) -> dict[str, bytes]:
    """Make the list of what has to be moved, as comma-separated text by its file name."""
    from shopfit.files.tables import csv_text
    from shopfit.quantities.movelist import move_rows

    shop = scenario.shop
    text = csv_text(move_rows(scenario, moves), shop.units, shop.currency, MoveRow)
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
    from shopfit.files.writing import write_all

    return write_all(files, folder, _SHEETS)


def write_drawing_files(files: dict[str, bytes], folder: Path | str) -> tuple[str, ...]:
    """Write drawings, remove those of an older layout, and leave lists and the rest alone."""
    from shopfit.files.writing import write_all

    return write_all(files, folder, _DRAWN)


def write_findings_files(files: dict[str, bytes], folder: Path | str) -> tuple[str, ...]:
    """Write lists and drawings of findings, and leave other files of the folder alone."""
    from shopfit.files.writing import write_all

    return write_all(files, folder, _FINDINGS)


def write_some(files: dict[str, bytes], folder: Path | str) -> tuple[str, ...]:
    """Write files into a folder, all or none, and leave all others alone; gives their names."""
    from shopfit.files.writing import write_all

    return write_all(files, folder)


def _day(layout: Layout, date: str | None) -> str:
    return layout.timing.made[:10] if date is None else date


def _lists(scenario: Scenario, layout: Layout) -> dict[str, bytes]:
    from shopfit.files.tables import shopping_xlsx, take_off_csv
    from shopfit.quantities.takeoff import take_off
    from shopfit.sawing import list_files, made_files

    shop, lists = scenario.shop, take_off(scenario, layout)
    texts = take_off_csv(lists, shop)
    texts["shopping-list.csv"] = texts.pop("shopping.csv")
    made = {} if lists.made is None else made_files(lists.made, shop.units, shop.currency)
    return {
        **(list_files(lists.boards, shop.units) if lists.boards else {}),
        **made,
        **{name: text.encode("utf-8") for name, text in sorted(texts.items())},
        "shopping-list.xlsx": shopping_xlsx(lists, shop, layout.timing.made),
    }
