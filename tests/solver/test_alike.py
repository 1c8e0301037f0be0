"""Goods that need as much height, stretches that are alike, and what is densest."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.model.range import Line
from shopfit.solver.alike import FaceSort, all_goods, all_sorts, densest
from shopfit.solver.fill import Filler
from shopfit.solver.fixing import Face

from . import build as b


def filler_of(*lines: Line, **brief: Any) -> Filler:
    """Give a filler of one shelf for some lines of one category."""
    return b.filler(b.scenario(list(lines), brief=brief), [900.0])


def test_lines_as_high_as_one_another_are_counted_together():
    """However wide they are, and whatever they are worth; lines higher or new are told apart."""
    filler = filler_of(
        b.line("low", height=b.mm(100.0), width=b.mm(60.0)),
        b.line("wide", height=b.mm(100.0), width=b.mm(200.0)),
        b.line("high", height=b.mm(300.0)),
        b.line("fresh", height=b.mm(100.0), new=True),
    )
    found = {frozenset(line.line for line in one.lines): one for one in all_goods(filler, "goods")}
    assert set(found) == {frozenset({"low", "wide"}), frozenset({"high"}), frozenset({"fresh"})}
    low, high = found[frozenset({"low", "wide"})], found[frozenset({"high"})]
    kind = filler.faces[0].kind
    assert low.levels[kind] < high.levels[kind]
    assert low.rows[kind] > high.rows[kind]
    assert found[frozenset({"fresh"})].new


def test_heavy_goods_that_may_not_stand_on_a_face_have_no_rows_there():
    """A class of face whose rows all end too high is none for them."""
    lines = [b.line("anvil", weight="3 kg"), b.line("vase", weight="1 kg")]
    filler = filler_of(*lines, merchandising={"heavy_over": "2 kg", "heavy_top": b.mm(50.0)})
    found = {one.lines[0].line: one for one in all_goods(filler, "goods")}
    kind = filler.faces[0].kind
    assert kind not in found["anvil"].rows
    assert kind in found["vase"].rows


@pytest.mark.parametrize(
    ("width", "near", "fits"),
    [(99.9, True, False), (100.0, True, True), (100.0, False, False)],
    ids=["too narrow", "just as wide", "too far for what is new"],
)
def test_goods_fit_where_one_of_them_does(width: float, near: bool, fits: bool):
    """The narrowest line decides; new goods want a face near enough."""
    filler = filler_of(
        b.line("slim", width=b.mm(100.0), new=True), b.line("stout", width=b.mm(200.0), new=True)
    )
    (goods,) = all_goods(filler, "goods")
    assert goods.fit(FaceSort(filler.faces[0].kind, width, near, ())) is fits


def test_stretches_are_alike_only_with_the_same_faces_as_far_along_the_way():
    """Kind, width, nearness, what is barred and the order of faces all matter, and so do ranks."""
    faces = [
        Face("F1", "front", 0, 900.0),
        Face("F2", "front", 0, 900.0),
        Face("F3", "front", 0, 900.0),
        Face("F4", "front", 0, 800.0),
        Face("F5", "front", 1, 900.0),
        Face("F6", "front", 0, 900.0, near=False),
        Face("F7", "front", 0, 900.0, barred=("goods",)),
    ]
    single = [(n,) for n in range(len(faces))]
    sorts = all_sorts(faces, single, [0, 0, 1, 0, 0, 0, 0])
    assert [sort.stretches for sort in sorts] == [
        ((0,), (1,)),
        ((2,),),
        ((3,),),
        ((4,),),
        ((5,),),
        ((6,),),
    ]
    pairs = all_sorts(faces, [(0, 3), (1, 3), (3, 0)], [0] * len(faces))
    assert [len(sort.stretches) for sort in pairs] == [2, 1]
    assert pairs[0].length == 1700.0


def test_stretches_end_where_the_way_goes_on():
    """Faces as far along as one another stay together, the next part is a stretch of its own."""
    faces = [Face(f"F{n}", "front", 0, 900.0) for n in range(4)]
    sorts = all_sorts(faces, [(0, 1, 2, 3)], [0, 0, 1, 1])
    assert [(sort.rank, sort.stretches) for sort in sorts] == [(0, ((0, 1),)), (1, ((2, 3),))]


def test_the_densest_division_is_that_of_most_worth_a_length():
    """Of two lines the one worth more for its width fills every row that it fits."""
    filler = filler_of(
        b.line("thin", width=b.mm(50.0), height=b.mm(120.0)),
        b.line("thick", width=b.mm(200.0), height=b.mm(120.0)),
    )
    kind = filler.faces[0].kind
    worth, pattern = densest(filler, "goods", kind)
    assert pattern is not None
    assert worth == pytest.approx(len(pattern.rows) / 50.0)
