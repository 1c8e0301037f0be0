"""Looks a layout's names and numbers through before anything is measured."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from pydantic import BaseModel

from shopfit.checks.notes import LAYOUT, join
from shopfit.geometry.shell import ShellPlan
from shopfit.model.finding import Finding
from shopfit.model.layout import Block, Layout, Placement, Row, Run, Slot
from shopfit.model.scenario import Scenario

# No shop is larger; beyond it areas overflow.
FARTHEST_MM = 1e7


def look_through(
    scenario: Scenario, shell: ShellPlan, layout: Layout
) -> tuple[Layout, list[Finding]]:
    """Keep what can be measured of a layout, and say what cannot.

    Parameters
    ----------
    scenario, shell
        What names may be used.
    layout
        Any layout, from the solver, a person or an older version.

    Returns
    -------
    The layout without whatever names something unknown or holds a number that is no length, and
    a violation for each thing left out.
    """
    sieve = _Sieve(scenario, shell)
    placements = tuple(p for p in layout.placements if sieve.placement(p))
    stood = {placement.id for placement in placements}
    runs = tuple(sieve.over(run, stood) for run in layout.runs if sieve.run(run))
    hosts = stood | {run.id for run in runs}
    blocks = tuple(sieve.rows(block) for block in layout.blocks if sieve.block(block, hosts))
    tags = {run.id for run in runs}
    cuts = tuple(
        cut
        for cut in layout.cuts
        if sieve.known(f"cut of run {cut.run}", "run", cut.run, tags)
        and sieve.numbers(cut, f"cut of run {cut.run}")
    )
    sieve.duplicates(layout)
    kept = {"placements": placements, "runs": runs, "blocks": blocks, "cuts": cuts}
    return layout.model_copy(update=kept), sieve.findings


@dataclass
class _Sieve:
    scenario: Scenario
    shell: ShellPlan
    findings: list[Finding] = field(default_factory=list)

    def __post_init__(self) -> None:
        catalogue = self.scenario.catalogue
        self.fixtures = {fixture.id for fixture in catalogue.fixtures}
        self.sheets = {sheet.id for sheet in catalogue.sheets}
        self.holders = {bracket.id for bracket in catalogue.brackets}
        self.holders |= {board.id for board in catalogue.shelves}
        self.walls = {wall.id for wall in self.shell.walls}
        self.lines = {line.line for line in self.scenario.lines}

    def known(self, subject: str, what: str, name: str, names: set[str]) -> bool:
        if name in names:
            return True
        self.findings.append(
            Finding(
                code="unknown-name",
                severity="violation",
                subject=subject,
                message=f"{subject} names the {what} {name!r}, which is not there.",
                mend=f"Use one of: {join(sorted(names)) or 'none is given'}.",
                source=LAYOUT.source,
            )
        )
        return False

    def numbers(self, item: BaseModel, subject: str) -> bool:
        bad = [
            name
            for name in type(item).model_fields
            if isinstance(value := getattr(item, name), int | float)
            and not abs(value) <= FARTHEST_MM
        ]
        if bad:
            self.findings.append(
                Finding(
                    code="no-number",
                    severity="violation",
                    subject=subject,
                    message=f"{subject}: {join(bad)} is no number that can be measured.",
                    mend="Give a finite number under ten million.",
                    source=LAYOUT.source,
                )
            )
        return not bad

    def placement(self, placement: Placement) -> bool:
        subject = f"fixture {placement.id}"
        good = self.known(subject, "fixture", placement.fixture, self.fixtures)
        if placement.wall is not None:
            good &= self.known(subject, "wall", placement.wall, self.walls)
        return self.numbers(placement, subject) and good

    def run(self, run: Run) -> bool:
        subject = f"slat-wall run {run.id}"
        good = self.known(subject, "wall", run.wall, self.walls)
        good &= self.known(subject, "sheet", run.sheet, self.sheets)
        return self.numbers(run, subject) and good

    def over(self, run: Run, stood: set[str]) -> Run:
        subject = f"slat-wall run {run.id}"
        kept = tuple(t for t in run.over if self.known(subject, "fixture below", t, stood))
        return run if kept == run.over else run.model_copy(update={"over": kept})

    def block(self, block: Block, hosts: set[str]) -> bool:
        subject = f"block {block.id}"
        good = self.known(subject, "host", block.host, hosts)
        return self.numbers(block, subject) and good

    def rows(self, block: Block) -> Block:
        rows = tuple(
            self.slots(row, block) for row in block.rows if self.numbers(row, f"row of {block.id}")
        )
        return block if rows == block.rows else block.model_copy(update={"rows": rows})

    def slots(self, row: Row, block: Block) -> Row:
        kept = tuple(slot for slot in row.slots if self.slot(slot, block))
        return row if len(kept) == len(row.slots) else row.model_copy(update={"slots": kept})

    def slot(self, slot: Slot, block: Block) -> bool:
        subject = f"line {slot.line} in block {block.id}"
        good = self.known(subject, "line", slot.line, self.lines)
        if slot.holder is not None:
            good &= self.known(subject, "bracket or shelf", slot.holder, self.holders)
        return self.numbers(slot, subject) and good

    def duplicates(self, layout: Layout) -> None:
        hosts = [p.id for p in layout.placements] + [r.id for r in layout.runs]
        for what, tags in (("fixture or run", hosts), ("block", [b.id for b in layout.blocks])):
            for tag in sorted(tag for tag, count in Counter(tags).items() if count > 1):
                self.findings.append(
                    Finding(
                        code="tag-twice",
                        severity="violation",
                        subject=tag,
                        message=f"The tag {tag} stands for more than one {what}.",
                        mend="Give each its own tag.",
                        source=LAYOUT.source,
                    )
                )
