"""Trims, inserts and mouldings are cut piece by piece from as few lengths as there can be."""

from __future__ import annotations

import math
import time
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.drawing import PAGES
from shopfit.drawing.cutplan import draw_boards
from shopfit.model.cutting import CutJob
from shopfit.model.ordering import Ordering
from shopfit.model.scenario import Scenario
from shopfit.quantities.finishes import finish_take_off
from shopfit.quantities.lengths import Bought, bars, cut_from, length_plan, moulding_id
from shopfit.quantities.ordering import order
from shopfit.quantities.runlengths import Wanted
from shopfit.quantities.takeoff import take_off
from tests.checks import build as b

BAR = 2438.4
KERF = CutJob().kerf
EXTRAS: list[dict[str, Any]] = [
    {"id": "top", "for_each": "run top", "length": "5 ft", "price": 11},
    {"id": "foot", "for_each": "run foot", "length": "8 ft", "price": 9, "pieces": 2},
    {"id": "cover", "for_each": "seam", "length": "8 ft", "price": 7},
    {"id": "insert", "for_each": "groove", "length": "8 ft", "price": 3},
    {"id": "profile", "for_each": "open run end", "length": "8 ft", "price": 5},
]
MOULDINGS: dict[str, Any] = {
    "baseboard": {"length": "8 ft", "price": 7, "waste": "0 %"},
    "trim": {"length": "8 ft", "price": 6},
}


def _scenario(extras: list[dict[str, Any]] = EXTRAS, **shop: Any) -> Scenario:
    scenario = b.scenario(**{"finishes": MOULDINGS, **shop})
    ordering = Ordering.model_validate({"extras": extras})
    catalogue = scenario.catalogue.model_copy(update={"ordering": ordering})
    return scenario.model_copy(update={"catalogue": catalogue})


def _bars(*pieces: float) -> int:
    wanted = tuple(Wanted(f"place {n}", piece) for n, piece in enumerate(pieces))
    return len(cut_from((Bought("bar", "Bar", BAR, wanted),)).boards)


@pytest.mark.parametrize(
    ("pieces", "count"),
    [
        ((), 0),
        ((BAR,), 1),
        ((BAR + 0.009,), 1),
        ((BAR + 1.0,), 2),
        ((BAR, 1219.2), 2),
        (((BAR - KERF) / 2,) * 2, 1),
        (((BAR - KERF) / 2 + 0.1,) * 2, 2),
        ((1500.0, 1500.0, 1500.0), 3),
        ((1500.0, 900.0, 1500.0, 900.0), 2),
        ((3 * BAR,), 3),
    ],
)
def test_lengths_are_what_pieces_are_cut_from(pieces: tuple[float, ...], count: int) -> None:
    """A length gives what fits with the kerf; the total alone would promise more."""
    assert _bars(*pieces) == count


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(50, 5000).map(float), max_size=12))
def test_lengths_lie_between_the_total_and_the_first_that_fits(pieces: list[float]) -> None:
    """Never fewer than the pieces add up to, never more than by taking each length that fits."""
    found = _bars(*pieces)
    assert found >= math.ceil(sum(pieces) / BAR - 1e-3)
    room: list[float] = []
    for piece in sorted((p % BAR for p in pieces), reverse=True):
        if piece <= 0.05:
            continue
        at = next((k for k, left in enumerate(room) if left >= piece + KERF + 0.1), None)
        if at is None:
            room.append(BAR - piece)
        else:
            room[at] -= piece + KERF + 0.1
    assert found <= sum(int(p // BAR) for p in pieces) + len(room)


def test_many_short_pieces_are_proved() -> None:
    """Two of 4 ft do not leave the kerf: one and one of 2 ft; with none over, 40 lengths."""
    wanted = (Wanted("a", 1219.2, 40), Wanted("b", 609.6, 37))
    plan = cut_from((Bought("bar", "Bar", BAR, wanted),))
    assert len(plan.boards) == 40
    assert [proof.proved for proof in plan.proofs] == [True]


def test_pieces_go_by_run_and_wall() -> None:
    """Each run, seam, end, groove, wall and opening has its own pieces, by name and length."""
    scenario, layout = _scenario(), b.layout()
    plan = length_plan(scenario, layout)
    pieces = {
        stock: sorted(
            (part.part, round(part.length_mm, 1))
            for board in bars(plan, stock)
            for part in board.parts
        )
        for stock in ("top", "foot", "cover", "profile", "insert", "trim")
    }
    # R1 is 96 in long and R2 48, both 48 high; R2 is cut in two.
    assert pieces["top"] == [("R1 top 1", 1524.0), ("R1 top 2", 914.4), ("R2 top", 1219.2)]
    assert pieces["foot"] == [("R1 foot", 2438.4)] * 2 + [("R2 foot", 1219.2)] * 2
    assert pieces["cover"] == [("R2 seam", 1219.2)]
    assert pieces["profile"] == [("R1 end", 1219.2)] * 2 + [("R2 end", 1219.2)] * 2
    assert len(pieces["insert"]) == 32
    door = scenario.shop.doors[0]
    jambs = [size for name, size in pieces["trim"] if name == f"door {door.id}"]
    assert sorted(jambs) == sorted([door.width, door.height, door.height])


def test_order_finishes_lists_and_drawings_agree() -> None:
    """As many lengths are ordered as the cut list has; every one of them is drawn."""
    scenario, layout = _scenario(), b.layout()
    lists = take_off(scenario, layout)
    by_length = [board for board in lists.boards if board.width_mm is None]
    counts = {stock: len([x for x in by_length if x.stock == stock]) for stock in
              {board.stock for board in by_length}}  # fmt: skip
    ordered = {row.item: row.needed for row in order(scenario, layout).rows if row.kind == "extra"}
    cut = {row.item: row.cut for row in finish_take_off(scenario, layout).rows}
    assert counts == {**ordered, **{str(item): count for item, count in cut.items()}}
    assert counts["foot"] == 4
    assert [board.number for board in lists.boards] == list(range(1, len(lists.boards) + 1))
    proved = {proof.material for proof in lists.proofs if proof.proved}
    assert set(counts) <= proved
    drawn = draw_boards(by_length, "ft-in", PAGES["letter"])
    said = " ".join(text.text for scene in drawn for text in scene.texts())
    for board in by_length:
        for part in board.parts:
            assert part.part in said


def test_mouldings_are_no_fewer_than_they_are_cut_from() -> None:
    """Where pieces waste more than the share given, the cut list decides; else the share."""
    rows = {row.item: row for row in finish_take_off(_scenario(), b.layout()).rows}
    base = rows["baseboard"]
    assert base.packs == base.cut >= math.ceil(base.amount / base.pack - 1e-9)
    scenario = _scenario(finishes={"trim": {"length": "8 ft", "price": 6, "waste": "80 %"}})
    (trim,) = finish_take_off(scenario, b.layout()).rows
    assert trim.packs == math.ceil(trim.amount * 1.8 / trim.pack) > trim.cut


def test_an_extra_named_like_a_moulding_is_cut_apart_from_it() -> None:
    """The id of an extra stays its own."""
    scenario = _scenario([{**EXTRAS[0], "id": "trim"}])
    assert moulding_id(scenario, "trim") == "trim of the shell"
    plan = length_plan(scenario, b.layout())
    assert {board.length_mm for board in bars(plan, "trim")} == {1524.0}
    assert {board.length_mm for board in bars(plan, "trim of the shell")} == {BAR}


def test_equal_lengths_are_drawn_once() -> None:
    """Twelve cut alike for one place are one drawing that says so."""
    plan = cut_from((Bought("bar", "Bar", BAR, (Wanted("R1 groove", 2000.0, 12),)),))
    (scene,) = draw_boards(plan.boards, "ft-in", PAGES["letter"])
    assert "Lengths 1–12, cut alike" in [text.text for text in scene.texts()]


def test_a_store_full_of_inserts_is_cut_soon() -> None:
    """Sixty runs of their own lengths, twenty grooves each, take a few seconds at most."""
    wanted = tuple(Wanted(f"R{n} groove", 900.0 + 53.7 * n, 20) for n in range(60))
    began = time.process_time()
    plan = cut_from((Bought("insert", "Insert", BAR, wanted),))
    assert time.process_time() - began < 8.0
    (proof,) = plan.proofs
    assert proof.found <= 1.05 * proof.bound
