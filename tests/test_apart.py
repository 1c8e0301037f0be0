"""Solves in a process apart: the answer, news and stop get through, and a death is told."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time

import pytest

from shopfit import apart
from shopfit.errors import InputFaults, ShopfitError
from shopfit.model.options import SolveOptions
from shopfit.stopping import StopFlag

PATIENCE = 60.0


def stand_in(code: str) -> subprocess.Popen[bytes]:
    """Start a process that does as told in place of the solver's."""
    return subprocess.Popen(
        [sys.executable, "-c", f"import os, sys, time, pickle\n{code}"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    )


@pytest.fixture
def instead(monkeypatch):
    """Give a function that puts some code in the place of the solver's process."""

    def put(code: str) -> None:
        monkeypatch.setattr(apart, "_take_helper", lambda: stand_in(code))

    return put


def tells(kind: str, told: object) -> str:
    """Give code that tells one thing."""
    return (
        "pickle.load(sys.stdin.buffer)\n"
        f"pickle.dump(({kind!r}, {told!r}), sys.stdout.buffer)\nsys.stdout.flush()\n"
    )


def test_a_shop_is_solved_with_news_and_a_stop(kiosk):
    """The real solver in its own process tells of progress, hears a stop and keeps the best."""
    apart.prepare()
    heard, stop = [], StopFlag()

    def hear(progress):
        heard.append(progress)
        if progress.facings:
            stop.request()

    begun = time.monotonic()
    plan = apart.solve(kiosk, SolveOptions(seconds=300, workers=1), listener=hear, stop=stop)
    assert plan.layout is not None
    assert plan.layout.claims.facings > 0
    assert heard
    assert time.monotonic() - begun < PATIENCE


def test_a_solver_that_is_killed_is_told(instead, kiosk):
    """Death from outside, as by want of memory, is told by its name."""
    instead("os.kill(os.getpid(), 9)")
    with pytest.raises(apart.SolverLost, match=signal.Signals(9).name):
        apart.solve(kiosk)


def test_a_solver_that_crashes_is_told(instead, kiosk):
    """An end without an answer is told with its code, also in the middle of a message."""
    instead("sys.stdout.buffer.write(b'\\x80\\x05abc'); sys.stdout.flush(); os._exit(7)")
    with pytest.raises(apart.SolverLost, match="code 7"):
        apart.solve(kiosk)


def test_faults_of_input_come_back_as_such(instead, kiosk):
    """Faults keep their place and mend over the way between the processes."""
    instead(tells("faults", [("shop.yaml", "brief > aisle", "9 m", "less", "Make it less.")]))
    with pytest.raises(InputFaults) as caught:
        apart.solve(kiosk)
    assert caught.value.faults[0].mend == "Make it less."


@pytest.mark.parametrize(("kind", "error"), [("told", ShopfitError), ("broke", apart.SolverBroke)])
def test_other_failures_come_back_in_words(instead, kiosk, kind, error):
    """What the user can mend and what he cannot are told apart."""
    instead(tells(kind, "so it is"))
    with pytest.raises(error, match="so it is"):
        apart.solve(kiosk)


def test_only_what_solves_may_be_asked_for(kiosk):
    """The process does not call whatever it is told."""
    with pytest.raises(ValueError, match="rulebook"):
        apart.call("rulebook", "us")


def test_the_process_ends_with_whoever_asked():
    """Where the page is gone nobody solves on."""
    helper = apart._start()
    helper.stdin.close()
    assert helper.wait(PATIENCE) == 0
    helper.stdout.close()


def test_a_stop_reaches_the_process(instead, kiosk):
    """A stop flag raised on another thread is handed on as a message."""
    instead(
        "pickle.load(sys.stdin.buffer)\nassert pickle.load(sys.stdin.buffer) == b'stop'\n"
        "pickle.dump(('ended', 'stopped'), sys.stdout.buffer)\nsys.stdout.flush()"
    )
    stop = StopFlag()
    threading.Timer(0.2, stop.request).start()
    assert apart.call("solve", kiosk, stop=stop) == "stopped"


def test_a_spare_process_is_ready_and_used_once():
    """The process made ready ahead is the one that is taken, and a dead one is not."""
    apart.prepare()
    spare = apart._spare
    apart.prepare()
    assert apart._spare is spare
    os.kill(spare.pid, signal.SIGKILL)
    spare.wait(PATIENCE)
    taken = apart._take_helper()
    assert taken is not spare
    assert apart._spare is None
    apart._end(taken)
    apart._end(spare)
