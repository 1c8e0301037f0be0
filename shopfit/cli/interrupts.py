"""Hears Ctrl-C while a solver runs, even one that would catch it for itself."""

from __future__ import annotations

import signal
import threading
from types import FrameType


class Keyboard:
    """Counts presses of Ctrl-C between `listen` and `leave`."""

    def __init__(self) -> None:
        self._pressed = threading.Event()
        self._before: signal._HANDLER = None

    def listen(self) -> None:
        """Begin to hear Ctrl-C, or go on; to be called again and again from the main thread.

        Libraries of solvers put handlers of their own in the place of Python's, which then hears
        nothing; so the handler is put back every time.
        """
        if threading.current_thread() is threading.main_thread():
            before = signal.signal(signal.SIGINT, self._hear)
            if before != self._hear and self._before is None:
                self._before = before

    def pressed(self) -> bool:
        """Say whether Ctrl-C was pressed since this was asked last."""
        was = self._pressed.is_set()
        self._pressed.clear()
        return was

    def leave(self) -> None:
        """Give Ctrl-C back to whoever heard it before."""
        if self._before is not None:
            signal.signal(signal.SIGINT, self._before)
            self._before = None

    def _hear(self, number: int, frame: FrameType | None) -> None:
        self._pressed.set()
