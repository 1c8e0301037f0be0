"""What is carried off besides drawings: labels, orders, finishes and solid models."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from shopfit.model.changes import ChangeRow
from shopfit.model.finishes import FinishTakeOff
from shopfit.model.layout import Layout
from shopfit.model.ordering import Order, Ordering
from shopfit.model.scenario import Scenario, Shop
from shopfit.model.schedule import Comparison

if TYPE_CHECKING:
    from shopfit.drawing.labelsheet import LabelSize

SolidForm = Literal["glb", "ifc"]


def takeaway_files(scenario: Scenario, layout: Layout) -> dict[str, bytes]:
    """Make everything that a layout gives besides drawings, findings and the main lists.

    Parameters
    ----------
    scenario, layout
        Which; every name of the layout is known.

    Returns
    -------
    Contents by file name: the set-out to print, labels and the shop as glTF; an order where the
    catalogue says how things are ordered, and finishes where the shop has them.
    """
    from shopfit.drawing.labelsheet import label_sheets
    from shopfit.drawing.setoutsheet import set_out_sheets
    from shopfit.quantities.takeoff import take_off

    lists, day = take_off(scenario, layout), layout.timing.made[:10]
    return {
        "set-out.pdf": set_out_sheets(scenario, layout, lists, date=day),
        "labels.pdf": label_sheets(scenario, layout),
        **order_files(scenario, layout),
        **finish_files(scenario, layout),
        "shop.glb": solid_file(scenario, layout, "glb"),
    }


def changes(comparison: Comparison) -> tuple[ChangeRow, ...]:
    """List what to do when an earlier layout becomes a later one."""
    from shopfit.quantities.changelist import change_list

    return change_list(comparison)


def change_files(shop: Shop, comparison: Comparison) -> dict[str, bytes]:
    """Make the list of what to do when an earlier layout becomes a later one."""
    from shopfit.files.tables import csv_text

    text = csv_text(changes(comparison), shop.units, shop.currency, ChangeRow)
    return {"changes.csv": text.encode("utf-8")}


def order(scenario: Scenario, layout: Layout) -> Order:
    """Work out what to order from whom; without terms, the purchases from the list."""
    from shopfit.quantities.ordering import order as worked_out

    return worked_out(scenario, layout)


def order_files(scenario: Scenario, layout: Layout, always: bool = False) -> dict[str, bytes]:
    """Make the order as a list and as a workbook, where the catalogue has terms or always."""
    from shopfit.files.orderbook import order_csv, order_xlsx

    terms = scenario.catalogue.ordering
    if terms is None and not always:
        return {}
    found, shop = order(scenario, layout), scenario.shop
    book = order_xlsx(
        found, terms or Ordering(), shop, finishes(scenario, layout), layout.timing.made
    )
    return {"order.csv": order_csv(found, shop).encode("utf-8"), "order.xlsx": book}


def finishes(scenario: Scenario, layout: Layout) -> FinishTakeOff:
    """Count what the finishes of the shell take."""
    from shopfit.quantities.finishes import finish_take_off

    return finish_take_off(scenario, layout)


def finish_files(scenario: Scenario, layout: Layout) -> dict[str, bytes]:
    """Make the lists of finishes, where the shop has any."""
    from shopfit.files.finishlists import finish_csv

    found = finishes(scenario, layout)
    if not found.rows:
        return {}
    return {name: text.encode("utf-8") for name, text in finish_csv(found, scenario.shop).items()}


def labels(scenario: Scenario, layout: Layout, size: LabelSize | None, paper: str = "") -> bytes:
    """Print shelf-edge labels; raises ValueError for a size that cannot be printed."""
    from shopfit.drawing.labelsheet import label_sheets

    return label_sheets(scenario, layout, size, paper)


def codes_shared(scenario: Scenario, layout: Layout) -> list[str]:
    """Say which codes stand on the labels of several lines."""
    from shopfit.drawing.labelsheet import codes_shared as shared
    from shopfit.drawing.labelsheet import labels_of

    return shared(labels_of(scenario, layout))


def solid_file(scenario: Scenario, layout: Layout, form: SolidForm, goods: bool = True) -> bytes:
    """Make the fitted shop as solids.

    Parameters
    ----------
    scenario, layout
        Which.
    form
        ``glb``, binary glTF 2.0 for viewers, or ``ifc``, IFC 4 for building models.
    goods
        Whether a glTF file shows the goods; a building model never does.

    Raises
    ------
    MissingLibraryError
        If the library for building models is not installed.
    """
    if form == "ifc":
        from shopfit.solids.ifc import ifc_text

        return ifc_text(scenario, layout).encode("utf-8")
    from shopfit.solids import solids_of
    from shopfit.solids.gltf import glb

    solids = solids_of(scenario, layout, goods)
    return glb(solids, scenario.shop.name, scenario.categories)
