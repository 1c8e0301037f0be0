"""A stop flag that any thread may raise and every long step looks at."""

from __future__ import annotations

import threading


class StopFlag:
    """A request to stop; once raised it stays raised."""

    def __init__(self) -> None:
        self._event = threading.Event()

    def request(self) -> None:
        """Ask for a stop."""
        self._event.set()

    @property
    def requested(self) -> bool:
        """Whether somebody asked for a stop."""
        return self._event.is_set()

    def wait(self, seconds: float) -> bool:
        """Wait until a stop is asked for, at most so many seconds; say whether it was."""
        return self._event.wait(seconds)
