"""Made cabinets and brackets: parts by hand, materials in the shopping list, cautions with sums."""

from __future__ import annotations

import io

import pytest
from openpyxl import load_workbook

from shopfit.files.cutlists import made_csv
from shopfit.files.orderbook import order_xlsx
from shopfit.files.workbook import shopping_xlsx
from shopfit.model.finishes import FinishTakeOff
from shopfit.model.fixtures import Bracket, Fixture
from shopfit.model.layout import Layout
from shopfit.model.making import MadeBracket, MadeCabinet, Material
from shopfit.model.ordering import Ordering
from shopfit.model.scenario import Scenario
from shopfit.quantities.joinery import (
    TooSmall,
    bracket_caution,
    bracket_pieces,
    cabinet_caution,
    cabinet_pieces,
    shelf_sag,
)
from shopfit.quantities.ordering import order
from shopfit.quantities.takeoff import take_off

MATERIALS = tuple(
    Material.model_validate(data)
    for data in (
        {"id": "ply", "kind": "sheet", "length": "2440 mm", "width": "1220 mm",
         "thickness": "18 mm", "price": 70},
        {"id": "thin", "kind": "sheet", "length": "2440 mm", "width": "1220 mm",
         "thickness": "6 mm", "price": 30},
        {"id": "batten", "kind": "length", "length": "2400 mm", "price": 8},
        {"id": "edge", "kind": "length", "length": "7500 mm", "price": 11},
        {"id": "screw", "kind": "piece", "price": 9, "pack": 100},
        {"id": "pin", "kind": "piece", "price": 4, "pack": 20, "owned": 8},
        {"id": "hinge", "kind": "piece", "price": 6, "pack": 2},
    )
)  # fmt: skip


def _cabinet(**made: object) -> tuple[Fixture, MadeCabinet]:
    fixture = Fixture.model_validate(
        {
            "id": "CAB",
            "kind": "base-cabinet",
            "width": "900 mm",
            "depth": "450 mm",
            "height": "850 mm",
            "stands": ["wall"],
            "faces": [
                {"kind": "shelf", "bottom": "100 mm", "top": "800 mm", "depth": "400 mm",
                 "load": "36 kg"}
            ],
            "price": 150,
            "made": {"panel": "ply", "toe_height": "100 mm", "rail": "90 mm", **made},
        }
    )  # fmt: skip
    assert fixture.made is not None
    return fixture, fixture.made


def _bracket(**made: object) -> tuple[Bracket, MadeBracket]:
    given = {"panel": "ply", "cleat": "batten", "width": "120 mm", "height": "150 mm", **made}
    bracket = Bracket.model_validate(
        {"id": "B", "kind": "cradle", "depth": "218 mm", "load": "6 kg", "price": 5, "made": given}
    )
    assert bracket.made is not None
    return bracket, bracket.made


def test_open_cabinet_by_hand() -> None:
    """900 × 450 × 850 of 18 mm with a 6 mm back: every size worked out on paper."""
    fixture, made = _cabinet(back="thin", shelves=2)
    sizes = {
        piece.part: (piece.count, piece.length, piece.width)
        for piece in cabinet_pieces(fixture, made, MATERIALS)
    }
    assert sizes == {
        "side": (2, 832.0, 444.0),
        "bottom": (1, 864.0, 444.0),
        "rail": (2, 864.0, 90.0),
        "toe board": (1, 864.0, 100.0),
        "top": (1, 900.0, 450.0),
        "shelf": (2, pytest.approx(860.8), pytest.approx(431.3)),
        "back": (1, 732.0, 900.0),
    }


def test_doors_take_their_thickness_off_the_depth() -> None:
    """Two doors over the front share its width less a gap each, and the body is 18 mm less deep."""
    fixture, made = _cabinet(doors=2, hinges="hinge", top=False)
    pieces = {piece.part: piece for piece in cabinet_pieces(fixture, made, MATERIALS)}
    assert (pieces["side"].length, pieces["side"].width) == (850.0, 432.0)
    assert pieces["door"].count == 2
    assert pieces["door"].length == pytest.approx(746.8)
    assert pieces["door"].width == pytest.approx(446.8)
    assert pieces["hinge"].count == 4
    assert "top" not in pieces
    assert "back" not in pieces


@pytest.mark.parametrize(("height", "hinges"), [(1000.0, 2), (1000.2, 3), (1700.0, 3), (1700.2, 4)])
def test_tall_doors_have_more_hinges(height: float, hinges: int) -> None:
    """Two up to 900 mm of front above the toes, three up to 1,600, four over that."""
    fixture, made = _cabinet(doors=1, hinges="hinge", top=False)
    tall = fixture.model_copy(update={"height": height})
    pieces = {piece.part: piece for piece in cabinet_pieces(tall, made, MATERIALS)}
    assert pieces["hinge"].count == hinges


def test_cradle_by_hand() -> None:
    """Plate, two arms as long as the bracket less the plate, cleat and rods."""
    bracket, made = _bracket(form="cradle", rod="batten", rods=2, arm="70 mm", screws="screw")
    sizes = {
        piece.part: (piece.count, piece.length, piece.width)
        for piece in bracket_pieces(bracket, made, MATERIALS)
    }
    assert sizes == {
        "plate": (1, 150.0, 120.0),
        "cleat": (1, 120.0, None),
        "arm": (2, 200.0, 70.0),
        "rod": (2, 120.0, None),
        "screw": (6, None, None),
    }


def test_shelf_bracket_has_a_brace() -> None:
    """One arm on top as wide as the plate, and a brace sawn off along the diagonal."""
    bracket, made = _bracket(form="shelf")
    pieces = {piece.part: piece for piece in bracket_pieces(bracket, made, MATERIALS)}
    assert (pieces["arm"].length, pieces["arm"].width) == (200.0, 120.0)
    assert (pieces["brace"].length, pieces["brace"].width) == (132.0, 200.0)
    assert "diagonal" in pieces["brace"].note


def test_sizes_without_room_are_refused() -> None:
    """A bracket no deeper than its plate has no arm."""
    bracket, made = _bracket(form="cradle")
    flat = bracket.model_copy(update={"depth": 18.0})
    with pytest.raises(TooSmall, match="arm"):
        bracket_pieces(flat, made, MATERIALS)


def test_sag_by_hand() -> None:
    """5 q L^4 / 384 E I for 36 kg on 860.8 × 437.3 × 18 mm of 7,000 MPa: 5.04 mm / 3.43."""
    inertia = 437.3 * 18**3 / 12
    expected = 5 * 36 * 9.81 * 860.8**3 / (384 * 7000 * inertia)
    assert shelf_sag(860.8, 437.3, 18.0, 36.0) == pytest.approx(expected)
    assert expected == pytest.approx(1.97, abs=0.01)


def test_caution_gives_a_load_where_a_shelf_sags_too_far() -> None:
    """36 kg over 861 mm is under 1/300; twice as much is over, and half of that is said."""
    fixture, made = _cabinet()
    calm = cabinet_caution(fixture, made, MATERIALS, "mm")
    assert "at most" not in calm
    assert "cannot tip" in calm
    face = fixture.faces[0].model_copy(update={"load": 72.0})
    heavy = fixture.model_copy(update={"faces": (face,)})
    bearable = 36.0 * (860.8 / 300) / shelf_sag(860.8, 437.3, 18.0, 36.0)
    assert f"at most {bearable:.2f} kg" in cabinet_caution(heavy, made, MATERIALS, "mm")


def test_bracket_caution_has_the_pull_of_its_cleat() -> None:
    """6 kg at 109 mm out over a plate 150 mm high pulls like 4.36 kg."""
    bracket, made = _bracket(form="cradle")
    said = bracket_caution(bracket, made, "mm")
    assert "4.36 kg" in said
    assert "licensed people decide" in said


@pytest.fixture
def homemade(scenario: Scenario) -> Scenario:
    """Give the worked example with its cabinets made at home."""
    catalogue = scenario.catalogue
    fixture = next(each for each in catalogue.fixtures if each.id == "CAB")
    made = MadeCabinet.model_validate(
        {"panel": "ply", "back": "thin", "screws": "screw", "pins": "pin", "edging": "edge"}
    )
    own = fixture.model_copy(update={"made": made, "owned": 0})
    fixtures = tuple(own if each.id == "CAB" else each for each in catalogue.fixtures)
    more = catalogue.model_copy(update={"fixtures": fixtures, "materials": MATERIALS})
    return scenario.model_copy(update={"catalogue": more})


def test_made_things_reach_the_lists(homemade: Scenario, layout: Layout) -> None:
    """Materials are bought in place of cabinets, boards go on after the slat-wall, sums agree."""
    off = take_off(homemade, layout)
    made = off.made
    assert made is not None
    rows = {row.item: row for row in off.shopping}
    assert "CAB" not in rows
    placed = sum(placement.fixture == "CAB" for placement in layout.placements)
    sides = next(row for row in made.rows if row.part == "side")
    assert (sides.count, sides.in_all) == (2, 2 * placed)
    assert rows["pin"].needed == 4 * placed
    assert rows["pin"].packs == -(-(4 * placed - 8) // 20)
    boards = [board for board in made.plan.boards if board.stock == "ply"]
    assert rows["ply"].needed == len(boards)
    cut = sum(part.part == "CAB side" for board in boards for part in board.parts)
    assert cut == sides.in_all
    materials = sum(row.total for row in off.shopping if row.kind == "material")
    assert made.cost == pytest.approx(materials)
    assert off.total == pytest.approx(sum(row.total for row in off.shopping))
    assert [board.number for board in off.boards] == list(range(1, len(off.boards) + 1))


def test_order_holds_materials_and_no_made_thing(homemade: Scenario, layout: Layout) -> None:
    """What is ordered is what the shopping list buys."""
    ordered = {row.item: row.packs for row in order(homemade, layout).rows}
    off = take_off(homemade, layout)
    assert {row.item: row.packs for row in off.shopping} == ordered


def test_one_money_counts_for_what_is_made(homemade: Scenario, layout: Layout) -> None:
    """Its price is reckoned in the layout and paid nowhere; list, order and workbook say so."""
    made = take_off(homemade, layout).made
    assert made is not None
    assert made.estimate > 0
    (note,) = order(homemade, layout).notes
    assert "CAB" in note
    for money in (made.cost, made.estimate):
        assert f"{money:,.2f}" in note
    paid = order(homemade, layout)
    assert "CAB" not in {row.item for row in paid.rows}
    goods = sum(row.total for row in paid.rows)
    dearer = [
        each.model_copy(update={"price": each.price + 1000.0}) if each.id == "CAB" else each
        for each in homemade.catalogue.fixtures
    ]
    catalogue = homemade.catalogue.model_copy(update={"fixtures": tuple(dearer)})
    other = homemade.model_copy(update={"catalogue": catalogue})
    assert sum(row.total for row in order(other, layout).rows) == goods
    assert take_off(other, layout).total == take_off(homemade, layout).total
    files = (
        order_xlsx(paid, Ordering(), homemade.shop, FinishTakeOff()),
        shopping_xlsx(take_off(homemade, layout), homemade.shop),
    )
    for file in files:
        sheet = load_workbook(io.BytesIO(file)).worksheets[0]
        assert note in [cell.value for row in sheet.iter_rows() for cell in row]
    assert note in made_csv(made, "ft-in", homemade.shop.currency).replace('""', '"')


def test_nothing_made_changes_nothing(scenario: Scenario, layout: Layout) -> None:
    """Without made things the list has none, and the materials are not bought."""
    catalogue = scenario.catalogue.model_copy(update={"materials": MATERIALS})
    more = scenario.model_copy(update={"catalogue": catalogue})
    assert take_off(more, layout) == take_off(scenario, layout)
    assert take_off(scenario, layout).made is None


def test_sheets_without_stock_large_enough_are_told(homemade: Scenario, layout: Layout) -> None:
    """A top longer than every sheet is not lost in silence."""
    small = [
        material.model_copy(update={"length": 600.0}) if material.id == "ply" else material
        for material in MATERIALS
    ]
    catalogue = homemade.catalogue.model_copy(update={"materials": tuple(small)})
    made = take_off(homemade.model_copy(update={"catalogue": catalogue}), layout).made
    assert made is not None
    assert any("could not be cut: too large" in caution for caution in made.cautions)
