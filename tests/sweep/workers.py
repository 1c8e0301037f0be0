"""What processes of tests do with a task; each run leaves a mark in the folder named by MARKS."""

from __future__ import annotations

import os
import signal
import time
from pathlib import Path

from shopfit.stopping import StopFlag
from shopfit.sweep.work import Answer, Task


def mark(name: str) -> int:
    """Leave a mark for a run; give how many there are of it now."""
    with (Path(os.environ["MARKS"]) / name).open("a") as stream:
        stream.write(f"{os.getpid()}\n")
    return runs(name)


def runs(name: str) -> int:
    """Count the runs of a task."""
    path = Path(os.environ["MARKS"]) / name
    return len(path.read_text().splitlines()) if path.exists() else 0


def gently(task: Task, stop: StopFlag) -> Answer:
    """Do as a task is called: die, die once, break, wait for a stop, or just answer."""
    count = mark(task.name)
    if task.name == "dies" or (task.name == "dies-once" and count == 1):
        os.kill(os.getpid(), signal.SIGKILL)
    if task.name == "breaks":
        raise ValueError("no such shelf")
    if task.name == "lingers":
        stopped = stop.wait(20)
        return Answer(task.name, task.key, "stopped" if stopped else "layout")
    if task.name == "works":
        time.sleep(1.0)
    return Answer(task.name, task.key, "no layout", seconds=float(count))
