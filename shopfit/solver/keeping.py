"""Writes a floor and a filling down so that whatever stands today keeps its tag and its place."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from shopfit.model.layout import Block, Layout, Placement, Row, Run
from shopfit.solver.assemble import rows_of, used_runs, written
from shopfit.solver.display import FaceClass
from shopfit.solver.fill import Filler
from shopfit.solver.filling import PER_MM, Filling
from shopfit.solver.fixing import Fixed, Piece, fixture_side, joined, run_front, run_of
from shopfit.solver.floor import FloorAnswer, FloorProblem
from shopfit.solver.parts import FacePart
from shopfit.solver.resume import Resumed, paired
from shopfit.solver.standing import Standing
from shopfit.units import TOLERANCE_MM


def fix_standing(problem: FloorProblem, now: Standing, floor: FloorAnswer) -> Fixed:
    """Tag a chosen floor: what stays keeps its tag, and so does a fixture that moves.

    Runs that hang today stay as they hang, as far as what is below them stays; new slat-wall
    makes runs of its own, also where it touches one that hangs.

    Parameters
    ----------
    problem, now, floor
        The floor, what stands today, and the positions chosen.
    """
    tags = _fixture_tags(problem, now, floor)
    order = {placement.id: n for n, placement in enumerate(now.layout.placements)}
    chosen = sorted(tags, key=lambda i: (order.get(tags[i], len(order)), i))
    placements = [
        problem.candidates[i].placement.model_copy(update={"id": tags[i]}) for i in chosen
    ]
    number = {kind: k for k, kind in enumerate(problem.classes)}
    faces = [
        fixture_side(problem.site, placement, part, number[part.kind])
        for i, placement in zip(chosen, placements, strict=True)
        for part in problem.candidates[i].faces
    ]
    kept, pieces = _hanging(problem, now, floor, tags)
    used = {run.id for run in now.layout.runs}
    runs: list[Run] = []
    for run, kind in kept:
        tag = run.id if run.id not in {other.id for other in runs} else _free("R", used)
        runs.append(run.model_copy(update={"id": tag}))
        faces.append(run_front(problem.site, runs[-1], number[kind]))
    for members in joined(pieces):
        run = run_of(_free("R", used), members)
        runs.append(run)
        faces.append(run_front(problem.site, run, number[members[0][1].kind]))
    # What stands keeps its place along a face, so places among one another are not weighed.
    unplaced = tuple(replace(face, place=None) for face in faces)
    return Fixed(tuple(placements), tuple(runs), unplaced)


def _free(letter: str, used: set[str]) -> str:
    number = 1
    while f"{letter}{number}" in used:
        number += 1
    used.add(f"{letter}{number}")
    return f"{letter}{number}"


def _fixture_tags(problem: FloorProblem, now: Standing, floor: FloorAnswer) -> dict[int, str]:
    """Give every chosen fixture its tag: its own, that of the one moved there, or a new one."""
    stays = {**now.same, **now.altered}
    tags = {i: stays[i] for i in floor.chosen if i in stays}
    new = sorted(
        (i for i in floor.chosen if i not in stays and problem.candidates[i].fixture is not None),
        key=lambda i: _along(problem.candidates[i].placement),
    )
    leaving = [p for p in now.layout.placements if p.id not in tags.values()]
    arriving = [problem.candidates[i].placement.model_copy(update={"id": str(i)}) for i in new]
    moved = {int(after): before for before, after in paired(leaving, arriving).items()}
    used = {placement.id for placement in now.layout.placements}
    return {**tags, **{i: moved[i] if i in moved else _free("F", used) for i in new}}


def _along(placement: Placement) -> tuple[str, float, float, float]:
    return (placement.wall or "", placement.offset_mm or 0.0, placement.x_mm, placement.y_mm)


def _hanging(
    problem: FloorProblem, now: Standing, floor: FloorAnswer, tags: dict[int, str]
) -> tuple[list[tuple[Run, FaceClass]], list[Piece]]:
    """Sort slat-wall into runs that stay, each with its class, and pieces of new ones."""
    old: dict[str, list[tuple[FacePart, str | None]]] = {}
    new: list[Piece] = []
    ordered = sorted(floor.slat, key=lambda i: _along(problem.candidates[i].placement))
    for i in ordered:
        candidate = problem.candidates[i]
        own = now.pieces.get(i, (None,) * len(candidate.slat))
        for part, tag in zip(candidate.slat, own, strict=True):
            if tag is None:
                new.append((candidate, part, tags.get(i)))
            else:
                old.setdefault(tag, []).append((part, tags.get(i)))
    kept: list[tuple[Run, FaceClass]] = []
    for run in now.layout.runs:
        kept += _remaining(run, old.get(run.id, []))
    return kept, new


def _remaining(
    run: Run, parts: Sequence[tuple[FacePart, str | None]]
) -> Iterator[tuple[Run, FaceClass]]:
    """Give what stays of a run: all of it, or the stretches over fixtures that stay."""
    stretches: list[list[tuple[FacePart, str | None]]] = []
    for part, tag in parts:
        assert part.wall_span is not None
        last = stretches[-1][-1][0].wall_span if stretches else None
        if last is not None and part.wall_span[0] <= last[1] + TOLERANCE_MM:
            stretches[-1].append((part, tag))
        else:
            stretches.append([(part, tag)])
    for members in stretches:
        first, last_part = members[0][0].wall_span, members[-1][0].wall_span
        assert first is not None
        assert last_part is not None
        update = {
            "from_mm": first[0],
            "to_mm": last_part[1],
            "over": tuple(dict.fromkeys(tag for _, tag in members if tag is not None)),
        }
        yield run.model_copy(update=update), members[0][0].kind


def keep_written(
    problem: FloorProblem,
    now: Standing,
    fixed: Fixed,
    filler: Filler,
    filling: Filling,
    before: Resumed,
) -> Layout:
    """Write a rearranged layout down: what has not changed is word for word what it was.

    Bought fixtures that show nothing and that nobody asked for are left out, and so is new
    slat-wall without goods; what stands today stays, goods or none.

    Parameters
    ----------
    problem, now, fixed
        The floor, what stands today, and the floor chosen.
    filler, filling, before
        What stands on its faces, and today's goods on the same faces.
    """
    blocks = _Blocks(problem, now.layout, filler, filling, before).written()
    old = {run.id for run in now.layout.runs}
    new = tuple(run for run in fixed.runs if run.id not in old)
    trimmed = {run.id: run for run in used_runs(Fixed(fixed.placements, new, ()), blocks)}
    runs = [trimmed.get(run.id, run) for run in fixed.runs if run.id in {*old, *trimmed}]
    placements = _asked_for(problem, now, fixed, blocks, runs)
    return written(problem.site.scenario, placements, runs, blocks)


def _asked_for(
    problem: FloorProblem,
    now: Standing,
    fixed: Fixed,
    blocks: Sequence[Block],
    runs: Sequence[Run],
) -> list[Placement]:
    """Leave out what would be bought for nothing; that frees floor, so no rule breaks."""
    catalogue, brief = problem.site.scenario.catalogue, problem.site.brief
    busy = {block.host for block in blocks} | {tag for run in runs for tag in run.over}
    busy |= {placement.id for placement in now.layout.placements}
    kept = list(fixed.placements)
    for placement in fixed.placements:
        if placement.id in busy or placement.pinned:
            continue
        fewer = [other for other in kept if other.id != placement.id]
        kinds = [catalogue.fixture(other.fixture) for other in fewer]
        if all(
            sum(f.id == wanted.fixture or f.kind == wanted.kind for f in kinds) >= wanted.at_least
            for wanted in brief.wanted
        ):
            kept = fewer
    return kept


@dataclass
class _Piece:
    """A block on its way to a place on its face.

    Parameters
    ----------
    number, tag
        Of the filling's block, and the tag it has today.
    width, least
        How wide it is, and how narrow it may be, mm.
    left
        Where its left end stands today, mm.
    same
        Whether it holds what it holds today.
    """

    number: int
    tag: str | None
    width: float
    least: float
    left: float | None = None
    same: bool = False


class _Blocks:
    """Writes blocks down, those that stand today where they stand."""

    def __init__(
        self,
        problem: FloorProblem,
        layout: Layout,
        filler: Filler,
        filling: Filling,
        before: Resumed,
    ) -> None:
        self._problem, self._filler = problem, filler
        self._filling, self._before = filling, before
        self._old = {block.id: block for block in layout.blocks}
        self._used = set(self._old)

    def written(self) -> list[Block]:
        origins = self._origins()
        faces: dict[int, list[_Piece]] = {}
        for b, plan in enumerate(self._filling.plans):
            if any(own == b for own, _, _ in self._filling.facings):
                faces.setdefault(plan.face, []).append(self._piece(b, origins.get(b)))
        found = []
        for face, pieces in sorted(faces.items()):
            for piece, left in _laid(pieces, self._filler.faces[face].width):
                found.append(self._block(piece, left))
        order = {tag: n for n, tag in enumerate(self._old)}
        return sorted(found, key=lambda block: order.get(block.id, len(order)))

    def _origins(self) -> dict[int, int]:
        """Pair blocks with those that stand today: of one face and category, the likest first."""
        was = self._before.filling
        pairs = []
        for b, plan in enumerate(self._filling.plans):
            for a, old in enumerate(was.plans):
                if (plan.face, plan.category) == (old.face, old.category):
                    one, other = _goods(self._filling, b), _goods(was, a)
                    shared = sum(min(n, other.get(cell, 0)) for cell, n in one.items())
                    alike = plan.pattern == old.pattern and one == other
                    pairs.append((not alike, -shared, a, b))
        found: dict[int, int] = {}
        for _, _, a, b in sorted(pairs):
            if b not in found and a not in found.values():
                found[b] = a
        return found

    def _piece(self, b: int, a: int | None) -> _Piece:
        width = self._filling.widths[b] / PER_MM
        if a is None:
            return _Piece(b, None, width, width)
        tag, left = self._before.blocks[a], self._before.lefts[a]
        old = self._old[tag]
        same = self._rows(b, left, old) == _shifted(old, left - old.from_mm).rows
        wide = old.to_mm - old.from_mm if same else width
        return _Piece(b, tag, wide, min(width, wide), left, same)

    def _block(self, piece: _Piece, left: float) -> Block:
        plan = self._filling.plans[piece.number]
        face = self._filler.faces[plan.face]
        old = self._old.get(piece.tag or "")
        if piece.same and old is not None:
            moved = _shifted(old, left - old.from_mm)
            end = min(moved.to_mm, round(left + piece.width, 4))
            return moved.model_copy(update={"host": face.host, "side": face.side, "to_mm": end})
        return Block(
            id=piece.tag or _free("B", self._used),
            host=face.host,
            side=face.side,
            category=plan.category,
            from_mm=round(left, 4),
            to_mm=round(min(left + piece.width, face.width), 4),
            rows=self._rows(piece.number, left, old),
        )

    def _rows(self, b: int, left: float, old: Block | None) -> tuple[Row, ...]:
        """Write the rows of a block; one that holds just what it holds today stays as it is."""
        rows = rows_of(self._problem, self._filler, self._filling, b, left)
        if old is None:
            return rows
        stood = {_content(row): row for row in _shifted(old, left - old.from_mm).rows}
        return tuple(stood.get(_content(row), row) for row in rows)


def _goods(filling: Filling, b: int) -> dict[tuple[int, str], int]:
    return {(r, name): n for (own, r, name), n in filling.facings.items() if own == b}


def _content(row: Row) -> tuple[object, ...]:
    """Give what a row holds and how, whatever its place along the face."""
    slots = sorted(
        (s.line, s.facings, s.way, s.holder or "", s.brackets, s.units) for s in row.slots
    )
    return (round(row.bottom_mm, 2), round(row.top_mm, 2), *slots)


def _shifted(block: Block, by: float) -> Block:
    if abs(by) <= 1e-9:
        return block

    def moved(length: float) -> float:
        return round(length + by, 4)

    rows = [
        row.model_copy(
            update={
                "slots": tuple(
                    slot.model_copy(
                        update={"from_mm": moved(slot.from_mm), "to_mm": moved(slot.to_mm)}
                    )
                    for slot in row.slots
                )
            }
        )
        for row in block.rows
    ]
    update = {"from_mm": moved(block.from_mm), "to_mm": moved(block.to_mm), "rows": tuple(rows)}
    return block.model_copy(update=update)


def _laid(pieces: Sequence[_Piece], width: float) -> list[tuple[_Piece, float]]:
    """Give every block of a face its left end, mm: today's where that is free, else the nearest.

    Blocks that hold what they hold today keep their place; if that leaves no room for the others
    they are made as narrow as their goods, and at last pushed aside.

    Parameters
    ----------
    pieces, width
        The blocks of the face, and its width, mm.
    """
    found = _round_those_that_stay(pieces, width)
    if found is None:
        for piece in pieces:
            piece.width = piece.least
        found = _round_those_that_stay(pieces, width)
    return found if found is not None else _pushed(pieces, width)


def _round_those_that_stay(
    pieces: Sequence[_Piece], width: float
) -> list[tuple[_Piece, float]] | None:
    placed = [(piece, piece.left) for piece in pieces if piece.same and piece.left is not None]
    others = [piece for piece in pieces if not piece.same]
    for piece in sorted(others, key=lambda piece: (piece.left is None, piece.number)):
        gaps = _gaps(placed, width)
        fitting = [gap for gap in gaps if gap[1] - gap[0] >= piece.width - TOLERANCE_MM]
        if not fitting:
            return None
        wish = piece.left if piece.left is not None else fitting[0][0]
        lefts = [min(max(wish, low), high - piece.width) for low, high in fitting]
        placed.append((piece, max(0.0, min(lefts, key=lambda left: abs(left - wish)))))
    ends = sorted((left, left + piece.width) for piece, left in placed)
    # What stood on two faces may meet on one.
    meeting = any(a[1] > b[0] + TOLERANCE_MM for a, b in itertools.pairwise(ends))
    if meeting or (ends and (ends[-1][1] > width + TOLERANCE_MM or ends[0][0] < -TOLERANCE_MM)):
        return None
    return sorted(placed, key=lambda entry: entry[1])


def _gaps(placed: Sequence[tuple[_Piece, float]], width: float) -> list[tuple[float, float]]:
    at, gaps = 0.0, []
    for piece, left in sorted(placed, key=lambda entry: entry[1]):
        gaps.append((at, left))
        at = left + piece.width
    return [*gaps, (at, width)]


def _pushed(pieces: Sequence[_Piece], width: float) -> list[tuple[_Piece, float]]:
    """Keep the order of the blocks and push them no farther than they must, new ones last."""
    order = sorted(pieces, key=lambda p: (p.left is None, p.left or 0.0, p.number))
    lefts: list[float] = []
    at = 0.0
    for piece in order:
        at = max(at, piece.left or 0.0)
        lefts.append(at)
        at += piece.width
    end = width
    for n in reversed(range(len(order))):
        lefts[n] = max(0.0, min(lefts[n], end - order[n].width))
        end = lefts[n]
    return list(zip(order, lefts, strict=True))
