"""Loads of slat-wall runs on walls and studs."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.checks import fixings
from shopfit.checks.scene import Scene
from shopfit.geometry.shell import survey
from shopfit.model.finding import Finding
from shopfit.model.layout import Layout
from shopfit.quantities.fixings import fixings as set_out
from shopfit.standards import load, loads
from shopfit.standards.rulebook import GRAVITY

from . import build as b

US = load("us")


def _found(layout: Layout | None = None, **studs: Any) -> list[Finding]:
    scenario = b.scenario(studs=studs)
    scene = Scene(scenario, layout or b.layout(), US, survey(scenario.shop))
    return list(fixings.check(scene))


def _only_tags() -> Layout:
    """Keep run R2 alone, in one piece from 1000 to 2219.2 mm, with its 0.4 kg of tags."""
    layout = b.layout()
    whole = layout.cuts[1].model_copy(update={"width_mm": 1219.2})
    return layout.model_copy(
        update={"runs": layout.runs[1:], "blocks": layout.blocks[2:3], "cuts": (whole,)}
    )


def test_the_heaviest_run_is_told() -> None:
    """R1: cards 2 kg, mugs 7.2 kg, umbrellas 4.5 kg, and its sheet of 35 kg."""
    told = next(one for one in _found() if one.code == "wall-load")
    assert "R1" in told.message
    assert "licensed" in told.mend
    assert told.confidence == "common practice, no source"
    assert told.measured == pytest.approx(48.7)


def test_the_screws_told_are_those_set_out() -> None:
    """The finding and the list of fixings count the same screws of the same run."""
    told = next(one for one in _found() if one.code == "wall-load")
    rows = set_out(b.scenario(), b.layout())
    screws = sum(row.count for row in rows if (row.run, row.kind) == ("R1", "screw"))
    assert f"R1 has {screws};" in told.message


# Studs at 1200, 1600 and 2000 mm behind the sheet of 17.5 kg from 1000 to 2219.2: the middle one
# carries 400 mm of it, that at 1200 mm carries 400, that at 2000 mm 419.2. The tags hang at
# 1120 mm, all on the first.
FIRST = 17.5 * 400 / 1219.2 + 0.4


@pytest.mark.parametrize(("more", "found"), [(0.001, False), (0.0, False), (-0.001, True)])
def test_a_stud_carries_no_more_than_is_allowed(more: float, found: bool) -> None:
    """The engineer's or maker's own value."""
    limit = FIRST + more
    findings = _found(_only_tags(), spacing="400 mm", first="0 mm", load=f"{limit!r} kg")
    over = [one for one in findings if one.code == "stud-load"]
    assert bool(over) is found
    for one in over:
        assert one.severity == "violation"
        assert one.measured == pytest.approx(FIRST)
        assert one.wall == "W"
    assert "fixing-not-checked" not in {one.code for one in findings}


def test_what_stands_out_pulls_at_the_top() -> None:
    """By hand: the sheet half its thickness out, the tags half an arm and the thickness."""
    told = next(one for one in _found(_only_tags(), spacing="400 mm") if one.code == "wall-load")
    sheet = 17.5 * 400 / 1219.2 * 19.05 / 2
    pull = (sheet + 0.4 * (19.05 + 101.6 / 2)) * GRAVITY / 1219.2
    assert f"{pull / 4.4482216:.3g} lbf" in told.message


@pytest.mark.parametrize("joint", [609.6, 200.0, 1000.0])
def test_goods_on_pieces_over_one_another_weigh_once(joint: float) -> None:
    """A joint along the run, half way up or elsewhere, changes nothing about what hangs there."""
    layout = _only_tags()
    (whole,) = layout.cuts
    lower = whole.model_copy(update={"height_mm": joint})
    upper = whole.model_copy(update={"z_mm": joint, "height_mm": whole.height_mm - joint})
    parted = layout.model_copy(update={"cuts": (lower, upper)})
    studs = {"spacing": "400 mm", "first": "0 mm", "load": "1 kg"}
    one, other = (
        next(f for f in _found(each, **studs) if f.code == "stud-load") for each in (layout, parted)
    )
    assert other.measured == pytest.approx(one.measured)


@pytest.mark.parametrize(
    ("first", "lines"), [("1000 mm", 2), ("1000.1 mm", 2), ("1019.1 mm", 2), ("1019.3 mm", 1)]
)
def test_a_piece_meets_two_studs(first: str, lines: int) -> None:
    """Common practice, no source: 1219.2 mm of sheet, studs 1200 mm apart."""
    findings = _found(_only_tags(), spacing="1200 mm", first=first)
    missed = [one for one in findings if one.code == "stud-missed"]
    assert bool(missed) is (lines < 2)


def test_narrow_pieces_are_told() -> None:
    """Of R2's two pieces of 600 mm, at most one stud 1000 mm apart is behind each."""
    missed = next(one for one in _found(spacing="1000 mm") if one.code == "stud-missed")
    assert "R2" in missed.subject
    assert missed.severity == "advice"


def test_what_a_stud_carries_is_asked_for() -> None:
    """Without it the finding says how much hangs there; without slat-wall nothing is said."""
    told = next(one for one in _found() if one.severity == "not checked")
    assert "studs: load" in told.mend
    bare = b.layout().model_copy(update={"runs": (), "cuts": (), "blocks": ()})
    assert _found(bare) == []


@given(st.lists(st.floats(0, 5000), min_size=1, max_size=8, unique=True), st.floats(-500, 5500))
def test_shares_add_up(lines: list[float], at: float) -> None:
    """All of a load is carried, by two neighbours at most, in balance between them."""
    ordered = sorted(lines)
    parts = loads.shares(ordered, at)
    assert sum(parts) == pytest.approx(1.0)
    assert sum(part > 0 for part in parts) <= 2
    if ordered[0] <= at <= ordered[-1]:
        balance = sum(part * line for part, line in zip(parts, ordered, strict=True))
        assert balance == pytest.approx(at, abs=1e-6)


@settings(max_examples=25)
@given(st.floats(0, 1000), st.floats(100, 4000), st.floats(0, 400), st.floats(300, 700))
def test_an_even_load_is_shared_like_many_small_ones(
    left: float, length: float, first: float, spacing: float
) -> None:
    """Spread in one step, it is what 500 pieces give."""
    lines = loads.stud_lines(left, left + length, first, spacing)
    if not lines:
        return
    whole = loads.spread(lines, left, left + length)
    assert sum(whole) == pytest.approx(1.0)
    pieces = [loads.shares(lines, left + length * (k + 0.5) / 500) for k in range(500)]
    for number, part in enumerate(whole):
        summed = sum(piece[number] for piece in pieces) / 500
        assert part == pytest.approx(summed, abs=0.01)


@pytest.mark.parametrize(
    ("height", "screws"), [(50.8, 1), (50.9, 2), (355.6, 2), (355.7, 3), (1219.2, 5)]
)
def test_screws_up_a_stud(height: float, screws: int) -> None:
    """Common practice, no source: every 12 in between ends an inch from the edges."""
    assert loads.screws_up(US, height) == screws


def test_one_run_is_one_run() -> None:
    """What the finding is about is told in the singular where there is one."""
    subjects = [one.subject for one in _found(_only_tags()) if one.code == "wall-load"]
    assert subjects == ["1 slat-wall run"]
