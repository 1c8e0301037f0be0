"""A series: what is planned, that it goes on where it was, and what a record is a record of."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from shopfit.bench.measure import Case, Record
from shopfit.bench.sizes import SIZES
from shopfit.bench.suite import RECORDS, Task, read_records, run, tasks
from shopfit.model.options import SolveOptions

Make = Callable[..., Record]


class Counting:
    """Measures nothing and counts how often it was asked."""

    def __init__(self, make: Make) -> None:
        self.asked: list[tuple[str, int]] = []
        self._make = make

    def __call__(self, case: Case, solver: str, options: SolveOptions) -> Record:
        """Note who was asked, and make a record up."""
        self.asked.append((solver, case.seed))
        return self._make(
            size=case.size,
            seed=case.seed,
            known=case.known,
            solver=solver,
            seconds_asked=options.seconds,
            workers=options.workers,
        )


def test_everybody_gets_the_same_shops() -> None:
    """Every solver is asked for every shop, for as long and with as many threads."""
    planned = tasks(("a", "b"), sizes=("corner", "stall"), seeds=2, seconds=7, workers=3)
    by_solver = {
        name: [(task.case, task.options) for task in planned if task.solver == name]
        for name in ("a", "b")
    }
    assert by_solver["a"] == by_solver["b"]
    assert [case.name for case, _ in by_solver["a"]][::2] == [
        "stall",
        "stall known",
        "corner",
        "corner known",
    ]
    assert {options for _, options in by_solver["a"]} == {SolveOptions(seconds=7, workers=3)}


def test_a_full_suite_has_all_sizes_and_their_seconds() -> None:
    """Without a wish all five sizes come, each with the seconds said."""
    planned = tasks(("a",), seeds=1)
    seconds = {task.case.size: task.options.seconds for task in planned}
    assert seconds == {"stall": 10, "narrow": 10, "corner": 30, "store": 120, "hall": 600}
    assert tuple(seconds) == SIZES


def test_a_quick_suite_is_asked_for_less_than_two_minutes() -> None:
    """Four solvers take under five minutes though searches overrun and processes start."""
    planned = tasks(("a", "b", "c", "d"), quick=True)
    assert sum(task.options.seconds for task in planned) <= 120
    assert {(task.case.size, task.case.known) for task in planned} == {
        ("stall", False),
        ("stall", True),
        ("narrow", False),
    }


def test_a_series_goes_on_where_it_was(tmp_path: Path, record: Make) -> None:
    """What is recorded is not run again; what is new is."""
    counting = Counting(record)
    first = run(tasks(("a",), sizes=("hall",), seeds=2), tmp_path, measuring=counting)
    again = run(tasks(("a", "b"), sizes=("hall",), seeds=2), tmp_path, measuring=counting)
    assert counting.asked == [("a", 0), ("a", 1), ("b", 0), ("b", 1)]
    assert [each for each in again if each.solver == "a"] == list(first)
    assert len(read_records(tmp_path / RECORDS)) == 4
    assert all(each.versions["shopfit"] for each in again)


def test_a_series_broken_off_keeps_what_was_done(tmp_path: Path, record: Make) -> None:
    """Records are written one by one, not at the end."""
    counting = Counting(record)

    def breaking(case: Case, solver: str, options: SolveOptions) -> Record:
        if case.seed == 1:
            raise KeyboardInterrupt
        return counting(case, solver, options)

    with pytest.raises(KeyboardInterrupt):
        run(tasks(("a",), sizes=("hall",), seeds=3), tmp_path, measuring=breaking)
    assert [each.seed for each in read_records(tmp_path / RECORDS)] == [0]


def test_a_line_cut_short_is_left_out_and_spoils_nothing(tmp_path: Path, record: Make) -> None:
    """A fall of the power in the middle of a line costs that line alone."""
    path = tmp_path / RECORDS
    whole = record(size="hall", seed=0, solver="a", seconds_asked=600.0).model_dump_json()
    path.write_text(whole + "\n" + whole[:40], encoding="utf-8")
    counting = Counting(record)
    run(tasks(("a",), sizes=("hall",), seeds=2), tmp_path, measuring=counting)
    assert counting.asked == [("a", 1)]
    assert [each.seed for each in read_records(path)] == [0, 1]


@pytest.mark.parametrize(
    ("changed", "same"),
    [
        ({}, True),
        ({"seconds_asked": 6.0}, False),
        ({"workers": 1}, False),
        ({"seed": 1}, False),
        ({"known": True}, False),
        ({"solver": "b"}, False),
    ],
)
def test_a_record_is_of_its_very_run(changed: dict[str, object], same: bool, record: Make) -> None:
    """Other seconds, threads, shops or solvers are other runs."""
    task = Task(Case("stall", 0), "a", SolveOptions(seconds=5, workers=2))
    assert task.done_by(record(**{"solver": "a", **changed})) is same
