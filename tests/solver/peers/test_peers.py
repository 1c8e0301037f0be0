"""Whole runs of every peer: without violations, never above their bounds, within their time."""

from __future__ import annotations

import logging
import time
from functools import cache
from pathlib import Path

import pytest

from shopfit.files.scenario import load_scenario
from shopfit.model.scenario import Scenario
from shopfit.solver.peers import PEERS, onego

from .. import build as b
from .judge import AISLE, HOOK, Asked, ask, mixed, violations

CHANDLERY = Path(__file__).parents[3] / "scenarios" / "towpath-chandlery"


@cache
def on_mixed(peer: str, objective: str = "facings") -> Asked:
    """Ask a peer for the small mixed range, once for each objective."""
    return ask(peer, mixed(objective=objective), seconds=10.0)


def worth(asked: Asked, objective: str) -> float:
    claims = asked.layout.claims
    return {"facings": claims.facings, "value": claims.value}[objective]


@pytest.mark.parametrize("objective", ["facings", "value"])
@pytest.mark.parametrize("peer", PEERS)
def test_no_peer_breaks_a_rule(peer: str, objective: str):
    """The witness finds nothing wrong, not even a minimum missed."""
    assert violations(mixed(objective=objective), on_mixed(peer, objective).layout) == []


@pytest.mark.parametrize("objective", ["facings", "value"])
@pytest.mark.parametrize("peer", PEERS)
def test_what_is_told_fits_the_answer(peer: str, objective: str):
    """Worth only rises, to that of the layout; bounds only fall and are never under a worth."""
    asked = on_mixed(peer, objective)
    seconds = [each for each, _, _ in asked.told]
    values = [value for _, value, _ in asked.told if value is not None]
    bounds = [bound for _, _, bound in asked.told if bound is not None]
    assert seconds == sorted(seconds)
    assert values == sorted(values)
    assert values[-1] == pytest.approx(worth(asked, objective))
    assert bounds == sorted(bounds, reverse=True)
    assert all(bound >= values[-1] - 1e-6 for bound in bounds)
    assert asked.answer.bound == (bounds[-1] if bounds else None)
    assert asked.answer.seconds >= seconds[-1]


def test_only_the_hand_proves_nothing():
    """Both programs have a bound; a shopfitter has none."""
    assert {peer: on_mixed(peer).answer.bound is None for peer in PEERS} == {
        "direct": False,
        "milp": False,
        "merchandiser": True,
    }


def test_the_hand_is_no_better_than_the_bounds():
    """What is set out by hand stays under what both programs prove."""
    by_hand = worth(on_mixed("merchandiser"), "facings")
    for peer in ("direct", "milp"):
        bound = on_mixed(peer).answer.bound
        assert bound is not None
        assert by_hand <= bound


def remainders() -> Scenario:
    """Give two cabinets with two rows each, and goods of which nine fill a row but for 10 mm."""
    jars = b.line(width=b.mm(110.0), max_facings=100)
    return b.scenario([jars], [b.fixture(available=2)])


def test_one_program_proves_the_optimum():
    """Four rows of nine are proved by the program alone, and are what our own search reaches."""
    asked = ask("direct", remainders(), seconds=10.0)
    own = b.run(remainders()).layout
    assert own is not None
    assert asked.layout.claims.facings == asked.answer.bound == own.claims.facings == 36


@pytest.mark.parametrize("peer", ["milp", "merchandiser"])
def test_other_peers_reach_it_without_its_proof(peer: str):
    """The same 36; with facings divisible at ends of faces the bound of faces summed is 36 too."""
    asked = ask(peer, remainders(), seconds=5.0)
    assert asked.layout.claims.facings == 36
    assert asked.answer.bound in (36, None)


def test_rows_pass_the_joints_of_slat_wall():
    """Three hooks 400 mm wide hang on two pieces of 600 mm only where they join into one run."""
    cloth = b.line("cloth", width=b.mm(400.0), height=b.mm(600.0), max_facings=3, ways=["hook"])
    cabinet = b.fixture(width=b.mm(600.0), slat_above=True, available=2, faces=[])
    given = b.scenario(
        [cloth], [cabinet], sheets=[b.SHEET], brackets=[HOOK], brief={"aisle": AISLE}
    )
    for peer in PEERS:
        asked = ask(peer, given, seconds=10.0)
        assert asked.layout.claims.facings == 3, peer
        assert violations(given, asked.layout) == []


def dead_end() -> Scenario:
    """Give a passage with a deep block wanted in it, which closes the way to all behind it."""
    block = b.fixture("block", kind="plinth", depth=b.mm(1500.0), faces=[])
    wanted = [{"fixture": "block", "at_least": 1}]
    return b.scenario(
        fixtures=[b.fixture(), block],
        width=2000.0,
        depth=5000.0,
        brief={"step": b.mm(500.0), "wanted": wanted, "aisle": AISLE},
    )


@pytest.mark.parametrize("peer", PEERS)
def test_ways_stay_open(peer: str):
    """The block stands where it cuts nothing off, and cabinets stand on the way to it."""
    asked = ask(peer, dead_end(), seconds=10.0)
    assert violations(dead_end(), asked.layout) == []
    assert {placement.fixture for placement in asked.layout.placements} == {"cab", "block"}
    assert asked.layout.claims.facings >= 40


@pytest.mark.parametrize("peer", PEERS)
def test_what_is_pinned_stays(peer: str):
    """A pinned cabinet stands where it was pinned, off the grid."""
    keep = {"fixture": "cab", "wall": "N", "offset": b.mm(123.0)}
    asked = ask(peer, b.scenario(pins={"keep": [keep]}), seconds=5.0)
    assert [(p.wall, p.offset_mm) for p in asked.layout.placements if p.pinned] == [("N", 123.0)]


@pytest.mark.parametrize("peer", PEERS)
def test_money_is_kept(peer: str):
    """Three cabinets of 100 can be had for 350, of which one is owned: four stand, none over."""
    given = b.scenario(fixtures=[b.fixture(owned=1)], brief={"budget": 350.0, "aisle": AISLE})
    asked = ask(peer, given, seconds=10.0)
    assert len(asked.layout.placements) == 4
    assert violations(given, asked.layout) == []


@pytest.mark.parametrize("peer", PEERS)
def test_minimums_missed_are_never_told_as_worth(peer: str):
    """Three trays are wanted where two fit: a layout at most, but no worth of it."""
    tray = b.line("tray", width=b.mm(600.0), min_facings=3, max_facings=3)
    asked = ask(peer, b.scenario([tray], [b.fixture(available=1)]), seconds=1.0)
    assert [value for _, value, _ in asked.told if value is not None] == []
    if asked.answer.layout is not None:
        assert asked.answer.layout.claims.facings <= 2


@pytest.mark.parametrize("peer", PEERS)
def test_expected_sales_and_weights_of_bands_count(peer: str):
    """Worth that falls with every facing, and eye-height rows that count double, are recounted."""
    bands = [{"id": "low", "bottom": b.mm(100.0), "top": b.mm(350.0), "weight": 2.0}]
    given = mixed(objective="sales", bands=bands)
    asked = ask(peer, given, seconds=10.0, gap=0.3)
    assert violations(given, asked.layout) == []
    values = [value for _, value, _ in asked.told if value is not None]
    assert values
    if asked.answer.bound is not None:
        assert values[-1] <= asked.answer.bound + 1e-6


def test_a_shop_too_large_for_one_program_says_so(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
):
    """Over the limit faces are added up instead, which the log tells; the layout is as sound."""
    monkeypatch.setattr(onego, "MOST_VARIABLES", 10)
    with caplog.at_level(logging.WARNING):
        asked = ask("direct", mixed(), seconds=10.0)
    assert "faces are added up" in caplog.text
    assert violations(mixed(), asked.layout) == []


def test_without_highs_the_peer_says_what_to_install(monkeypatch: pytest.MonkeyPatch):
    """A missing library is told in one sentence with its mend, before any work."""
    monkeypatch.setitem(__import__("sys").modules, "highspy", None)
    with pytest.raises(ImportError, match=r"pip install 'shopfit\[bench\]'"):
        ask("milp", mixed())


@pytest.mark.parametrize("peer", PEERS)
def test_time_is_kept(peer: str):
    """A shop of some size takes no more than a fifth and two seconds over what was asked for."""
    given, seconds = load_scenario(CHANDLERY), 3.0
    began = time.monotonic()
    asked = ask(peer, given, seconds, workers=2)
    taken = time.monotonic() - began
    assert taken <= 1.2 * seconds + 2.0
    assert asked.answer.seconds <= taken


def test_equal_hands_set_out_equal_shops():
    """The hand draws nothing at random."""
    first, again = (ask("merchandiser", mixed(), seconds=20.0).layout for _ in range(2))
    assert first == again
