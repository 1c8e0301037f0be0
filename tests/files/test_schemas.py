"""The JSON Schemas accept what is accepted and refuse what is plainly wrong."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import get_args

import jsonschema
import pytest
import yaml

from shopfit.files.layouts import layout_text
from shopfit.files.schemas import What, schema
from shopfit.files.template import write_template
from shopfit.model.layout import Layout

SCENARIOS = Path(__file__).parents[2] / "scenarios"
DEMOS = sorted(path.parent for path in SCENARIOS.glob("*/shop.yaml"))


def errors(what: What, data: object) -> list[str]:
    """Give what a schema has against some data, by path."""
    checker = jsonschema.Draft202012Validator(schema(what))
    return [f"{error.json_path}: {error.message}" for error in checker.iter_errors(data)]


@pytest.mark.parametrize("what", get_args(What))
def test_schemas_are_valid_schemas(what: What) -> None:
    """Each is a JSON Schema 2020-12 and can be written as JSON."""
    found = schema(what)
    jsonschema.Draft202012Validator.check_schema(found)
    assert found["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert found["title"].startswith(f"{what}.")
    assert json.loads(json.dumps(found)) == found


@pytest.mark.parametrize("what", get_args(What))
def test_every_field_is_explained(what: What) -> None:
    """Whoever writes a file in an editor reads what each field means."""
    found = schema(what)
    for name, part in {what: found, **found.get("$defs", {})}.items():
        for field, words in part.get("properties", {}).items():
            assert len(words.get("description", "")) > 8, f"{name}: {field}"


def test_explanations_are_those_of_the_models() -> None:
    """Words for two fields at once reach both, with how a length is written."""
    fields = schema("fixtures")["$defs"]["Fixture"]["properties"]
    assert fields["price"]["description"].startswith("Price each, how many can be had")
    assert fields["owned"]["description"] == fields["price"]["description"]
    assert fields["width"]["description"].startswith("Overall size; the front is a side")
    assert "92.5 in" in fields["width"]["description"]


def test_an_unknown_file_has_no_schema() -> None:
    """Only the files of a scenario and the layout have one."""
    with pytest.raises(KeyError):
        schema("stock")  # type: ignore[arg-type]


@pytest.mark.parametrize("folder", DEMOS, ids=lambda folder: folder.name)
def test_demos_keep_to_the_schemas(folder: Path) -> None:
    """Editors that know the schemas show no mark in any demo."""
    for path in sorted(folder.glob("*.yaml")):
        what = path.stem
        if what in get_args(What):
            assert errors(what, yaml.safe_load(path.read_text("utf-8"))) == [], path.name  # type: ignore[arg-type]


def test_the_scenario_to_start_from_keeps_to_the_schemas(tmp_path: Path) -> None:
    """What `shopfit new` writes is as it should be."""
    write_template(tmp_path)
    for what in ("shop", "fixtures", "pins"):
        data = yaml.safe_load((tmp_path / f"{what}.yaml").read_text("utf-8"))
        assert errors(what, data) == []  # type: ignore[arg-type]


def test_rows_keep_to_the_schema(tmp_path: Path) -> None:
    """A row is an object of its columns; the ways are a list."""
    write_template(tmp_path)
    numbers = {"min_facings": int, "max_facings": int, "holding": int, "value": float}
    with (tmp_path / "range.csv").open(encoding="utf-8", newline="") as stream:
        rows = [
            {name: numbers.get(name, str)(cell) for name, cell in row.items() if cell}
            | {"ways": row["ways"].split("|")}
            | {name: row[name] == "yes" for name in ("secured", "new")}
            for row in csv.DictReader(stream)
        ]
    assert errors("range", rows) == []
    assert errors("range", [{**rows[0], "ways": ["shelve"]}]) != []
    assert errors("range", []) != []


def test_layouts_keep_to_the_schema(kiosk_layout: Layout) -> None:
    """A layout as written is a layout as described."""
    data = json.loads(layout_text(kiosk_layout))
    assert errors("layout", data) == []
    del data["claims"]
    assert errors("layout", data) != []


@pytest.mark.parametrize(
    ("field", "value", "fits"),
    [
        ("height", "8 ft", True),
        ("height", 96, False),
        ("heigth", "8 ft", False),
        ("corners", [[0, 0], ["0 in", "3 m"], ["3 m", 0]], True),
        ("corners", [["0 in"], ["0 in", "3 m"], ["3 m", "0 in"]], False),
        ("heading", 90, True),
    ],
)
def test_rooms_are_described_field_by_field(field: str, value: object, fits: bool) -> None:
    """Lengths are texts with units, nought alone may be bare, and unknown fields are marked."""
    room = {"id": "shop", "height": "3 m", field: value}
    assert (errors("shop", {"name": "Test", "rooms": [room]}) == []) is fits


@pytest.mark.parametrize(
    ("wishes", "fits"),
    [
        ({"blocks": {"Wool": 1}, "touch": [["Wool", "Silk"]]}, True),
        ({"blocks": {"Wool": 0}}, False),
        ({"blocks": {"!": 1}}, False),
        ({"touch": [["Wool"]]}, False),
        ({"order": [["Wool"]]}, False),
        ({"way": [["0 in", "1 m"], [0, "2 m"]], "heavy_over": "5 lb", "heavy_top": "3 ft"}, True),
        ({"way": [["0 in", "1 m"]]}, False),
        ({"heavy_over": 5, "heavy_top": "3 ft"}, False),
    ],
)
def test_wishes_on_goods_are_described_field_by_field(wishes: object, fits: bool) -> None:
    """Categories by name, pairs of two, lists and ways of at least two."""
    room = {"id": "shop", "height": "3 m", "corners": [[0, 0], ["0 in", "3 m"], ["3 m", 0]]}
    shop = {"name": "Test", "rooms": [room], "brief": {"merchandising": wishes}}
    assert (errors("shop", shop) == []) is fits


def test_another_model_of_the_same_name_takes_no_words_away() -> None:
    """A finished shop has rooms too; the words of the shell's rooms stay."""
    from shopfit.model.measured import Room

    assert Room.__name__ == "Room"
    assert "id" not in Room.model_fields
    assert schema("shop")["$defs"]["Room"]["properties"]["id"]["description"] == "Name of the room."
