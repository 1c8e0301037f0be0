"""Solves cases, taking those from the folder that are finished, and writing down the others."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from types import TracebackType
from typing import Protocol

from shopfit.files.layouts import DECIMALS, digest, layout_text
from shopfit.model.study import CaseRow
from shopfit.stopping import StopFlag
from shopfit.sweep.cases import Case
from shopfit.sweep.processes import Heard, Here, Processes, cores
from shopfit.sweep.store import Store
from shopfit.sweep.work import Answer, Task


class Runner(Protocol):
    """Whatever solves tasks: this process, several, or a cluster."""

    def __enter__(self) -> Runner:
        """Make ready."""

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
        /,
    ) -> None:
        """Let go of processes and connections."""

    def run(self, tasks: Sequence[Task], heard: Heard) -> None:
        """Solve tasks; each answer is told as soon as it is there."""


@dataclass(frozen=True)
class Settled:
    """A case with its answer.

    Parameters
    ----------
    case, answer, row
        What was asked, what came of it, and both in one line of a table.
    again
        Whether the answer was there from an earlier search.
    """

    case: Case
    answer: Answer
    row: CaseRow
    again: bool = False


def runner(
    processes: int | None,
    address: str | None,
    stop: StopFlag,
    look: Callable[[], None] | None = None,
    workers: int = 1,
) -> Runner:
    """Choose what solves the cases.

    Parameters
    ----------
    processes
        Processes at once; 0 for none but this one, none for as many as there are cores for.
    address
        Of the scheduler of a cluster, in place of processes here.
    stop
        Raised to end early.
    look
        Called several times a second while cases are solved.
    workers
        Threads that each case takes.
    """
    if address is not None:
        from shopfit.sweep.cluster import Cluster

        return Cluster(address, stop, look=look)
    if processes == 0:
        return Here(stop, look=look)
    return Processes(processes or max(1, cores() // max(1, workers)), stop, look=look)


def settle(
    cases: Sequence[Case],
    by: Runner,
    store: Store | None = None,
    told: Callable[[Settled], None] | None = None,
) -> list[Settled]:
    """Solve cases.

    Parameters
    ----------
    cases
        What to solve.
    by
        Who solves them.
    store
        Where finished ones are found and new ones written down; nowhere if left out.
    told
        Hears of each case as soon as it is settled.

    Returns
    -------
    The cases that have an answer, in the order given; a stop leaves the others out.
    """
    asked = {case.name: case for case in cases}
    found: dict[str, Settled] = {}

    def keep(settled: Settled) -> None:
        found[settled.case.name] = settled
        if told is not None:
            told(settled)

    def hear(answer: Answer) -> None:
        case = asked[answer.name]
        row = case_row(case, answer)
        if store is not None:
            store.add(row, answer)
        keep(Settled(case, answer, row))

    tasks = []
    for case in cases:
        task = case.task
        earlier = None if store is None else store.find(task)
        if earlier is None or store is None:
            tasks.append(task)
            continue
        old, answer = earlier
        row = case_row(case, answer)
        if row != old:
            store.add(row, answer)
        keep(Settled(case, answer, row, again=True))
    if tasks:
        by.run(tasks, hear)
    return [found[name] for name in asked if name in found]


def case_row(case: Case, answer: Answer) -> CaseRow:
    """Put a case and its answer into one line of a table."""
    layout = answer.layout
    row = CaseRow(
        case=case.name,
        folder=case.folder,
        key=answer.key,
        scenario=case.source,
        currency=case.scenario.shop.currency,
        changes=dict(case.changes),
        status=answer.status,
        objective=case.scenario.brief.objective,
        seconds=answer.seconds,
        message=answer.message,
    )
    if layout is None:
        return row
    proof = layout.proof
    told = {
        "facings": layout.claims.facings,
        "value": _rounded(layout.claims.value),
        "cost": _rounded(layout.claims.cost),
        "violations": answer.violations,
        "worth": _rounded(answer.worth),
        "digest": digest(layout_text(layout)),
    }
    if proof is not None:
        told |= {
            "bound": _rounded(proof.bound),
            "gap": _rounded(proof.gap),
            "proved": proof.status == "proved",
            "repeatable": proof.repeatable,
        }
    return row.model_copy(update=told)


def _rounded(size: float | None) -> float | None:
    # As layouts are written down, so that a row made from the file is the same.
    return None if size is None else round(size, DECIMALS)
