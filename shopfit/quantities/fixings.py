"""Sets out the fixings of slat-wall by stud, and lists what on the walls is covered."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shopfit import standards
from shopfit.geometry.shell import ShellPlan, WallLine, survey
from shopfit.model.fixing import ClashRow, FixingRow
from shopfit.model.layout import CutPiece, Layout, Placement, Run
from shopfit.model.scenario import Scenario
from shopfit.model.shell import WallObstruction
from shopfit.quantities.cutting import cut_runs
from shopfit.quantities.references import require_known
from shopfit.quantities.setout import corner_name
from shopfit.standards.loads import SCREW_EDGE_MM, screws_up
from shopfit.units import INCH_MM, TOLERANCE_MM

# Common practice, no source: two lines of fixings for every piece. The sheet's maker may want more.
LEAST_LINES = 2
# A cover plate stands over its box by so much, and a hand wants room to pull a plug.
BESIDE_MM = 2 * INCH_MM


def fixings(scenario: Scenario, layout: Layout) -> tuple[FixingRow, ...]:
    """List the screws and anchors of every piece of slat-wall, from left to right.

    Parameters
    ----------
    scenario, layout
        Which; runs are cut first if the layout holds no cuts.

    Returns
    -------
    A row for every upright line. Every stud behind a piece takes screws; one under a seam takes
    them for both pieces. A piece with fewer than two studs behind it has anchors near its edges
    instead of those that are missing.

    Raises
    ------
    InputFaults
        If the layout names what does not exist.
    """
    require_known(scenario, layout)
    shell = survey(scenario.shop)
    cuts = layout.cuts or cut_runs(scenario, layout)
    rows: list[FixingRow] = []
    for run in _in_order(layout, shell):
        pieces = sorted((cut for cut in cuts if cut.run == run.id), key=lambda c: (c.x_mm, c.z_mm))
        for number, piece in enumerate(pieces, start=1):
            rows += _piece_rows(scenario, shell, run, number, piece)
    return tuple(rows)


def _in_order(layout: Layout, shell: ShellPlan) -> list[Run]:
    walls = [wall.id for wall in shell.walls]
    return sorted(layout.runs, key=lambda run: (walls.index(run.wall), run.from_mm, run.bottom_mm))


def _piece_rows(
    scenario: Scenario, shell: ShellPlan, run: Run, number: int, piece: CutPiece
) -> Iterator[FixingRow]:
    left, right = run.from_mm + piece.x_mm, run.from_mm + piece.x_mm + piece.width_mm
    studs = _studs_between(scenario, left, right)
    anchors = _anchors(left, right, studs) if len(studs) < LEAST_LINES else []
    bottom = run.bottom_mm + piece.z_mm
    low, high = bottom + SCREW_EDGE_MM, bottom + piece.height_mm - SCREW_EDGE_MM
    if high <= low:
        low = high = bottom + piece.height_mm / 2
    count = screws_up(standards.of(scenario), piece.height_mm)
    for at in sorted([*studs, *anchors]):
        yield FixingRow(
            wall=run.wall,
            datum=corner_name(shell, run.wall),
            run=run.id,
            piece=number,
            kind="screw" if at in studs else "anchor",
            at_mm=at,
            bottom_mm=low,
            top_mm=high,
            count=count,
            spacing_mm=(high - low) / (count - 1) if count > 1 else None,
        )


def _studs_between(scenario: Scenario, left: float, right: float) -> list[float]:
    """List the stud centres behind a piece, mm from the wall's left end; edges count."""
    studs = scenario.shop.studs
    first = math.ceil((left - studs.first - TOLERANCE_MM) / studs.spacing)
    last = math.floor((right - studs.first + TOLERANCE_MM) / studs.spacing)
    return [round(studs.first + k * studs.spacing, 4) for k in range(first, last + 1)]


def _anchors(left: float, right: float, studs: list[float]) -> list[float]:
    """Place anchors near the edges that are farthest from a stud, one where one stud is there."""
    edge = min(SCREW_EDGE_MM, (right - left) / 4)
    ends = [round(left + edge, 4), round(right - edge, 4)]
    if not studs:
        return ends
    return [max(ends, key=lambda end: abs(end - studs[0]))]


def clashes(scenario: Scenario, layout: Layout) -> tuple[ClashRow, ...]:
    """List what on the walls a layout covers or comes close to: outlets, switches and the like.

    Parameters
    ----------
    scenario, layout
        Which.

    Returns
    -------
    A row for every thing and what covers it, wall by wall from left to right.

    Raises
    ------
    InputFaults
        If the layout names what does not exist.
    """
    require_known(scenario, layout)
    shell = survey(scenario.shop)
    rows: list[ClashRow] = []
    for wall in shell.walls:
        things = [each for each in scenario.shop.obstructions if each.wall == wall.id]
        for thing in sorted(things, key=lambda each: (each.offset, each.bottom)):
            rows += _clashes_of(scenario, layout, shell, wall, thing)
    return tuple(rows)


def _clashes_of(
    scenario: Scenario, layout: Layout, shell: ShellPlan, wall: WallLine, thing: WallObstruction
) -> Iterator[ClashRow]:
    for placement in layout.placements:
        if placement.wall == wall.id and placement.offset_mm is not None:
            gap = _gap(thing, *_extent(scenario, placement))
            if gap < BESIDE_MM - TOLERANCE_MM:
                yield _row(shell, thing, placement.id, "behind" if gap <= 0 else "beside", gap)
    for run in layout.runs:
        if run.wall == wall.id:
            gap = _gap(thing, run.from_mm, run.to_mm, run.bottom_mm, run.top_mm)
            if gap < BESIDE_MM - TOLERANCE_MM:
                yield _row(shell, thing, run.id, "under" if gap <= 0 else "beside", gap)


def _extent(scenario: Scenario, placement: Placement) -> tuple[float, float, float, float]:
    fixture = scenario.catalogue.fixture(placement.fixture)
    left = placement.offset_mm or 0.0
    return left, left + fixture.width, 0.0, fixture.height


def _gap(thing: WallObstruction, left: float, right: float, bottom: float, top: float) -> float:
    """Give how far a thing is from a rectangle on its wall, mm; 0 where they overlap."""
    across = max(left - (thing.offset + thing.width), thing.offset - right)
    upright = max(bottom - thing.top, thing.bottom - top)
    if max(across, upright) < -TOLERANCE_MM:
        return 0.0
    # Touching is no overlap, and no room either.
    return max(math.hypot(max(across, 0.0), max(upright, 0.0)), TOLERANCE_MM / 2)


def _row(shell: ShellPlan, thing: WallObstruction, tag: str, how: str, gap: float) -> ClashRow:
    return ClashRow.model_validate(
        {
            "wall": thing.wall,
            "datum": corner_name(shell, thing.wall),
            "thing": thing.id,
            "kind": thing.kind,
            "from_mm": thing.offset,
            "to_mm": thing.offset + thing.width,
            "bottom_mm": thing.bottom,
            "top_mm": thing.top,
            "covered_by": tag,
            "how": how,
            "gap_mm": gap,
        }
    )
