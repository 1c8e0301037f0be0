"""The solvers that are measured: the package's own, and the peers it is set against."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Progress
from shopfit.model.scenario import Scenario

OURS = "shopfit"

# Seconds, worth of the best layout so far or none, bound or none.
Told = Callable[[float, float | None, float | None], None]


class Answer(Protocol):
    """How a solver ended.

    Parameters
    ----------
    layout
        The layout, or none.
    bound
        Worth that no layout exceeds, or none where nothing is proved.
    seconds
        From the call to the answer.
    """

    @property
    def layout(self) -> Layout | None: ...  # noqa: D102

    @property
    def bound(self) -> float | None: ...  # noqa: D102

    @property
    def seconds(self) -> float: ...  # noqa: D102


Solver = Callable[[Scenario, SolveOptions, Told], Answer]


@dataclass(frozen=True)
class OwnAnswer:
    """How our own solver ended; see `Answer`."""

    layout: Layout | None
    bound: float | None
    seconds: float


def names() -> tuple[str, ...]:
    """List the solvers that can be measured, our own first."""
    from shopfit.solver.peers import PEERS

    return (OURS, *PEERS)


def solver_named(name: str) -> Solver:
    """Give a solver by name.

    Raises
    ------
    ValueError
        If there is none of that name.
    """
    if name == OURS:
        return ours
    from shopfit.solver.peers import PEERS

    if name not in PEERS:
        raise ValueError(f"{name!r} is no solver; allowed: {', '.join(names())}")
    return PEERS[name]


def ours(scenario: Scenario, options: SolveOptions, tell: Told) -> OwnAnswer:
    """Run the package's own solver and tell what its listener hears."""
    from shopfit.solver.run import solve
    from shopfit.stopping import StopFlag

    def hear(progress: Progress) -> None:
        tell(progress.seconds, _value(progress), progress.bound)

    began = time.monotonic()
    layout = solve(scenario, options, listener=hear, stop=StopFlag()).layout
    proof = None if layout is None else layout.proof
    return OwnAnswer(layout, None if proof is None else proof.bound, time.monotonic() - began)


def _value(progress: Progress) -> float | None:
    if progress.objective is not None or progress.facings is None:
        return progress.objective
    return float(progress.facings)
