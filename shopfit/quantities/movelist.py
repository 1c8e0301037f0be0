"""Writes moves down line by line, in words, in the order in which they are done."""

from __future__ import annotations

from collections.abc import Iterator

from shopfit import wording
from shopfit.model.layout import Placement, Run
from shopfit.model.moves import BlockMove, FixtureMove, HolderMove, MoveRow, Moves, RunMove
from shopfit.model.scenario import Scenario
from shopfit.quantities.sequence import Step, in_order
from shopfit.units import LengthStyle, format_length

ASIDE = "set aside"


def move_rows(scenario: Scenario, moves: Moves) -> tuple[MoveRow, ...]:
    """List moves: fixtures and slat-wall as they can be done, goods line by line, holders.

    Parameters
    ----------
    scenario
        Whose fixtures stand in one another's way, and in whose units lengths are written.
    moves
        What has to be done. Goods that are kept are left out; fixtures and runs are not, so that
        the list accounts for each of them. One that is set aside first has a row for that too.
    """
    style = scenario.shop.units
    steps = in_order(scenario, moves)
    set_aside = {id(step.row) for step in steps if step.aside}
    rows = [_step(step, id(step.row) in set_aside, style) for step in steps]
    for block in moves.blocks:
        rows += _block(block, style)
    rows += [_holder(row) for row in moves.holders if (row.before, row.after) != (row.stay,) * 2]
    return tuple(rows)


def _step(step: Step, set_aside: bool, style: LengthStyle) -> MoveRow:
    """Write a step down; where something is set aside first, its way is told in two rows."""
    row = step.row
    told = _fixture(row, style) if isinstance(row, FixtureMove) else _run(row, style)
    if step.aside:
        first = {"step": ASIDE, "after": ASIDE, "moved_mm": None, "turned_deg": None, "moves": 0}
        return told.model_copy(update=first)
    return told.model_copy(update={"before": ASIDE}) if set_aside else told


def _fixture(row: FixtureMove, style: LengthStyle) -> MoveRow:
    some = row.after or row.before
    assert some is not None
    return MoveRow(
        part="fixture",
        tag=some.id,
        name=row.name,
        step=row.step,
        before=_stands(row.before, style),
        after=_stands(row.after, style),
        moved_mm=row.moved_mm or None,
        turned_deg=row.turned_deg or None,
        moves=row.moves,
    )


def _stands(placement: Placement | None, style: LengthStyle) -> str:
    if placement is None:
        return ""
    corner = (placement.x_mm, placement.y_mm)
    return wording.place(placement.wall, placement.offset_mm, corner, placement.angle_deg, style)


def _run(row: RunMove, style: LengthStyle) -> MoveRow:
    some = row.after or row.before
    assert some is not None
    return MoveRow(
        part="slat-wall",
        tag=some.id,
        name=some.sheet,
        step=row.step,
        before=_hangs(row.before, style),
        after=_hangs(row.after, style),
        moves=row.moves,
    )


def _hangs(run: Run | None, style: LengthStyle) -> str:
    if run is None:
        return ""
    left, right, low = (format_length(x, style) for x in (run.from_mm, run.to_mm, run.bottom_mm))
    over = f", over {', '.join(run.over)}" if run.over else ""
    wall = wording.the_wall(run.wall)
    return f"{wall}, {left} to {right} from its left end, lower edge at {low}{over}"


def _block(row: BlockMove, style: LengthStyle) -> Iterator[MoveRow]:
    if row.step in ("kept", "carried along"):
        return
    before = _at(row.host_before, row, row.from_before_mm, style)
    after = _at(row.host_after, row, row.from_after_mm, style)
    plain = MoveRow(
        part="goods",
        tag=row.tag_after or row.tag_before or "",
        name=row.category,
        step=row.step,
        before=before,
        after=after,
    )
    if not row.lines:
        yield plain
    for line in row.lines:
        facings = {"facings_before": line.before, "facings_after": line.after}
        yield plain.model_copy(update={"line": line.line, **facings})


def _at(host: str | None, row: BlockMove, left: float | None, style: LengthStyle) -> str:
    if host is None or left is None:
        return ""
    side = "" if row.side == "front" else f", {row.side}"
    return f"{host}{side}, from {format_length(left, style)}"


def _holder(row: HolderMove) -> MoveRow:
    told = [
        f"{count} {word}"
        for count, word in ((row.to_move, "moved"), (row.to_add, "added"), (row.to_spare, "spare"))
        if count
    ]
    return MoveRow(
        part="holder",
        tag=row.holder,
        name=row.name,
        step=", ".join(told),
        pieces_before=row.before,
        pieces_after=row.after,
        pieces_moved=row.to_move,
    )
