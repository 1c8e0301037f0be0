"""Runs one solver on one shop in a process of its own, and measures what it reached and when."""

from __future__ import annotations

import math
import multiprocessing
import resource
import signal
import sys
import time
import traceback
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any, Literal

from pydantic import Field

from shopfit.bench.instances import instance
from shopfit.bench.known import known_optimum
from shopfit.bench.machine import memory_bytes
from shopfit.bench.solvers import Answer, Solver, solver_named
from shopfit.bench.trace import Event, gap, improvements, reached
from shopfit.model.base import Frozen
from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario

# A search may run over its time by this much before its process is ended.
PATIENCE_FACTOR = 3.0
PATIENCE_SECONDS = 120.0
_KIBIBYTE = 1024
_CLOCK = 0.001  # seconds that a layout's timing is rounded to

Ended = Literal["answered", "failed", "out of patience"]


@dataclass(frozen=True)
class Case:
    """A shop to be measured on.

    Parameters
    ----------
    size, seed
        As for `shopfit.bench.instances.instance`.
    known
        Whether it is one whose optimum is known, as by `shopfit.bench.known.known_optimum`.
    """

    size: str
    seed: int
    known: bool = False

    @property
    def name(self) -> str:
        """Its kind in tables: the size, and whether the optimum is known."""
        return f"{self.size} known" if self.known else self.size

    def scenario(self) -> tuple[Scenario, int | None]:
        """Make the shop; with it the optimum in facings, or none where it is not known."""
        if self.known:
            return known_optimum(self.size, self.seed)
        return instance(self.size, self.seed), None


class Record(Frozen):
    """What one run of one solver came to.

    Parameters
    ----------
    size, seed, known
        The shop; see `Case`.
    solver, seconds_asked, workers
        Who was asked, for how many seconds, with how many threads.
    ended
        Whether it answered, failed, or was ended after far more time than asked for.
    error
        What went wrong, or nothing.
    lines, optimum
        Lines of the range, and the optimum in facings where it is known.
    value, bound, gap
        Worth of the layout if it has no violations, what the solver proved that no layout
        exceeds, and the distance of the two as a part of the bound.
    first_seconds, one_percent_seconds, proof_seconds, seconds
        To the first layout that meets every rule, to a gap of 1 %, to proof, and in all.
    peak_bytes
        Most memory that its process held at once.
    violations
        Found in its layout by the checks; none where there is no layout.
    trace
        Seconds, value and bound at every improvement.
    commit, versions
        Of the package and its libraries.
    """

    size: str
    seed: int
    known: bool = False
    solver: str
    seconds_asked: float
    workers: int
    ended: Ended = "answered"
    error: str = ""
    lines: int = 0
    optimum: int | None = None
    value: float | None = None
    bound: float | None = None
    gap: float | None = None
    first_seconds: float | None = None
    one_percent_seconds: float | None = None
    proof_seconds: float | None = None
    seconds: float | None = None
    peak_bytes: int | None = None
    violations: int | None = None
    trace: tuple[tuple[float, float | None, float | None], ...] = ()
    commit: str = ""
    versions: dict[str, str] = Field(default_factory=dict)

    @property
    def case(self) -> Case:
        """The shop that it was measured on."""
        return Case(self.size, self.seed, self.known)


def measure(
    case: Case,
    solver: str,
    options: SolveOptions,
    *,
    run: Solver | None = None,
    patience: float | None = None,
) -> Record:
    """Run a solver on a shop in a fresh process and measure it.

    Parameters
    ----------
    case, solver, options
        Which shop, which solver by its name, and how hard to search.
    run
        The solver itself, where it is none of those that have a name; a function of a module.
    patience
        Seconds after which the process is ended; three times what was asked for and two minutes
        more if left out.
    """
    limit = patience if patience is not None else _patience(options)
    context = multiprocessing.get_context("spawn")
    here, there = context.Pipe(duplex=False)
    process = context.Process(
        target=_in_child, args=(there, case, solver, options, run), daemon=True
    )
    process.start()
    there.close()
    try:
        events, message = _heard(here, time.monotonic() + limit)
        if message is None:
            ended, error = _unanswered(process, limit)
        else:
            process.join(5)
    finally:
        if process.is_alive():
            process.kill()
            process.join()
        here.close()
    if message is None:
        # No layout was handed over, so what was told of layouts is not confirmed.
        message = {"ended": ended, "error": error, **_reached(_believed(events, None, None))}
    return Record(
        size=case.size,
        seed=case.seed,
        known=case.known,
        solver=solver,
        seconds_asked=options.seconds,
        workers=options.workers,
        **message,
    )


def _patience(options: SolveOptions) -> float:
    return PATIENCE_FACTOR * options.seconds + PATIENCE_SECONDS


def _heard(here: Connection, until: float) -> tuple[list[Event], dict[str, Any] | None]:
    """Listen until the answer comes, the process ends, or the time is up."""
    events: list[Event] = []
    while True:
        if not here.poll(max(0.0, until - time.monotonic())):
            return events, None
        try:
            message = here.recv()
        except EOFError:
            return events, None
        if isinstance(message, Event):
            events.append(message)
        else:
            return events, message


def _unanswered(process: Any, limit: float) -> tuple[Ended, str]:
    process.join(1)
    if process.is_alive():
        process.kill()
        process.join()
        return "out of patience", f"ended after {limit:.0f} s"
    return "failed", f"its process ended with exit code {process.exitcode}"


def _in_child(
    there: Connection, case: Case, solver: str, options: SolveOptions, run: Solver | None
) -> None:
    # Ctrl-C at a terminal reaches every process; the series ends this one.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    events: list[Event] = []
    _keep_within_memory()

    def tell(seconds: float, value: float | None, bound: float | None) -> None:
        event = Event(seconds, value, bound)
        events.append(event)
        there.send(event)

    try:
        scenario, optimum = case.scenario()
        chosen = run if run is not None else solver_named(solver)
        answer = chosen(scenario, options, tell)
        peak = peak_bytes()  # Before the checks, which are not the solver's.
        there.send(_answered(scenario, optimum, answer, events, peak))
    except Exception as error:  # noqa: BLE001 - whatever a solver does is its result
        last = traceback.format_exception_only(error)[-1].strip()
        there.send({"ended": "failed", "error": last[:300], "peak_bytes": peak_bytes()})
    finally:
        there.close()


def _answered(
    scenario: Scenario, optimum: int | None, answer: Answer, events: list[Event], peak: int
) -> dict[str, Any]:
    """Let the checks judge the layout, and say what was reached."""
    value: float | None = None
    violations: int | None = None
    first: float | None = None
    if answer.layout is not None:
        from shopfit import planning
        from shopfit.quantities.takeoff import complete

        layout = complete(scenario, answer.layout)
        found = planning.check(scenario, layout)
        violations = sum(1 for finding in found if finding.severity == "violation")
        value = worth(scenario, layout) if violations == 0 else None
        first = layout.timing.first_layout_seconds
    summary = _reached(
        _believed([*events, Event(answer.seconds, value, answer.bound)], first, value)
    )
    if value is not None and first is not None:
        summary["first_seconds"] = _thousandths(first)
    return {
        **summary,
        "lines": len(scenario.lines),
        "optimum": optimum,
        # What counts is the layout handed over, whatever was told on the way.
        "value": value,
        "gap": gap(value, summary["bound"]),
        "seconds": round(answer.seconds, 3),
        "peak_bytes": peak,
        "violations": violations,
    }


def _believed(events: list[Event], first: float | None, value: float | None) -> list[Event]:
    """Leave out worth that was told of layouts that miss a rule.

    That is all of it where the layout handed over has violations, and what came before the first
    layout that the solver itself says meets every rule.
    """
    since = math.inf if value is None else (first or 0.0)
    return [
        event if event.seconds >= since - _CLOCK else Event(event.seconds, None, event.bound)
        for event in events
    ]


def _reached(events: list[Event]) -> dict[str, Any]:
    found = reached(events)
    return {
        "value": found.value,
        "bound": found.bound,
        "gap": found.gap,
        "first_seconds": _thousandths(found.first),
        "one_percent_seconds": _thousandths(found.one_percent),
        "proof_seconds": _thousandths(found.proof),
        "trace": tuple(
            (round(each.seconds, 3), each.value, each.bound) for each in improvements(events)
        ),
    }


def _thousandths(seconds: float | None) -> float | None:
    return None if seconds is None else round(seconds, 3)


def worth(scenario: Scenario, layout: Layout) -> float:
    """Give what the brief makes largest, by the layout's claims, which the checks recount."""
    claims = layout.claims
    if claims.objective is not None:
        return claims.objective
    if scenario.brief.objective == "facings":
        return float(claims.facings)
    if scenario.brief.objective == "value":
        return claims.value
    return claims.sales if claims.sales is not None else claims.value


def _keep_within_memory() -> None:
    """Let a solver that asks for more than the machine has fail by itself."""
    most = memory_bytes()
    _, hard = resource.getrlimit(resource.RLIMIT_AS)
    if most is not None and (hard == resource.RLIM_INFINITY or most < hard):
        resource.setrlimit(resource.RLIMIT_AS, (most, hard))


def peak_bytes() -> int:
    """Give the most memory that this process has held at once, bytes."""
    # On Linux the usage of a process counts that of the one it was started from, until it outgrows
    # it; the kernel's own high-water mark of its memory does not.
    status = Path("/proc/self/status")
    if status.exists():
        for row in status.read_text("utf-8").splitlines():
            if row.startswith("VmHWM:"):
                return int(row.split()[1]) * _KIBIBYTE
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return used if sys.platform == "darwin" else used * _KIBIBYTE
