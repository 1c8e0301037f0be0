"""The command that cuts a list of one's own: what it prints, writes and ends with."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from shopfit.cli import main

STOCK = "stock,material,length,width,price,available\nPLY,ply,8',4',60,2\nT8,trim,8',,8,\n"
PARTS = (
    "part,material,length,width,count,for\n"
    "side,ply,34 1/2 in,23 1/4 in,6,cabinets\nskirt,trim,40 in,,3,wall\n"
)


def _run(folder: Path, parts: str = PARTS, *more: str) -> tuple[int, str]:
    (folder / "parts.csv").write_text(parts, "utf-8")
    (folder / "stock.csv").write_text(STOCK, "utf-8")
    paths = [str(folder / "parts.csv"), str(folder / "stock.csv")]
    done = CliRunner().invoke(main, ["cut", *paths, "--effort", "0.05", *more])
    return done.exit_code, done.output


def test_cuts_and_proofs_are_printed(tmp_path: Path) -> None:
    """Two sheets and two lengths, with the saw's order and how good they are."""
    code, said = _run(tmp_path)
    assert code == 0
    assert "Cuts in sawing order" in said
    assert "ply: 2 boards for 120.00, proved" in said
    assert "trim: 2 boards for 16.00, proved" in said


def test_files_are_written_together(tmp_path: Path) -> None:
    """Lists, drawings and the plan, whose boards are those of the JSON printed."""
    out = tmp_path / "out"
    code, said = _run(tmp_path, PARTS, "-o", str(out), "--json", "--units", "mm")
    told = json.loads(said)
    assert code == 0
    assert set(told["files"]) == {path.name for path in out.iterdir()}
    wanted = {"cut-list.csv", "saw-cuts.csv", "offcuts.csv", "cut-plan.json", "cutting.pdf"}
    assert wanted <= set(told["files"])
    assert json.loads((out / "cut-plan.json").read_text("utf-8"))["boards"] == told["boards"]
    assert told["cost"] == pytest.approx(136.0)


def test_what_cannot_be_cut_ends_with_3(tmp_path: Path) -> None:
    """A part too large, and more than the two sheets that there are."""
    parts = PARTS + "wall,ply,9',2',1,\n" + "door,ply,7',3',2,\n"
    code, said = _run(tmp_path, parts)
    assert code == 3
    assert "1 × wall, too large" in said
    assert "no stock left" in said


def test_faults_end_with_2_and_write_nothing(tmp_path: Path) -> None:
    """Nothing is written where something given is at fault."""
    out = tmp_path / "out"
    code, _ = _run(tmp_path, "part,material,length\nside,ply,12\n", "-o", str(out))
    assert code == 2
    assert not out.exists()
