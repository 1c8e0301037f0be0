"""The fitted shop as solids: everything is there, where the layout puts it, and as large."""

from __future__ import annotations

from collections import Counter, defaultdict

import numpy as np
import pytest

from shopfit.bench.known import known
from shopfit.solids import Solid, solids_of
from tests.checks import build as b

SCENARIO, LAYOUT = b.scenario(), b.layout()
SOLIDS = solids_of(SCENARIO, LAYOUT)


def _extent(solids: list[Solid]) -> np.ndarray:
    points = np.concatenate([solid.mesh()[0] for solid in solids])
    return np.array([points.min(axis=0), points.max(axis=0)])


def _of(kind: str, tag: str = "") -> list[Solid]:
    return [x for x in SOLIDS if x.kind == kind and (not tag or x.tag == tag)]


def test_everything_in_the_layout_is_a_solid_and_nothing_else() -> None:
    """Tags of fixtures, runs and the shell are those given."""
    tags = {x.tag for x in SOLIDS if x.kind == "fixture"}
    assert tags == {one.id for one in LAYOUT.placements}
    assert {x.tag for x in SOLIDS if x.kind == "slat-wall"} == {run.id for run in LAYOUT.runs}
    assert {x.tag for x in SOLIDS if x.kind == "wall"} == {"W", "N", "E", "S"}
    assert [x.tag for x in SOLIDS if x.kind == "door"] == ["front"]
    assert [x.tag for x in SOLIDS if x.kind == "window"] == ["light"]
    assert [x.tag for x in SOLIDS if x.kind == "thing on a wall"] == ["panel"]
    assert [x.tag for x in SOLIDS if x.kind == "column"] == ["post"]


def test_every_facing_is_a_box_of_goods() -> None:
    """As many boxes of a line stand in the shop as the layout says facings."""
    wanted: Counter[str] = Counter()
    for block in LAYOUT.blocks:
        for r, row in enumerate(block.rows, start=1):
            for s, slot in enumerate(row.slots, start=1):
                wanted[f"{block.id}.{r}.{s}"] += slot.facings
    assert Counter(x.tag for x in _of("goods")) == wanted
    assert sum(wanted.values()) == LAYOUT.claims.facings


def test_every_bracket_is_there() -> None:
    """As many brackets hang as are bought for the layout."""
    needed = sum(x.needed for x in LAYOUT.purchases if x.kind == "bracket")
    assert len(_of("bracket")) == needed


def test_a_fixture_is_as_large_as_it_is_and_where_it_stands() -> None:
    """The cabinet F1 is 48 by 24 by 30 in, with its back on wall N, 1000 mm from its left end."""
    low, high = _extent(_of("fixture", "F1"))
    assert low == pytest.approx([1000.0, 4800.0 - 609.6, 0.0])
    assert high == pytest.approx([2219.2, 4800.0, 762.0])


def test_slat_wall_is_as_large_as_its_run_and_stands_out_of_its_wall() -> None:
    """Run R1 covers its stretch of wall N, as thick as its sheet."""
    low, high = _extent(_of("slat-wall", "R1"))
    assert low == pytest.approx([1000.0, 4800.0 - 19.05, 812.8])
    assert high == pytest.approx([3438.4, 4800.0, 2032.0])


def test_goods_hang_before_slat_wall_and_stand_inside_fixtures() -> None:
    """Goods on R1 lie in the room before it; goods on F1 lie between its back and its front."""
    on_run = [x for x in _of("goods") if x.owner == "R1"]
    _, high = _extent(on_run)
    assert high[1] <= 4800.0 - 19.05 + 0.01
    inside = [x for x in _of("goods") if x.owner == "F1"]
    low, high = _extent(inside)
    assert low[1] > 4800.0 - 609.6
    assert high[1] < 4800.0
    assert low[0] >= 1000.0 - 0.01


def test_openings_are_cut_out_of_walls() -> None:
    """Wall S has less than its whole surface by the door, wall W by the window."""
    area = defaultdict(float)
    for solid in _of("wall"):
        area[solid.tag] += solid.outline.area
    assert area["S"] == pytest.approx(b.WIDTH * b.HEIGHT - 914.4 * 2032.0)
    assert area["W"] == pytest.approx(b.DEPTH * b.HEIGHT - 1000.0 * 1100.0)
    assert area["N"] == pytest.approx(b.WIDTH * b.HEIGHT)


def test_sloping_walls_keep_their_heights() -> None:
    """A wall that rises from 2 m to 3 m is a trapezium."""
    room = {**b.SHOP["rooms"][0], "walls": [{"id": "W"}, {"id": "N"}, {"id": "E"}, {"id": "S"}]}
    room["walls"][1]["heights"] = [
        {"offset": "0 mm", "height": "2 m"},
        {"offset": b.mm(b.WIDTH), "height": "3 m"},
    ]
    found = [x for x in solids_of(b.scenario(rooms=[room]), LAYOUT) if x.tag == "N"]
    assert sum(x.outline.area for x in found) == pytest.approx(b.WIDTH * 2500.0)


def test_goods_can_be_left_out() -> None:
    """Without goods, neither they nor what holds them on slat-wall are there."""
    kinds = {x.kind for x in solids_of(SCENARIO, LAYOUT, goods=False)}
    assert "goods" not in kinds
    assert "bracket" not in kinds
    assert "slat-wall" in kinds


@pytest.mark.parametrize("size", ["stall", "narrow", "corner"])
def test_fixtures_of_whole_shops_overlap_nowhere(size: str) -> None:
    """Boxes of one fixture never reach past its own footprint and height."""
    made = known(size, 0)
    for placement in made.layout.placements:
        fixture = made.scenario.catalogue.fixture(placement.fixture)
        parts = [
            x
            for x in solids_of(made.scenario, made.layout, goods=False)
            if x.kind in ("fixture", "shelf", "glass") and x.owner == placement.id
        ]
        low, high = _extent(parts)
        assert high[2] - low[2] <= fixture.height + 0.01
        volume = sum(x.volume for x in parts if x.kind == "fixture")
        assert 0 < volume <= fixture.width * fixture.depth * fixture.height * 1.0001
