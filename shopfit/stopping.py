"""A stop flag that any thread may raise and every long step looks at."""

from __future__ import annotations

import threading


class StopFlag:
    """A request to stop; once raised it stays raised.

    Parameters
    ----------
    also
        Another flag that asks for the same once it is raised.
    """

    def __init__(self, also: StopFlag | None = None) -> None:
        self._event, self._also = threading.Event(), also
        self._why = ""

    def request(self, why: str = "") -> None:
        """Ask for a stop, with the reason where nobody asked for it.

        Parameters
        ----------
        why
            What went wrong, for people; empty where it is what they want.
        """
        self._why = self._why or why
        self._event.set()

    @property
    def why(self) -> str:
        """What went wrong; empty where nothing did."""
        return self._why

    @property
    def requested(self) -> bool:
        """Whether somebody asked for a stop."""
        return self._event.is_set() or (self._also is not None and self._also.requested)

    def wait(self, seconds: float) -> bool:
        """Wait until a stop is asked for, at most so many seconds; say whether it was."""
        return self._event.wait(seconds) or self.requested
