"""A solve in the background: progress, stop, result and failure."""

from __future__ import annotations

import threading

import pytest

from shopfit.jobs import SolveJob, TurnGivenUp, Turns
from shopfit.model.fixtures import Catalogue
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Progress
from shopfit.model.range import Line
from shopfit.model.scenario import Scenario, Shop

SECONDS = 5.0


@pytest.fixture
def scenario() -> Scenario:
    """Give the least scenario there can be."""
    room = {"id": "room", "height": "8 ft", "corners": [["0", "0"], ["0", "3 m"], ["3 m", "0"]]}
    line = {"line": "Mug", "category": "China", "width": "4 in", "height": "4 in", "depth": "4 in"}
    return Scenario(
        shop=Shop.model_validate({"name": "Shop", "rooms": [room]}),
        lines=(Line.model_validate({**line, "ways": ["shelf"]}),),
        catalogue=Catalogue(),
    )


def test_result_is_what_the_solve_gave(scenario):
    """The job hands scenario and options to the solve, and its answer back."""
    options = SolveOptions(seconds=3)
    job = SolveJob(lambda *given, listener, stop: given, scenario, options).start()
    assert job.result() == (scenario, options)
    assert job.state == "ended"
    assert job.failure is None


def test_newest_progress_wins(scenario):
    """Only the last message is kept, whoever asks and whenever."""

    def solve(scenario, options, *, listener, stop):
        for facings in range(1, 4):
            listener(Progress("placing", seconds=facings, facings=facings))
        return "done"

    job = SolveJob(solve, scenario, SolveOptions())
    assert job.newest is None
    job.start().result()
    assert job.newest == Progress("placing", seconds=3, facings=3)


def test_stop_reaches_the_solve_while_it_runs(scenario):
    """A stop asked for from another thread is seen by the solve, which ends with its best."""
    begun = threading.Event()

    def solve(scenario, options, *, listener, stop):
        begun.set()
        return "kept" if stop.wait(SECONDS) else "too late"

    job = SolveJob(solve, scenario, SolveOptions()).start()
    assert begun.wait(SECONDS)
    assert job.state == "running"
    assert not job.over
    assert not job.stopping
    job.stop()
    assert job.stopping
    assert job.result() == "kept"


def test_stop_before_start_is_not_lost(scenario):
    """A stop asked for before the thread begins is found raised."""
    job = SolveJob(lambda *_, listener, stop: stop.requested, scenario, SolveOptions())
    job.stop()
    assert job.start().result() is True


def test_failure_is_kept_and_raised_again(scenario):
    """What the solve raised does not vanish with its thread."""

    def solve(scenario, options, *, listener, stop):
        raise ValueError("broken")

    job = SolveJob(solve, scenario, SolveOptions()).start()
    assert job.wait(SECONDS)
    assert job.state == "failed"
    assert isinstance(job.failure, ValueError)
    with pytest.raises(ValueError, match="broken"):
        job.result()


def test_wait_gives_up_in_time(scenario):
    """Waiting for a solve that goes on says that it is not over."""
    go_on = threading.Event()
    job = SolveJob(lambda *_, listener, stop: go_on.wait(SECONDS), scenario, SolveOptions())
    job.start()
    assert job.wait(0.01) is False
    go_on.set()
    assert job.wait(SECONDS) is True


def test_a_job_starts_once(scenario):
    """A second start is refused, so that two solves never share one job."""
    job = SolveJob(lambda *_, listener, stop: None, scenario, SolveOptions()).start()
    with pytest.raises(RuntimeError, match="already"):
        job.start()
    job.wait(SECONDS)


def test_two_at_once_wait_for_one_another_with_a_word(scenario):
    """The second search tells that it waits, and begins when the first has ended."""
    turns, go = Turns(1), threading.Event()
    order: list[str] = []

    def solve(name, options, *, listener, stop):
        order.append(name)
        assert go.wait(SECONDS)
        return name

    first = SolveJob(turns.in_turn(solve), "first", SolveOptions()).start()
    while not order:
        first.wait(0.01)
    second = SolveJob(turns.in_turn(solve), "second", SolveOptions()).start()
    while second.newest is None:
        second.wait(0.01)
    assert second.newest.stage == "waiting: one search goes before this one"
    assert order == ["first"]
    go.set()
    assert second.result() == "second"
    assert order == ["first", "second"]


def test_as_many_run_at_once_as_are_allowed():
    """With two turns at once two searches meet, which neither could do alone."""
    turns, meeting = Turns(2), threading.Barrier(2)

    def solve(name, options, *, listener, stop):
        meeting.wait(SECONDS)
        return name

    jobs = [SolveJob(turns.in_turn(solve), name, SolveOptions()).start() for name in "ab"]
    assert [job.result() for job in jobs] == ["a", "b"]


def test_a_search_that_waits_can_be_given_up():
    """A stop before the turn has come ends the waiting, and the line moves on."""
    turns, go = Turns(1), threading.Event()

    def solve(name, options, *, listener, stop):
        go.wait(SECONDS)
        return name

    first = SolveJob(turns.in_turn(solve), "first", SolveOptions()).start()
    while not turns._line:
        first.wait(0.01)
    second = SolveJob(turns.in_turn(solve), "second", SolveOptions()).start()
    second.stop()
    with pytest.raises(TurnGivenUp):
        second.result()
    go.set()
    assert first.result() == "first"
    assert not turns._line


def test_a_search_that_fails_gives_its_turn_on():
    """A failure does not hold up those who wait."""
    turns = Turns(1)

    def solve(name, options, *, listener, stop):
        raise ZeroDivisionError

    job = SolveJob(turns.in_turn(solve), "x", SolveOptions()).start()
    job.wait(SECONDS)
    assert isinstance(job.failure, ZeroDivisionError)
    assert not turns._line
