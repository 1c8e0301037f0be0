"""Lists of parts and stock: read as a carpenter writes them, every fault told in one pass."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopfit.errors import InputFaults
from shopfit.files.cutlists import cut_csv, read_cut_job
from shopfit.model.cutting import PartRow

PARTS = """part,material,length,width,count,may turn,for
side,ply,34 1/2 in,23 1/4 in,6,no,"base cabinets, open"
skirt,trim,67 in,,5,,baseboard
"""
STOCK = """stock,name,material,length,width,price,trim
PLY,Plywood,ply,8',4',60,1/4 in
T8,Trim,trim,8',,8,
"""


def _files(folder: Path, parts: str = PARTS, stock: str = STOCK) -> tuple[Path, Path]:
    paths = folder / "parts.csv", folder / "stock.csv"
    for path, text in zip(paths, (parts, stock), strict=True):
        path.write_text(text, "utf-8")
    return paths


def test_lists_are_read(tmp_path: Path) -> None:
    """Inches in fractions, blanks for what is not said, and the kerf as typed."""
    job = read_cut_job(*_files(tmp_path), kerf="4 mm", keep=("500 mm", "100 mm"))
    side, skirt = job.parts
    assert (side.length, side.count, side.turns) == (pytest.approx(876.3), 6, False)
    assert side.purpose == "base cabinets, open"
    assert skirt.width is None
    assert [piece.price for piece in job.stock] == [60.0, 8.0]
    assert (job.kerf, job.keep_length, job.keep_width) == (4.0, 500.0, 100.0)


def test_a_saw_of_ordinary_width_is_taken_for_granted(tmp_path: Path) -> None:
    """1/8 in, unless something else is typed."""
    assert read_cut_job(*_files(tmp_path)).kerf == pytest.approx(3.175)


def test_every_fault_is_told_at_once(tmp_path: Path) -> None:
    """Rows, columns and options of both files and the command line, in the user's names."""
    parts = "part,material,length,count,may_turn\nside,plyy,34,0,perhaps\nside,ply,10 in,1,\n"
    paths = _files(tmp_path, parts, "stock,material,length,colour\nP,ply,8',red\n")
    with pytest.raises(InputFaults) as told:
        read_cut_job(*paths, kerf="3")
    said = [(fault.file, fault.where) for fault in told.value.faults]
    assert said == [
        ("command line", "--kerf"),
        ("parts.csv", "row 2, count"),
        ("parts.csv", "row 2, length"),
        ("parts.csv", "row 2, may_turn"),
        ("stock.csv", "row 1, column 4"),
    ]


def test_faults_between_the_lists(tmp_path: Path) -> None:
    """Names twice, materials without stock, and sheets and lengths in one material."""
    parts = "part,material,length\nside,plyy,10 in\nside,ply,10 in\n"
    stock = "stock,material,length,width,groove_pitch\nA,ply,8',4',\nB,ply,8',,\nC,ply,8',4',3 in\n"
    with pytest.raises(InputFaults) as told:
        read_cut_job(*_files(tmp_path, parts, stock))
    said = [(fault.file, fault.where) for fault in told.value.faults]
    assert said == [
        ("parts.csv", "row 2, material"),
        ("parts.csv", "row 3, part"),
        ("stock.csv", "row 3, width"),
        ("stock.csv", "row 4, groove_pitch"),
    ]


@pytest.mark.parametrize("missing", ["parts.csv", "stock.csv"])
def test_a_missing_file_is_told(tmp_path: Path, missing: str) -> None:
    """Its name, and no word of scenarios."""
    paths = _files(tmp_path)
    (tmp_path / missing).unlink()
    with pytest.raises(InputFaults, match=missing) as told:
        read_cut_job(*paths)
    assert "scenario" not in str(told.value)


def test_a_list_with_semicolons_is_told_once(tmp_path: Path) -> None:
    """A list with other separators lacks no column, nor does one with a misspelt name."""
    parts = _files(tmp_path, PARTS.replace(",", ";"), STOCK.replace("price", "prise"))
    with pytest.raises(InputFaults) as raised:
        read_cut_job(*parts, kerf="3")
    kerf, separator, misspelt = raised.value.faults
    assert "columns separated by commas" in separator.allowed
    assert "Did you mean 'price'?" in misspelt.mend
    assert kerf.allowed.startswith("a length with its unit")
    assert kerf.mend == "Add the unit, such as 3 in or 3 mm."


def test_an_empty_list_is_told(tmp_path: Path) -> None:
    """A header alone is nothing to cut."""
    with pytest.raises(InputFaults, match="0 rows"):
        read_cut_job(*_files(tmp_path, PARTS.splitlines()[0] + "\n"))


def test_lists_have_headers_even_where_empty() -> None:
    """Lengths twice: as the user writes them, and in mm."""
    header = cut_csv(PartRow, (), "ft-in").splitlines()[0]
    assert "Length (ft and in),Length (mm)" in header
