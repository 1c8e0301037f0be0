"""Counts what a layout needs, in packs and in money."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shopfit.cutting.runs import run_boards
from shopfit.geometry.shell import survey
from shopfit.model.cutting import CutBoard
from shopfit.model.fixtures import Bracket, Fixture, Sheet, ShelfBoard
from shopfit.model.layout import Layout, Purchase
from shopfit.model.making import Made
from shopfit.model.scenario import Scenario
from shopfit.model.schedule import CutRow, FixtureRow, ItemKind, ShoppingRow, TakeOff
from shopfit.quantities.cutting import cut_runs, run_proofs, tight_pieces
from shopfit.quantities.fixings import clashes, fixings
from shopfit.quantities.lengths import length_plan
from shopfit.quantities.making import first_number, made_ids, make, material_rows
from shopfit.quantities.references import require_known
from shopfit.quantities.seams import joint_at
from shopfit.quantities.setout import corner_name, set_out
from shopfit.quantities.shelving import boards_needed, shelf_segments


def purchases(scenario: Scenario, layout: Layout) -> tuple[Purchase, ...]:
    """Count what the layout needs and what that costs.

    Parameters
    ----------
    scenario, layout
        Which; sheets are those that the layout's cuts name.

    Returns
    -------
    Fixtures, sheets, brackets and shelf boards in the order of the catalogue, without those that
    the layout does not use. Money in the shop's currency.

    Raises
    ------
    InputFaults
        If the layout names what does not exist.
    """
    require_known(scenario, layout)
    catalogue = scenario.catalogue
    needed = needed_pieces(scenario, layout)
    bought: list[Purchase] = []
    for fixture in catalogue.fixtures:
        bought += _purchase(fixture, "fixture", needed.get(fixture.id, 0), fixture.owned)
    for sheet in catalogue.sheets:
        bought += _purchase(sheet, "sheet", needed.get(sheet.id, 0))
    for bracket in catalogue.brackets:
        bought += _purchase(bracket, "bracket", needed.get(bracket.id, 0))
    for board in catalogue.shelves:
        bought += _purchase(board, "shelf", needed.get(board.id, 0))
    return tuple(bought)


def complete(scenario: Scenario, layout: Layout) -> Layout:
    """Fill in the cuts, the purchases and the cost that the layout claims.

    Parameters
    ----------
    scenario, layout
        Which; cuts and purchases already there are made anew.

    Raises
    ------
    InputFaults
        If the layout names what does not exist, or a run is higher than its sheet.
    """
    cut = layout.model_copy(update={"cuts": cut_runs(scenario, layout)})
    bought = purchases(scenario, cut)
    claims = layout.claims.model_copy(update={"cost": total_cost(bought)})
    return cut.model_copy(update={"purchases": bought, "claims": claims})


def total_cost(bought: tuple[Purchase, ...]) -> float:
    """Add up purchases, to the hundredth."""
    return round(sum(purchase.total for purchase in bought), 2)


def take_off(scenario: Scenario, layout: Layout) -> TakeOff:
    """List everything to order, cut, stand and hang.

    Parameters
    ----------
    scenario, layout
        Which; runs are cut first if the layout holds no cuts.

    Raises
    ------
    InputFaults
        If the layout names what does not exist, or a run is higher than its sheet.
    """
    if layout.runs and not layout.cuts:
        layout = layout.model_copy(update={"cuts": cut_runs(scenario, layout)})
    bought = purchases(scenario, layout)
    made = make(scenario, layout, needed_pieces(scenario, layout))
    shopping = tuple(shopping_rows(scenario, bought, made))
    lengths = length_plan(scenario, layout)
    return TakeOff(
        fixtures=tuple(_fixture_rows(scenario, layout)),
        set_out=set_out(scenario, layout),
        shopping=shopping,
        cuts=cut_list(scenario, layout),
        boards=(*run_boards(scenario, layout), *boards_besides(scenario, layout)),
        proofs=(
            *run_proofs(scenario, layout),
            *(made.plan.proofs if made else ()),
            *lengths.proofs,
        ),
        made=made,
        fixings=fixings(scenario, layout),
        covered=clashes(scenario, layout),
        total=round(sum(row.total for row in shopping), 2),
        budget=scenario.brief.budget,
    )


def boards_besides(scenario: Scenario, layout: Layout) -> tuple[CutBoard, ...]:
    """Give the boards that are cut besides slat-wall: of what is made, and what goes by length.

    Parameters
    ----------
    scenario, layout
        Which; they are numbered after the layout's sheets of slat-wall.
    """
    if layout.runs and not layout.cuts:
        layout = layout.model_copy(update={"cuts": cut_runs(scenario, layout)})
    made = make(scenario, layout, needed_pieces(scenario, layout))
    boards = (*(made.plan.boards if made else ()), *length_plan(scenario, layout).boards)
    return tuple(
        board.model_copy(update={"number": number})
        for number, board in enumerate(boards, start=first_number(layout))
    )


def shopping_rows(
    scenario: Scenario, bought: tuple[Purchase, ...], made: Made | None
) -> Iterator[ShoppingRow]:
    """Give what is bought; in place of what is made, the materials that it takes.

    Parameters
    ----------
    scenario, bought
        What the layout needs; what is made stands among it at the price it is reckoned at.
    made
        What is made.
    """
    ours = made_ids(scenario.catalogue) if made is not None else frozenset()
    for purchase in bought:
        if purchase.item not in ours or not purchase.packs:
            yield _shopping_row(scenario, purchase)
    if made is not None:
        yield from material_rows(scenario.catalogue, made.rows, made.plan)


def cut_list(scenario: Scenario, layout: Layout) -> tuple[CutRow, ...]:
    """List the layout's pieces sheet by sheet, from the lower left, with where each hangs.

    Parameters
    ----------
    scenario, layout
        Which; the layout holds its cuts.
    """
    shell = survey(scenario.shop)
    tight = tight_pieces(layout.cuts)
    order = sorted(
        range(len(layout.cuts)),
        key=lambda i: (
            layout.cuts[i].sheet_number,
            layout.cuts[i].sheet_z_mm,
            layout.cuts[i].sheet_x_mm,
        ),
    )
    rows: list[CutRow] = []
    for index in order:
        piece = layout.cuts[index]
        run = layout.run(piece.run)
        sheet = scenario.catalogue.sheet(run.sheet)
        same = bool(rows) and rows[-1].sheet_number == piece.sheet_number
        left, low = run.from_mm + piece.x_mm, run.bottom_mm + piece.z_mm
        rows.append(
            CutRow(
                **piece.model_dump(),
                number=rows[-1].number + 1 if same else 1,
                sheet=sheet.id,
                sheet_name=sheet.name or sheet.id,
                sheet_width_mm=sheet.width,
                sheet_height_mm=sheet.height,
                wall=run.wall,
                datum=corner_name(shell, run.wall),
                from_mm=left,
                to_mm=left + piece.width_mm,
                bottom_mm=low,
                top_mm=low + piece.height_mm,
                joint=joint_at(scenario, layout, run, piece.x_mm),
                tight=index in tight,
            )
        )
    return tuple(rows)


def needed_pieces(scenario: Scenario, layout: Layout) -> dict[str, int]:
    """Count pieces by id, over fixtures, sheets, brackets and shelf boards.

    Parameters
    ----------
    scenario, layout
        Which; sheets are those that the layout's cuts name.
    """
    needed: dict[str, int] = {}

    def add(item: str, count: int) -> None:
        needed[item] = needed.get(item, 0) + count

    for placement in layout.placements:
        add(placement.fixture, 1)
    for sheet, _ in sorted({(layout.run(c.run).sheet, c.sheet_number) for c in layout.cuts}):
        add(sheet, 1)
    boards = {board.id: board for board in scenario.catalogue.shelves}
    brackets = {bracket.id for bracket in scenario.catalogue.brackets}
    for row in (row for block in layout.blocks for row in block.rows):
        for slot in row.slots:
            if slot.holder in brackets and slot.holder is not None:
                add(slot.holder, slot.brackets)
        for segment in shelf_segments(row):
            holder = segment[0].holder
            if holder in boards and holder is not None:
                add(holder, boards_needed(segment, boards[holder]))
    return needed


def _purchase(
    item: Fixture | Sheet | Bracket | ShelfBoard, kind: ItemKind, needed: int, owned: int = 0
) -> Iterator[Purchase]:
    if needed == 0:
        return
    pack = 1 if isinstance(item, Fixture) else item.pack
    packs = math.ceil(max(0, needed - owned) / pack)
    yield Purchase(
        item=item.id,
        kind=kind,
        needed=needed,
        owned=owned,
        packs=packs,
        price=item.price,
        total=round(packs * item.price, 2),
    )


def _shopping_row(scenario: Scenario, purchase: Purchase) -> ShoppingRow:
    name, pack = _named(scenario, purchase)
    return ShoppingRow(
        item=purchase.item,
        name=name,
        kind=purchase.kind,
        needed=purchase.needed,
        owned=purchase.owned,
        pack=pack,
        packs=purchase.packs,
        spare=purchase.owned + purchase.packs * pack - purchase.needed,
        price=purchase.price,
        total=purchase.total,
    )


def _named(scenario: Scenario, purchase: Purchase) -> tuple[str, int]:
    catalogue = scenario.catalogue
    if purchase.kind == "fixture":
        return catalogue.fixture(purchase.item).name or purchase.item, 1
    item: Sheet | Bracket | ShelfBoard
    if purchase.kind == "sheet":
        item = catalogue.sheet(purchase.item)
    elif purchase.kind == "bracket":
        item = catalogue.bracket(purchase.item)
    else:
        item = catalogue.shelf(purchase.item)
    return item.name or item.id, item.pack


def _fixture_rows(scenario: Scenario, layout: Layout) -> Iterator[FixtureRow]:
    for placement in layout.placements:
        fixture = scenario.catalogue.fixture(placement.fixture)
        yield FixtureRow(
            tag=placement.id,
            fixture=fixture.id,
            name=fixture.name or fixture.id,
            kind=fixture.kind,
            width_mm=fixture.width,
            depth_mm=fixture.depth,
            height_mm=fixture.height,
            wall=placement.wall,
            offset_mm=placement.offset_mm,
            x_mm=placement.x_mm,
            y_mm=placement.y_mm,
            angle_deg=placement.angle_deg,
            fixed=fixture.fixed,
            price=fixture.price,
        )
