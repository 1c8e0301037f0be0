"""A solve in the background: its newest progress, a stop, how it ended, and whose turn it is."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from typing import Any, Generic, Literal, TypeVar

from shopfit.errors import ShopfitError
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Listener, Progress
from shopfit.model.scenario import Scenario
from shopfit.stopping import StopFlag

State = Literal["waiting", "running", "ended", "failed"]
Result = TypeVar("Result")


class SolveJob(Generic[Result]):
    """One solve in a thread of its own.

    Parameters
    ----------
    solve
        What does it; called with scenario, options, ``listener`` and ``stop``, as
        `shopfit.planning.solve` is.
    scenario, options
        What is solved, and how hard.
    """

    def __init__(
        self, solve: Callable[..., Result], scenario: Scenario, options: SolveOptions
    ) -> None:
        self.scenario = scenario
        self.options = options
        self._solve = solve
        self._lock = threading.Lock()
        self._stop = StopFlag()
        self._state: State = "waiting"
        self._newest: Progress | None = None
        self._result: Result | None = None
        self._failure: BaseException | None = None
        # A daemon, so that a closed terminal or page never waits for a solve.
        self._thread = threading.Thread(target=self._run, name="shopfit-solve", daemon=True)

    def start(self) -> SolveJob[Result]:
        """Start the solve; raises RuntimeError the second time."""
        with self._lock:
            if self._state != "waiting":
                raise RuntimeError("this solve was started already")
            self._state = "running"
        self._thread.start()
        return self

    def stop(self) -> None:
        """Ask for a stop; the best layout so far is kept. Safe from any thread, at any time."""
        self._stop.request()

    def wait(self, seconds: float | None = None) -> bool:
        """Wait until the solve is over, at most so many seconds; say whether it is."""
        self._thread.join(seconds)
        return self.over

    @property
    def state(self) -> State:
        """Whether it waits, runs, has ended, or failed."""
        with self._lock:
            return self._state

    @property
    def over(self) -> bool:
        """Whether it ended or failed."""
        return self.state in ("ended", "failed")

    @property
    def stopping(self) -> bool:
        """Whether a stop was asked for."""
        return self._stop.requested

    @property
    def newest(self) -> Progress | None:
        """The newest progress, or none so far."""
        with self._lock:
            return self._newest

    @property
    def failure(self) -> BaseException | None:
        """What it failed with, or none."""
        with self._lock:
            return self._failure

    def result(self) -> Result:
        """Wait for the end and give what the solve gave; raises what it raised."""
        self._thread.join()
        with self._lock:
            if self._failure is not None:
                raise self._failure
            assert self._result is not None
            return self._result

    def _hear(self, progress: Progress) -> None:
        with self._lock:
            self._newest = progress

    def _run(self) -> None:
        try:
            result = self._solve(self.scenario, self.options, listener=self._hear, stop=self._stop)
        except BaseException as failure:  # noqa: BLE001 - handed to whoever asks for the result
            with self._lock:
                self._failure, self._state = failure, "failed"
        else:
            with self._lock:
                self._result, self._state = result, "ended"


class Turns:
    """Lets only so many solves run at once; the others wait, first come, first served.

    Parameters
    ----------
    at_once
        How many may run side by side.
    """

    def __init__(self, at_once: int) -> None:
        self.at_once = at_once
        self._changed = threading.Condition()
        self._line: list[object] = []

    def in_turn(self, solve: Callable[..., Result]) -> Callable[..., Result]:
        """Give a solve that waits for its turn, tells how many are before it, and can be stopped.

        Parameters
        ----------
        solve
            Called with scenario, options, ``listener`` and ``stop``, and perhaps more.
        """

        def wait_and_solve(*given: Any, listener: Listener, stop: StopFlag, **more: Any) -> Result:
            ticket = object()
            with self._changed:
                self._line.append(ticket)
            try:
                self._wait(ticket, listener, stop)
                return solve(*given, listener=listener, stop=stop, **more)
            finally:
                with self._changed:
                    self._line.remove(ticket)
                    self._changed.notify_all()

        return wait_and_solve

    def _wait(self, ticket: object, listener: Listener, stop: StopFlag) -> None:
        begun = time.monotonic()
        while True:
            with self._changed:
                before = self._line.index(ticket) - self.at_once + 1
                if before <= 0:
                    return
                self._changed.wait(0.1)
            if stop.requested:
                raise TurnGivenUp("Stopped before its turn came; nothing was searched.")
            one = "one search goes" if before == 1 else f"{before} searches go"
            listener(Progress(f"waiting: {one} before this one", time.monotonic() - begun))


class TurnGivenUp(ShopfitError):  # noqa: N818 - says what happened
    """A solve was stopped while it waited for its turn."""
