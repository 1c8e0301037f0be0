"""Measure: walls typed as walked, what closes a walk, and everything else of a shell."""

from __future__ import annotations

import math

import pytest

from shopfit.cases.case import Case
from shopfit.files.drafts import Draft, judge
from shopfit.geometry.shell import survey
from shopfit.ui.measure.sketch import (
    closing,
    drawable,
    gap_words,
    mend_words,
    sketch,
    unread,
    wall_names,
)
from shopfit.ui.opening import empty_draft
from shopfit.units import INCH_MM
from tests.app.conftest import said, table_with, work_of

FOUR = ("12 ft", "10'6\"", "144", "10 ft 6 in")


def rooms_of(page) -> list:
    """Give the rooms as written."""
    return work_of(page).now.draft.shop["rooms"]


def pictures(page) -> list:
    """Give the pictures on the page."""
    return list(page.get("image"))


def walk(page, length: str, turn: str = "right 90°", name: str = "", other: str = "") -> None:
    """Type one wall."""
    page.text_input(key="next-name").set_value(name)
    page.text_input(key="next-length").set_value(length)
    page.selectbox(key="next-turn").set_value(turn)
    page.text_input(key="next-other").set_value(other)
    page.button(key="add-wall").click().run()
    assert not page.exception


def room(*walls: tuple[str, str]) -> dict:
    """Give a room as written from lengths and turns."""
    listed = [{"id": f"w{k + 1}", "length": a, "turn": b} for k, (a, b) in enumerate(walls)]
    return {"id": "shop", "height": "9 ft", "heading": "90", "walls": listed}


def with_room(*walls: tuple[str, str]) -> Case:
    """Give a case of one room."""
    shop = {**empty_draft().shop, "rooms": [room(*walls)]}
    return Case(empty_draft().changed(shop=shop))


def test_an_empty_room_says_where_the_plan_will_be(opened, page):
    """Before the first wall there is a word instead of a picture, and the form to type in."""
    opened("Measure", Case(empty_draft()))
    assert "grows here" in said(page)
    assert page.text_input(key="next-length")


def test_walls_typed_as_walked_make_a_room(opened, page):
    """Four walls in four notations close, and the plan grows with each."""
    opened("Measure", Case(empty_draft()))
    for count, length in enumerate(FOUR, 1):
        walk(page, length)
        assert len(rooms_of(page)[0]["walls"]) == count
        assert pictures(page)
    assert "The walk closes." in said(page)
    plan = survey(judge(work_of(page).now.draft).parts.shop)
    assert plan.floor.area == pytest.approx(144 * 126 * INCH_MM**2)


def test_a_bare_number_is_in_the_unit_of_the_page(opened, page):
    """In millimetres 2350 is millimetres, in feet and inches 92.5 is inches."""
    opened("Measure", Case(empty_draft()))
    walk(page, "92.5")
    page.selectbox(key=f"units-{page.session_state['generation']}").select("mm").run()
    walk(page, "2350")
    lengths = [wall["length"] for wall in rooms_of(page)[0]["walls"]]
    assert lengths == ["92.5 in", "2350 mm"]


def test_turns_can_be_of_any_angle(opened, page):
    """Left, right and odd angles are written as degrees to the right."""
    opened("Measure", Case(empty_draft()))
    walk(page, "10 ft", "left 90°")
    walk(page, "10 ft", "right 45°", name="slant")
    walk(page, "10 ft", other="-30")
    walls = rooms_of(page)[0]["walls"]
    assert [wall["turn"] for wall in walls] == ["-90", "45", "-30"]
    assert walls[1]["id"] == "slant"


def test_a_wall_without_a_length_is_not_added(opened, page):
    """An empty length is told at once."""
    opened("Measure", Case(empty_draft()))
    walk(page, " ")
    assert "Give the length" in said(page)
    assert not rooms_of(page)[0].get("walls")


def test_an_open_walk_tells_the_gap_and_what_would_close_it(opened, page):
    """The error is told in inches and directions, the wrong wall is offered and can be taken."""
    opened(
        "Measure", with_room(("240 in", "90"), ("123 in", "90"), ("240 in", "90"), ("120 in", "90"))
    )
    assert '3" east of where it began' in said(page)
    assert "'w2' were 10' 0\", 3\" shorter" in said(page)
    offered = [each for each in said(page).split("\n") if each.startswith("• ")]
    place = next(k for k, each in enumerate(offered) if "'w2'" in each)
    page.button(key=f"mend-{place}").click().run()
    assert "The walk closes." in said(page)
    assert rooms_of(page)[0]["walls"][1]["length"] == "3048 mm"


def test_the_wall_that_closes_is_offered(opened, page):
    """Where one more wall straight on would end at the start it is offered with its length."""
    opened("Measure", with_room(("240 in", "90"), ("120 in", "90"), ("240 in", "90")))
    page.button(key="close-it").click().run()
    assert "The walk closes." in said(page)
    assert len(rooms_of(page)[0]["walls"]) == 4


def test_the_last_wall_can_be_taken_out_and_put_back(opened, page):
    """Taking out and undo are opposite steps."""
    opened("Measure", with_room(("240 in", "90"), ("120 in", "90"), ("240 in", "90")))
    page.button(key="last-wall").click().run()
    assert len(rooms_of(page)[0]["walls"]) == 2
    page.button(key="undo").click().run()
    assert len(rooms_of(page)[0]["walls"]) == 3


def test_a_wall_that_cannot_be_read_is_told_beside_the_picture_of_the_others(opened, page):
    """One wrong length does not take the picture away."""
    opened("Measure", with_room(("240 in", "90"), ("120 parsecs", "90"), ("240 in", "90")))
    assert pictures(page)
    assert "parsecs" in table_with(page, "where", "mend").to_string()
    checks = table_with(page, "Name", "Check")["Check"]
    assert [bool(check) for check in checks] == [False, True, False]


@pytest.mark.parametrize(
    ("part", "key", "given"),
    [
        ("Doors", "doors", {"Name": "front", "From left": "20", "Width": "36"}),
        ("Windows", "windows", {"Name": "pane", "From left": "20"}),
        ("On walls", "obstructions", {"Name": "box", "From left": "2 ft"}),
        ("Columns", "columns", {"Name": "post", "Diameter": "6"}),
        ("Zones", "zones", {"Name": "back", "Corners": "0, 0; 50, 0; 50, 50"}),
        ("Rooms", "rooms", {"Name": "store"}),
    ],
)
def test_things_are_added_one_at_a_time(opened, page, part, key, given):
    """Each kind of thing is added by a form with labels, and undone as one step."""
    page.session_state["measure-part"] = part
    opened("Measure", with_room(*[("240 in", "90")] * 4))
    before = len(work_of(page).now.draft.shop.get(key) or ())
    for field in page.text_input:
        name = field.label.replace("\\", "").split(" (")[0]
        if name in given:
            field.set_value(given[name])
    page.button(key=f"{key}-put").click().run()
    assert not page.exception
    items = work_of(page).now.draft.shop[key]
    assert len(items) == before + 1
    assert items[-1]["id"] == given["Name"]
    if key == "zones":
        assert items[-1]["corners"] == [["0 in", "0 in"], ["50 in", "0 in"], ["50 in", "50 in"]]
    page.button(key="undo").click().run()
    assert len(work_of(page).now.draft.shop.get(key) or ()) == before


def test_a_thing_is_taken_out(opened, page, kiosk_folder):
    """What is chosen in the form can be taken out again."""
    page.session_state["measure-part"] = "Windows"
    opened("Measure")
    page.selectbox(key="windows-form-0-which").set_value(0).run()
    page.button(key="windows-out").click().run()
    assert work_of(page).now.draft.shop["windows"] == []


def test_heights_under_a_sloped_ceiling_go_to_their_wall(opened, page):
    """Heights are listed for all walls and written at the wall they belong to."""
    page.session_state["measure-part"] = "Heights"
    opened("Measure", with_room(*[("240 in", "90")] * 4))
    form = {" ".join(field.label.split()[:2]): field for field in page.text_input}
    form["From left"].set_value("0")
    form["Height there"].set_value("7 ft")
    next(s for s in page.selectbox if s.label == "Wall").set_value("w2")
    page.button(key="heights-put").click().run()
    assert rooms_of(page)[0]["walls"][1]["heights"] == [{"offset": "0 in", "height": "7 ft"}]


@pytest.mark.parametrize("part", ["Way in", "Shop"])
def test_what_there_is_one_of_is_changed_in_a_form(opened, page, part):
    """The way in and the shop itself are forms; nothing changes that was not touched."""
    page.session_state["measure-part"] = part
    opened("Measure")
    before = judge(work_of(page).now.draft).scenario
    key = "approach-put" if part == "Way in" else "shop-put"
    page.button(key=key).click().run()
    assert not page.exception
    assert judge(work_of(page).now.draft).scenario == before


def test_several_rooms_are_walked_one_by_one(opened, page):
    """With two rooms one is chosen, and walls go to that one."""
    shop = {**empty_draft().shop, "rooms": [room(*[("240 in", "90")] * 4), {"id": "store"}]}
    opened("Measure", Case(empty_draft().changed(shop=shop)))
    page.selectbox(key="room-walked").set_value(1).run()
    walk(page, "8 ft")
    assert len(rooms_of(page)[0]["walls"]) == 4
    assert len(rooms_of(page)[1]["walls"]) == 1


def test_a_room_of_corners_is_shown_as_corners(opened, page, kiosk_folder):
    """A room given by corners keeps them and is not turned into a walk."""
    from shopfit.files.drafts import draft_from_folder

    opened("Measure", Case(draft_from_folder(kiosk_folder.parent / "corner-yarn")))
    assert len(table_with(page, "Wall from here", "East")) == 7


def test_a_sketch_of_nothing_is_none():
    """Without a wall there is nothing to draw."""
    assert sketch(None, {}) is None
    assert drawable({"id": "x", "walls": []}) is None
    assert drawable("odd") is None
    assert wall_names(None) == []


def test_a_sketch_keeps_what_can_be_read():
    """Walls that cannot be read are left out of the sketch, the others stay in order."""
    written = room(("240 in", "90"), ("x", "90"), ("100 in", "90"))
    drawn = sketch(None, {"rooms": [written, {"id": "odd"}]})
    assert [wall.id for wall in drawn.rooms[0].walls] == ["w1", "w3"]
    broken = {**written, "height": "x"}
    assert [wall.id for wall in drawable(broken).walls] == ["w1", "w3"]


def test_gaps_are_told_in_words():
    """Both directions, the whole, and no direction of which there is nothing."""
    found = closing(
        drawable(room(("100 in", "90"), ("83 in", "90"), ("104 in", "90"), ("80 in", "90")))
    )
    assert gap_words(found, "in") == (
        'The walk ends 3" east and 4" south of where it began (5" in all).'
    )
    assert found.open_mm == pytest.approx(math.hypot(3, 4) * INCH_MM)


def test_a_turn_is_told_in_degrees():
    """A wrong turn is told with the right one."""
    found = closing(
        drawable(room(*[("100 in", "90"), ("100 in", "-90"), ("100 in", "90")], ("100 in", "90")))
    )
    assert "the turn after 'w2' were 90° and not -90°" in [mend_words(m, "in") for m in found.mends]


def test_units_of_an_unknown_name_are_feet_and_inches(opened, page):
    """A draft with units that nobody knows is still shown, and its fault told."""
    opened("Measure", Case(Draft(shop={"name": "x", "units": "cubits"})))
    assert page.selectbox(key="units-0").value == "ft-in"


def test_walls_are_walked_whatever_they_are_called(opened, page):
    """A name to be mended takes no wall out of the walk; mends find it by the name written."""
    walls = [("240 in", "90"), ("120 in", "90"), ("240 in", "90"), ("120 in", "90")]
    case = with_room(*walls)
    shop = {**case.draft.shop, "rooms": [room(*walls)]}
    for wall, name in zip(shop["rooms"][0]["walls"], ("a & b", "x" * 70, "w3", "w4"), strict=True):
        wall["id"] = name
    opened("Measure", Case(case.draft.changed(shop=shop)))
    assert "The walk closes" in said(page)
    mends = table_with(page, "where", "mend")["mend"].tolist()
    assert "Shorten it." in mends
    assert "Rename it with plain letters and digits." in mends


def test_a_walk_is_not_judged_without_the_walls_that_cannot_be_read(opened, page):
    """Their names are told; what is left of the walk says nothing of the others."""
    walls = [("240 in", "90"), ("abc", "90"), ("240 in", "90"), ("120 in", "90"), ("60 in", "0")]
    opened("Measure", with_room(*walls))
    assert "Not walked yet, for they cannot be read: w2." in said(page)
    assert "likely wrong" not in said(page)
    assert unread({"walls": [{"length": "1 m"}, "odd", {"id": "z"}]}) == ["wall 2", "z"]
