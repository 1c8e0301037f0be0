"""Solves tasks in processes of this machine; a process that dies loses its own task alone."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections import Counter, deque
from collections.abc import Callable, Sequence
from concurrent.futures import (
    FIRST_COMPLETED,
    Future,
    ProcessPoolExecutor,
    ThreadPoolExecutor,
    wait,
)
from concurrent.futures.process import BrokenProcessPool
from multiprocessing.synchronize import Event
from types import TracebackType

from shopfit.stopping import StopFlag
from shopfit.sweep.work import Answer, Task, Work, failed, said, solve_task

Heard = Callable[[Answer], None]
# How often a task runs again after its process died.
AGAIN = 2
_TICK_SECONDS = 0.2


def cores() -> int:
    """Give the number of cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


class Here:
    """Solves one task after the other in this process.

    Parameters
    ----------
    stop
        Raised to end early: the running task keeps its best so far, the others are left out.
    work
        What is done with a task.
    look
        Called several times a second from the thread of `run`.
    """

    def __init__(
        self,
        stop: StopFlag | None = None,
        work: Work = solve_task,
        look: Callable[[], None] | None = None,
    ) -> None:
        self._stop, self._work, self._look = stop or StopFlag(), work, look or (lambda: None)

    def __enter__(self) -> Here:
        return self

    def __exit__(self, *_: object) -> None:
        pass

    def run(self, tasks: Sequence[Task], heard: Heard) -> None:
        """Solve tasks; each answer is told as soon as it is there."""
        # In a thread of its own, for a solver's library lets no other code run in this one.
        with ThreadPoolExecutor(max_workers=1) as pool:
            for task in tasks:
                if self._stop.requested:
                    return
                future = pool.submit(self._work, task, self._stop)
                while not wait([future], timeout=_TICK_SECONDS).done:
                    self._look()
                error = future.exception()
                heard(future.result() if error is None else failed(task, said(error)))


class Processes:
    """Solves tasks in several processes, each a pool of one, so that none breaks another.

    Parameters
    ----------
    count
        Processes at once.
    stop
        Raised to end early: running tasks keep their best so far, the others are left out.
    work
        What is done with a task; a function of a module that a new process can import.
    look
        Called several times a second from the thread of `run`.
    """

    def __init__(
        self,
        count: int,
        stop: StopFlag | None = None,
        work: Work = solve_task,
        look: Callable[[], None] | None = None,
    ) -> None:
        self._count, self._stop, self._work = count, stop or StopFlag(), work
        self._look = look or (lambda: None)
        self._context = multiprocessing.get_context("spawn")
        self._stopping, self._over = self._context.Event(), self._context.Event()
        self._pools: list[ProcessPoolExecutor] = []

    def __enter__(self) -> Processes:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if kind is not None:
            self._over.set()
        for pool in self._pools:
            pool.shutdown(wait=True, cancel_futures=True)

    def run(self, tasks: Sequence[Task], heard: Heard) -> None:
        """Solve tasks; each answer is told as soon as it is there, in any order.

        A task whose process died runs again, at most twice; then it is told as failed.
        """
        waiting, deaths = deque(tasks), Counter[str]()
        idle = [*self._pools, *(self._pool() for _ in range(self._missing(len(waiting))))]
        self._pools = list(idle)
        running: dict[Future[Answer], tuple[Task, ProcessPoolExecutor]] = {}
        while waiting or running:
            while waiting and idle and not self._stop.requested:
                task = waiting.popleft()
                future, pool = self._begun(task, idle.pop())
                running[future] = (task, pool)
            if self._stop.requested:
                waiting.clear()
                self._stopping.set()
            done, _ = wait(running, timeout=_TICK_SECONDS, return_when=FIRST_COMPLETED)
            self._look()
            for future in done:
                task, pool = running.pop(future)
                answer, pool = self._judged(future, task, pool, deaths)
                idle.append(pool)
                if answer is None:
                    waiting.appendleft(task)
                else:
                    heard(answer)

    def _missing(self, wanted: int) -> int:
        return max(0, min(self._count, wanted) - len(self._pools))

    def _pool(self) -> ProcessPoolExecutor:
        return ProcessPoolExecutor(
            max_workers=1,
            mp_context=self._context,
            initializer=_begin,
            initargs=(self._stopping, self._over),
        )

    def _begun(
        self, task: Task, pool: ProcessPoolExecutor
    ) -> tuple[Future[Answer], ProcessPoolExecutor]:
        try:
            return pool.submit(_in_process, self._work, task), pool
        except BrokenProcessPool:
            # It died between two tasks, which is no task's fault.
            fresh = self._renewed(pool)
            return fresh.submit(_in_process, self._work, task), fresh

    def _renewed(self, pool: ProcessPoolExecutor) -> ProcessPoolExecutor:
        pool.shutdown(wait=False)
        fresh = self._pool()
        self._pools = [fresh if each is pool else each for each in self._pools]
        return fresh

    def _judged(
        self,
        future: Future[Answer],
        task: Task,
        pool: ProcessPoolExecutor,
        deaths: Counter[str],
    ) -> tuple[Answer | None, ProcessPoolExecutor]:
        """Give the answer, or none where the task is to run again; and the pool for the next."""
        error = future.exception()
        if error is None:
            return future.result(), pool
        if not isinstance(error, BrokenProcessPool):
            return failed(task, said(error)), pool
        fresh = self._renewed(pool)
        deaths[task.name] += 1
        if deaths[task.name] <= AGAIN:
            return None, fresh
        return failed(task, f"its process died {deaths[task.name]} times"), fresh


_stop = StopFlag()


def _begin(stopping: Event, over: Event) -> None:
    """Make a new process ready: Ctrl-C is the parent's to hear, and its end is this one's too."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_watch, args=(stopping, over), daemon=True).start()


def _watch(stopping: Event, over: Event) -> None:
    parent = multiprocessing.parent_process()
    while not over.wait(_TICK_SECONDS) and (parent is None or parent.is_alive()):
        if stopping.is_set():
            _stop.request()
    # A search has no way to be broken off but this one.
    os._exit(1)


def _in_process(work: Work, task: Task) -> Answer:
    return work(task, _stop)
