"""Slat-wall runs on their walls."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.checks import check
from shopfit.model.layout import Layout

from . import build as b


def _bare(layout: Layout, run: str) -> Layout:
    """Take the goods off a run, so that only the run itself is judged."""
    return layout.model_copy(
        update={"blocks": tuple(block for block in layout.blocks if block.host != run)}
    )


def _codes(scenario: Any, layout: Layout) -> list[str]:
    return [
        code
        for code in b.codes(check(scenario, layout))
        if code.startswith(("run", "wall", "first"))
    ]


def _thing(**change: Any) -> dict[str, Any]:
    return {
        "id": "thing",
        "kind": "other",
        "wall": "W",
        "offset": b.mm(900.0),
        "width": b.mm(100.0),
        "bottom": b.mm(0.0),
        "top": b.mm(304.8),
        **change,
    }


@pytest.mark.parametrize(("top", "found"), [(2032.0, []), (2031.9, ["run-over-display-top"])])
def test_the_top_stays_under_the_highest_display(top: float, found: list[str]) -> None:
    """Run R1 ends at 80 in (W1)."""
    assert _codes(b.briefed(b.scenario(), display_top=top), b.layout()) == found


@pytest.mark.parametrize(("height", "found"), [(2032.0, []), (2031.9, ["run-over-wall"])])
def test_the_top_stays_under_the_wall(height: float, found: list[str]) -> None:
    """The lowest height of the wall over the run counts (W1)."""
    room = {**b.SHOP["rooms"][0]}
    heights = [
        {"offset": b.mm(0.0), "height": b.mm(2700.0)},
        {"offset": b.mm(2000.0), "height": b.mm(height)},
        {"offset": b.mm(4000.0), "height": b.mm(2700.0)},
    ]
    room["walls"] = [{"id": w, "heights": heights if w == "N" else []} for w in "WNES"]
    assert _codes(b.scenario(rooms=[room]), b.layout()) == found


@pytest.mark.parametrize(("change", "found"), [(0.0, []), (0.1, ["run-over-sheet"])])
def test_a_run_is_one_sheet_high(change: float, found: list[str]) -> None:
    """The sheet is 48 in high (W1)."""
    layout = _bare(b.rehung(b.layout(), "R2", top_mm=1524.0 + change), "R2")
    assert _codes(b.scenario(), layout) == found


@pytest.mark.parametrize(("gap", "found"), [(50.8, []), (50.9, ["run-too-low"])])
def test_a_run_keeps_its_gap_above_fixtures(gap: float, found: list[str]) -> None:
    """Run R1 begins 2 in above the cabinets (W1)."""
    assert _codes(b.briefed(b.scenario(), run_gap=gap), b.layout()) == found


@pytest.mark.parametrize(("low", "found"), [(304.8, []), (304.9, ["run-too-low"])])
def test_a_free_run_starts_at_the_lowest_height(low: float, found: list[str]) -> None:
    """Run R2 begins 12 in above the floor (W1)."""
    assert _codes(b.briefed(b.scenario(), run_bottom=low), b.layout()) == found


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ({}, []),
        ({"width": b.mm(100.1)}, []),  # reaches under the run, but not up to it
        ({"top": b.mm(400.0)}, []),  # beside the run
        ({"width": b.mm(100.1), "top": b.mm(304.9)}, ["run-over-thing"]),
        ({"kind": "outlet", "offset": b.mm(1500.0), "top": b.mm(500.0)}, ["run-over-thing"]),
    ],
)
def test_a_run_covers_nothing_on_the_wall(change: dict[str, Any], found: list[str]) -> None:
    """Both the width and the height must overlap; run R2 begins at 1000 and 304.8 (W1)."""
    assert _codes(b.scenario(obstructions=[_thing(**change)]), b.layout()) == found


@pytest.mark.parametrize(("offset", "found"), [(2219.2, []), (2219.1, ["run-over-thing"])])
def test_a_run_covers_no_window(offset: float, found: list[str]) -> None:
    """Run R2 ends at 2219.2 (W1)."""
    window = {**b.SHOP["windows"][0], "offset": b.mm(offset)}
    assert _codes(b.scenario(windows=[window]), b.layout()) == found


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ({"from_mm": 3438.4, "to_mm": 4000.0}, []),
        ({"from_mm": 3438.3, "to_mm": 4000.0}, ["run-overlap"]),
        ({"from_mm": 2000.0, "to_mm": 3000.0, "bottom_mm": 304.8}, ["run-overlap"]),
    ],
)
def test_runs_do_not_overlap(change: dict[str, Any], found: list[str]) -> None:
    """Run R2 is hung beside R1 instead (W1)."""
    layout = _bare(b.rehung(b.layout(), "R2", wall="N", **change), "R2")
    assert [code for code in _codes(b.scenario(), layout) if code == "run-overlap"] == found


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"to_mm": 1000.0}, "run-empty"),
        ({"top_mm": 304.8}, "run-empty"),
        ({"from_mm": -1.0}, "run-beyond-wall"),
        ({"to_mm": 4801.0}, "run-beyond-wall"),
        ({"first_groove_mm": 342.95}, "first-groove"),
        ({"bottom_mm": 304.85}, "first-groove"),
    ],
)
def test_a_run_that_cannot_be_hung(change: dict[str, Any], code: str) -> None:
    """Sizes, ends and the first groove are looked at (W1, W3)."""
    layout = _bare(b.rehung(b.layout(), "R2", **change), "R2")
    assert code in _codes(b.scenario(windows=[]), layout)


def test_no_slat_wall_on_a_wall_that_takes_none() -> None:
    """A wall may be closed to slat-wall (W1)."""
    room = {**b.SHOP["rooms"][0]}
    room["walls"] = [{"id": w, "slat_wall": w != "W"} for w in "WNES"]
    assert _codes(b.scenario(rooms=[room]), b.layout()) == ["wall-not-for-slat"]


@pytest.mark.parametrize(("to_mm", "found"), [(3438.4, []), (3438.5, ["run-gap-below"])])
def test_what_stands_below_covers_the_whole_run(to_mm: float, found: list[str]) -> None:
    """Cabinets F1 and F2 end at 3438.4 (W2)."""
    layout = b.rehung(b.layout(), "R1", to_mm=to_mm)
    assert [code for code in _codes(b.scenario(), layout) if code == "run-gap-below"] == found


def test_a_gap_between_fixtures_below_is_found() -> None:
    """The widest gap is named with its place (W2)."""
    layout = b.moved(b.layout(), "F2", x_mm=2220.2, offset_mm=2220.2)
    finding = next(f for f in check(b.scenario(), layout) if f.code == "run-gap-below")
    assert finding.measured == pytest.approx(1.0)


@pytest.mark.parametrize("over", [("F1", "F2", "F3"), ("F1", "F4")])
def test_only_fixtures_on_the_same_wall_stand_below(over: tuple[str, ...]) -> None:
    """A fixture elsewhere does not stand below the run (W2)."""
    assert "run-below" in _codes(b.scenario(), b.rehung(b.layout(), "R1", over=over))


def test_some_fixtures_allow_no_slat_wall_above() -> None:
    """The catalogue says so (W2)."""
    scenario = b.refitted(b.scenario(), "base-48", slat_above=False)
    assert _codes(scenario, b.layout()) == ["run-below"] * 2
