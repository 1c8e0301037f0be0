"""The scenario to start from is sound, explained, and never written over anything."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from shopfit.errors import InputFaults
from shopfit.files.parts import FIXTURES, PINS, RANGE, SHOP
from shopfit.files.scenario import load_scenario
from shopfit.files.template import write_template
from shopfit.model.range import WAYS


def test_it_works_as_it_stands(tmp_path: Path) -> None:
    """Four files are written and read without a fault."""
    written = write_template(tmp_path / "my" / "shop")
    assert [path.name for path in written] == [SHOP, RANGE, FIXTURES, PINS]
    scenario = load_scenario(tmp_path / "my" / "shop")
    ways = {way for line in scenario.lines for way in line.ways}
    assert ways >= set(WAYS) - {"cradle"}


def test_an_empty_folder_may_be_there_already(tmp_path: Path) -> None:
    """Whoever made the folder first is not sent away."""
    write_template(tmp_path)
    assert load_scenario(tmp_path).lines


def test_nothing_is_written_over(tmp_path: Path) -> None:
    """A folder with anything in it is refused and left alone."""
    (tmp_path / "notes.txt").write_text("mine", "utf-8")
    with pytest.raises(InputFaults, match="a new or an empty folder"):
        write_template(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]
    with pytest.raises(InputFaults, match="a file of this name"):
        write_template(tmp_path / "notes.txt")


def test_what_is_marked_out_in_the_pins_works_too(tmp_path: Path) -> None:
    """The examples in comments are sound once the marks are taken out."""
    write_template(tmp_path)
    path = tmp_path / PINS
    text = path.read_text("utf-8").replace(": []", ":").replace("\n#  - ", "\n  - ")
    path.write_text(text, "utf-8")
    pins = load_scenario(tmp_path).pins
    assert [len(pins.keep), len(pins.clear)] == [2, 1]


def test_what_stands_behind_hashes_may_be_used(tmp_path: Path) -> None:
    """The wishes shown in the comments are right for this shop and its range."""
    write_template(tmp_path / "shop")
    path = tmp_path / "shop" / "shop.yaml"
    head, mark, wishes = path.read_text("utf-8").partition("  # merchandising:")
    path.write_text(head + re.sub(r"(?m)^  # ", "  ", mark + wishes), "utf-8")
    rules = load_scenario(tmp_path / "shop").brief.merchandising
    asked = {name for name in type(rules).model_fields if getattr(rules, name)}
    assert asked == set(type(rules).model_fields)
