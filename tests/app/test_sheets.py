"""Drawings on the page: what is chosen is told, and brings its own wall."""

from __future__ import annotations

import pytest

from shopfit.cases.case import Case
from shopfit.drawing import draw
from shopfit.geometry.footprint import against_wall
from shopfit.geometry.shell import survey
from shopfit.quantities.takeoff import complete, take_off
from shopfit.ui.layout import room, sheets
from tests.app.conftest import said, table_with


@pytest.fixture
def layout(kiosk, kiosk_layout):
    """Give the hand layout, complete."""
    return complete(kiosk, kiosk_layout)


def _facings(layout, host):
    return sum(
        slot.facings
        for block in layout.blocks
        if block.host == host
        for row in block.rows
        for slot in row.slots
    )


def test_a_fixture_tells_every_line_that_it_shows(kiosk, layout):
    """Facings of the rows add up to those on the fixture; a block tells its own alone."""
    lists = take_off(kiosk, layout)
    for host in {block.host for block in layout.blocks}:
        rows = sheets.rows_of(kiosk, layout, lists, host)
        assert sum(row["facings"] for row in rows) == _facings(layout, host)
    block = layout.blocks[0]
    rows = sheets.rows_of(kiosk, layout, lists, f"{block.id}.1.1")
    assert {row["category"] for row in rows} == {block.category}
    assert sheets.rows_of(kiosk, layout, lists, "no such tag") == []


def test_every_fixture_can_be_chosen_on_the_plan(kiosk, layout):
    """Its tag is in the drawing, as the click hands it over."""
    files = draw(kiosk, layout).files
    assert {each.id for each in layout.placements} <= sheets.tags_of(files["plan.svg"])


def test_what_is_chosen_is_told_and_brings_its_wall(opened, page, laid_out):
    """A block chosen on the plan shows its rows and the wall that it is on."""
    layout = laid_out.layout
    block = layout.blocks[0]
    opened("Lay out", laid_out)
    assert "click it for what it shows" in said(page)
    page.session_state[sheets.CHOSEN] = block.host
    page.run()
    assert not page.exception
    told = table_with(page, "line", "facings", "holds", "height", "held by")
    assert len(told) >= 1
    assert page.selectbox(key="elevation-sheet").value.startswith(("wall-", "islands"))


def test_the_shop_is_shown_in_three_dimensions_on_demand(opened, page, laid_out):
    """Nothing is reckoned before it is asked for."""
    opened("Lay out", laid_out)
    assert "solid figure" not in page.session_state["made"]
    page.toggle(key="three-dimensions").set_value(True).run()
    assert not page.exception
    assert "solid figure" in page.session_state["made"]


def test_bodies_of_the_picture_are_those_of_the_shop(kiosk, layout):
    """Goods of every category, fixtures and walls are there, in metres."""
    made = room.figure(kiosk, layout)
    names = {body.name for body in made.data}
    assert {block.category for block in layout.blocks} <= names
    assert {"wall", "fixture", "floor"} <= names
    assert max(float(max(body.x)) for body in made.data) < 100


def test_the_wall_shown_first_has_something_on_it(opened, page, laid_out, kiosk):
    """Bare walls are drawn where walls are few; nobody has to look for the one that is not."""
    east = survey(kiosk.shop).wall("east")
    one = against_wall("F1", kiosk.catalogue.fixture("cab-36"), east, 600.0)
    rest = {"runs": (), "cuts": (), "blocks": ()}
    bare = laid_out.layout.model_copy(update={"placements": (one,), **rest})
    opened("Lay out", Case(laid_out.draft, bare))
    assert page.selectbox(key="elevation-sheet").value == "wall-east.svg"
