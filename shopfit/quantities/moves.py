"""Lists what has to be moved, hung and changed to make one layout of another."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from shopfit.geometry.footprint import footprint
from shopfit.model.fixtures import Fixture
from shopfit.model.layout import Layout, Placement, Run
from shopfit.model.moves import FixtureMove, FixtureStep, Moves, RunMove, RunStep
from shopfit.model.scenario import Scenario
from shopfit.quantities.compare import SAME_ANGLE_DEG, apart, matched, turned
from shopfit.quantities.restocking import block_moves, holder_moves
from shopfit.units import TOLERANCE_MM

Piece = tuple[float, ...]


def list_moves(scenario: Scenario, before: Layout, after: Layout) -> Moves:
    """List what becomes of every fixture, run, block and holder.

    Fixtures are paired by their id in the catalogue: first those that stand alike, then the
    nearest. Runs are paired where they overlap on one wall at one height.

    Parameters
    ----------
    scenario
        Of the new layout; names of the old one need not be in it.
    before, after
        The two layouts.
    """
    fixtures = tuple(_fixture_moves(scenario, before, after))
    pairs = [(row.before, row.after) for row in fixtures if row.before and row.after]
    kept = {one.id: other.id for one, other in pairs if _alike(one, other)}
    runs = tuple(_run_moves(scenario, before, after, kept))
    hosts = {one.id: other.id for one, other in pairs}
    hosts |= {row.before.id: row.after.id for row in runs if row.before and row.after}
    hosts |= _carried_runs(runs, hosts)
    return Moves(
        fixtures=fixtures,
        runs=runs,
        blocks=tuple(block_moves(before, after, hosts, kept)),
        holders=tuple(holder_moves(scenario, before, after)),
    )


def _alike(one: Placement, other: Placement) -> bool:
    return apart(one, other) <= TOLERANCE_MM and abs(turned(one, other)) <= SAME_ANGLE_DEG


def _fixture_moves(scenario: Scenario, before: Layout, after: Layout) -> Iterator[FixtureMove]:
    known = {fixture.id: fixture for fixture in scenario.catalogue.fixtures}
    twins: dict[str, Placement] = {}
    for kind in dict.fromkeys(p.fixture for p in before.placements):
        old = [p for p in before.placements if p.fixture == kind]
        new = [p for p in after.placements if p.fixture == kind]
        twins |= {one.id: other for one, other in matched(old, new)}
    for placement in before.placements:
        yield _fixture_move(known.get(placement.fixture), placement, twins.get(placement.id))
    arrived = {placement.id for placement in twins.values()}
    for placement in after.placements:
        if placement.id not in arrived:
            fixture = known[placement.fixture]
            yield FixtureMove(
                step="brought in",
                fixture=placement.fixture,
                name=fixture.name or fixture.id,
                after=placement,
                moves=1,
            )


def _fixture_move(
    fixture: Fixture | None, before: Placement, after: Placement | None
) -> FixtureMove:
    name = before.fixture if fixture is None else fixture.name or fixture.id
    if after is None or fixture is None:
        return FixtureMove(
            step="taken out", fixture=before.fixture, name=name, before=before, moves=1
        )
    moved = footprint(fixture, before).centroid.distance(footprint(fixture, after).centroid)
    turn = turned(before, after)
    step: FixtureStep = "kept"
    if not _alike(before, after):
        step = "moved" if abs(turn) <= SAME_ANGLE_DEG else "moved and turned"
        if moved <= TOLERANCE_MM:
            step = "turned"
    return FixtureMove(
        step=step,
        fixture=before.fixture,
        name=name,
        before=before,
        after=after,
        moved_mm=0.0 if step in ("kept", "turned") else round(moved, 4),
        turned_deg=0.0 if step in ("kept", "moved") else round(turn, 6),
        moves=int(step != "kept"),
    )


def _run_moves(
    scenario: Scenario, before: Layout, after: Layout, kept: dict[str, str]
) -> Iterator[RunMove]:
    pairs = _paired(before.runs, after.runs)
    counts = _over_kept(scenario, before, after, kept)
    for run in before.runs:
        twin = pairs.get(run.id)
        yield _run_move(scenario, run, twin, counts)
    taken = {run.id for run in pairs.values()}
    for run in after.runs:
        if run.id not in taken:
            yield _run_move(scenario, None, run, counts)


def _paired(before: Sequence[Run], after: Sequence[Run]) -> dict[str, Run]:
    shared = []
    for one, other in itertools.product(before, after):
        level = max(abs(one.bottom_mm - other.bottom_mm), abs(one.top_mm - other.top_mm))
        length = min(one.to_mm, other.to_mm) - max(one.from_mm, other.from_mm)
        same = (one.wall, one.sheet, bool(one.over)) == (other.wall, other.sheet, bool(other.over))
        if same and level <= TOLERANCE_MM and length > TOLERANCE_MM:
            shared.append((-length, one.id, other.id, other))
    pairs: dict[str, Run] = {}
    taken: set[str] = set()
    for _, one_tag, other_tag, other in sorted(shared, key=lambda entry: entry[:3]):
        if one_tag not in pairs and other_tag not in taken:
            pairs[one_tag] = other
            taken.add(other_tag)
    return pairs


def _run_move(
    scenario: Scenario, before: Run | None, after: Run | None, counts: dict[str, int]
) -> RunMove:
    moves = sum(counts.get(_key(run, new), 0) for run, new in ((before, False), (after, True)))
    if before is None or after is None:
        if before is None:
            moves += _bays(scenario, after)
        elif not before.over:
            moves += 1
        step: RunStep = "hung anew" if before is None else "taken down"
        return RunMove(step=step, before=before, after=after, moves=moves)
    longer = (after.to_mm - after.from_mm) - (before.to_mm - before.from_mm)
    ends = max(abs(after.from_mm - before.from_mm), abs(after.to_mm - before.to_mm))
    if ends <= TOLERANCE_MM:
        return RunMove(step="kept", before=before, after=after, moves=moves)
    step = "lengthened" if longer > 0 else "shortened"
    if abs(longer) <= TOLERANCE_MM:
        step, longer = "shifted", 0.0
    if not before.over:
        moves += 1 + _bays(scenario, after)
    return RunMove(step=step, before=before, after=after, longer_mm=round(longer, 4), moves=moves)


def _bays(scenario: Scenario, run: Run | None) -> int:
    """Count the sheets' widths of a run with nothing below it."""
    if run is None or run.over:
        return 0
    width = scenario.catalogue.sheet(run.sheet).width
    return math.ceil((run.to_mm - run.from_mm - TOLERANCE_MM) / width)


def _key(run: Run | None, new: bool) -> str:
    return "" if run is None else f"{'new' if new else 'old'} {run.id}"


def _over_kept(
    scenario: Scenario, before: Layout, after: Layout, kept: dict[str, str]
) -> dict[str, int]:
    """Count, run by run, the fixtures that stay and over which slat-wall changes.

    Each is counted with the new run over it, or with the old one where there is no new one.
    """
    counts: dict[str, int] = {}
    for old_tag, new_tag in kept.items():
        was, now = _pieces(scenario, before, old_tag), _pieces(scenario, after, new_tag)
        if [piece for _, piece in was] == [piece for _, piece in now]:
            continue
        run, new = (now[0][0], True) if now else (was[0][0], False)
        key = _key(run, new)
        counts[key] = counts.get(key, 0) + 1
    return counts


def _pieces(scenario: Scenario, layout: Layout, tag: str) -> list[tuple[Run, Piece]]:
    """Give what hangs over a fixture, run by run: where it begins and ends, and its heights."""
    placement = layout.placement(tag)
    start = placement.offset_mm or 0.0
    end = start + scenario.catalogue.fixture(placement.fixture).width
    found = []
    for run in layout.runs:
        left, right = max(run.from_mm, start), min(run.to_mm, end)
        if tag in run.over and right - left > TOLERANCE_MM:
            lengths = (left, right, run.bottom_mm, run.top_mm, run.first_groove_mm)
            found.append((run, tuple(round(length, 2) for length in lengths)))
    return sorted(found, key=lambda entry: entry[1])


def _carried_runs(runs: Sequence[RunMove], hosts: dict[str, str]) -> dict[str, str]:
    """Pair runs that go with the fixtures below them."""
    gone = [row.before for row in runs if row.before and not row.after]
    new = [row.after for row in runs if row.after and not row.before]
    pairs: dict[str, str] = {}
    for old in gone:
        over = {hosts.get(tag) for tag in old.over}
        for run in new:
            if run.id not in pairs.values() and over & set(run.over):
                pairs[old.id] = run.id
                break
    return pairs
