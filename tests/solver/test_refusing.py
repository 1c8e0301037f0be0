"""Refusing: that there is no layout is told at once where it is plain, and asked about once."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.model.options import SolveOptions
from shopfit.model.progress import Clash, Progress
from shopfit.model.scenario import Scenario
from shopfit.solver import refusing
from shopfit.solver import run as running
from shopfit.solver.refusing import Refuser
from shopfit.solver.showing import Shower
from shopfit.stopping import StopFlag

from . import build as b


def refuser(told: list[str], why: bool = True, stop: StopFlag | None = None) -> Refuser:
    options = SolveOptions(seconds=1, workers=1)
    shower = Shower(running.solve, None)
    return Refuser(b.scenario(), options, stop or StopFlag(), shower, why, told.append)


def explaining(monkeypatch: pytest.MonkeyPatch, clash: Clash) -> list[Scenario]:
    asked: list[Scenario] = []

    def explain(scenario: Scenario, *_: Any) -> Clash:
        asked.append(scenario)
        return clash

    monkeypatch.setattr(refusing, "explain", explain)
    return asked


@pytest.mark.parametrize("proved", [True, False])
def test_what_clashes_is_found_out_once(monkeypatch: pytest.MonkeyPatch, proved: bool):
    """Only what is proved ends the search; what is not stays known and is not asked again."""
    clash = Clash(reason="It is so.", proved=proved)
    asked = explaining(monkeypatch, clash)
    told: list[str] = []
    one = refuser(told)
    refused = one.proved()
    assert (refused is not None) is proved
    assert one.proved() is None
    assert one.no_layout().clash is one.clash is clash
    assert one.no_layout().outcome == "no layout"
    assert len(asked) == len(told) == 1


def test_nothing_is_found_out_that_nobody_asks_for(monkeypatch: pytest.MonkeyPatch):
    """A search that is part of another says that there is none, and no more."""
    asked = explaining(monkeypatch, Clash(reason="It is so."))
    one = refuser([], why=False)
    assert not one.plain(*b.floor(b.scenario([b.line(min_facings=99, max_facings=99)])))
    assert one.proved() is None
    assert one.no_layout().clash is None
    assert asked == []


@pytest.mark.parametrize(("facings", "plain"), [(20, False), (21, True)])
def test_what_no_floor_could_hold_is_plain(facings: int, plain: bool):
    """One cabinet holds twenty jars: two rows of ten."""
    given = b.scenario([b.line(min_facings=facings, max_facings=99)], [b.fixture(available=1)])
    assert refuser([]).plain(*b.floor(given)) is plain


def stages(given: Scenario) -> list[str]:
    told: list[str] = []

    def hear(progress: Progress) -> None:
        if not told or told[-1] != progress.stage:
            told.append(progress.stage)

    options = SolveOptions(seconds=2, workers=1)
    running.solve(given, options, listener=hear, stop=StopFlag())
    return told


def test_a_search_for_what_cannot_be_ends_before_it_begins():
    """After the first floor it is told why; where all fits it goes on to better floors."""
    lines = [b.line(min_facings=21, max_facings=99), b.line("mug", category="mugs")]
    impossible = stages(b.scenario(lines, [b.fixture(available=1)]))
    assert impossible[-1] == "finding out why nothing fits"
    assert impossible.count("filling faces") <= 1
    possible = stages(b.scenario(lines))
    assert "finding out why nothing fits" not in possible
