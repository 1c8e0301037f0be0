"""Where solving, checking, measuring, drawing and files meet: the package's public functions."""

from __future__ import annotations

import math
import shutil
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from shopfit.model.finding import Finding
from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Change, Clash, Listener, Progress, Solution, unheard
from shopfit.model.proof import Proof
from shopfit.model.scenario import Scenario
from shopfit.stopping import StopFlag

if TYPE_CHECKING:
    from shopfit.drawing import Drawings
    from shopfit.model.schedule import Comparison, TakeOff

# A cent: money is counted in floats.
_MONEY_STEP = 0.005
_BUDGET_TRIES = 4


@dataclass(frozen=True)
class Plan:
    """What a solve led to, with everything needed to judge it, draw it and order from it.

    Parameters
    ----------
    scenario
        What was given.
    solution
        How the solve ended.
    layout
        The layout with its cuts and purchases, or none where there is a clash.
    findings
        What the checks found on that layout.
    """

    scenario: Scenario
    solution: Solution
    layout: Layout | None = None
    findings: tuple[Finding, ...] = ()

    @property
    def violations(self) -> tuple[Finding, ...]:
        """The findings that are violations."""
        return tuple(finding for finding in self.findings if finding.severity == "violation")


def load_scenario(folder: Path | str, pins: Path | str | None = None) -> Scenario:
    """Read a scenario folder.

    Parameters
    ----------
    folder
        Holds ``shop.yaml``, ``range.csv``, ``fixtures.yaml`` and perhaps ``pins.yaml``.
    pins
        Another file to be read in place of the folder's ``pins.yaml``.

    Raises
    ------
    InputFaults
        With every fault of every file.
    """
    from shopfit.files.scenario import load_scenario as load

    folder = Path(folder)
    if pins is None or not folder.is_dir():
        return load(folder)
    # Pins are judged together with the walls and fixtures they name, so they are read in place.
    with tempfile.TemporaryDirectory(prefix="shopfit-") as place:
        copy = Path(place) / folder.resolve().name
        copy.mkdir()
        for name in ("shop.yaml", "range.csv", "fixtures.yaml"):
            if (folder / name).is_file():
                shutil.copyfile(folder / name, copy / name)
        shutil.copyfile(pins, copy / "pins.yaml")
        return load(copy)


def read_layout(path: Path | str, scenario: Scenario | None = None) -> Layout:
    """Read a layout file, or the ``layout.json`` of an output folder.

    Parameters
    ----------
    path
        A file or a folder.
    scenario
        If given, every name of the layout must be known to it.

    Raises
    ------
    InputFaults
        With every fault of the file.
    """
    from shopfit.files.layouts import read_layout as read

    path = Path(path)
    return read(path / "layout.json" if path.is_dir() else path, scenario)


def made_for(scenario: Scenario, layout: Layout) -> bool:
    """Say whether a layout was made for exactly this scenario, or does not tell."""
    from shopfit.files.layouts import fingerprint

    return layout.fingerprint in ("", fingerprint(scenario))


def solve(
    scenario: Scenario,
    options: SolveOptions | None = None,
    *,
    listener: Listener = unheard,
    stop: StopFlag | None = None,
) -> Plan:
    """Lay a shop out, complete the layout with cuts and purchases, and check it afresh.

    The solver prices sheets and packs by the piece. Where whole sheets and packs cost more than
    the budget, it is asked again with that much money kept back, a few times, each with half the
    time. The bound of the first answer, for the whole budget, stays the bound that is told.

    Parameters
    ----------
    scenario, options
        What is given, and how hard to search.
    listener
        Hears of progress, on the thread of the solve.
    stop
        Raised to stop early; the best layout so far is kept.
    """
    from shopfit.quantities.takeoff import complete
    from shopfit.solver.run import solve as search

    options = options if options is not None else SolveOptions()
    stop = stop if stop is not None else StopFlag()
    solution = search(scenario, options, listener=listener, stop=stop)
    if solution.layout is None:
        return Plan(scenario, solution)
    first = complete(scenario, solution.layout)
    solution = _afford(_Again(scenario, options, listener, stop, search, first), solution)
    if solution.layout is None:
        return Plan(scenario, solution)
    layout = _signed(scenario, solution.layout)
    solution = solution.model_copy(update={"layout": layout})
    return Plan(scenario, solution, layout, check(scenario, layout))


def check(scenario: Scenario, layout: Layout) -> tuple[Finding, ...]:
    """Measure a layout, whoever made it, against the rulebook and the brief."""
    from shopfit.checks import check as measure

    return measure(scenario, layout)


def quantities(scenario: Scenario, layout: Layout) -> TakeOff:
    """Take off fixtures, sheets, brackets and shelves, with prices and set-out."""
    from shopfit.quantities.takeoff import take_off

    return take_off(scenario, layout)


def compare(
    before_scenario: Scenario, before: Layout, after_scenario: Scenario, after: Layout
) -> Comparison:
    """Put two layouts, of one scenario or of two, side by side."""
    from shopfit.quantities.compare import compare as set_side_by_side

    return set_side_by_side(before_scenario, before, after_scenario, after)


def draw(
    scenario: Scenario,
    layout: Layout,
    findings: tuple[Finding, ...] = (),
    *,
    date: str = "",
) -> Drawings:
    """Draw the plan and the wall elevations.

    Parameters
    ----------
    scenario, layout
        What is drawn.
    findings
        Marked on the plan where they have a place.
    date
        For title blocks.
    """
    from shopfit.drawing import draw as trace

    return trace(scenario, layout, findings, date=date)


@dataclass(frozen=True)
class _Again:
    """What it takes to solve again with money kept back.

    Parameters
    ----------
    scenario, options, listener, stop
        As given to `solve`.
    search
        The solver.
    first
        The completed answer for the whole budget.
    """

    scenario: Scenario
    options: SolveOptions
    listener: Listener
    stop: StopFlag
    search: Callable[..., Solution]
    first: Layout

    def solve(self, kept_back: float, seconds: float) -> Solution:
        """Solve with less money and half the time; progress tells the bound of the first answer."""
        budget = max(0.0, (self.scenario.brief.budget or 0.0) - kept_back)
        brief = self.scenario.brief.model_copy(update={"budget": budget})
        shop = self.scenario.shop.model_copy(update={"brief": brief})
        bound = self.first.proof.bound if self.first.proof else None

        def hear(progress: Progress) -> None:
            value = progress.facings if self.scenario.brief.objective == "facings" else None
            self.listener(
                replace(
                    progress,
                    stage=f"{progress.stage}, keeping {kept_back:,.2f} for whole packs",
                    seconds=seconds + progress.seconds,
                    bound=bound,
                    gap=None if value is None else _gap(value, bound),
                )
            )

        return self.search(
            self.scenario.model_copy(update={"shop": shop}),
            self.options.model_copy(update={"seconds": self.options.seconds / 2}),
            listener=hear,
            stop=self.stop,
        )

    def judged(self, layout: Layout, kept_back: float, seconds: float) -> Layout:
        """Measure a later answer against the bound of the first, which holds for the budget."""
        first, proof = self.first.proof, layout.proof
        timing = layout.timing.model_copy(
            update={
                "seconds": seconds,
                "first_layout_seconds": self.first.timing.first_layout_seconds,
            }
        )
        if first is not None and proof is not None:
            proof = _against(first, proof, f"with {kept_back:,.2f} of the budget kept for packs")
        return layout.model_copy(update={"proof": proof, "timing": timing})


def _afford(again: _Again, first: Solution) -> Solution:
    """Where the true cost is over the budget, solve again with money kept back."""
    from shopfit.quantities.takeoff import complete

    nearest, budget = again.first, again.scenario.brief.budget
    if budget is None or not _over(nearest, budget):
        return first.model_copy(update={"layout": nearest})
    over_cost, enough = nearest.claims.cost - budget, 0.0
    too_much = float("inf")
    seconds = nearest.timing.seconds
    for _ in range(_BUDGET_TRIES):
        if again.stop.requested:
            return first.model_copy(update={"layout": nearest, "stopped": True})
        kept_back = enough + over_cost
        if kept_back >= too_much:
            kept_back = (enough + too_much) / 2
        found = again.solve(kept_back, seconds)
        if found.layout is None:
            too_much = kept_back
            continue
        seconds += found.layout.timing.seconds
        layout = again.judged(complete(again.scenario, found.layout), kept_back, seconds)
        if not _over(layout, budget):
            return found.model_copy(update={"layout": layout})
        enough, over_cost = kept_back, layout.claims.cost - budget
        nearest = min(nearest, layout, key=lambda each: each.claims.cost)
    return Solution(outcome="no layout", clash=_too_dear(again.scenario, nearest))


def _over(layout: Layout, budget: float) -> bool:
    return layout.claims.cost > budget + _MONEY_STEP


def _too_dear(scenario: Scenario, nearest: Layout) -> Clash:
    currency, budget = scenario.shop.currency, scenario.brief.budget or 0.0
    cost = math.ceil(nearest.claims.cost * 100 - 1e-6) / 100
    return Clash(
        reason=(
            f"The cheapest layout found costs {currency} {cost:,.2f} with whole sheets and packs; "
            f"the budget is {currency} {budget:,.2f}. No layout within it was found."
        ),
        wishes=(f"a budget of {currency} {budget:,.2f}",),
        changes=(Change(wish="budget", change=f"{cost:.2f}"),),
        proved=False,
    )


def _gap(value: float, bound: float | None) -> float | None:
    if bound is None:
        return None
    return max(0.0, (bound - value) / bound) if bound > 0 else 0.0


def _against(first: Proof, later: Proof, scope: str) -> Proof:
    gap = _gap(later.objective, first.bound)
    status = later.status
    if status == "proved" and gap != 0.0:
        status = "not measured" if gap is None else "within gap"
    honest = [
        stage.model_copy(update={"value": later.objective, "gap": gap})
        for stage in first.stages
        if stage.bound is not None and stage.bound == first.bound
    ][:1]
    lowered = [
        stage.model_copy(update={"scope": f"{stage.scope}, {scope}"}) for stage in later.stages
    ]
    return later.model_copy(
        update={
            "status": status,
            "bound": first.bound,
            "gap": gap,
            "stages": (*honest, *lowered),
        }
    )


def _signed(scenario: Scenario, layout: Layout) -> Layout:
    """Add what tells a layout's origin: digest of the scenario, moment and versions."""
    from shopfit.files.layouts import fingerprint

    made = layout.timing.made or datetime.now(UTC).isoformat(timespec="seconds")
    return layout.model_copy(
        update={
            "scenario": layout.scenario or scenario.folder,
            "fingerprint": fingerprint(scenario),
            "timing": layout.timing.model_copy(update={"made": made}),
            "versions": {**_versions(), **layout.versions},
        }
    )


def _versions() -> dict[str, str]:
    from importlib.metadata import version

    from shopfit import __version__

    return {"shopfit": __version__, "ortools": version("ortools"), "shapely": version("shapely")}
