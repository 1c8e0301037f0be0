"""Lists which blocks stay, move or change, and which brackets and boards change their place."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from shopfit.model.layout import Block, Layout, Row, Run
from shopfit.model.moves import BlockMove, BlockStep, HolderMove, LineMove
from shopfit.model.scenario import Scenario
from shopfit.quantities.setout import HANGING_WAYS, bracket_centres
from shopfit.quantities.shelving import boards_needed, shelf_segments
from shopfit.units import TOLERANCE_MM

Place = tuple[object, ...]


def block_moves(
    before: Layout, after: Layout, hosts: Mapping[str, str], kept: Mapping[str, str]
) -> Iterator[BlockMove]:
    """List what becomes of every block, those of the old layout first.

    Parameters
    ----------
    before, after
        The two layouts.
    hosts
        Tags of fixtures and runs in the old layout, and those that they have in the new one.
    kept
        Those of them that are fixtures which stay where they are.
    """
    pairs = _paired(before, after, hosts)
    new = {block.id: block for block in after.blocks}
    for block in before.blocks:
        twin = new.get(pairs.get(block.id, ""))
        yield _block_move(before, after, block, twin, kept)
    for block in after.blocks:
        if block.id not in pairs.values():
            yield _block_move(before, after, None, block, kept)


def _paired(before: Layout, after: Layout, hosts: Mapping[str, str]) -> dict[str, str]:
    """Pair blocks of a category on one face, those with the same goods first."""
    chances = []
    for n, one in enumerate(before.blocks):
        for m, other in enumerate(after.blocks):
            face = (hosts.get(one.host), one.side, one.category)
            if face == (other.host, other.side, other.category):
                goods, others = _facings(one), _facings(other)
                shared = sum(min(goods[line], others[line]) for line in goods)
                chances.append((_goods(one) != _goods(other), -shared, n, m, one.id, other.id))
    pairs: dict[str, str] = {}
    for *_, one_tag, other_tag in sorted(chances):
        if one_tag not in pairs and other_tag not in pairs.values():
            pairs[one_tag] = other_tag
    return pairs


def _block_move(
    before: Layout, after: Layout, one: Block | None, other: Block | None, kept: Mapping[str, str]
) -> BlockMove:
    some = one or other
    assert some is not None
    old = _facings(one) if one is not None else Counter()
    new = _facings(other) if other is not None else Counter()
    lines = tuple(
        LineMove(line=line, before=old[line], after=new[line])
        for line in dict.fromkeys((*old, *new))
        if old[line] != new[line]
    )
    start = None if one is None else round(_start(before, one), 4)
    end = None if other is None else round(_start(after, other), 4)
    return BlockMove(
        step=_step(before, after, one, other, kept),
        category=some.category,
        tag_before=None if one is None else one.id,
        tag_after=None if other is None else other.id,
        host_before=None if one is None else one.host,
        host_after=None if other is None else other.host,
        side=some.side,
        from_before_mm=start,
        from_after_mm=end,
        lines=lines,
    )


def _step(
    before: Layout, after: Layout, one: Block | None, other: Block | None, kept: Mapping[str, str]
) -> BlockStep:
    if one is None or other is None:
        return "set up" if one is None else "cleared"
    if _goods(one) != _goods(other):
        return "changed"
    on_run = any(run.id == one.host for run in before.runs)
    if not on_run and one.host not in kept:
        return "carried along"
    if on_run and not _overlapping(_run(before, one.host), _run(after, other.host)):
        return "carried along"
    same = abs(_start(before, one) - _start(after, other)) <= TOLERANCE_MM
    return "kept" if same and _places(one) == _places(other) else "shifted"


def _run(layout: Layout, tag: str) -> Run | None:
    return next((run for run in layout.runs if run.id == tag), None)


def _overlapping(one: Run | None, other: Run | None) -> bool:
    if one is None or other is None or one.wall != other.wall:
        return False
    return min(one.to_mm, other.to_mm) - max(one.from_mm, other.from_mm) > TOLERANCE_MM


def _start(layout: Layout, block: Block) -> float:
    """Give a block's left end along its face, or along its wall, mm."""
    run = _run(layout, block.host)
    return block.from_mm + (run.from_mm if run is not None else 0.0)


def _facings(block: Block) -> Counter[str]:
    count: Counter[str] = Counter()
    for slot in (slot for row in block.rows for slot in row.slots):
        count[slot.line] += slot.facings
    return count


def _goods(block: Block) -> list[Place]:
    """Give what stands in which row, and how it is held, whatever its place along the face."""
    return sorted(
        (
            round(row.bottom_mm - block.rows[0].bottom_mm, 1),
            round(row.top_mm - row.bottom_mm, 1),
            slot.line,
            slot.facings,
            slot.way,
            slot.holder or "",
            slot.brackets,
        )
        for row in block.rows
        for slot in row.slots
    )


def _places(block: Block) -> list[Place]:
    """Give where in the block each line stands."""
    return sorted(
        (slot.line, round(slot.from_mm - block.from_mm, 1), round(row.bottom_mm, 1))
        for row in block.rows
        for slot in row.slots
    )


def holder_moves(scenario: Scenario, before: Layout, after: Layout) -> Iterator[HolderMove]:
    """Count brackets and boards on slat-wall that stay, change their place, come and go.

    Parameters
    ----------
    scenario
        Of the new layout; names of the old one need not be in it.
    before, after
        The two layouts.
    """
    old, new = _hung(scenario, before), _hung(scenario, after)
    names = {item.id: item.name or item.id for item in scenario.catalogue.brackets}
    boards = {item.id: item.name or item.id for item in scenario.catalogue.shelves}
    for holder in dict.fromkeys((*names, *boards, *old, *new)):
        one, other = old.get(holder, Counter()), new.get(holder, Counter())
        if not one and not other:
            continue
        yield HolderMove(
            holder=holder,
            name=names.get(holder) or boards.get(holder) or holder,
            kind="shelf" if _is_board(before, after, holder) else "bracket",
            before=one.total(),
            after=other.total(),
            stay=(one & other).total(),
        )


def _is_board(before: Layout, after: Layout, holder: str) -> bool:
    return any(
        slot.holder == holder and slot.way == "shelf"
        for layout in (before, after)
        for block in layout.blocks
        for row in block.rows
        for slot in row.slots
    )


def _hung(scenario: Scenario, layout: Layout) -> dict[str, Counter[Place]]:
    """Give the places on walls where each holder hangs."""
    found: dict[str, Counter[Place]] = {}
    for block in layout.blocks:
        run = _run(layout, block.host)
        if run is None:
            continue
        for row in block.rows:
            for holder, place, count in _in_row(scenario, run, row):
                found.setdefault(holder, Counter())[place] += count
    return found


def _in_row(scenario: Scenario, run: Run, row: Row) -> Iterator[tuple[str, Place, int]]:
    for slot in row.slots:
        if slot.holder is not None:
            # What hangs is hooked into the highest groove, what stands into the lowest.
            height = row.top_mm if slot.way in HANGING_WAYS else row.bottom_mm
            for centre in bracket_centres(slot):
                yield slot.holder, (run.wall, round(height, 1), round(run.from_mm + centre, 1)), 1
    boards = {board.id: board for board in scenario.catalogue.shelves}
    for segment in shelf_segments(row):
        holder = segment[0].holder
        if holder is None:
            continue
        ends = (segment[0].from_mm, segment[-1].to_mm)
        place = (run.wall, round(row.bottom_mm, 1), *(round(run.from_mm + end, 1) for end in ends))
        board = boards.get(holder)
        yield holder, place, 1 if board is None else boards_needed(segment, board)
