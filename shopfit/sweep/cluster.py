"""Solves tasks on a Dask cluster, for studies that one machine takes too long for."""

from __future__ import annotations

import importlib
import secrets
from collections.abc import Callable, Sequence
from contextlib import suppress
from typing import Any

from shopfit.errors import ShopfitError
from shopfit.stopping import StopFlag
from shopfit.sweep.processes import Heard
from shopfit.sweep.work import Answer, Task, Work, failed, said, solve_task, versions

_TICK_SECONDS = 0.2
_PATIENCE_SECONDS = 30


class Cluster:
    """Solves tasks wherever the workers of a Dask scheduler run.

    The scheduler gives a task whose worker died to another one, and up after three.

    Parameters
    ----------
    address
        Of the scheduler, such as ``tcp://10.0.0.5:8786``.
    stop
        Raised to end early; what has not ended by then is left out, since a worker far away
        cannot be asked for its best so far.
    work
        What is done with a task.
    look
        Called several times a second from the thread of `run`.

    Raises
    ------
    ShopfitError
        If the library is missing, nobody answers, or versions differ, with which the same case
        could give another layout.
    """

    def __init__(
        self,
        address: str,
        stop: StopFlag | None = None,
        work: Work = solve_task,
        look: Callable[[], None] | None = None,
    ) -> None:
        self._library = _library()
        self._stop, self._work, self._look = stop or StopFlag(), work, look or (lambda: None)
        try:
            self._client = self._library.Client(
                address, timeout=_PATIENCE_SECONDS, set_as_default=False
            )
        except (OSError, ValueError) as error:
            raise ShopfitError(f"no scheduler answers at {address}: {said(error)}") from None
        try:
            self._client.wait_for_workers(1, timeout=_PATIENCE_SECONDS)
            theirs = self._client.run(versions)
        except (OSError, ImportError, AttributeError) as error:
            self._client.close()
            told = "has no workers" if isinstance(error, TimeoutError) else said(error)
            raise ShopfitError(f"the cluster at {address} cannot be used: {told}") from None
        odd = sorted(worker for worker, found in theirs.items() if found != versions())
        if odd:
            self._client.close()
            wanted = ", ".join(f"{name} {number}" for name, number in versions().items())
            raise ShopfitError(f"every worker needs {wanted}; others are at {', '.join(odd)}")

    def __enter__(self) -> Cluster:
        return self

    def __exit__(self, *_: object) -> None:
        self._client.close()

    def run(self, tasks: Sequence[Task], heard: Heard) -> None:
        """Solve tasks; each answer is told as soon as it is there, in any order."""
        token = secrets.token_hex(4)
        running = {
            self._client.submit(
                _on_worker, self._work, task, key=f"shopfit-{token}-{index}", pure=False
            ): task
            for index, task in enumerate(tasks)
        }
        while running:
            # The library waits for whichever client is the current one.
            with suppress(TimeoutError), self._client.as_current():
                self._library.wait(
                    list(running), timeout=_TICK_SECONDS, return_when="FIRST_COMPLETED"
                )
            self._look()
            if self._stop.requested:
                self._client.cancel(list(running))
                return
            for future in [each for each in running if each.done()]:
                heard(_answer(future, running.pop(future)))


def _library() -> Any:
    try:
        return importlib.import_module("distributed")
    except ImportError:
        raise ShopfitError(
            "a cluster needs the library dask.distributed: pip install 'shopfit[cluster]'"
        ) from None


def _answer(future: Any, task: Task) -> Answer:
    if future.status == "finished":
        found: Answer = future.result()
        return found
    if future.status == "error":
        return failed(task, said(future.exception()))
    return failed(task, f"the cluster gave it up ({future.status})")


def _on_worker(work: Work, task: Task) -> Answer:
    return work(task, StopFlag())
