"""Wishes on where goods stand, read and judged against the range and the rooms."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

import pytest
import yaml

from shopfit.errors import Fault, InputFaults
from shopfit.files.layouts import fingerprint
from shopfit.files.scenario import load_scenario
from shopfit.model.scenario import Scenario

# The scenario to start from is 14 ft by 20 ft, its entrance in the south wall, 90 in from east.
WAY = [["90 in", "0 in"], ["90 in", "150 in"], ["20 in", "150 in"]]


def asked(folder: Path, **wishes: Any) -> Path:
    """Write wishes into the brief of a scenario."""
    shop = yaml.safe_load((folder / "shop.yaml").read_text("utf-8"))
    shop["brief"]["merchandising"] = wishes
    (folder / "shop.yaml").write_text(yaml.safe_dump(shop), "utf-8")
    return folder


def categories(folder: Path) -> list[str]:
    """List the categories of a scenario's range."""
    return list(load_scenario(folder).categories)


def faults(folder: Path, **wishes: Any) -> list[Fault]:
    """Give the faults of a scenario with such wishes."""
    with pytest.raises(InputFaults) as raised:
        load_scenario(asked(folder, **wishes))
    return list(raised.value.faults)


def test_wishes_are_read_in_full(folder: Path) -> None:
    """Everything that may be asked, at once."""
    one, other = categories(folder)[:2]
    asked(
        folder,
        blocks={one: 2},
        touch=[[one, other]],
        apart=[],
        order=[[other, one]],
        way=WAY,
        heavy_over="10 lb",
        heavy_top="60 in",
        new_within="12 ft",
    )
    rules = load_scenario(folder).brief.merchandising
    assert rules.blocks == {one: 2}
    assert rules.touch == ((one, other),)
    assert rules.order == ((other, one),)
    assert rules.way == ((2286.0, 0.0), (2286.0, 3810.0), (508.0, 3810.0))
    assert (rules.heavy_over, rules.heavy_top) == pytest.approx((4.5359237, 1524.0))
    assert rules.new_within == pytest.approx(3657.6)


@pytest.mark.parametrize(("left", "right"), [(1, True), (0, False)])
def test_a_wish_for_new_goods_wants_some(folder: Path, left: int, right: bool) -> None:
    """One line marked new is enough; where none is, the wish would ask for nothing."""
    path = folder / "range.csv"
    text = path.read_text("utf-8")
    assert text.count(",yes\n") == 1
    path.write_text(text.replace(",yes\n", ",no\n", 1 - left), "utf-8")
    if right:
        assert load_scenario(asked(folder, new_within="12 ft")).lines
    else:
        (found,) = faults(folder, new_within="12 ft")
        assert found.where.startswith("brief > merchandising > new_within")
        assert "no line marked new" in found.given


@pytest.mark.parametrize(
    ("start", "right"),
    [
        (["90 in", "-0.9 in"], True),
        (["90 in", "-1.1 in"], False),
        (["90 in", "150 in"], True),
        (["168.9 in", "10 in"], True),
        (["169.1 in", "10 in"], False),
    ],
)
def test_a_way_may_begin_on_the_threshold(folder: Path, start: list[str], right: bool) -> None:
    """A sketch may be an inch off, and no more."""
    way = [start, ["20 in", "160 in"]]
    if right:
        assert load_scenario(asked(folder, way=way)).brief.merchandising.way is not None
    else:
        (found,) = faults(folder, way=way)
        assert found.where.startswith("brief > merchandising > way > point 1")


def test_a_way_goes_through_inner_doors_and_not_through_walls(folder: Path) -> None:
    """Between two rooms it may cross a wall only where a door is."""
    shop = yaml.safe_load((folder / "shop.yaml").read_text("utf-8"))
    corners = [["172 in", "0 in"], ["172 in", "240 in"], ["272 in", "240 in"], ["272 in", "0 in"]]
    shop["rooms"].append({"id": "annexe", "height": "9 ft", "corners": corners})
    door = {"id": "arch", "wall": "east", "offset": "40 in", "width": "48 in", "height": "80 in"}
    door |= {"use": "inner", "leads_to": "annexe", "depth": "4 in", "swing": "none"}
    shop["doors"].append(door)
    (folder / "shop.yaml").write_text(yaml.safe_dump(shop), "utf-8")
    # Wall east runs from north to south: the door is between 152 and 200 in north.
    through = [["90 in", "0 in"], ["90 in", "176 in"], ["220 in", "176 in"]]
    assert load_scenario(asked(folder, way=through)).brief.merchandising.way is not None
    (found,) = faults(folder, way=[*through[:1], ["220 in", "60 in"]])
    assert found.where.startswith("brief > merchandising > way > point 2")
    assert "partly outside the rooms" in found.given


@pytest.mark.parametrize(("north", "right"), [("100 in", True), ("190 in", False)])
def test_a_way_leads_away_from_the_entrance(folder: Path, north: str, right: bool) -> None:
    """Its beginning may be farther from the door than its end by an aisle of 42 in at most."""
    way = [["90 in", north], ["20 in", north], ["20 in", "20 in"]]
    if right:
        assert load_scenario(asked(folder, way=way)).brief.merchandising.way is not None
    else:
        (found,) = faults(folder, way=way)
        assert found.where.startswith("brief > merchandising > way (")


def test_numbers_of_pairs_are_left_out_where_pairs_are_lost(folder: Path) -> None:
    """A pair that cannot be read would shift the numbers of those after it."""
    one = categories(folder)[0]
    found = faults(folder, touch=[["!", one], [one, one]])
    assert [fault.where.split(" (")[0] for fault in found] == [
        "brief > merchandising > touch",
        "brief > merchandising > touch > pair 1 > category 1",
    ]


def test_a_lost_range_hides_what_only_it_could_tell(folder: Path) -> None:
    """Where rows cannot be read, no category is called unknown."""
    path = folder / "range.csv"
    path.write_text(path.read_text("utf-8") + "Broken,Ghost,1 in\n", "utf-8")
    found = faults(folder, touch=[["Ghost", "Phantom"]])
    assert {fault.file for fault in found} == {"range.csv"}


def test_a_way_that_is_too_short_does_not_hide_other_faults(folder: Path) -> None:
    """What a field lacks is said together with what others name wrongly."""
    found = faults(folder, way=[["1 in", "1 inch"], ["2 in", "2 in"]], blocks={"Nothing": 1})
    assert [fault.where.split(" (")[0] for fault in found] == [
        "brief > merchandising > blocks > Nothing",
        "brief > merchandising > way > point 1 > y",
    ]


@pytest.mark.parametrize(
    ("wishes", "where", "words"),
    [
        ({"blocks": ["a"]}, "blocks", "a name, a colon and a value"),
        ({"touch": {"a": "b"}}, "touch", "a dash before each item"),
        ({"touch": ["a", "b"]}, "touch > pair 1", "a dash before each item"),
        ({"order": [["a"]]}, "order > list 1", "Add what is missing"),
        ({"heavy_top": "50 in"}, "heavy_top", "Add heavy_over"),
        ({"way": [["1 in"], ["2 in", "3 in"]]}, "way > point 1 > y", "Add number 2"),
        ({"new_within": "-1 in"}, "new_within", "larger"),
    ],
)
def test_shapes_that_are_not_meant_are_told(
    folder: Path, wishes: dict[str, Any], where: str, words: str
) -> None:
    """Place and mend for each way of writing it wrongly."""
    found = faults(folder, **wishes)[0]
    assert found.where.split(" (")[0] == f"brief > merchandising > {where}"
    assert words in found.mend


@pytest.mark.parametrize(("cell", "new"), [("yes", True), ("No", False), ("", False), ("1", True)])
def test_new_lines_are_marked_in_the_range(folder: Path, cell: str, new: bool) -> None:
    """As locked ones are; a blank cell is no."""
    path = folder / "range.csv"
    with path.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    rows[0]["new"] = cell
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.DictWriter(stream, [*rows[1], "new"] if "new" not in rows[1] else [*rows[1]])
        writer.writeheader()
        writer.writerows(rows)
    assert [line.new for line in load_scenario(folder).lines][:2] == [new, False]


LINE = {"line": "Mug", "category": "K", "ways": ["shelf"], "width": "4 in", "height": "4 in"}
SMALL = {
    "shop": {
        "name": "Small",
        "rooms": [
            {"id": "r", "height": "3 m", "corners": [["0", "0"], ["0", "3 m"], ["3 m", "0"]]}
        ],
        "brief": {"bands": [{"id": "eye", "bottom": "1 m", "top": "2 m"}]},
    },
    "lines": [{**LINE, "depth": "4 in"}],
    "catalogue": {},
}
# As version 0.1.0 made it.
DIGEST = "269e303cd9484bffcf9150c996eb8b8fbc1bccb401625dda776b5e0903706ef0"


def test_what_is_not_asked_leaves_the_digest_as_it_was() -> None:
    """A layout of the first version is still of its scenario, until one of these is asked for."""
    small = Scenario.model_validate(SMALL)
    assert fingerprint(small) == DIGEST
    brief = small.brief
    digests = {DIGEST}
    for change in (
        {"merchandising": brief.merchandising.model_copy(update={"new_within": 1.0})},
        {"elasticity": brief.elasticity.model_copy(update={"default": 0.2})},
        {"bands": (brief.bands[0].model_copy(update={"weight": 2.0}),)},
    ):
        shop = small.shop.model_copy(update={"brief": brief.model_copy(update=change)})
        digests.add(fingerprint(small.model_copy(update={"shop": shop})))
    new = small.lines[0].model_copy(update={"new": True})
    digests.add(fingerprint(small.model_copy(update={"lines": (new,)})))
    assert len(digests) == 5
