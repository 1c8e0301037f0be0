"""How far brackets, shelves and goods stand out."""

from __future__ import annotations

import pytest

from shopfit.checks import check
from shopfit.model.fixtures import Overhang
from shopfit.units import parse_length

from . import build as b


@pytest.mark.parametrize(("depth", "found"), [(101.6, []), (101.7, ["protrusion"])])
def test_nothing_below_allows_4_in(depth: float, found: list[str]) -> None:
    """2010 ADA Standards, 307.2: 4 in between 27 and 80 in."""
    findings = check(b.rebracketed(b.scenario(), "arm-4", depth=depth), b.layout())
    assert b.codes(findings) == found
    assert all("307.2" in f.clause for f in b.faults(findings))


@pytest.mark.parametrize(("depth", "found"), [(609.6, []), (609.7, ["protrusion"])])
def test_goods_stand_out_no_further_than_what_is_below(depth: float, found: list[str]) -> None:
    """The cabinets below run R1 are 24 in deep (W4)."""
    findings = check(b.rebracketed(b.scenario(), "hook-6", depth=depth), b.layout())
    assert b.codes(findings) == found


def test_the_shallowest_fixture_below_counts() -> None:
    """One shallow fixture limits the whole run (W4)."""
    scenario = b.refitted(b.scenario(), "base-48", depth=149.9)
    assert "protrusion" in b.codes(check(scenario, b.layout()))


@pytest.mark.parametrize(("depth", "found"), [(101.6, []), (101.7, ["protrusion-goods"])])
def test_goods_deeper_than_their_holder_stand_out_too(depth: float, found: list[str]) -> None:
    """One unit may be deeper than its bracket."""
    layout = b.reslotted(b.layout(), "B3", units=4)
    layout = layout.model_copy(
        update={"claims": layout.claims.model_copy(update={"units": 135 - 16})}
    )
    findings = check(b.relined(b.scenario(), "tag", depth=depth), layout)
    assert b.codes(findings) == found
    assert {f.severity for f in b.faults(findings)} <= {"barrier to review"}


@pytest.mark.parametrize(
    ("bottom", "out", "depth", "found"),
    [
        # Cabinets 609.6 mm deep whose body stands 200 mm back: a cane finds 409.6 mm.
        (685.9, 200.0, 409.6, False),
        (685.9, 200.0, 409.7, True),
        (685.8, 200.0, 409.7, False),
        (685.8, 200.0, 609.6, False),
        # A body less than 4 in deep still allows 4 in.
        (685.9, 560.0, 101.6, False),
        (685.9, 560.0, 101.7, True),
    ],
)
def test_only_what_a_cane_finds_counts_below(
    bottom: float, out: float, depth: float, found: bool
) -> None:
    """2010 ADA Standards, 307.2: edges at 27 in or lower are found by a cane."""
    over = Overhang.model_validate({"out": f"{out} mm", "bottom": f"{bottom} mm"})
    scenario = b.refitted(b.scenario(), "base-48", overhang=over)
    scenario = b.rebracketed(scenario, "hook-6", depth=depth)
    findings = [f for f in check(scenario, b.layout()) if f.code == "protrusion"]
    cards = [f for f in findings if "card" in f.subject]
    assert bool(cards) is found
    assert all("307.2" in f.clause and f.margin is not None for f in cards)


@pytest.mark.parametrize(
    ("depth", "found"),
    # The table is 400 mm deep on each side: bowls of 501.6 mm stand out 4 in.
    [(501.6, False), (501.7, True)],
)
def test_goods_deeper_than_their_shelf(depth: float, found: bool) -> None:
    """2010 ADA Standards, 307.2: 4 in, for edges over 27 in."""
    findings = check(b.relined(b.scenario(), "bowl", depth=depth), b.layout())
    assert ("protrusion-goods" in b.codes(findings)) is found
    # Yarn on the lowest shelf, 4 in up, may be as deep as it likes.
    findings = check(b.relined(b.scenario(), "yarn", depth=depth + 200.0), b.layout())
    assert "protrusion-goods" not in b.codes(findings)


@pytest.mark.parametrize(
    ("over", "found"),
    [
        # 307.2: 4 in between 27 and 80 in.
        ({"out": "4 in", "bottom": "28 in"}, []),
        ({"out": "4.01 in", "bottom": "28 in"}, ["overhang"]),
        ({"out": "9 in", "bottom": "27 in"}, []),
        ({"out": "9 in", "bottom": "27.01 in"}, ["overhang"]),
        ({"out": "9 in", "bottom": "80 in"}, ["overhang"]),
        ({"out": "9 in", "bottom": "80.01 in"}, []),
        # 307.3: 12 in on posts.
        ({"out": "12 in", "bottom": "28 in", "post": True}, []),
        ({"out": "12.01 in", "bottom": "28 in", "post": True}, ["overhang"]),
        ({"out": "14 in", "bottom": "27 in", "post": True}, []),
        # 307.3: between posts more than 12 in apart, at 27 in or lower, or at 80 in.
        ({"out": "0 in", "bottom": "28 in", "posts_apart": "12 in"}, []),
        ({"out": "0 in", "bottom": "28 in", "posts_apart": "12.01 in"}, ["between-posts"]),
        ({"out": "0 in", "bottom": "27 in", "posts_apart": "30 in"}, []),
        ({"out": "0 in", "bottom": "79.9 in", "posts_apart": "30 in"}, ["between-posts"]),
        ({"out": "0 in", "bottom": "80 in", "posts_apart": "30 in"}, []),
    ],
)
def test_tops_over_their_base(over: dict[str, object], found: list[str]) -> None:
    """2010 ADA Standards, 307.2 and 307.3: tops of tables and counters, signs on posts."""
    scenario = b.refitted(b.scenario(), "table-4", overhang=Overhang.model_validate(over))
    findings = [f for f in check(scenario, b.layout()) if f.code in ("overhang", "between-posts")]
    assert [f.code for f in findings] == found
    assert {f.severity for f in findings} <= {"barrier to review"}
    fixed = b.refitted(scenario, "table-4", fixed=True)
    findings = [f for f in check(fixed, b.layout()) if f.code in ("overhang", "between-posts")]
    assert {f.severity for f in findings} <= {"violation"}


@pytest.mark.parametrize(
    ("raised", "depth", "found"),
    [
        ("27 in", 500.0, False),
        ("27.01 in", 500.0, True),
        ("27.01 in", 101.6, False),
        ("27.01 in", 101.7, True),
        ("80 in", 500.0, True),
        ("80.01 in", 500.0, False),
    ],
)
def test_what_hangs_on_the_wall_with_nothing_below(raised: str, depth: float, found: bool) -> None:
    """2010 ADA Standards, 307.2: 4 in, for edges over 27 in and up to 80 in."""
    scenario = b.refitted(b.scenario(), "case-48", raised=parse_length(raised), depth=depth)
    codes = [f.code for f in check(scenario, b.layout())]
    assert ("hangs-out" in codes) is found


def _box(wall: str, offset: float, bottom: str, depth: str) -> dict[str, object]:
    box: dict[str, object] = {"id": "box", "kind": "other", "wall": wall, "offset": b.mm(offset)}
    return {**box, "width": "12 in", "bottom": bottom, "top": "84 in", "depth": depth}


@pytest.mark.parametrize(
    ("bottom", "depth", "found"),
    [
        ("40 in", "4 in", []),
        ("40 in", "4.01 in", ["violation"]),
        ("27 in", "9 in", []),
        ("27.01 in", "9 in", ["violation"]),
        ("80 in", "9 in", ["violation"]),
        ("80.01 in", "9 in", []),
    ],
)
def test_things_on_walls(bottom: str, depth: str, found: list[str]) -> None:
    """2010 ADA Standards, 307.2: 4 in, for edges over 27 in and up to 80 in."""
    scenario = b.scenario(obstructions=[_box("W", 500.0, bottom, depth)])
    findings = [f for f in check(scenario, b.layout()) if f.code == "wall-thing-out"]
    assert [f.severity for f in findings] == found
    assert all(f.drawn_mm and "below all of it" in f.mend for f in findings)


@pytest.mark.parametrize(
    ("offset", "depth", "found"),
    [
        # The cabinets stand from 1000 to 3438.4 mm along wall N and are 24 in deep.
        (1000.0, "24 in", False),
        (999.0, "24 in", True),
        (1000.0, "24.01 in", True),
        (3438.4 - 304.8, "24 in", False),
        (3438.4 - 303.8, "24 in", True),
    ],
)
def test_a_cane_finds_what_stands_below_all_of_it(offset: float, depth: str, found: bool) -> None:
    """2010 ADA Standards, 307.2: what stands on the floor below shields what is above."""
    scenario = b.scenario(obstructions=[{**_box("N", offset, "79 in", depth), "top": "90 in"}])
    codes = [f.code for f in check(scenario, b.layout())]
    assert ("wall-thing-out" in codes) is found


def test_things_behind_the_counter_are_advice() -> None:
    """Only staff pass there (203.9)."""
    box = {**_box("E", 4400.0, "40 in", "9 in"), "width": "6 in"}
    findings = check(b.scenario(obstructions=[box]), b.layout())
    assert [f.severity for f in findings if f.code == "wall-thing-out"] == ["advice"]


def test_tops_that_were_not_measured_are_named_once() -> None:
    """Tables and counters over 27 in high, in one finding."""
    findings = check(b.scenario(), b.layout())
    found = [f for f in findings if f.code == "overhang-not-checked"]
    assert [f.subject for f in found] == ["table-4, till"]
    low = b.refitted(b.scenario(), "table-4", height=685.8)
    found = [f for f in check(low, b.layout()) if f.code == "overhang-not-checked"]
    assert [f.subject for f in found] == ["till"]
