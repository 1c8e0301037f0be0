"""The building model, read back: schema, places, volumes and quantities.

Source: ISO 16739-1 (IFC 4) by the schema and the geometry kernel that ifcopenshell carries.
"""

from __future__ import annotations

import sys
from typing import Any

import pytest

from shopfit.solids.ifc import MissingLibraryError, ifc_text
from tests.checks import build as b

ifcopenshell = pytest.importorskip("ifcopenshell")

SCENARIO, LAYOUT = b.scenario(), b.layout()


@pytest.fixture(scope="module")
def read() -> Any:
    """Write a model and read it back."""
    return ifcopenshell.file.from_string(ifc_text(SCENARIO, LAYOUT))


def test_the_schema_finds_nothing_wrong(read: Any) -> None:
    """Every entity has what IFC 4 asks of it."""
    import ifcopenshell.validate as validate

    log = validate.json_logger()
    validate.validate(read, log)
    assert log.statements == []
    assert read.schema == "IFC4"


def test_spaces_walls_openings_and_furniture_are_there_with_their_tags(read: Any) -> None:
    """What the shop and the layout have, the model has."""
    assert [x.Name for x in read.by_type("IfcSpace")] == ["shop"]
    assert {x.Tag for x in read.by_type("IfcWall")} == {"W", "N", "E", "S"}
    assert {x.Tag for x in read.by_type("IfcFurniture")} == {x.id for x in LAYOUT.placements}
    assert {x.Tag for x in read.by_type("IfcCovering")} == {x.id for x in LAYOUT.runs}
    assert [x.Tag for x in read.by_type("IfcDoor")] == ["front"]
    assert [x.Tag for x in read.by_type("IfcWindow")] == ["light"]
    assert len(read.by_type("IfcOpeningElement")) == 2


def _volume(element: Any) -> float:
    import ifcopenshell.geom
    import ifcopenshell.util.shape

    shape = ifcopenshell.geom.create_shape(ifcopenshell.geom.settings(), element)
    return float(ifcopenshell.util.shape.get_volume(shape.geometry))


def test_the_kernel_cuts_openings_out_of_walls(read: Any) -> None:
    """Wall S less its door, by the geometry of another program, is what arithmetic says."""
    walls = {x.Tag: x for x in read.by_type("IfcWall")}
    assert _volume(walls["S"]) == pytest.approx(0.1 * (6.0 * 2.7432 - 0.9144 * 2.032), rel=1e-6)
    assert _volume(walls["N"]) == pytest.approx(0.1 * 6.0 * 2.7432, rel=1e-6)


def test_quantities_are_in_metres(read: Any) -> None:
    """The space has 28.8 square metres; a wall's net side is without its openings."""
    from ifcopenshell.util.element import get_psets

    space = get_psets(read.by_type("IfcSpace")[0])["Qto_SpaceBaseQuantities"]
    assert space["NetFloorArea"] == pytest.approx(28.8)
    assert space["Height"] == pytest.approx(2.7432)
    walls = {x.Tag: get_psets(x)["Qto_WallBaseQuantities"] for x in read.by_type("IfcWall")}
    assert walls["W"]["NetSideArea"] == pytest.approx(4.8 * 2.7432 - 1.0 * 1.1)
    covering = next(x for x in read.by_type("IfcCovering") if x.Tag == "R1")
    area = get_psets(covering)["Qto_CoveringBaseQuantities"]["NetArea"]
    assert area == pytest.approx(2.4384 * 1.2192)


def test_furniture_stands_where_the_layout_puts_it(read: Any) -> None:
    """The table F4 reaches from 2.0 to 3.2 m east and to 0.76 m up, by the kernel's corners."""
    import ifcopenshell.geom
    import ifcopenshell.util.shape

    table = next(x for x in read.by_type("IfcFurniture") if x.Tag == "F4")
    shape = ifcopenshell.geom.create_shape(ifcopenshell.geom.settings(), table)
    points = ifcopenshell.util.shape.get_vertices(shape.geometry)
    assert points.min(axis=0) == pytest.approx([2.0, 1.9, 0.0], abs=1e-6)
    assert points.max(axis=0) == pytest.approx([3.2, 2.7, 0.76], abs=1e-6)


def test_the_same_layout_gives_the_same_file() -> None:
    """Identifiers and dates come from the layout, not from chance or the clock."""
    assert ifc_text(SCENARIO, LAYOUT) == ifc_text(SCENARIO, LAYOUT)


def test_without_the_extra_it_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """A missing library is a fault of its own, not a traceback."""
    monkeypatch.setitem(sys.modules, "ifcopenshell", None)
    with pytest.raises(MissingLibraryError):
        ifc_text(SCENARIO, LAYOUT)
