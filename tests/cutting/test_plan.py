"""Cutting plans: all parts, whole, within the stock, a saw cut apart, grooves in line, proved."""

from __future__ import annotations

import math
from itertools import combinations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.cutting.lengths import every_length
from shopfit.cutting.plan import cut
from shopfit.cutting.problem import Board, Form
from shopfit.model.cutting import CutBoard, CutJob, CutPlan, Part, StockPiece
from shopfit.units import TOLERANCE_MM

IN = 25.4


def _stock(name: str, length: float, width: float | None = None, **more: object) -> StockPiece:
    given = {"id": name, "material": "ply", "length": f"{length} mm", **more}
    return StockPiece.model_validate(given | ({"width": f"{width} mm"} if width else {}))


def _part(name: str, length: float, width: float | None = None, **more: object) -> Part:
    given = {"id": name, "material": "ply", "length": f"{length} mm", **more}
    return Part.model_validate(given | ({"width": f"{width} mm"} if width else {}))


def _job(stock: list[StockPiece], parts: list[Part], kerf: float = 3.0, **more: object) -> CutJob:
    return CutJob.model_validate({"kerf": f"{kerf} mm", "stock": stock, "parts": parts, **more})


def _sound(job: CutJob, plan: CutPlan) -> None:
    """Recount a plan by its boards alone."""
    for part in job.parts:
        found = sum(piece.part == part.id for board in plan.boards for piece in board.parts)
        left = sum(each.count for each in plan.uncut if each.part == part.id)
        assert found + left == part.count
    for board in plan.boards:
        _sound_board(job, board)


def _sound_board(job: CutJob, board: CutBoard) -> None:
    parts = {part.id: part for part in job.parts}
    assert board.width_mm is not None
    for piece in board.parts:
        part = parts[piece.part]
        assert part.width is not None
        size = (part.width, part.length) if piece.turned else (part.length, part.width)
        assert (piece.length_mm, piece.width_mm) == size
        assert part.turns or not piece.turned
        low, high = board.trim_mm - TOLERANCE_MM, TOLERANCE_MM - board.trim_mm
        assert low <= piece.x_mm <= board.length_mm - piece.length_mm + high
        assert low <= piece.y_mm <= board.width_mm - piece.width_mm + high
    for one, other in combinations(board.parts, 2):
        across = max(one.x_mm - other.x_mm - other.length_mm, other.x_mm - one.x_mm - one.length_mm)
        upward = max(one.y_mm - other.y_mm - other.width_mm, other.y_mm - one.y_mm - one.width_mm)
        assert max(across, upward) >= job.kerf - 2 * TOLERANCE_MM
    tags = [piece.tag for piece in board.parts]
    assert len(set(tags)) == len(tags)


sizes = st.integers(60, 900)


@given(
    st.lists(st.tuples(sizes, sizes, st.integers(1, 4), st.booleans()), min_size=1, max_size=6),
    st.sampled_from([0.0, 3.0, 3.175]),
    st.sampled_from([0.0, 10.0]),
)
@settings(max_examples=30, deadline=None, derandomize=True)
def test_any_parts_are_cut_whole_by_a_saw(
    wanted: list[tuple[int, int, int, bool]], kerf: float, trim: float
) -> None:
    """Whatever the parts: none lost, none overlapping, within the trim, each freed by the cuts."""
    parts = [
        _part(f"P{n}", length, width, count=count, turns=turns)
        for n, (length, width, count, turns) in enumerate(wanted)
    ]
    job = _job([_stock("S", 1000, 920, trim=f"{trim} mm")], parts, kerf)
    plan = cut(job, 0.01)
    _sound(job, plan)
    for proof in plan.proofs:
        assert proof.bound <= proof.found


def test_just_fits_and_just_does_not() -> None:
    """Two of 498.5 and a cut of 3 are 1,000; a tenth more is two sheets."""
    stock = [_stock("S", 1000, 500)]
    assert len(cut(_job(stock, [_part("P", 498.5, 500, count=2)])).boards) == 1
    assert len(cut(_job(stock, [_part("P", 498.6, 500, count=2)])).boards) == 2


def test_a_third_of_a_board_goes_on_it_three_times() -> None:
    """Sizes that are no whole sixteenths or millimetres are not lost to rounding."""
    job = _job([_stock("S", 1000, 500)], [_part("P", 1000 / 3, 500, count=3)], 0.0)
    assert len(cut(job).boards) == 1


def test_grain_is_kept_unless_a_part_may_turn() -> None:
    """A part of 400 × 900 goes on a sheet of 1,000 × 500 only turned."""
    stock = [_stock("S", 1000, 500)]
    kept = cut(_job(stock, [_part("P", 400, 900)]))
    assert [(left.part, left.why) for left in kept.uncut] == [("P", "too large")]
    turned = cut(_job(stock, [_part("P", 400, 900, turns=True)]))
    assert turned.boards[0].parts[0].turned


def test_what_has_grooves_never_turns() -> None:
    """Grooves would run upright, whatever the part allows."""
    stock = [_stock("S", 1000, 500, groove_pitch="75 mm", first_groove="37.5 mm")]
    plan = cut(_job(stock, [_part("P", 400, 900, turns=True)]), 0.05)
    assert plan.uncut[0].why == "too large"


@pytest.mark.parametrize("grooves", [(37.5, 37.5), (37.5, 10.0), (0.0, 74.9)])
def test_grooves_run_through_joints(grooves: tuple[float, float]) -> None:
    """Each part has its lowest groove as far up as asked, wherever it lies on its sheet."""
    stock = [_stock("S", 2440, 1220, groove_pitch="75 mm", first_groove="37.5 mm")]
    parts = [
        _part(f"P{n}", 1000, 300 + 50 * n, count=4, groove=f"{groove} mm")
        for n, groove in enumerate(grooves)
    ]
    job = _job(stock, parts)
    plan = cut(job, 0.05)
    _sound(job, plan)
    wanted = {part.id: part.groove for part in parts}
    for piece in (piece for board in plan.boards for piece in board.parts):
        shift = math.fmod(37.5 - piece.y_mm - wanted[piece.part], 75.0)
        assert min(abs(shift), 75.0 - abs(shift)) <= 0.02


def test_the_cheaper_mix_of_stock_is_taken() -> None:
    """Three halves: one sheet at 50 and a half at 30 cost less than two sheets or three halves."""
    stock = [_stock("ONE", 1000, 500, price=50), _stock("HALF", 500, 500, price=30)]
    plan = cut(_job(stock, [_part("P", 490, 500, count=3)]), 0.05)
    assert (plan.cost, sorted(board.stock for board in plan.boards)) == (80.0, ["HALF", "ONE"])
    assert plan.proofs[0].proved


def test_an_owned_offcut_is_used_first_and_only_once() -> None:
    """What is there already costs nothing, and there is one of it."""
    stock = [_stock("NEW", 1000, 500, price=50), _stock("OLD", 500, 500, price=0, available=1)]
    plan = cut(_job(stock, [_part("P", 490, 500, count=3)]), 0.05)
    assert sorted(board.stock for board in plan.boards) == ["NEW", "OLD"]
    assert plan.cost == 50.0
    assert plan.proofs[0].proved


def test_too_little_stock_is_told() -> None:
    """Two halves are left over where only one sheet can be had."""
    plan = cut(_job([_stock("S", 1000, 500, available=1)], [_part("P", 490, 500, count=4)]), 0.05)
    assert [(left.count, left.why) for left in plan.uncut] == [(2, "no stock left")]
    assert plan.proofs == ()


def test_fewest_cuts_of_plans_as_cheap() -> None:
    """Four quarters come from one sheet by a rip and two crosscuts, each the full way."""
    plan = cut(_job([_stock("S", 1003, 503)], [_part("P", 500, 250, count=4)]), 0.05)
    assert [cut.saw for cut in plan.boards[0].cuts] == ["rip", "crosscut", "crosscut"]


def test_offcuts_are_kept_from_the_size_asked() -> None:
    """300 × 497 is left beside a piece; it is kept at just that, and is waste just below."""
    stock, parts = [_stock("S", 1003, 497)], [_part("P", 700, 497)]
    for wide, kept in (("300 mm", 1), ("300.1 mm", 0)):
        plan = cut(_job(stock, parts, keep_length="497 mm", keep_width=wide), 0.05)
        assert len(plan.boards[0].offcuts) == kept


def _fewest_lengths(length: int, pieces: list[int]) -> int:
    """Count lengths by trying every set of pieces: exact, for a few pieces, by hand of another."""
    full = (1 << len(pieces)) - 1
    total = [
        sum(p for n, p in enumerate(pieces) if mask >> n & 1) <= length for mask in range(full + 1)
    ]
    least = [0] + [len(pieces)] * full
    for mask in range(1, full + 1):
        part = mask
        while part:
            if total[part] and least[mask ^ part] + 1 < least[mask]:
                least[mask] = least[mask ^ part] + 1
            part = (part - 1) & mask
    return least[full]


@given(st.lists(st.integers(5, 60), min_size=1, max_size=9), st.sampled_from([0, 1]))
@settings(max_examples=40, deadline=None, derandomize=True)
def test_lengths_are_the_fewest(wanted: list[int], kerf: int) -> None:
    """Against every way of sharing the pieces out; and the plan says so itself."""
    parts = [_part(f"P{n}", size) for n, size in enumerate(wanted)]
    plan = cut(_job([_stock("L", 60)], parts, float(kerf)), 0.02)
    assert len(plan.boards) == _fewest_lengths(60 + kerf, [size + kerf for size in wanted])
    assert plan.proofs[0].proved


def test_lengths_of_two_prices() -> None:
    """Five of 67 in and seven of 31 in from 8 ft at 8 and 12 ft at 11: 49, and no less."""
    stock = [_stock("T8", 96 * IN, price=8), _stock("T12", 144 * IN, price=11)]
    parts = [_part("A", 67 * IN, count=5), _part("B", 31 * IN, count=7)]
    plan = cut(_job(stock, parts, 3.175), 0.05)
    assert plan.cost == 49.0
    assert plan.proofs[0].proved


def test_the_same_job_gives_the_same_plan() -> None:
    """The plan depends on the effort, not on the machine or the moment."""
    parts = [_part(f"P{n}", 211 + 37 * n, 97 + 53 * n, count=3) for n in range(7)]
    job = _job([_stock("S", 1220, 1000)], parts)
    assert cut(job, 0.05) == cut(job, 0.05)


def test_nothing_to_cut() -> None:
    """No parts need no boards."""
    assert cut(_job([_stock("S", 1000, 500)], [])).boards == ()


def test_many_short_lengths_are_soon_laid_out() -> None:
    """Forty kinds that one length holds all of: one filling, not every choice among them."""
    board = Board(10_000, 1, tuple((Form(100 + kind, 1),) for kind in range(40)))
    assert every_length(board, [1] * 40, 3_000) == [tuple(range(40))]


def _every_filling(room: int, sizes: list[int], demands: list[int]) -> set[tuple[int, ...]]:
    """List the fillings that take no further piece, out of every choice that fits."""
    found = set()
    for counts in product(*(range(demand + 1) for demand in demands)):
        left = room - sum(n * size for n, size in zip(counts, sizes, strict=True))
        more = any(
            n < d and size <= left for n, d, size in zip(counts, demands, sizes, strict=True)
        )
        if left >= 0 and any(counts) and not more:
            found.add(tuple(kind for kind, n in enumerate(counts) for _ in range(n)))
    return found


@given(
    st.integers(20, 60),
    st.lists(st.tuples(st.integers(1, 20), st.integers(1, 3)), min_size=1, max_size=5),
)
@settings(max_examples=100, deadline=None, derandomize=True)
def test_every_filling_of_a_length_is_listed_once(room: int, kinds: list[tuple[int, int]]) -> None:
    """Against every choice of pieces; one filling more than allowed gives none."""
    sizes, demands = [size for size, _ in kinds], [demand for _, demand in kinds]
    board = Board(room, 1, tuple((Form(size, 1),) for size in sizes))
    found = every_length(board, demands, 10_000)
    wanted = _every_filling(room, sizes, demands)
    assert found is not None
    assert len(found) == len(wanted)
    assert set(found) == wanted
    assert every_length(board, demands, len(wanted) - 1) is None
