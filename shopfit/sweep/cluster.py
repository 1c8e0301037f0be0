"""Solves tasks on a Dask cluster, for studies that one machine takes too long for."""

from __future__ import annotations

import importlib
import logging
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
        cannot be asked for its best so far. Raised here, with the reason, when the scheduler is
        lost.
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
        self._library, self._address = _library(), address
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
        # A lost scheduler is told by whoever asked; the library would add a traceback of its own.
        log = logging.getLogger("distributed.client")
        before = log.level
        if self._stop.why:
            log.setLevel(logging.CRITICAL + 1)
        try:
            self._client.close()
        finally:
            log.setLevel(before)

    def run(self, tasks: Sequence[Task], heard: Heard) -> None:
        """Solve tasks; each answer is told as soon as it is there, in any order."""
        if self._stop.requested:
            return
        token = secrets.token_hex(4)
        running = {
            self._client.submit(
                _on_worker, self._work, task, key=f"shopfit-{token}-{index}", pure=False
            ): task
            for index, task in enumerate(tasks)
        }
        while running:
            self._wait(list(running))
            self._look()
            if self._stop.requested:
                self._client.cancel(list(running))
                return
            for future in [each for each in running if each.done()]:
                if not _lost(future):
                    heard(_answer(future, running.pop(future)))
            if any(_lost(future) for future in running):
                self._stop.request(f"the cluster at {self._address} was lost")
                return

    def _wait(self, futures: list[Any]) -> None:
        """Wait until one has ended, or for a moment; what was cancelled is told by the future."""
        over = (TimeoutError, self._library.CancelledError)
        # The library waits for whichever client is the current one.
        with suppress(*over), self._client.as_current():
            self._library.wait(futures, timeout=_TICK_SECONDS, return_when="FIRST_COMPLETED")


def _library() -> Any:
    try:
        return importlib.import_module("distributed")
    except ImportError:
        raise ShopfitError(
            "a cluster needs the library dask.distributed: pip install 'shopfit[cluster]'"
        ) from None


def _lost(future: Any) -> bool:
    """Say whether a task was dropped though nobody here asked for it: its scheduler is gone."""
    return bool(future.status == "cancelled")


def _answer(future: Any, task: Task) -> Answer:
    if future.status == "finished":
        found: Answer = future.result()
        return found
    if future.status == "error":
        return failed(task, said(future.exception()))
    return failed(task, f"the cluster gave it up ({future.status})")


def _on_worker(work: Work, task: Task) -> Answer:
    return work(task, StopFlag())
