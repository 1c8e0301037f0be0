"""Pieces, cuts and offcuts as tables for the terminal, and how good a cutting plan is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.table import Table

from shopfit import wording
from shopfit.cli.tables import plain_table
from shopfit.cutting.lists import offcut_rows, part_rows, saw_rows
from shopfit.model.cutting import CutBoard, CutPlan, CutProof
from shopfit.model.making import Made
from shopfit.model.scenario import Shop
from shopfit.model.schedule import TakeOff
from shopfit.units import LengthStyle, format_length


def cut_tables(boards: Sequence[CutBoard], units: LengthStyle) -> Iterator[Table]:
    """Give tables of pieces, of cuts in sawing order, and of offcuts if there are any."""
    yield _pieces(boards, units)
    yield saw_table(boards, units)
    if any(board.offcuts for board in boards):
        yield offcut_table(boards, units)


def _pieces(boards: Sequence[CutBoard], units: LengthStyle) -> Table:
    table = plain_table(
        "Cut list",
        [("piece", True), ("part", False), ("size", True), ("for", False), ("from", False)],
    )
    for row in part_rows(boards):
        size = _size(row.length_mm, row.width_mm, units)
        table.add_row(row.piece, row.part, size, row.purpose, row.name)
    return table


def saw_table(boards: Sequence[CutBoard], units: LengthStyle) -> Table:
    """Give the cuts in sawing order."""
    table = plain_table(
        "Cuts in sawing order",
        [
            ("board", True),
            ("cut", True),
            ("on", False),
            ("saw", False),
            ("set at", True),
            ("frees", False),
        ],
    )
    for row in saw_rows(boards):
        set_at = format_length(row.set_mm, units)
        table.add_row(str(row.board), str(row.cut), row.on, row.saw, set_at, row.frees)
    return table


def offcut_table(boards: Sequence[CutBoard], units: LengthStyle) -> Table:
    """Give the offcuts that are kept."""
    table = plain_table("Offcuts to keep", [("board", True), ("of", False), ("size", True)])
    for row in offcut_rows(boards):
        table.add_row(str(row.board), row.name, _size(row.length_mm, row.width_mm, units))
    return table


def made_and_saw_tables(take_off: TakeOff, shop: Shop) -> Iterator[Table]:
    """Give what a layout's saw list holds beside the slat-wall pieces, its proofs as a caption."""
    if take_off.made is not None:
        yield _parts(take_off.made, shop)
    # Pieces of slat-wall have a table of their own.
    besides = [board for board in take_off.boards if board.groove_pitch_mm is None]
    if besides:
        yield _pieces(besides, shop.units)
    saw = saw_table(take_off.boards, shop.units)
    left = take_off.made.plan.uncut if take_off.made is not None else ()
    plan = CutPlan(proofs=take_off.proofs, uncut=left)
    saw.caption = "\n".join(proof_sentences(plan))
    saw.caption_justify = "left"
    yield saw
    if any(board.offcuts for board in take_off.boards):
        yield offcut_table(take_off.boards, shop.units)


def _parts(made: Made, shop: Shop) -> Table:
    table = plain_table(
        "Made, not bought: parts",
        [("item", False), ("part", False), ("one", True), ("all", True), ("size", True)],
    )
    for row in made.rows:
        size = ""
        if row.length_mm is not None:
            size = _size(row.length_mm, row.width_mm, shop.units)
        table.add_row(row.item, row.part, f"{row.count:,}", f"{row.in_all:,}", size)
    money = wording.made_money(made, shop.currency)
    table.caption = "\n".join([money, *made.cautions])
    table.caption_justify = "left"
    return table


def proof_sentences(plan: CutPlan) -> Iterator[str]:
    """Say for each material how good the plan is, and then what could not be cut."""
    for proof in plan.proofs:
        yield proof_sentence(proof)
    for left in plan.uncut:
        yield f"Not cut: {left.count} × {left.part}, {left.why}."


def proof_sentence(proof: CutProof) -> str:
    """Say how good the plan for one material is."""
    boards = f"{proof.boards} board{'s' if proof.boards != 1 else ''}"
    cost = f" for {proof.cost:,.2f}" if proof.cost else ""
    if proof.proved:
        return f"{proof.material}: {boards}{cost}, proved: no better by {proof.holds_for}."
    unit = {"boards": " boards", "money": "", "area": " square mm"}[proof.measured_in]
    bound = f"{proof.bound:,.2f}" if proof.measured_in == "money" else f"{proof.bound:,.0f}"
    return (
        f"{proof.material}: {boards}{cost}; at least {bound}{unit} by {proof.holds_for} "
        f"(gap {proof.gap:.1%})."
    )


def _size(length: float, width: float | None, units: LengthStyle) -> str:
    if width is None:
        return format_length(length, units)
    return f"{format_length(length, units)} × {format_length(width, units)}"
