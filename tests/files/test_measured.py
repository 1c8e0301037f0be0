"""Tape measurements: a list to fill in, and every fault of a filled-in one in one pass."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from shopfit.asbuilt import what_to_measure
from shopfit.errors import InputFaults
from shopfit.files import measured
from shopfit.files.measured import measuring_list_csv, read_measured
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario

HEAD = "what,measure,to,planned,measured,note\n"


def _read(folder: Path, text: str, scenario: Scenario, layout: Layout):
    path = folder / "measured.csv"
    path.write_text(text, encoding="utf-8")
    return read_measured(path, scenario, layout)


def _faults(folder: Path, text: str, scenario: Scenario, layout: Layout) -> list[str]:
    with pytest.raises(InputFaults) as caught:
        _read(folder, text, scenario, layout)
    return [
        f"{one.where} | {one.given} | {one.allowed} | {one.mend}" for one in caught.value.faults
    ]


def test_a_list_filled_in_with_what_is_planned_reads_as_planned(
    tmp_path: Path, kiosk: Scenario, kiosk_layout: Layout
) -> None:
    """A size that reads like the planned one is the planned one, to the last hundredth."""
    rows = what_to_measure(kiosk, kiosk_layout)
    text = measuring_list_csv(rows, kiosk.shop.units)
    filled = tmp_path / "filled.csv"
    listed = list(csv.DictReader(io.StringIO(text, newline="")))
    assert all(row["measured"] == "" for row in listed)
    with filled.open("w", newline="", encoding="utf-8") as stream:
        writer = csv.DictWriter(stream, list(listed[0]))
        writer.writeheader()
        writer.writerows([{**row, "measured": row["planned"]} for row in listed])
    found, blank = read_measured(filled, kiosk, kiosk_layout)
    assert blank == 0
    for one, planned in zip(found, rows, strict=True):
        assert (one.what, one.measure, one.to) == (planned.what, planned.measure, planned.to)
        assert one.measured_mm == planned.planned_mm


def test_blank_rows_are_counted_and_names_are_found_loosely(
    tmp_path: Path, kiosk: Scenario, kiosk_layout: Layout
) -> None:
    """Case does not matter, and a door's name is enough where nothing else has it."""
    text = HEAD + "FRONT DOOR,Width,,,35 in,\ndoor front door,height,,,,\n"
    (row,), blank = _read(tmp_path, text, kiosk, kiosk_layout)
    assert (row.what, row.measure, row.row) == ("door front door", "width", 2)
    assert row.measured_mm == pytest.approx(889.0)
    assert blank == 1


def test_every_fault_in_one_pass_with_row_and_column(
    tmp_path: Path, kiosk: Scenario, kiosk_layout: Layout
) -> None:
    """Unknown things, measures, gaps to nothing, sizes without a unit and measures given twice."""
    tag, other = (one.id for one in kiosk_layout.placements[:2])
    text = HEAD + (
        "F99,width,,,3 in,\n"
        f"{tag},girth,,,3 in,\n"
        f"{tag},gap to,{tag},,3 in,\n"
        f"{tag},gap to,,,3 in,\n"
        f"{tag},width,{other},,3 in,\n"
        f"{tag},width,,,35,\n"
        f"{tag},depth,,,2 ft,\n"
        f"{tag},depth,,,2 ft,\n"
        f"{tag},height,,,-2 in,\n"
        f"{tag},height,,,2 in,,,,more\n"
    )
    told = _faults(tmp_path, text, kiosk, kiosk_layout)
    places = [one.split(" | ")[0] for one in told]
    assert places == [
        "row 2, what",
        "row 3, measure",
        "row 4, to",
        "row 5, to",
        "row 6, to",
        "row 7, measured",
        "row 9",
        "row 10, measured",
        "row 11",
    ]
    assert "gap to" in told[1]
    assert "has no unit" in told[5] or "length with its unit" in told[5]
    assert "already in row 8" in told[6]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no such column"),
        ("what,measure,measurd\n", "no such column"),
        ("what,measure,measured,colour\n", "a known column"),
        (HEAD, "Fill in what the tape says"),
        (HEAD + 'F1,width,,,"3 in\n', "quotes in pairs"),
    ],
)
def test_files_that_are_no_list_are_refused(
    tmp_path: Path, kiosk: Scenario, kiosk_layout: Layout, text: str, said: str
) -> None:
    """With what is missing, before any row is looked at."""
    assert any(said in one for one in _faults(tmp_path, text, kiosk, kiosk_layout))


def test_rows_over_the_most_are_told_and_not_lost(
    tmp_path: Path, kiosk: Scenario, kiosk_layout: Layout, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As many as may be are read, blank ones not counted; with one more nothing is."""
    monkeypatch.setattr(measured, "ROWS", 2)
    text = HEAD + "front door,width,,,35 in,\n,,,,,\nfront door,height,,,,\n"
    assert len(_read(tmp_path, text, kiosk, kiosk_layout)[0]) == 1
    (told,) = _faults(tmp_path, text + "front door,width,,,36 in,\n", kiosk, kiosk_layout)
    assert told.startswith("whole file | 3 rows | at most 2 rows")


def test_a_missing_file_is_told(tmp_path: Path, kiosk: Scenario, kiosk_layout: Layout) -> None:
    """The mend says how to get a list to fill in."""
    with pytest.raises(InputFaults, match="measuring-list"):
        read_measured(tmp_path / "none.csv", kiosk, kiosk_layout)
