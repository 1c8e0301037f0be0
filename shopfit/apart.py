"""Solves in a process of its own, so that a solver that dies takes nothing else with it.

Run as ``python -m shopfit.apart`` this module is that process: it reads one request from its
standard input and writes what it has to tell to its standard output.
"""

from __future__ import annotations

import atexit
import contextlib
import os
import pickle
import signal
import subprocess
import sys
import threading
from collections.abc import Callable
from typing import IO, TYPE_CHECKING, Any

from shopfit.errors import Fault, InputFaults, ShopfitError
from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Listener, Progress, unheard
from shopfit.model.scenario import Scenario
from shopfit.stopping import StopFlag

if TYPE_CHECKING:
    from shopfit.planning import Plan

_TICK_SECONDS = 0.1
_STOP = b"stop"
# What may be asked for, by its name in `shopfit.planning`.
ASKED = ("solve", "rearrange")


class SolverLost(ShopfitError):  # noqa: N818 - says what happened
    """The process of the solver ended without an answer."""


class SolverBroke(ShopfitError):  # noqa: N818 - says what happened
    """The solver met a fault of the program; the message says which."""


def solve(
    scenario: Scenario,
    options: SolveOptions | None = None,
    *,
    listener: Listener = unheard,
    stop: StopFlag | None = None,
    start: Layout | None = None,
) -> Plan:
    """Do what `shopfit.planning.solve` does, in a process apart.

    Raises
    ------
    InputFaults
        As the solve would.
    SolverLost
        If the process died.
    SolverBroke
        If the solve met a fault of the program.
    """
    options = options if options is not None else SolveOptions()
    plan: Plan = call("solve", scenario, options, listener=listener, stop=stop, start=start)
    return plan


def call(
    name: str,
    *given: Any,
    listener: Listener = unheard,
    stop: StopFlag | None = None,
    **more: Any,
) -> Any:
    """Call a function of `shopfit.planning` in a process apart and give what it gives.

    Parameters
    ----------
    name
        One of `ASKED`.
    given, more
        What it is called with, besides listener and stop flag.
    listener, stop
        Hears of progress, on this thread; and what asks it to stop.
    """
    if name not in ASKED:
        raise ValueError(f"{name!r} is not one of {', '.join(ASKED)}")
    helper = _take_helper()
    over = threading.Event()
    flag = stop if stop is not None else StopFlag()
    try:
        _send(helper.stdin, (name, given, more))
        threading.Thread(target=_hand_on_stop, args=(helper, flag, over), daemon=True).start()
        return _answer(helper, listener)
    except (EOFError, OSError, pickle.UnpicklingError):
        raise SolverLost(_death(helper)) from None
    finally:
        over.set()
        _end(helper)


def prepare() -> None:
    """Start the next process ahead of time, so that its first solve begins at once."""
    global _spare
    with _lock:
        if _spare is None or _spare.poll() is not None:
            _spare = _start()


_lock = threading.Lock()
_spare: subprocess.Popen[bytes] | None = None


def _take_helper() -> subprocess.Popen[bytes]:
    global _spare
    with _lock:
        helper, _spare = _spare, None
    if helper is None or helper.poll() is not None:
        helper = _start()
    return helper


def _start() -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-m", "shopfit.apart"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        # Ctrl-C is the parent's to hear.
        start_new_session=True,
    )


def _end(helper: subprocess.Popen[bytes]) -> None:
    helper.kill()
    for stream in (helper.stdin, helper.stdout):
        if stream is not None:
            try:
                stream.close()
            except OSError:
                continue
    helper.wait()


@atexit.register
def _end_spare() -> None:
    with _lock:
        if _spare is not None:
            _end(_spare)


def _answer(helper: subprocess.Popen[bytes], listener: Listener) -> Any:
    while True:
        kind, told = pickle.load(helper.stdout)  # type: ignore[arg-type]
        if kind == "progress":
            listener(told)
        elif kind == "ended":
            return told
        elif kind == "faults":
            raise InputFaults(Fault(*each) for each in told)
        elif kind == "told":
            raise ShopfitError(told)
        else:
            raise SolverBroke(told)


def _hand_on_stop(helper: subprocess.Popen[bytes], flag: StopFlag, over: threading.Event) -> None:
    while not over.wait(_TICK_SECONDS):
        if flag.requested:
            with contextlib.suppress(OSError, ValueError):
                _send(helper.stdin, _STOP)
            return


def _death(helper: subprocess.Popen[bytes]) -> str:
    try:
        code = helper.wait(5)
    except subprocess.TimeoutExpired:
        return "The solver no longer answers."
    if code < 0:
        name = signal.Signals(-code).name if -code in set(signal.Signals) else f"signal {-code}"
        return f"The solver was ended from outside ({name}); perhaps the memory did not suffice."
    return f"The solver ended without an answer (code {code})."


def _send(stream: IO[bytes] | None, message: Any) -> None:
    assert stream is not None
    pickle.dump(message, stream)
    stream.flush()


def main() -> None:
    """Serve one request, as the process apart."""
    out = os.fdopen(os.dup(1), "wb")
    # Whatever prints by habit must not get between the messages.
    os.dup2(2, 1)
    from shopfit import planning

    planning.solve  # noqa: B018 - imported before it is asked for
    import shopfit.solver.run  # noqa: F401 - takes most of a second

    lock = threading.Lock()

    def tell(kind: str, told: Any) -> None:
        with lock:
            _send(out, (kind, told))

    try:
        name, given, more = pickle.load(sys.stdin.buffer)
    except EOFError:
        return
    stop = StopFlag()
    threading.Thread(target=_hear_stop, args=(stop,), daemon=True).start()
    _work(getattr(planning, name), given, more, stop, tell)


def _work(
    function: Callable[..., Any],
    given: tuple[Any, ...],
    more: dict[str, Any],
    stop: StopFlag,
    tell: Callable[[str, Any], None],
) -> None:
    def hear(progress: Progress) -> None:
        tell("progress", progress)

    try:
        tell("ended", function(*given, listener=hear, stop=stop, **more))
    except InputFaults as caught:
        tell("faults", [(f.file, f.where, f.given, f.allowed, f.mend) for f in caught.faults])
    except ShopfitError as error:
        tell("told", str(error))
    except Exception as error:  # noqa: BLE001 - handed to whoever asked
        tell("broke", f"{type(error).__name__}: {error}")


def _hear_stop(stop: StopFlag) -> None:
    try:
        if pickle.load(sys.stdin.buffer) == _STOP:
            stop.request()
            pickle.load(sys.stdin.buffer)
    except (EOFError, OSError, pickle.UnpicklingError):
        # The other side is gone, and with it everybody who wants an answer.
        os._exit(3)


if __name__ == "__main__":
    main()
