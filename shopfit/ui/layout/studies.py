"""Many searches in the background for one question, and what came of the last of each kind."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import streamlit as st

from shopfit.errors import InputFaults
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Listener, Progress
from shopfit.model.scenario import Scenario
from shopfit.stopping import StopFlag
from shopfit.ui import session
from shopfit.ui.layout import searching
from shopfit.ui.limits import limits
from shopfit.ui.text import plain, show_faults

TICK_SECONDS = 1.0
MOST_KEPT = 12


@dataclass
class Study:
    """Many searches in the background, and what they came to.

    Parameters
    ----------
    scenario, what
        Of which shop, and ``curve`` or ``limits``.
    """

    scenario: Scenario
    what: str
    told: list[str] = field(default_factory=list)
    waiting: str = ""
    result: Any = None
    failure: BaseException | None = None
    _flag: StopFlag = field(default_factory=StopFlag)
    _thread: threading.Thread | None = None

    def start(self, search: Callable[..., Any]) -> Study:
        """Begin.

        Parameters
        ----------
        search
            Called with ``listener`` and ``stop``; what it gives is the result.
        """

        def run() -> None:
            try:
                self.result = search(listener=self._hear, stop=self._flag)
            except BaseException as error:  # noqa: BLE001 - told on the page, which goes on
                self.failure = error

        self._thread = threading.Thread(target=run, daemon=True)
        self._thread.start()
        return self

    def stop(self) -> None:
        """Ask for a stop; safe from any thread, at any time."""
        self._flag.request()

    @property
    def stopping(self) -> bool:
        """Whether a stop was asked for."""
        return self._flag.requested

    @property
    def over(self) -> bool:
        """Whether it has ended."""
        return self._thread is None or not self._thread.is_alive()

    def ended(self, name: str) -> None:
        """Note that one of its searches has ended."""
        self.told.append(name)

    def _hear(self, progress: Progress) -> None:
        self.waiting = progress.stage


Work = Callable[[Study, StopFlag, Callable[[], None]], Any]


def kept() -> dict[tuple[str, str], Study]:
    """Give the last study of each kind for each case of this visit."""
    found: dict[tuple[str, str], Study] = st.session_state.setdefault("studies", {})
    return found


def last(what: str) -> Study | None:
    """Give the last study of a kind for the case that is open, or none."""
    return kept().get((session.the_work().name, what))


def running() -> Study | None:
    """Give the study that runs for the case that is open, or none."""
    name = session.the_work().name
    return next((s for (case, _), s in kept().items() if case == name and not s.over), None)


def begin(scenario: Scenario, what: str, work: Work) -> None:
    """Start a study within the limits of the page, or have it wait for its turn.

    Parameters
    ----------
    scenario, what
        Of which shop, and which.
    work
        Called on a thread of its own with the study, its stop flag, and what it has to call
        several times a second.
    """
    study = Study(scenario, what)
    meter, most = searching.meter(), limits().session_seconds

    def search(*, listener: Listener, stop: StopFlag) -> Any:
        def look() -> None:
            if most is not None and meter.seconds > most:
                stop.request()

        listener(Progress("", 0.0))
        return work(study, stop, look)

    studies = kept()
    studies.pop((session.the_work().name, what), None)
    for old in [key for key, each in studies.items() if each.over][: -MOST_KEPT or None]:
        del studies[old]
    studies[session.the_work().name, what] = study.start(searching.within_limits(search))
    st.rerun()


def follow(study: Study) -> None:
    """Show a study that runs, looking at it every second; run the page again once it is over."""

    @st.fragment(run_every=TICK_SECONDS)
    def tick() -> None:
        if study.over:
            st.rerun()
        with st.container(key="study-live", border=True):
            done = f"{len(study.told)} searches are done. {' '.join(study.told[-1:])}"
            st.write(plain(study.waiting.capitalize() or f"Searching: {done}"))
            if study.stopping:
                st.button("Stopping …", key="study-stop", disabled=True)
            else:
                st.button("Stop", key="study-stop", on_click=study.stop)

    tick()


def came_to_something(study: Study, scenario: Scenario) -> bool:
    """Say whether a study that is over has a result for this shop; else tell why not."""
    if isinstance(study.failure, InputFaults):
        show_faults(study.failure.faults)
    elif study.failure is not None:
        st.error("The study broke off through a fault of the program.")
        st.caption(plain(f"{type(study.failure).__name__}: {study.failure}"))
    elif study.scenario is not scenario and study.scenario != scenario:
        st.caption("The case has changed since this was asked for; ask again to see it anew.")
    else:
        return True
    return False


def options(seconds: float) -> SolveOptions:
    """Say how hard each search of a study is, within the limits of the page."""
    return SolveOptions(seconds=min(seconds, limits().seconds), workers=1)


def seconds_asked(key: str) -> float:
    """Ask for the seconds of each search."""
    most = limits().seconds
    return float(
        st.number_input(
            "Seconds for each search", min_value=1, max_value=most, value=min(10, most), key=key
        )
    )
