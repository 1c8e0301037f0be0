"""One face against published packings of rectangles: as blocks and rows, and packed freely.

A face shows blocks side by side over its whole height, divided into rows, with goods side by side
in them: three stages. Where the published optimum needs more than that, the face falls short of it;
by how much is written down here, each proved by the search for any number of blocks. Packed freely
the optimum itself is proved.
"""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.solver.candidates import candidates
from shopfit.solver.conflicts import cliques
from shopfit.solver.fill import Filler
from shopfit.solver.filling import PER_MM, Filling
from shopfit.solver.fixing import Face
from shopfit.solver.floor import floor_problem
from shopfit.solver.packing import Packing, Piece, free_worth, pack
from shopfit.solver.range_display import display
from shopfit.solver.refit import refit, useful_blocks
from shopfit.solver.site import Site
from shopfit.stopping import StopFlag

from .sheets import SHEETS
from .test_faces_model import Good, Problem, scenario

EFFORT = 20.0
UNIT = 30
# What blocks, rows and goods side by side reach where that is less than the published optimum.
THREE_STAGES = {"ngcut1": 156, "ngcut6": 273, "ngcut8": 828, "ngcut9": 793, "ngcut11": 1512}


@cache
def face(name: str) -> Filler:
    """Set a sheet up as one face: levels one unit apart, no board and no gap, one category."""
    sheet = SHEETS[name]
    goods = tuple(
        Good(f"piece {number}", "pieces", w * UNIT, h * UNIT, 0, copies, value)
        for number, (w, h, copies, value) in enumerate(sheet.pieces)
    )
    problem = Problem((sheet.width * UNIT,), sheet.height, UNIT, 0, goods, by_worth=True)
    site = Site(scenario(problem, board=0, gap=0))
    found = candidates(site)
    classes = floor_problem(site, found, cliques(found)).classes
    front = Face("F1", "front", 0, float(problem.faces[0]))
    return Filler(site, display(site, classes), [front], None)


def filled(name: str, blocks: int) -> tuple[int, bool]:
    """Give the worth in so many blocks, and whether that is proved."""
    filler, empty = face(name), Filling([], [])
    found, used = refit(filler, empty, [0], ["pieces"], EFFORT, 1, 0, StopFlag(), blocks)
    assert filler.allowed(found)
    assert len(found.plans) <= blocks
    assert sum(found.widths) <= SHEETS[name].width * UNIT * PER_MM
    return round(filler.score(found).worth), used < EFFORT


@pytest.mark.parametrize("name", SHEETS)
def test_blocks_and_rows_reach_what_three_stages_can(name: str):
    """With all blocks that are of use it is proved: never more than the optimum, mostly equal."""
    worth, proved = filled(name, useful_blocks(face(name), 0, "pieces"))
    assert proved
    assert worth <= SHEETS[name].optimum
    assert worth == THREE_STAGES.get(name, SHEETS[name].optimum)


@pytest.mark.parametrize(("blocks", "worth"), [(1, 1687), (2, 1851), (3, 1865)])
def test_more_blocks_of_a_category_show_more(blocks: int, worth: int):
    """The sheet that needs most: one, two and three blocks, each proved."""
    assert filled("ngcut12", blocks) == (worth, True)


@pytest.mark.parametrize("name", SHEETS)
def test_packed_freely_the_published_optimum_is_proved(name: str):
    """The exact packing reaches every published optimum, as its bound does."""
    sheet = SHEETS[name]
    pieces = [
        Piece(f"{n}", w, h, (v,) * copies) for n, (w, h, copies, v) in enumerate(sheet.pieces)
    ]
    found = pack(sheet.width, sheet.height, pieces, EFFORT, 1, 0, StopFlag())
    well_packed(sheet.width, sheet.height, pieces, found)
    assert found.proved
    assert found.worth == sheet.optimum


@pytest.mark.parametrize("name", ["ngcut1", "ngcut9", "ngcut12"])
def test_a_face_is_measured_as_its_sheet(name: str):
    """Goods on the levels of a face and in their common measure of width are the same packing."""
    worth, bound = free_worth(face(name), 0, ["pieces"], EFFORT, 1, 0, StopFlag())
    assert (worth, bound) == (SHEETS[name].optimum, SHEETS[name].optimum)


def well_packed(width: int, height: int, pieces: list[Piece], found: Packing) -> None:
    """Measure a packing: inside, no overlap, no more than there are, the worth as told."""
    cells: set[tuple[int, int]] = set()
    for one in found.placed:
        own = {
            (x, y)
            for x in range(one.left, one.left + one.width)
            for y in range(one.bottom, one.bottom + one.height)
        }
        assert all(0 <= x < width and 0 <= y < height for x, y in own)
        assert not own & cells
        cells |= own
    worth = 0
    for piece in pieces:
        own_sizes = [(p.width, p.height) for p in found.placed if p.name == piece.name]
        assert own_sizes == [(piece.width, piece.height)] * len(own_sizes)
        assert len(own_sizes) <= len(piece.worth)
        worth += sum(piece.worth[: len(own_sizes)])
    assert worth == found.worth <= found.bound


def tried(width: int, height: int, pieces: list[Piece]) -> int:
    """Find the best worth by trying every place of every rectangle, unit cells as bits."""
    rectangles = [(piece.width, piece.height, worth) for piece in pieces for worth in piece.worth]

    @cache
    def best(number: int, taken: int) -> int:
        if number == len(rectangles):
            return 0
        wide, high, worth = rectangles[number]
        most = best(number + 1, taken)
        for left in range(width - wide + 1):
            for bottom in range(height - high + 1):
                column = ((1 << high) - 1) << bottom
                own = sum(column << (height * (left + x)) for x in range(wide))
                if not own & taken:
                    most = max(most, worth + best(number + 1, taken | own))
        return most

    return best(0, 0)


sizes = st.integers(1, 4)
worths = st.lists(st.integers(0, 9), min_size=1, max_size=2)
shapes = st.lists(st.tuples(sizes, sizes, worths), min_size=1, max_size=3)


@settings(max_examples=50)
@given(st.integers(1, 5), st.integers(1, 4), shapes)
def test_small_packings_are_as_good_as_trying_everything(
    width: int, height: int, drawn: list[tuple[int, int, list[int]]]
):
    """Upright and with width and height exchanged: proved, and equal to plain trying."""
    for turned in (False, True):
        pieces = [
            Piece(f"{n}", *((h, w) if turned else (w, h)), tuple(sorted(worth, reverse=True)))
            for n, (w, h, worth) in enumerate(drawn)
        ]
        across, up = (height, width) if turned else (width, height)
        found = pack(across, up, pieces, 1.0, 1, 0, StopFlag())
        well_packed(across, up, pieces, found)
        assert found.proved
        assert found.worth == tried(across, up, pieces)


def test_a_stop_and_pieces_out_of_range():
    """Nothing is packed once a stop is asked for; sizes and worths are refused by name."""
    stop = StopFlag()
    stop.request()
    piece = Piece("a", 1, 1, (3, 2))
    assert pack(2, 2, [piece], 1.0, 1, 0, stop) == Packing((), 0, 5)
    assert pack(2, 2, [Piece("wide", 3, 1, (9,))], 1.0, 1, 0, StopFlag()).proved
    for wrong in (Piece("b", 0, 1, (1,)), Piece("b", 1, 1, (-1,)), Piece("b", 1, 1, (1, 2))):
        with pytest.raises(ValueError, match=r"^b: "):
            pack(2, 2, [piece, wrong], 1.0, 1, 0, StopFlag())
