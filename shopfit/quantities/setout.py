"""Sets out every bracket and shelf: which wall, how far from its corner, how high."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shopfit.geometry.shell import ShellPlan, survey
from shopfit.geometry.wallface import face_start, groove_height
from shopfit.model.fixtures import Bracket, Fixture, ShelfBoard
from shopfit.model.layout import Block, Layout, Row, Run, Slot
from shopfit.model.scenario import Scenario
from shopfit.model.schedule import SetOutRow
from shopfit.quantities.references import require_known
from shopfit.quantities.shelving import boards_needed, shelf_segments

HANGING_WAYS = ("hook", "face-out")


@dataclass(frozen=True)
class _Host:
    """What blocks stand on: its name, where distances start, and the run or the fixture, mm."""

    where: str
    datum: str
    start: float
    run: Run | None = None
    fixture: Fixture | None = None


@dataclass(frozen=True)
class _Level:
    """One slot's level: row number, groove, height to hang or set at, height of the goods, mm."""

    row: int
    groove: int | None
    height: float
    goods: float


@dataclass(frozen=True)
class _Board:
    """The length of shelf that a slot stands on, mm along the face, and boards counted here."""

    left: float
    right: float
    boards: int


def set_out(scenario: Scenario, layout: Layout) -> tuple[SetOutRow, ...]:
    """List every bracket and shelf in the order in which they are hung.

    Slat-wall first, wall by wall as the room is walked, from left to right and from the top down;
    then the shelves of fixtures, fixture by fixture, in the same way.

    Parameters
    ----------
    scenario, layout
        Which.

    Returns
    -------
    One row a line and level; lengths in mm, loads in kg.

    Raises
    ------
    InputFaults
        If the layout names what does not exist.
    """
    require_known(scenario, layout)
    shell = survey(scenario.shop)
    walls = [wall.id for wall in shell.walls]
    runs = sorted(layout.runs, key=lambda run: (walls.index(run.wall), run.from_mm, run.bottom_mm))
    weights = {line.line: line.weight for line in scenario.lines}
    rows: list[SetOutRow] = []
    for run in runs:
        host = _Host(run.wall, corner_name(shell, run.wall), run.from_mm, run=run)
        for block in _blocks(layout, run.id):
            rows += _block_rows(scenario, block, host, weights)
    for placement in layout.placements:
        fixture = scenario.catalogue.fixture(placement.fixture)
        for block in _blocks(layout, placement.id):
            datum = f"left end of {placement.id}, {block.side}"
            # Blocks are measured along the display face, a tape along the whole side.
            start = face_start(fixture, block.side)
            host = _Host(placement.id, datum, start, fixture=fixture)
            rows += _block_rows(scenario, block, host, weights)
    return tuple(rows)


def corner_name(shell: ShellPlan, wall_id: str) -> str:
    """Name a wall's left end, as one faces it from inside, by the two walls that meet there.

    Parameters
    ----------
    shell, wall_id
        Which wall.
    """
    wall = shell.wall(wall_id)
    for other in shell.walls:
        if other.room == wall.room and other.id != wall.id and other.end == wall.start:
            return f"left end of {wall.id}, at {other.id}"
    return f"left end of {wall.id}"


def bracket_centres(slot: Slot) -> tuple[float, ...]:
    """Give the centres of a slot's brackets, mm from the left end of the face.

    Parameters
    ----------
    slot
        One bracket a facing hangs at the facing's centre, two at a quarter and three quarters of
        it, and so on: always evenly.
    """
    if slot.brackets == 0:
        return ()
    step = (slot.to_mm - slot.from_mm) / slot.brackets
    return tuple(slot.from_mm + (k + 0.5) * step for k in range(slot.brackets))


def _blocks(layout: Layout, host: str) -> list[Block]:
    sides = ("front", "back", "left", "right")
    blocks = [block for block in layout.blocks if block.host == host]
    return sorted(blocks, key=lambda block: (sides.index(block.side), block.from_mm))


def _block_rows(
    scenario: Scenario, block: Block, host: _Host, weights: dict[str, float]
) -> Iterator[SetOutRow]:
    numbered = sorted(enumerate(block.rows, 1), key=lambda pair: -pair[1].bottom_mm)
    for number, row in numbered:
        boards = _boards(scenario, row)
        pairs = [(slot, _level(scenario, block, row, slot, host, number)) for slot in row.slots]
        loads: dict[int | None, float] = {}
        for slot, level in pairs:
            weight = slot.units * weights[slot.line]
            loads[level.groove] = loads.get(level.groove, 0.0) + weight
        for slot, level in sorted(pairs, key=lambda pair: (-pair[1].height, pair[0].from_mm)):
            board = boards.get(slot.from_mm) if slot.way == "shelf" else None
            yield _row(scenario, block, host, slot, level, board, loads[level.groove])


def _row(
    scenario: Scenario,
    block: Block,
    host: _Host,
    slot: Slot,
    level: _Level,
    board: _Board | None,
    load: float,
) -> SetOutRow:
    centres = bracket_centres(slot)
    return SetOutRow(
        where=host.where,
        run=host.run.id if host.run is not None else None,
        side=block.side,
        datum=host.datum,
        block=block.id,
        category=block.category,
        row=level.row,
        way=slot.way,
        holder=slot.holder,
        holder_name=_holder_name(scenario, slot.holder),
        brackets=slot.brackets,
        boards=board.boards if board is not None else 0,
        groove=level.groove,
        height_mm=level.height,
        goods_mm=level.goods,
        from_mm=host.start + slot.from_mm,
        to_mm=host.start + slot.to_mm,
        first_mm=host.start + centres[0] if centres else None,
        spacing_mm=centres[1] - centres[0] if len(centres) > 1 else None,
        shelf_from_mm=host.start + board.left if board is not None else None,
        shelf_to_mm=host.start + board.right if board is not None else None,
        line=slot.line,
        facings=slot.facings,
        units=slot.units,
        load_kg=load,
    )


def _level(
    scenario: Scenario, block: Block, row: Row, slot: Slot, host: _Host, number: int
) -> _Level:
    if host.fixture is not None:
        face = host.fixture.face(block.side)
        board = 0.0 if face.kind == "table" else face.board
        return _Level(number, None, row.bottom_mm, row.bottom_mm + board)
    assert host.run is not None
    pitch = scenario.catalogue.sheet(host.run.sheet).groove_pitch
    low = row.low_groove or _groove_at(host.run, pitch, row.bottom_mm)
    holder = _holder(scenario, slot.holder)
    rise = _rise(holder)
    if slot.way in HANGING_WAYS:
        groove = row.high_groove or _groove_at(host.run, pitch, row.top_mm) - 1
        height = groove_height(host.run.first_groove_mm, pitch, groove)
        return _Level(number, groove, height, height - rise)
    height = groove_height(host.run.first_groove_mm, pitch, low)
    return _Level(number, low, height, height + rise)


def _groove_at(run: Run, pitch: float, height: float) -> int:
    return round((height - run.first_groove_mm) / pitch) + 1


def _holder(scenario: Scenario, holder: str | None) -> Bracket | ShelfBoard | None:
    items: tuple[Bracket | ShelfBoard, ...] = (
        *scenario.catalogue.brackets,
        *scenario.catalogue.shelves,
    )
    return next((item for item in items if item.id == holder), None)


def _holder_name(scenario: Scenario, holder: str | None) -> str:
    item = _holder(scenario, holder)
    return "" if item is None else item.name or item.id


def _rise(holder: Bracket | ShelfBoard | None) -> float:
    if isinstance(holder, Bracket):
        return holder.rise
    return holder.thickness if isinstance(holder, ShelfBoard) else 0.0


def _boards(scenario: Scenario, row: Row) -> dict[float, _Board]:
    """Give the length of shelf below each slot, by the slot's left edge."""
    found: dict[float, _Board] = {}
    for segment in shelf_segments(row):
        board = _holder(scenario, segment[0].holder)
        if not isinstance(board, ShelfBoard):
            continue
        left, right = segment[0].from_mm, segment[-1].to_mm
        for index, slot in enumerate(segment):
            count = boards_needed(segment, board) if index == 0 else 0
            found[slot.from_mm] = _Board(left, right, count)
    return found
