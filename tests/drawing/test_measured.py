"""The shell while it is measured: open, crossed and empty ones are drawn, names are escaped."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from shopfit.drawing.measured import measured_scene, measured_svg, walked_lines
from shopfit.model.scenario import Shop


def shop(**parts) -> Shop:
    """Give a shop whose room is walked along given walls, in inches and degrees."""
    walls = parts.pop("walls", [(120, 90), (96, 90), (120, 90), (96, 90)])
    room = {
        "id": "shop",
        "height": "96 in",
        "heading": 90,
        "walls": [
            {"id": f"w{k + 1}", "length": f"{length} in", "turn": turn}
            for k, (length, turn) in enumerate(walls)
        ],
    }
    return Shop.model_validate({"name": "Shop", "rooms": [room], **parts})


DOOR = {
    "id": "front",
    "wall": "w4",
    "offset": "20 in",
    "width": "36 in",
    "height": "80 in",
}


def words(shop_drawn: Shop) -> list[str]:
    """Give all lettering of a drawn shell."""
    return [text.text for text in measured_scene(shop_drawn).texts()]


@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_it_is_drawn_after_every_wall(count):
    """From the first wall on there is a picture with every wall's name and length."""
    walls = [(120, 90), (96, 90), (120, 90), (96, 90)][:count]
    ET.fromstring(measured_svg(shop(walls=walls)))
    assert [word for word in words(shop(walls=walls)) if word.startswith("w")] == [
        f"w{k + 1}  {length}" for k, length in enumerate(["10' 0\"", "8' 0\""] * 2)
    ][:count]


@pytest.mark.parametrize(("last", "gaps"), [(96, 0), (97, 0), (98, 1)])
def test_an_open_walk_shows_its_gap(last, gaps):
    """More than an inch is drawn as a gap, an inch is not."""
    drawn = measured_scene(shop(walls=[(120, 90), (96, 90), (120, 90), (last, 90)]))
    found = [group for group in drawn.groups() if group.tag == "shop open"]
    assert len(found) == gaps


def test_walls_that_cross_are_drawn_all_the_same():
    """A wrong turn gives a wrong picture, for that is how it is seen."""
    crossed = shop(walls=[(120, 90), (96, 90), (60, 90), (200, 90), (40, 90)], doors=[DOOR])
    ET.fromstring(measured_svg(crossed))


def test_a_door_on_a_wall_walked_either_way_is_inside():
    """Offsets run from the left end as seen from inside, whichever way the room was walked."""
    right = walked_lines(shop().rooms[0])
    left = walked_lines(shop(walls=[(96, -90), (120, -90), (96, -90), (120, -90)]).rooms[0])
    for lines in (right, left):
        middle = (
            sum(line.start[0] for line in lines) / 4,
            sum(line.start[1] for line in lines) / 4,
        )
        for line in lines:
            inward = line.point(line.length / 2, 10)
            outward = line.point(line.length / 2, -10)
            near, far = (
                (place[0] - middle[0]) ** 2 + (place[1] - middle[1]) ** 2
                for place in (inward, outward)
            )
            assert near < far


def test_things_on_walls_and_floor_are_told_by_name():
    """Doors, windows, things on walls, columns and zones are groups that can be pointed at."""
    full = shop(
        doors=[DOOR],
        windows=[{**_on("w1"), "id": "pane", "sill": "30 in", "head": "80 in"}],
        obstructions=[
            {**_on("w2"), "id": "box", "kind": "panelboard", "bottom": "40 in", "top": "60 in"}
        ],
        columns=[{"id": "post", "at": ["40 in", "40 in"], "diameter": "6 in"}],
        zones=[
            {
                "id": "back",
                "kind": "staff",
                "corners": [["0", "90 in"], ["96 in", "90 in"], ["96 in", "120 in"]],
            }
        ],
    )
    tags = {group.tag for group in measured_scene(full).groups()}
    assert {"front", "pane", "box", "post", "back", "w1"} <= tags


def test_things_on_unknown_walls_are_left_out():
    """A door whose wall is not walked yet is no reason for no picture."""
    tags = {group.tag for group in measured_scene(shop(doors=[{**DOOR, "wall": "w9"}])).groups()}
    assert "front" not in tags


def test_marks_in_names_are_text():
    """A name with angle brackets is lettering and never markup."""
    picture = measured_svg(shop(name="<script>alert(1)</script> & co"))
    root = ET.fromstring(picture)
    assert "<script>" not in picture
    assert root[0].text == "<script>alert(1)</script> & co: shell as measured"


def test_those_who_do_not_see_it_are_told_the_walls():
    """The description names every wall with its length."""
    assert "w1 10' 0\", w2 8' 0\"" in measured_scene(shop()).about


def _on(wall: str) -> dict[str, str]:
    return {"wall": wall, "offset": "20 in", "width": "20 in"}
