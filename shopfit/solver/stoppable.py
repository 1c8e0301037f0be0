"""Runs a mixed-integer program by SCIP until it ends, a clock ends it or a person does."""

from __future__ import annotations

import threading
from dataclasses import dataclass
from typing import Generic, TypeVar

from ortools.linear_solver import pywraplp

from shopfit.stopping import StopFlag

# How often a stop is asked for again, s: one asked for before a search begins is forgotten by it.
_ASKING_SECONDS = 0.05

Plan = TypeVar("Plan")


@dataclass(frozen=True)
class Planned(Generic[Plan]):
    """How a search for a plan ended.

    Parameters
    ----------
    plan
        The plan, or none where no answer was found.
    worked
        What it cost, s of a slow core.
    finished
        Whether no clock and no person ended it.
    """

    plan: Plan | None
    worked: float
    finished: bool


def run(
    program: pywraplp.Solver, parameters: str, seconds: float, stop: StopFlag
) -> tuple[int, bool]:
    """Search within limits; a stop ends the search and keeps the best.

    Parameters
    ----------
    program
        A program of SCIP.
    parameters
        Its own, a line each.
    seconds
        After which the clock ends it.
    stop
        The stop flag.

    Returns
    -------
    How it ended, and whether neither the clock nor a person ended it.
    """
    program.SetSolverSpecificParametersAsString("misc/catchctrlc = FALSE\n" + parameters)
    program.SetTimeLimit(int(seconds * 1000))
    done = threading.Event()

    def watch() -> None:
        while not done.wait(_ASKING_SECONDS):
            if stop.requested:
                program.InterruptSolve()

    watcher = threading.Thread(target=watch, daemon=True)
    watcher.start()
    try:
        status: int = program.Solve()
    finally:
        done.set()
        watcher.join()
    return status, program.wall_time() / 1000 < seconds and not stop.requested
