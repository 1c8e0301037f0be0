"""Layouts are written byte for byte the same and read back, or refused with every fault."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from shopfit.errors import Fault, InputFaults
from shopfit.files.layouts import (
    fingerprint,
    layout_text,
    read_layout,
    read_pins,
    write_layout,
)
from shopfit.files.scenario import load_scenario
from shopfit.model.layout import Claims, Layout
from shopfit.model.scenario import Scenario


def faults_of(path: Path, scenario: Scenario | None = None) -> tuple[Fault, ...]:
    """Give the faults of a layout that must have some."""
    with pytest.raises(InputFaults) as raised:
        read_layout(path, scenario)
    return raised.value.faults


def test_a_layout_survives_the_round_trip(
    kiosk: Scenario, kiosk_layout: Layout, tmp_path: Path
) -> None:
    """What is written is read back, to a ten-thousandth of a millimetre."""
    path = tmp_path / "layout.json"
    write_layout(path, kiosk_layout)
    found = read_layout(path, kiosk)
    assert found.placements[1].x_mm == pytest.approx(kiosk_layout.placements[1].x_mm, abs=1e-4)
    assert layout_text(found) == path.read_text("utf-8")
    assert [block.category for block in found.blocks] == ["Preserves", "Candles"]


def test_noise_in_the_last_bits_is_not_written() -> None:
    """Equal layouts give equal bytes, whatever binary noise their numbers carry."""
    texts = {
        layout_text(Layout(scenario="a", claims=Claims(facings=1, units=1, value=value, cost=cost)))
        for value, cost in ((0.3, 0.0), (0.1 + 0.2, -0.0), (0.30000004, -1e-9))
    }
    assert len(texts) == 1
    assert texts.pop().endswith("}\n")


def test_fields_keep_the_order_of_the_model(kiosk_layout: Layout) -> None:
    """People read layouts too: what it is of comes first."""
    fields = list(json.loads(layout_text(kiosk_layout)))
    assert fields[:4] == ["scenario", "fingerprint", "placements", "runs"]


def test_numbers_that_are_none_are_not_written() -> None:
    """NaN is no JSON, so it never gets into a file."""
    claims = Claims.model_construct(facings=1, units=1, value=math.nan, cost=0.0)
    with pytest.raises(ValueError, match="Out of range"):
        layout_text(Layout.model_construct(scenario="a", claims=claims))


Break = Callable[[dict[str, Any]], object]


@pytest.mark.parametrize(
    ("damage", "where", "given"),
    [
        (lambda d: d["placements"][0].pop("x_mm"), "placements > F1 > x_mm", "nothing"),
        (lambda d: d["placements"][0].update(x_mm="left"), "placements > F1 > x_mm", "'left'"),
        (lambda d: d["placements"][0].update(colour="red"), "placements > F1 > colour", "colour"),
        (lambda d: d["placements"].append(d["placements"][0]), "placements > F1", "second time"),
        (lambda d: d["runs"][0].update(over=["F9"]), "runs > R1 > over", "'F9'"),
        (lambda d: d["blocks"][0].update(host="F9"), "blocks > B1 > host", "'F9'"),
        (
            lambda d: d["blocks"][0]["rows"][0]["slots"][0].update(facings=0),
            "blocks > B1 > rows > item 1 > slots > item 1 > facings",
            "'0'",
        ),
        (lambda d: d["placements"][0].update(fixture="x"), "placements > F1 > fixture", "'x'"),
        (lambda d: d["placements"][1].update(wall="x"), "placements > F2 > wall", "'x'"),
        (lambda d: d["runs"][0].update(sheet="x"), "runs > R1 > sheet", "'x'"),
        (lambda d: d["runs"][0].update(wall="x"), "runs > R1 > wall", "'x'"),
        (lambda d: d["blocks"][0].update(category="x"), "blocks > B1 > category", "'x'"),
        (
            lambda d: d["blocks"][0]["rows"][0]["slots"][0].update(line="x"),
            "blocks > B1 > line",
            "'x'",
        ),
        (
            lambda d: d["blocks"][1]["rows"][0]["slots"][0].update(holder="x"),
            "blocks > B2 > holder",
            "'x'",
        ),
        (lambda d: d.update(cuts=[CUT | {"run": "R9"}]), "cuts > R9", "'R9'"),
        (lambda d: d["placements"][0].update(x_mm=1e308), "placements > F1 > x_mm", "1e+308"),
        (lambda d: d["placements"][1].update(y_mm=-1e6 - 1), "placements > F2 > y_mm", "-1e+06"),
        (lambda d: d["runs"][0].update(to_mm=1e9), "runs > R1 > to_mm", "1e+09"),
        (
            lambda d: d["blocks"][0]["rows"][0]["slots"][0].update(facings=10**9),
            "blocks > B1 > rows > item 1 > slots > item 1 > facings",
            "1e+09",
        ),
    ],
)
def test_damage_is_told_by_tag(
    kiosk: Scenario,
    kiosk_layout: Layout,
    tmp_path: Path,
    damage: Break,
    where: str,
    given: str,
) -> None:
    """Each fault names the tag of the thing and not its place in a list."""
    data = json.loads(layout_text(kiosk_layout))
    damage(data)
    path = tmp_path / "layout.json"
    path.write_text(json.dumps(data), "utf-8")
    (fault,) = faults_of(path, kiosk)
    assert fault.where == where
    assert given in fault.given


def test_lengths_up_to_a_kilometre_are_read(kiosk_layout: Layout, tmp_path: Path) -> None:
    """Just at the limit a layout is read; what lies there is for the checks to say."""
    data = json.loads(layout_text(kiosk_layout))
    data["placements"][0] |= {"x_mm": 1e6, "y_mm": -1e6}
    path = tmp_path / "layout.json"
    path.write_text(json.dumps(data), "utf-8")
    assert read_layout(path).placements[0].x_mm == 1e6


CUT = {"run": "R1", "x_mm": 0, "z_mm": 0, "width_mm": 1, "height_mm": 1, "sheet_number": 1}
CUT |= {"sheet_x_mm": 0, "sheet_z_mm": 0}


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("", "line 1"),
        ("{", "line 1"),
        ('{\n "scenario": oops}', "line 2"),
        ('{"scenario": NaN}', "whole file"),
        ('{"scenario": -Infinity}', "whole file"),
        ("[" * 100_000, "whole file"),
        ("[]", "whole file"),
        ('"layout"', "whole file"),
    ],
)
def test_what_is_no_layout_is_refused(tmp_path: Path, text: str, where: str) -> None:
    """Broken JSON, numbers that are none, and JSON of something else are faults."""
    path = tmp_path / "layout.json"
    path.write_text(text, "utf-8")
    assert faults_of(path)[0].where == where


def test_a_missing_layout_is_a_fault(tmp_path: Path) -> None:
    """A wrong path is told like any other fault."""
    assert faults_of(tmp_path / "none.json")[0].given == "nothing there"


def test_layouts_that_are_not_utf8_are_refused(tmp_path: Path) -> None:
    """Bytes that are no text are a fault."""
    path = tmp_path / "layout.json"
    path.write_bytes(b'{"scenario": "\xff"}')
    assert "UTF-8" in faults_of(path)[0].given


def test_a_fingerprint_depends_on_what_is_given_alone(folder: Path, start: Scenario) -> None:
    """Another folder name, comments and spacing leave it; any value changes it."""
    first = fingerprint(start)
    assert len(first) == 64
    moved = folder.rename(folder.with_name("other"))
    path = moved / "shop.yaml"
    path.write_text("# a remark\n" + path.read_text("utf-8").replace("20 ft", "240 in"), "utf-8")
    assert fingerprint(load_scenario(moved)) == first
    path.write_text(path.read_text("utf-8").replace("budget: 4000", "budget: 4001"), "utf-8")
    assert fingerprint(load_scenario(moved)) != first


def test_pins_are_checked_against_their_scenario(start: Scenario, tmp_path: Path) -> None:
    """A pins file of any name is read, and told by its own name."""
    path = tmp_path / "kept.yaml"
    path.write_text("keep:\n  - {fixture: cabinet-36, wall: east, offset: 24 in}\n", "utf-8")
    assert read_pins(path, start).keep[0].offset == pytest.approx(609.6)
    path.write_text("keep:\n  - {fixture: cabinet-36, wall: eastt, offset: 24 in}\n", "utf-8")
    assert read_pins(path).keep[0].wall == "eastt"
    with pytest.raises(InputFaults) as raised:
        read_pins(path, start)
    (fault,) = raised.value.faults
    assert (fault.file, fault.where) == ("kept.yaml", "keep > cabinet-36 > wall (line 2)")
    assert fault.mend == "Did you mean 'east'?"
