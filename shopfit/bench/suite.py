"""A series of measurements: which there are, and which of them are done already."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from shopfit.bench.known import KNOWN
from shopfit.bench.machine import commit, versions
from shopfit.bench.measure import Case, Record, measure
from shopfit.bench.sizes import SIZES, size_named
from shopfit.model.options import SolveOptions

RECORDS = "records.jsonl"
QUICK_SIZES = ("stall", "narrow")
QUICK_SECONDS = 5.0
SEEDS = 3

Measure = Callable[[Case, str, SolveOptions], Record]
# Number of the run from 1, runs in all, what is run, and its record once it is done.
Heard = Callable[[int, int, "Task", Record | None], None]


@dataclass(frozen=True)
class Task:
    """One run to be measured.

    Parameters
    ----------
    case, solver, options
        As for `shopfit.bench.measure.measure`.
    """

    case: Case
    solver: str
    options: SolveOptions

    def done_by(self, record: Record) -> bool:
        """Say whether a record is of this very run."""
        return (
            record.case == self.case
            and record.solver == self.solver
            and record.seconds_asked == self.options.seconds
            and record.workers == self.options.workers
        )


def tasks(
    solvers: Sequence[str],
    *,
    sizes: Sequence[str] = (),
    seeds: int | None = None,
    seconds: float | None = None,
    workers: int = 2,
    quick: bool = False,
) -> tuple[Task, ...]:
    """List the runs of a suite: every solver on the same shops, small ones first.

    Of each size that has them, shops whose optimum is known come as well, as many seeds.

    Parameters
    ----------
    solvers
        Their names.
    sizes, seeds
        Which sizes, and how many seeds of each; all sizes and 3 seeds if left out.
    seconds
        Asked of every solver; what the size says if left out.
    workers
        Threads of every solver.
    quick
        Small sizes, one seed and few seconds where nothing else is said, and known shops of the
        smallest size alone; minutes in all.
    """
    chosen = sizes or (QUICK_SIZES if quick else SIZES)
    count = seeds if seeds is not None else (1 if quick else SEEDS)
    found: list[Task] = []
    for name in sorted(set(chosen), key=SIZES.index):
        own = QUICK_SECONDS if quick else size_named(name).seconds
        options = SolveOptions(seconds=seconds if seconds is not None else own, workers=workers)
        cases = [Case(name, seed) for seed in range(count)]
        if name in KNOWN and not (quick and found):
            cases += [Case(name, seed, known=True) for seed in range(count)]
        found += [Task(case, solver, options) for case in cases for solver in solvers]
    return tuple(found)


def run(
    planned: Sequence[Task],
    folder: Path,
    *,
    heard: Heard = lambda number, count, task, record: None,
    measuring: Measure = measure,
) -> tuple[Record, ...]:
    """Measure what is planned and not yet done, and give the records of all that is planned.

    Every record is written to ``records.jsonl`` in the folder as soon as it is there, so that a
    series broken off goes on where it was.

    Parameters
    ----------
    planned, folder
        The runs, and where their records are.
    heard
        Told before and after each run.
    measuring
        Takes the measurement.
    """
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / RECORDS
    done = read_records(path)
    made: dict[str, Any] = {"commit": commit(), "versions": versions()}
    found: list[Record] = []
    for number, task in enumerate(planned, start=1):
        record = next((each for each in reversed(done) if task.done_by(each)), None)
        if record is None:
            heard(number, len(planned), task, None)
            record = measuring(task.case, task.solver, task.options).model_copy(update=made)
            _append(path, record)
        heard(number, len(planned), task, record)
        found.append(record)
    return tuple(found)


def read_records(path: Path) -> list[Record]:
    """Read the records of a series; a line cut short by a fall of the power is left out."""
    return list(_readable(path)) if path.exists() else []


def _readable(path: Path) -> Iterator[Record]:
    for row in path.read_text("utf-8").splitlines():
        try:
            yield Record.model_validate_json(row)
        except ValidationError:
            continue


def _append(path: Path, record: Record) -> None:
    cut_short = path.exists() and not path.read_bytes().endswith(b"\n") and path.stat().st_size
    with path.open("a", encoding="utf-8") as stream:
        stream.write(("\n" if cut_short else "") + record.model_dump_json() + "\n")
        stream.flush()
        os.fsync(stream.fileno())
