"""The range is read row by row, and every faulty cell is named."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopfit.files.rangefile import FAULTS_SHOWN, RANGE_ROWS, RangeText, read_range

HEADER = "line,category,width,height,depth,ways"
ROW = "Mug,Kitchen,4 in,4 in,4 in,shelf"


def read(tmp_path: Path, *rows: str, header: str = HEADER, coding: str = "utf-8") -> RangeText:
    """Write a range and read it."""
    path = tmp_path / "range.csv"
    path.write_bytes(("\r\n".join([header, *rows]) + "\r\n").encode(coding))
    return read_range(path)


def test_optional_columns_may_be_missing_or_empty(tmp_path: Path) -> None:
    """What is left out is as the model says."""
    short = read(tmp_path, ROW)
    empty = read(
        tmp_path,
        f"{ROW},,,,,,,,",
        header=f"{HEADER},weight,min_facings,max_facings,holding,value,band,secured,",
    )
    assert short.lines == empty.lines
    line = short.lines[2]
    assert (line.min_facings, line.max_facings, line.value, line.band) == (1, 4, 1.0, None)


@pytest.mark.parametrize("ways", ["hook|shelf", "hook shelf", "hook;shelf", "Hook | SHELF"])
def test_ways_are_separated_as_people_do(tmp_path: Path, ways: str) -> None:
    """Bars, spaces and semicolons separate ways."""
    found = read(tmp_path, ROW.replace("shelf", ways))
    assert found.lines[2].ways == ("hook", "shelf")


@pytest.mark.parametrize(
    ("word", "secured"), [("yes", True), ("Y", True), ("no", False), ("0", False)]
)
def test_secured_is_yes_or_no(tmp_path: Path, word: str, secured: bool) -> None:
    """Both answers may be written short."""
    found = read(tmp_path, f"{ROW.replace('shelf', 'case')},{word}", header=f"{HEADER},secured")
    assert found.lines[2].secured is secured


def test_secured_is_nothing_else(tmp_path: Path) -> None:
    """Perhaps is no answer."""
    (fault,) = read(tmp_path, f"{ROW},perhaps", header=f"{HEADER},secured").faults
    assert (fault.where, fault.given, fault.allowed) == ("row 2, secured", "'perhaps'", "yes or no")


def test_a_workbook_in_the_place_of_the_range_is_told(tmp_path: Path) -> None:
    """Who put range.xlsx into the folder is told what to do with it, not to start from nothing."""
    (missing,) = read_range(tmp_path / "range.csv").faults
    assert "shopfit new" in missing.mend
    (tmp_path / "range.xlsx").write_bytes(b"PK")
    (fault,) = read_range(tmp_path / "range.csv").faults
    assert "range.xlsx" in fault.given
    assert "page" in fault.mend


def test_a_byte_order_mark_and_capitals_are_accepted(tmp_path: Path) -> None:
    """Spreadsheets write a mark first and people write headers with capitals and spaces."""
    found = read(tmp_path, f"{ROW},2", header=f"{HEADER.title()},Min Facings", coding="utf-8-sig")
    assert not found.faults
    assert found.lines[2].min_facings == 2


def test_rows_are_counted_as_a_spreadsheet_does(tmp_path: Path) -> None:
    """The header is row 1, and empty rows count."""
    found = read(tmp_path, ROW, "", ",,,,,", ROW.replace("Mug", "Cup").replace("4 in", "4", 1))
    (fault,) = found.faults
    assert fault.where == "row 5, width"


def test_all_faults_of_a_row_are_told(tmp_path: Path) -> None:
    """One row with three bad cells gives three faults."""
    found = read(tmp_path, "Mug,Kitchen,4,-4 in,4 in,shelve")
    assert [fault.where for fault in found.faults] == [
        "row 2, width",
        "row 2, height",
        "row 2, ways",
    ]


def test_a_header_that_names_nothing_known_is_refused(tmp_path: Path) -> None:
    """Missing, unknown and doubled columns are told together, and no rows are judged."""
    found = read(tmp_path, "x", header="line,line,category,hue,height,depth,ways")
    assert [fault.where for fault in found.faults] == [
        "row 1, width",
        "row 1, line",
        "row 1, column 4",
    ]


def test_open_quotes_are_a_fault(tmp_path: Path) -> None:
    """An inch mark inside quotes has to be doubled."""
    found = read(tmp_path, ROW.replace("4 in", '"4"', 1) + '"', '"open')
    assert found.faults[-1].given == "a cell that does not end"


def test_doubled_inch_marks_are_read(tmp_path: Path) -> None:
    """Feet and inches may be written with marks, quoted or not."""
    found = read(tmp_path, ROW.replace("4 in", '"1\' 7 1/2"""', 1).replace("4 in", '4"', 1))
    assert not found.faults
    assert (found.lines[2].width, found.lines[2].height) == (495.3, 101.6)


def test_a_shorter_row_misses_its_cells(tmp_path: Path) -> None:
    """Cells that are not there are missing like empty ones."""
    found = read(tmp_path, "Mug,Kitchen,4 in")
    assert {fault.where for fault in found.faults} == {
        "row 2, height",
        "row 2, depth",
        "row 2, ways",
    }


def test_many_faults_are_cut_to_a_readable_number(tmp_path: Path) -> None:
    """The first are shown and the others counted."""
    found = read(tmp_path, *(f"L{k},Kitchen,4,4 in,4 in,shelf" for k in range(FAULTS_SHOWN + 7)))
    assert len(found.faults) == FAULTS_SHOWN + 1
    assert found.faults[-1].given == "7 more with faults"


@pytest.mark.parametrize("extra", [0, 1, 20_000])
def test_too_many_rows_are_counted_and_refused(
    tmp_path: Path, extra: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At the limit all rows are read; over it none, and the message has the count."""
    monkeypatch.setattr("shopfit.files.rangefile.RANGE_ROWS", 500)
    found = read(tmp_path, *(f"L{k},Kitchen,4 in,4 in,4 in,shelf" for k in range(500 + extra)))
    if not extra:
        assert len(found.lines) == 500
        assert not found.faults
        return
    (fault,) = found.faults
    assert fault.given == f"{500 + extra:,} rows"
    assert not found.lines


def test_the_limit_of_rows_is_a_hundred_thousand(tmp_path: Path) -> None:
    """100,001 rows are refused by their number, quickly, for each row is only counted."""
    path = tmp_path / "range.csv"
    with path.open("w", encoding="utf-8") as stream:
        stream.write(HEADER + "\n")
        # Rows that cost nothing to judge: the first faults are forgotten with the rest.
        stream.writelines(f"{k}\n" for k in range(RANGE_ROWS + 1))
    (fault,) = read_range(path).faults
    assert (fault.given, fault.allowed) == ("100,001 rows", "at most 100,000 rows")


def test_a_large_file_is_refused_unread(tmp_path: Path) -> None:
    """Over 50 MB the size alone is told."""
    path = tmp_path / "range.csv"
    with path.open("wb") as stream:
        stream.truncate(50_000_001)
    (fault,) = read_range(path).faults
    assert fault.given == "50,000,001 bytes"
    with path.open("wb") as stream:
        stream.truncate(50_000_000)
    assert all("bytes" not in fault.given for fault in read_range(path).faults)
