"""The drawing of cut sheets shows every piece where it is sawn, with its size."""

from __future__ import annotations

import pytest

from drawing import build
from shopfit.drawing import PAGES, draw
from shopfit.drawing.cutplan import draw_cuts
from shopfit.drawing.desk import Desk
from shopfit.drawing.scene import Scene, Shape
from shopfit.model.layout import CutPiece

IN = 25.4
# Sheet 1 holds one long piece; sheet 2 a wide, a narrow and a tiny one.
PIECES = ((1, 0, 0, 90, 42), (2, 0, 0, 50, 30), (2, 50.125, 0, 9, 30), (2, 0, 33, 4, 6))


@pytest.fixture(scope="module")
def cut(narrow):
    """Give the narrow shop with four pieces on two sheets, in no order."""
    scenario, layout = narrow
    run = layout.runs[0].id
    cuts = [
        CutPiece(
            run=run,
            x_mm=0,
            z_mm=0,
            width_mm=w * IN,
            height_mm=h * IN,
            sheet_number=number,
            sheet_x_mm=x * IN,
            sheet_z_mm=z * IN,
        )
        for number, x, z, w, h in reversed(PIECES)
    ]
    return scenario, layout.model_copy(update={"cuts": tuple(cuts)})


def _scenes(cut) -> list[Scene]:
    return draw_cuts(Desk.of(*cut), PAGES["letter"])


def test_pieces_lie_where_they_are_sawn(cut):
    """Each piece is drawn at its place on its sheet, numbered from the lower left."""
    groups = {g.tag: g for scene in _scenes(cut) for g in scene.groups()}
    for tag, (_, x, z, w, h) in zip(
        ("piece-1.1", "piece-2.1", "piece-2.2", "piece-2.3"), PIECES, strict=True
    ):
        shape = groups[tag].items[0]
        assert isinstance(shape, Shape)
        assert shape.points[0] == pytest.approx((x * IN, z * IN))
        assert shape.points[2] == pytest.approx(((x + w) * IN, (z + h) * IN))


def test_every_piece_has_its_size_in_words_or_in_the_list(cut):
    """A carpenter reads the size of each piece; the tiny one's in the list beside the drawing."""
    first, second = _scenes(cut)
    words = [text.text for text in first.texts()]
    assert {"7' 6\" × 3' 6\"", "Sheet 1"} <= set(words)
    listed = [row for table in second.tables if "small" in table.title for row in table.rows]
    lettered = " ".join(text.text for text in second.texts())
    for size in ("4' 2\" × 2' 6\"", '9" × 2\' 6"', '4" × 6"'):
        assert size in lettered or size in [row[2] for row in listed], size
    assert [row[2] for row in listed] == ['4" × 6"']


def test_saw_cuts_are_measured_from_the_edge(cut):
    """Every edge that is sawn is measured from the sheet's left edge, the kerf on both sides."""
    words = [text.text for text in _scenes(cut)[1].texts()]
    assert {"4' 2\"", "4' 2 1/8\"", "4' 11 1/8\""} <= set(words)


def test_cuts_are_numbered_in_sawing_order(cut):
    """Every cut of the list is drawn with its number; rips come before the crosscuts of strips."""
    second = _scenes(cut)[1]
    (order,) = [table for table in second.tables if "order" in table.title]
    numbers = [row[0] for row in order.rows]
    assert numbers == [str(n) for n in range(1, len(numbers) + 1)]
    assert set(numbers) <= {text.text for text in second.texts() if text.bold}
    assert order.rows[0][1:4] == ("board", "crosscut", "4' 11 1/8\"")
    freed = " ".join(row[4] for row in order.rows).replace(",", "").split()
    assert {"2.1", "2.2", "2.3"} <= set(freed)


def test_kept_offcuts_have_their_size(cut):
    """What is left of the first sheet's top is too narrow to keep; of the second's side is not."""
    first, second = _scenes(cut)
    assert not [text for text in first.texts() if "offcut" in text.text]
    assert "3' × 4'" in " ".join(text.text.replace(' 3/4"', "") for text in second.texts())


def test_pieces_no_saw_frees_are_drawn_all_the_same(narrow):
    """Five pieces like a pinwheel have no order of cuts, and no list of it."""
    scenario, layout = narrow
    run = layout.runs[0].id
    wheel = [(0, 0, 20, 10), (20, 0, 10, 20), (10, 20, 20, 10), (0, 10, 10, 20), (10, 10, 10, 10)]
    cuts = tuple(
        CutPiece(
            run=run, x_mm=0, z_mm=0, width_mm=w * IN, height_mm=h * IN, sheet_number=1,
            sheet_x_mm=x * IN, sheet_z_mm=z * IN,
        )
        for x, z, w, h in wheel
    )  # fmt: skip
    (scene,) = draw_cuts(
        Desk.of(scenario, layout.model_copy(update={"cuts": cuts})), PAGES["letter"]
    )
    assert len(scene.groups()) == 6
    assert not [table for table in scene.tables if "order" in table.title]


def test_sheets_of_slat_wall_are_in_the_set(cut):
    """The printed set holds the cutting after the walls; without cuts there is none."""
    files = draw(*cut, page="letter").files
    assert "cutting.svg" in files
    bare = cut[1].model_copy(update={"cuts": ()})
    assert not [name for name in draw(cut[0], bare, page="letter").files if "cutting" in name]


def test_many_sheets_go_on_to_further_paper(narrow):
    """Ordinary cuts of a long shop are drawn at one scale, each sheet once."""
    scenes = draw_cuts(Desk.of(*narrow), PAGES["letter"])
    assert len(scenes) == len({piece.sheet_number for piece in narrow[1].cuts})
    assert len({scene.scale for scene in scenes}) == 1
    made = draw(*narrow, page="letter")
    papers = [sheet for sheet in made.sheets if sheet.file.startswith("cutting")]
    tags = [group.tag for sheet in papers for group in sheet.scene.groups()]
    assert [tags.count(f"sheet-{n}") for n in range(1, len(scenes) + 1)] == [1] * len(scenes)
    assert build.catalogue()["sheets"][0]["name"] in {
        text.text for sheet in papers for text in sheet.scene.texts()
    }
