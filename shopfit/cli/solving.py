"""A solve at the terminal: one line of progress, and Ctrl-C that keeps the best so far."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

import click

from shopfit import planning, wording
from shopfit.cli.guard import BROKEN_OFF, console
from shopfit.cli.interrupts import Keyboard
from shopfit.jobs import SolveJob
from shopfit.model.brief import Objective
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Progress
from shopfit.model.scenario import Scenario
from shopfit.planning import Plan

_LOOK_SECONDS = 0.2
_QUIET_SECONDS = 5.0


def solve_at_terminal(
    scenario: Scenario, options: SolveOptions, search: Callable[..., Plan] | None = None
) -> Plan:
    """Solve while telling of progress on the error output.

    The first Ctrl-C asks for a stop and keeps the best layout so far; the second breaks off.

    Parameters
    ----------
    scenario, options
        What is solved, and how hard.
    search
        What does it, called as `shopfit.planning.solve` is; that itself if left out.
    """
    screen, keys = console(stderr=True), Keyboard()
    keys.listen()
    try:
        job = SolveJob(search or planning.solve, scenario, options).start()
        if screen.is_terminal:
            from rich.text import Text

            with screen.status("starting") as status:
                # As Text, for names of users may hold what looks like mark-up.
                _watch(job, keys, lambda text: status.update(Text(text)))
        else:
            _watch(job, keys, _Sparing())
        return job.result()
    finally:
        keys.leave()


def progress_line(progress: Progress | None, seconds: float, objective: Objective) -> str:
    """Say progress in one line: time, facings, bound, gap, and what is being done."""
    minutes, rest = divmod(int(seconds), 60)
    facings, bound, gap, stage = wording.progress_parts(progress, objective)
    known = (
        f"{facings} facings" if facings else "",
        f"bound {bound}" if bound else "",
        f"gap {gap}" if gap else "",
    )
    return "  ".join([f"{minutes}:{rest:02d}", *(part for part in known if part), stage])


class _Sparing:
    """Prints a line only where it tells something new, for logs and pipes."""

    def __init__(self) -> None:
        self._told, self._when = "", float("-inf")

    def __call__(self, text: str) -> None:
        news = text.partition("  ")[2]
        now = time.monotonic()
        if news != self._told and now - self._when >= _QUIET_SECONDS:
            click.echo(text, err=True)
            self._told, self._when = news, now


def _watch(job: SolveJob[Plan], keys: Keyboard, tell: Callable[[str], None]) -> None:
    start, objective = time.monotonic(), job.scenario.brief.objective
    while not job.wait(_LOOK_SECONDS):
        keys.listen()
        if keys.pressed():
            if job.stopping:
                click.echo("Broken off; nothing was written.", err=True)
                sys.exit(BROKEN_OFF)
            job.stop()
            click.echo(
                "Stopping; the best layout so far is kept. Ctrl-C again breaks off.", err=True
            )
        tell(progress_line(job.newest, time.monotonic() - start, objective))
