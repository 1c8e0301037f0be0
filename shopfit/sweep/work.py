"""One solve of many: what goes out to a process or a machine, and the answer that comes back."""

from __future__ import annotations

import hashlib
import json
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from shopfit.errors import ShopfitError
from shopfit.files.layouts import fingerprint, layout_text
from shopfit.model.base import plain
from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.model.study import CaseStatus
from shopfit.stopping import StopFlag


@dataclass(frozen=True)
class Task:
    """What is to be solved.

    Parameters
    ----------
    name
        There is no other task of that name beside it.
    scenario, options
        What is given, and how hard to search.
    start
        A layout to start from, or none.
    """

    name: str
    scenario: Scenario
    options: SolveOptions
    start: Layout | None = None

    @cached_property
    def key(self) -> str:
        """Digest of all that the answer follows from: scenario, options, start and versions."""
        start = None
        if self.start is not None:
            # As written down, so that a layout read from a file counts as the same one.
            whole = json.loads(layout_text(self.start))
            start = {part: whole[part] for part in ("placements", "runs", "blocks")}
        parts = [fingerprint(self.scenario), plain(self.options), start, versions()]
        text = json.dumps(parts, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        return hashlib.sha256(text.encode("utf-8")).hexdigest()


@dataclass(frozen=True)
class Answer:
    """What came of a task.

    Parameters
    ----------
    name, key
        Of the task.
    status
        How it ended.
    layout
        The layout, if there is one.
    violations
        Values checked that it does not meet.
    seconds
        How long it took.
    message
        Why there is no layout, or what failed.
    """

    name: str
    key: str
    status: CaseStatus
    layout: Layout | None = None
    violations: int = 0
    seconds: float = 0.0
    message: str = ""

    @property
    def grid(self) -> str | None:
        """The positions that its bound holds for, in words, or none."""
        if self.layout is None or self.layout.proof is None:
            return None
        return self.layout.proof.grid

    @property
    def worth(self) -> float | None:
        """What the objective came to, or none."""
        if self.layout is None:
            return None
        proof = self.layout.proof
        return float(self.layout.claims.facings) if proof is None else proof.objective

    @property
    def bound(self) -> float | None:
        """What no layout exceeds on the positions tried, where known."""
        proof = None if self.layout is None else self.layout.proof
        return None if proof is None else proof.bound

    @property
    def proved(self) -> bool:
        """Whether worth equals bound."""
        proof = None if self.layout is None else self.layout.proof
        return proof is not None and proof.status == "proved"

    @property
    def sound(self) -> bool:
        """Whether there is a layout that meets the values checked."""
        return self.layout is not None and self.violations == 0


Work = Callable[[Task, StopFlag], Answer]


def solve_task(task: Task, stop: StopFlag) -> Answer:
    """Solve a task.

    Parameters
    ----------
    task
        What.
    stop
        Raised to end early with the best so far.
    """
    from shopfit import planning

    began = time.monotonic()
    plan = planning.solve(task.scenario, task.options, stop=stop, start=task.start)
    clash = plan.solution.clash
    status: CaseStatus = "layout" if plan.layout is not None else "no layout"
    return Answer(
        task.name,
        task.key,
        "stopped" if plan.solution.stopped else status,
        plan.layout,
        len(plan.violations),
        round(time.monotonic() - began, 3),
        "" if clash is None else clash.reason,
    )


def meets(scenario: Scenario, layout: Layout) -> bool:
    """Say whether a layout, made for whatever scenario, meets the values checked of this one."""
    from shopfit import planning

    return all(each.severity != "violation" for each in planning.check(scenario, layout))


def claimed(scenario: Scenario, layout: Layout) -> float | None:
    """Give what a layout says that the objective of a scenario comes to; none where it does not."""
    claims = layout.claims
    if claims.objective is not None:
        return claims.objective
    told = {"facings": float(claims.facings), "value": claims.value, "sales": claims.sales}
    return told[scenario.brief.objective]


def failed(task: Task, message: str) -> Answer:
    """Give the answer of a task that failed, with the reason."""
    return Answer(task.name, task.key, "failed", message=message)


def said(error: BaseException) -> str:
    """Say an error in one line."""
    text = str(error).strip().partition("\n")[0]
    if isinstance(error, ShopfitError):
        return text
    return f"{type(error).__name__}: {text}" if text else type(error).__name__


def versions() -> dict[str, str]:
    """Give the versions that a layout may depend on."""
    from importlib.metadata import version

    from shopfit import __version__

    return {"shopfit": __version__, "ortools": version("ortools"), "shapely": version("shapely")}
