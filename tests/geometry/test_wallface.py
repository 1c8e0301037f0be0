"""Faces that show goods: display sides of fixtures and runs of slat-wall."""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.geometry.wallface import face_start, faces, groove_height
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario

FREE = 101.6


def scenario() -> Scenario:
    """Make a scenario with a cabinet and a table that show goods, and a sheet."""
    cabinet = {
        "id": "cab",
        "kind": "base-cabinet",
        "width": "1 m",
        "depth": "450 mm",
        "height": "900 mm",
        "stands": ["wall"],
        "price": 1,
        "faces": [
            {"kind": "shelf", "width": "950 mm", "bottom": "100 mm", "top": "850 mm"}
            | {"depth": "400 mm", "pitch": "50 mm", "load": "38 kg", "board": "20 mm"}
        ],
    }
    table = {
        "id": "tab",
        "kind": "table",
        "width": "1.2 m",
        "depth": "600 mm",
        "height": "750 mm",
        "stands": ["island"],
        "price": 1,
        "faces": [
            {"side": "left", "kind": "table", "bottom": "750 mm", "top": "1.2 m"}
            | {"depth": "300 mm", "load": "30 kg"}
        ],
    }
    sheet = {"id": "s", "width": "2.4 m", "height": "1.2 m", "groove_load": "60 kg/m", "price": 1}
    sheet |= {"groove_pitch": "100 mm", "first_groove": "50 mm"}
    line: dict[str, Any] = {"line": "Mug", "category": "K", "ways": ["shelf"]}
    line |= {"width": "1 in", "height": "1 in", "depth": "1 in"}
    room = {"id": "shop", "height": "3 m", "corners": [["0", "0"], ["0", "9 m"], ["9 m", "0"]]}
    return Scenario.model_validate(
        {
            "shop": {"name": "Test", "rooms": [room]},
            "lines": [line],
            "catalogue": {"fixtures": [cabinet, table], "sheets": [sheet]},
        }
    )


def layout(over: tuple[str, ...] = ()) -> Layout:
    """Make a layout with both fixtures and a run."""
    place = {"x_mm": 0, "y_mm": 0, "angle_deg": 0}
    run = {"id": "R1", "wall": "shop-1", "from_mm": 500, "to_mm": 2500, "bottom_mm": 950}
    run |= {"top_mm": 2000, "sheet": "s", "first_groove_mm": 1000, "over": over}
    return Layout.model_validate(
        {
            "scenario": "test",
            "placements": [
                {"id": "F1", "fixture": "cab", **place},
                {"id": "F2", "fixture": "tab", **place},
            ],
            "runs": [run],
            "claims": {"facings": 0, "units": 0, "value": 0, "cost": 0},
        }
    )


def test_a_shelf_face_has_the_levels_that_fit() -> None:
    """Levels lie a pitch apart, and the shelf's load is spread over the face's width."""
    shelf = faces(scenario(), layout(), FREE)[0]
    assert (shelf.host, shelf.side, shelf.kind) == ("F1", "front", "shelf")
    assert (shelf.width, shelf.depth, shelf.levels) == (950, 400, 15)
    assert shelf.load == pytest.approx(40)
    assert shelf.board == 20


def test_a_table_is_one_level_as_long_as_its_side() -> None:
    """A table's left end is as long as the table is deep and carries no board of its own."""
    table = faces(scenario(), layout(), FREE)[1]
    assert (table.width, table.levels, table.board) == (600, 1, 0)
    assert (table.bottom, table.top, table.pitch) == (750, 1200, 450)
    assert table.load == pytest.approx(50)


def test_a_run_starts_at_its_lowest_groove() -> None:
    """Levels of slat-wall are its grooves; where nothing stands below little may stand out."""
    run = faces(scenario(), layout(), FREE)[2]
    assert (run.host, run.kind, run.width) == ("R1", "slat", 2000)
    assert (run.bottom, run.top, run.levels) == (1000, 2000, 10)
    assert (run.depth, run.load) == (FREE, 60)


def test_goods_over_fixtures_stand_out_as_far_as_the_shallowest() -> None:
    """The shallowest fixture below a run limits how far goods stand out."""
    assert faces(scenario(), layout(("F1",)), FREE)[2].depth == 450
    assert faces(scenario(), layout(("F2", "F1")), FREE)[2].depth == 450
    assert faces(scenario(), layout(("F2",)), FREE)[2].depth == 600


def test_grooves_are_counted_from_the_lowest() -> None:
    """Groove 1 is the lowest."""
    assert [groove_height(1000, 76.2, k) for k in (1, 2, 5)] == pytest.approx(
        [1000, 1076.2, 1304.8]
    )


def test_a_face_lies_in_the_middle_of_its_side() -> None:
    """Shelves of 950 mm in a cabinet of 1 m begin 25 mm from its left end."""
    catalogue = scenario().catalogue
    assert face_start(catalogue.fixture("cab"), "front") == pytest.approx(25.0)
    assert face_start(catalogue.fixture("tab"), "left") == 0.0
    with pytest.raises(KeyError):
        face_start(catalogue.fixture("cab"), "back")
