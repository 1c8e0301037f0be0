"""What the tests of peers share: a peer asked, and its answer judged by the witness."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from shopfit.checks import check
from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.quantities.takeoff import complete
from shopfit.solver.peers import PEERS, PeerAnswer

from .. import build as b

AISLE = b.mm(920.0)
HOOK = {"id": "hook", "kind": "hook", "depth": b.mm(180.0), "load": "6 kg", "price": 2}


@dataclass
class Asked:
    """A peer's answer and what it told on the way."""

    answer: PeerAnswer
    told: list[tuple[float, float | None, float | None]] = field(default_factory=list)

    @property
    def layout(self) -> Layout:
        """The layout that there must be."""
        assert self.answer.layout is not None
        return self.answer.layout


def ask(peer: str, given: Scenario, seconds: float = 3.0, **options: Any) -> Asked:
    """Run a peer and write down what it tells."""
    told: list[tuple[float, float | None, float | None]] = []
    asked = SolveOptions(seconds=seconds, workers=options.pop("workers", 1), **options)
    answer = PEERS[peer](given, asked, lambda *event: told.append(event))
    return Asked(answer, told)


def violations(given: Scenario, layout: Layout) -> list[str]:
    """List what the checks find wrong with a layout and its purchases."""
    found = check(given, complete(given, layout))
    return [finding.message for finding in found if finding.severity == "violation"]


def mixed(categories: tuple[str, ...] = ("tea", "soap"), **brief: Any) -> Scenario:
    """Give a small range for shelves, tables and slat-wall, with minimums and an island."""
    lines = [
        b.line(
            f"{category} {n}",
            category=category,
            width=b.mm(width),
            height=b.mm(90.0 + 40.0 * n),
            min_facings=1,
            max_facings=9,
            holding=4,
            value=4 - n,
            ways=["shelf", "hook", "table"] if n % 2 else ["shelf"],
        )
        for category in categories
        for n, width in enumerate((70.0, 110.0, 190.0))
    ]
    isle = b.fixture(
        "isle",
        kind="table",
        width=b.mm(600.0),
        stands=["island"],
        faces=[b.face("table", bottom=b.mm(700.0), top=b.mm(1000.0), depth=b.mm(250.0))],
    )
    cabinet = b.fixture(slat_above=True, available=2)
    return b.scenario(
        lines,
        [cabinet, isle],
        sheets=[b.SHEET],
        brackets=[HOOK],
        # No less than the published width of a route, unlike the bare room's own aisle.
        brief={"step": b.mm(600.0), "aisle": AISLE, **brief},
    )
