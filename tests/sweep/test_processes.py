"""Tasks in several processes: what a death, a fault and a stop cost."""

from __future__ import annotations

import os
import time
from dataclasses import replace
from pathlib import Path

import pytest

from shopfit.model.layout import Layout
from shopfit.model.progress import Solution
from shopfit.planning import Plan
from shopfit.stopping import StopFlag
from shopfit.sweep.processes import Here, Processes
from shopfit.sweep.work import Answer, solve_task

from . import build, workers

pytestmark = pytest.mark.skipif(os.name != "posix", reason="the signal is one of POSIX")


@pytest.fixture(autouse=True)
def marks(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Give processes a folder for their marks."""
    monkeypatch.setenv("MARKS", str(tmp_path))


def test_a_task_that_dies_or_breaks_harms_no_other() -> None:
    """A task whose process is killed runs again, at most twice; one that raises fails at once.

    Meanwhile the others run once each, also the one that is at work when a process is killed.
    """
    found: dict[str, Answer] = {}
    names = ["works", "dies-once", "dies", "breaks", "plain"]
    with Processes(2, work=workers.gently) as by:
        by.run([build.task(name) for name in names], lambda each: found.update({each.name: each}))
    assert {name: workers.runs(name) for name in names} == {
        "works": 1,
        "dies-once": 2,
        "dies": 3,
        "breaks": 1,
        "plain": 1,
    }
    assert found["dies-once"].status == "no layout"
    assert found["dies"].status == "failed"
    assert "died 3 times" in found["dies"].message
    assert found["breaks"].status == "failed"
    assert found["breaks"].message == "ValueError: no such shelf"
    assert found["works"].status == found["plain"].status == "no layout"


def test_a_stop_reaches_a_process_and_leaves_out_what_has_not_begun() -> None:
    """The running task ends with what it has, and the waiting one is never begun."""
    stop, began, found = StopFlag(), time.monotonic(), []

    def look() -> None:
        if workers.runs("lingers"):
            stop.request()

    with Processes(1, stop, workers.gently, look) as by:
        by.run([build.task("lingers"), build.task("plain")], found.append)
    assert [each.status for each in found] == ["stopped"]
    assert workers.runs("plain") == 0
    assert time.monotonic() - began < 15


def test_breaking_off_does_not_wait_for_a_running_task() -> None:
    """Whoever leaves the block by an error leaves no process at work behind."""
    began = time.monotonic()

    def look() -> None:
        if workers.runs("lingers"):
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt), Processes(1, None, workers.gently, look) as by:
        by.run([build.task("lingers")], lambda each: None)
    assert time.monotonic() - began < 15
    pid = int((Path(os.environ["MARKS"]) / "lingers").read_text())
    with pytest.raises(ProcessLookupError):
        os.kill(pid, 0)


def test_without_processes_tasks_run_in_turn_and_one_that_raises_fails_alone() -> None:
    """The same tasks in this process, for scripts that want no others."""
    found: list[Answer] = []
    Here(work=workers.gently).run([build.task("breaks"), build.task("plain")], found.append)
    assert [(each.name, each.status) for each in found] == [
        ("breaks", "failed"),
        ("plain", "no layout"),
    ]


def test_a_process_gives_the_layout_that_this_process_gives() -> None:
    """Where a case is solved does not show in its layout."""
    found: list[Answer] = []
    here = solve_task(build.task(), StopFlag())
    with Processes(1) as by:
        by.run([build.task()], found.append)
    assert here.layout is not None
    assert found[0].layout is not None
    assert found[0].layout.model_copy(update={"timing": here.layout.timing}) == here.layout
    assert found[0].worth == 20.0
    assert found[0].sound


def test_a_start_goes_to_the_solve(monkeypatch: pytest.MonkeyPatch) -> None:
    """The layout of the task reaches the solve, and makes it another task."""
    seen: list[Layout | None] = []

    def starting(scenario, options, *, stop, start=None):
        seen.append(start)
        return Plan(scenario, Solution(outcome="no layout"))

    start = build.layout()
    task = replace(build.task(), start=start)
    monkeypatch.setattr("shopfit.planning.solve", starting)
    assert solve_task(task, StopFlag()).status == "no layout"
    assert seen == [start]
    assert task.key != build.task().key
