"""One solver in a process of its own: what is measured, and what happens where it goes wrong."""

from __future__ import annotations

import pytest

from shopfit.bench.instances import instance
from shopfit.bench.known import known
from shopfit.bench.measure import Case, Record, measure, peak_bytes
from shopfit.bench.solvers import OURS, Solver, names, ours, solver_named
from shopfit.bench.trace import Event, reached
from shopfit.model.options import SolveOptions

from . import fakes

CASE = Case("stall", 1, known=True)
OPTIONS = SolveOptions(seconds=3, workers=1)


def taken(run: Solver, patience: float = 60.0) -> Record:
    return measure(CASE, "fake", OPTIONS, run=run, patience=patience)


def test_a_steady_solver_gives_the_numbers_that_it_told() -> None:
    """Value, bound, gap and every time are read from what was told and handed over."""
    found, optimum = taken(fakes.steady), known("stall", 1).optimum
    assert (found.ended, found.violations, found.solver) == ("answered", 0, "fake")
    assert (found.value, found.bound, found.gap) == (optimum, optimum, 0.0)
    times = (found.first_seconds, found.one_percent_seconds, found.proof_seconds, found.seconds)
    assert times == (1.0, 3.0, 4.0, 4.0)
    assert found.optimum == optimum
    assert found.lines == len(known("stall", 1).scenario.lines)
    assert [row[0] for row in found.trace] == [0.5, 1.0, 2.0, 3.0, 4.0]
    assert (found.seconds_asked, found.workers) == (3, 1)
    assert Record.model_validate_json(found.model_dump_json()) == found


def test_a_layout_with_violations_counts_for_nothing() -> None:
    """What the checks do not confirm is no result, whatever was told."""
    found = taken(fakes.boastful)
    assert found.violations == 1
    assert (found.value, found.gap, found.first_seconds) == (None, None, None)
    assert all(row[1] is None for row in found.trace)


def test_the_first_layout_is_the_first_that_meets_every_rule() -> None:
    """Worth told before a layout that meets every rule was there is left out."""
    found = taken(fakes.late)
    assert found.first_seconds == 2.5
    assert [row[1] for row in found.trace] == [None, known("stall", 1).optimum]


def test_a_bound_without_a_layout_is_a_bound() -> None:
    """A solver may prove something and find nothing."""
    found = taken(fakes.empty_handed)
    assert (found.ended, found.value, found.violations) == ("answered", None, None)
    assert (found.bound, found.first_seconds, found.seconds) == (40.0, None, 1.5)


def test_an_error_is_recorded() -> None:
    """One solver that fails does not end the series, and says why."""
    found = taken(fakes.failing)
    assert (found.ended, found.value) == ("failed", None)
    assert found.error == "RuntimeError: the program has no columns"


def test_a_crash_is_recorded_with_what_was_told_before() -> None:
    """A process that dies takes nobody with it; what it told is kept, unconfirmed."""
    found = taken(fakes.crashing)
    assert (found.ended, found.error) == ("failed", "its process ended with exit code 7")
    assert (found.value, found.bound, found.violations) == (None, 9.0, None)


def test_a_solver_that_never_answers_is_ended() -> None:
    """A series goes on though one search does not; a busy machine is slow to start one."""
    found = taken(fakes.endless, patience=15.0)
    assert (found.ended, found.error) == ("out of patience", "ended after 15 s")
    assert (found.value, found.bound) == (None, 9.0)


def test_memory_is_that_of_the_solver_alone() -> None:
    """Memory that it takes counts; memory of the process that started it does not."""
    held = bytearray(3 * fakes.MEGABYTES * 1_000_000)
    held[::4096] = b"\1" * len(held[::4096])
    found = taken(fakes.greedy_of_memory)
    assert found.peak_bytes is not None
    least = fakes.MEGABYTES * 1_000_000
    assert least < found.peak_bytes < least + 250_000_000
    assert peak_bytes() > len(held)


def test_our_own_solver_tells_enough_to_be_measured() -> None:
    """Its listener hears worth and bound, and both are those of the layout in the end."""
    told: list[Event] = []
    answer = ours(
        instance("stall", 4, lines=4, scarcity=0.3),
        SolveOptions(seconds=0.5, workers=1),
        lambda *event: told.append(Event(*event)),
    )
    assert answer.layout is not None
    found = reached(told)
    assert found.value == answer.layout.claims.facings
    assert found.bound == answer.bound
    assert found.first is not None
    assert found.first <= answer.seconds


def test_solvers_have_names() -> None:
    """Ours comes first, and a name that nobody has is answered with those there are."""
    assert names()[0] == OURS
    assert all(callable(solver_named(name)) for name in names())
    with pytest.raises(ValueError, match=f"allowed: {OURS}"):
        solver_named("oracle")
