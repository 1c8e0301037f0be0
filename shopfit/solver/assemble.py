"""Writes a chosen floor and a filling down as a layout."""

from __future__ import annotations

from collections.abc import Sequence
from importlib.metadata import version

import shopfit
from shopfit.model.layout import Block, Layout, Placement, Row, Run, Slot
from shopfit.model.range import Line
from shopfit.model.scenario import Scenario
from shopfit.solver.claiming import claimed
from shopfit.solver.fill import Filler
from shopfit.solver.filling import Filling
from shopfit.solver.fixing import Fixed
from shopfit.solver.floor import FloorProblem


def assemble(problem: FloorProblem, fixed: Fixed, filler: Filler, filling: Filling) -> Layout:
    """Make the layout; its cost and purchases are filled in by the take-off.

    Blocks stand on each face in the order of their categories in the range, from the left, unless
    a wish on their places asks for another, and lines in each row in the order of the range, but
    those on one shelf board side by side.
    """
    scenario = problem.site.scenario
    blocks = _blocks(problem, filler, filling)
    rules = scenario.brief.merchandising
    # The middle of a run, which says how far along the way it lies, moves with its end.
    whole = bool(rules.order) or rules.new_within is not None
    runs = used_runs(fixed, blocks, whole)
    placements, runs, blocks = _tagged_anew(_needed(problem, fixed, blocks, runs), runs, blocks)
    return written(scenario, placements, runs, blocks)


def written(
    scenario: Scenario,
    placements: Sequence[Placement],
    runs: Sequence[Run],
    blocks: Sequence[Block],
) -> Layout:
    """Make a layout of its parts, with what it claims and who made it."""
    return Layout(
        scenario=scenario.folder or scenario.shop.name,
        placements=tuple(placements),
        runs=tuple(runs),
        blocks=tuple(blocks),
        claims=claimed(scenario, blocks, 0.0),
        versions={
            "shopfit": shopfit.__version__,
            "ortools": version("ortools"),
            "shapely": version("shapely"),
        },
    )


def used_runs(fixed: Fixed, blocks: Sequence[Block], whole: bool = False) -> tuple[Run, ...]:
    """Keep the runs that show something, each as far as the fixture below its last goods.

    Parameters
    ----------
    fixed, blocks
        The floor, and the goods on it.
    whole
        Whether each keeps its whole length.
    """
    used: dict[str, float] = {}
    for block in blocks:
        used[block.host] = max(used.get(block.host, 0.0), block.to_mm)
    placed = {placement.id: placement for placement in fixed.placements}
    kept = []
    for run in fixed.runs:
        if run.id not in used:
            continue
        over, end = list(run.over), run.to_mm
        while len(over) > 1 and not whole:
            start = placed[over[-1]].offset_mm or 0.0
            if start < run.from_mm + used[run.id]:
                break
            end = start
            over.pop()
        kept.append(run.model_copy(update={"to_mm": round(end, 4), "over": tuple(over)}))
    return tuple(kept)


def _tagged_anew(
    placements: Sequence[Placement], runs: Sequence[Run], blocks: Sequence[Block]
) -> tuple[tuple[Placement, ...], tuple[Run, ...], list[Block]]:
    """Give tags new numbers, without gaps."""
    tags = {p.id: f"F{n + 1}" for n, p in enumerate(placements)}
    tags |= {run.id: f"R{n + 1}" for n, run in enumerate(runs)}
    return (
        tuple(p.model_copy(update={"id": tags[p.id]}) for p in placements),
        tuple(
            run.model_copy(update={"id": tags[run.id], "over": tuple(tags[t] for t in run.over)})
            for run in runs
        ),
        [block.model_copy(update={"host": tags[block.host]}) for block in blocks],
    )


def _needed(
    problem: FloorProblem, fixed: Fixed, blocks: Sequence[Block], runs: Sequence[Run]
) -> tuple[Placement, ...]:
    """Leave out fixtures that show nothing, carry nothing above and that nobody asked for.

    What is left out frees floor, so no rule can come to be broken.
    """
    catalogue, brief = problem.site.scenario.catalogue, problem.site.brief
    busy = {block.host for block in blocks} | {tag for run in runs for tag in run.over}
    kept = list(fixed.placements)
    for placement in reversed(fixed.placements):
        if placement.id in busy or placement.pinned:
            continue
        fewer = [p for p in kept if p.id != placement.id]
        kinds = [catalogue.fixture(p.fixture) for p in fewer]
        asked = all(
            sum(f.id == wanted.fixture or f.kind == wanted.kind for f in kinds) >= wanted.at_least
            for wanted in brief.wanted
        )
        if asked:
            kept = fewer
    return tuple(kept)


def _blocks(problem: FloorProblem, filler: Filler, filling: Filling) -> list[Block]:
    blocks: list[Block] = []
    for b, left, right in filler.arranged(filling):
        plan = filling.plans[b]
        face = filler.faces[plan.face]
        blocks.append(
            Block(
                id=f"B{len(blocks) + 1}",
                host=face.host,
                side=face.side,
                category=plan.category,
                from_mm=round(left, 4),
                to_mm=round(min(right, face.width), 4),
                rows=rows_of(problem, filler, filling, b, left),
            )
        )
    return blocks


def rows_of(
    problem: FloorProblem, filler: Filler, filling: Filling, b: int, left: float
) -> tuple[Row, ...]:
    """Write the rows of a block down, its left end so far along its face, mm."""
    plan = filling.plans[b]
    kind = filler.faces[plan.face].kind
    face_class = problem.classes[kind]
    rows, level = [], 0
    for r, steps in enumerate(plan.pattern.rows):
        slots, x = [], left
        for line in _in_row(filler, filling, b, r):
            facings = filling.facings[b, r, line.line]
            shown = filler.display.showings[line.line, kind]
            slots.append(
                Slot(
                    line=line.line,
                    facings=facings,
                    from_mm=round(x, 4),
                    to_mm=round(x + facings * line.width, 4),
                    way=shown.way,
                    holder=shown.holder,
                    brackets=shown.brackets * facings,
                    units=shown.units * facings,
                )
            )
            x += facings * line.width
        if slots:
            bottom = face_class.bottom + level * face_class.pitch
            slat = face_class.kind == "slat"
            rows.append(
                Row(
                    bottom_mm=round(bottom, 4),
                    top_mm=round(bottom + steps * face_class.pitch, 4),
                    low_groove=level + 1 if slat else None,
                    high_groove=level + steps if slat else None,
                    slots=tuple(slots),
                )
            )
        level += steps
    return tuple(rows)


def _in_row(filler: Filler, filling: Filling, b: int, r: int) -> list[Line]:
    """Give the lines of a row from the left: goods on one board share it, if they adjoin."""
    plan = filling.plans[b]
    kind = filler.faces[plan.face].kind
    lines = [ln for ln in filler.lines(plan.category) if filling.facings.get((b, r, ln.line))]
    first: dict[str, int] = {}

    def place(entry: tuple[int, Line]) -> tuple[int, int]:
        n, line = entry
        shown = filler.display.showings[line.line, kind]
        shared = shown.way == "shelf" and shown.holder is not None
        return (first.setdefault(shown.holder or "", n) if shared else n), n

    return [line for _, line in sorted(enumerate(lines), key=place)]
