"""The command that checks: what it prints in 100 columns, writes and ends with."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from shopfit.cli import main
from shopfit.files.layouts import write_layout
from shopfit.gathering import entries
from shopfit.model.finding import Finding
from shopfit.model.layout import Layout


def run(*words: object) -> Result:
    done = CliRunner().invoke(main, [str(word) for word in words])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    for word in ("legal", "compliant", "Traceback"):
        assert word not in done.output
    return done


@pytest.fixture
def spoilt(tmp_path: Path, kiosk_layout: Layout) -> Path:
    """Give a layout of which every fixture was pushed 8 in north."""
    moved = tuple(
        one.model_copy(update={"y_mm": one.y_mm + 203.2}) for one in kiosk_layout.placements
    )
    path = tmp_path / "spoilt.json"
    write_layout(path, kiosk_layout.model_copy(update={"placements": moved}))
    return path


def test_numbers_are_the_same_in_table_list_data_and_plan(
    kiosk_folder: Path, spoilt: Path, tmp_path: Path
) -> None:
    """Finding 1 is finding 1 on the terminal, in the CSV, in the JSON and on the drawing."""
    out = tmp_path / "report"
    done = run("check", kiosk_folder, spoilt, "-o", out)
    assert done.exit_code == 1
    names = {path.name for path in out.iterdir()}
    assert names >= {"findings.csv", "findings.json", "findings.svg", "findings.pdf"}
    assert not [name for name in names if name.startswith(".")]
    data = json.loads((out / "findings.json").read_text("utf-8"))
    text = (out / "findings.csv").read_text("utf-8")
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert [row["Check"] for row in rows] == [one["code"] for one in data["findings"]]
    assert [row["No."] for row in rows] == [str(one["number"]) for one in data["findings"]]
    assert "margin" in done.stdout
    missed = [one for one in data["findings"] if one["severity"] == "violation"]
    assert any(one["margin"] is not None and one["margin"] < 0 for one in missed)
    drawing = (out / "findings.svg").read_text("utf-8")
    first = data["findings"][0]
    assert f'data-tag="finding-{first["number"]}"' in drawing
    asked = json.loads(run("check", kiosk_folder, spoilt, "--json").stdout)
    assert asked["findings"] == data["findings"]


def test_lines_stay_within_100_columns_and_no_word_is_broken(
    kiosk_folder: Path, spoilt: Path
) -> None:
    """What is printed is a table of whole words, and findings alike are gathered."""
    done = run("check", kiosk_folder, spoilt, "--full")
    data = json.loads(run("check", kiosk_folder, spoilt, "--json").stdout)
    brief = run("check", kiosk_folder, spoilt).stdout.splitlines()
    lines = done.stdout.splitlines()
    assert all(len(line) <= 100 for line in lines)
    words = set(done.stdout.split())
    found = [
        Finding.model_validate({key: cell for key, cell in one.items() if key != "number"})
        for one in data["findings"]
    ]
    told = entries(found)
    assert len(told) < len(found)
    for entry in told:
        assert {word for word in entry.worst.message.split() if len(word) > 6} <= words
    assert len(lines) < 7 * len(told) + 20
    unchecked = sum(entry.worst.severity == "not checked" for entry in told)
    assert len(brief) <= len(lines) - 2 * unchecked, "what was not checked is only named"


def test_an_older_report_leaves_nothing_behind(
    kiosk_folder: Path, spoilt: Path, kiosk_layout: Layout, tmp_path: Path
) -> None:
    """Sheets of a longer list go when a shorter one is written; other files stay."""
    out = tmp_path / "report"
    out.mkdir()
    (out / "plan.svg").write_text("kept")
    (out / "findings-tables-9.svg").write_text("old")
    run("check", kiosk_folder, spoilt, "-o", out)
    assert not (out / "findings-tables-9.svg").exists()
    assert (out / "plan.svg").read_text() == "kept"


def test_a_layout_with_unknown_names_has_lists_but_no_plan(
    kiosk_folder: Path, kiosk_layout: Layout, tmp_path: Path
) -> None:
    """What cannot be drawn is still told and written."""
    first = kiosk_layout.placements[0].model_copy(update={"fixture": "nothing"})
    odd = kiosk_layout.model_copy(update={"placements": (first, *kiosk_layout.placements[1:])})
    write_layout(tmp_path / "odd.json", odd)
    done = run("check", kiosk_folder, tmp_path / "odd.json", "-o", tmp_path / "report")
    assert done.exit_code == 1
    assert {p.name for p in (tmp_path / "report").iterdir()} == {"findings.csv", "findings.json"}
    assert "unknown-name" in done.stdout


def test_measuring_a_finished_shop(
    kiosk_folder: Path, kiosk_layout: Layout, tmp_path: Path
) -> None:
    """A list is written blank; filled in with a narrower door it ends with 1 and says so."""
    write_layout(tmp_path / "layout.json", kiosk_layout)
    blank = tmp_path / "measured.csv"
    done = run("check", kiosk_folder, tmp_path, "--measuring-list", blank)
    assert done.exit_code == 0
    rows = list(csv.DictReader(io.StringIO(blank.read_text("utf-8"), newline="")))
    for row in rows:
        if row["what"].startswith("door") and row["measure"] == "width":
            row["measured"] = "31 in"
    with blank.open("w", newline="", encoding="utf-8") as stream:
        writer = csv.DictWriter(stream, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    words = ("check", kiosk_folder, tmp_path, "--measured", blank, "--seconds", "5")
    done = run(*words, "-o", tmp_path / "built")
    assert done.exit_code == 1
    assert "past by 1" in done.stdout
    assert all(len(line) <= 100 for line in done.stdout.splitlines())
    names = {path.name for path in (tmp_path / "built").iterdir()}
    assert names >= {"as-built.csv", "as-built.json", "findings.svg", "findings.csv"}
    data = json.loads(run(*words, "--json").stdout)
    assert [one["measured_mm"] for one in data["measures"]] == [787.4]
    assert "door-width" in {one["code"] for one in data["limits_passed"]}
    assert data["not_measured"] == len(rows) - 1


def test_faults_of_measurements_end_with_2(
    kiosk_folder: Path, kiosk_layout: Layout, tmp_path: Path
) -> None:
    """And two steps at once are refused."""
    write_layout(tmp_path / "layout.json", kiosk_layout)
    bad = tmp_path / "bad.csv"
    bad.write_text("what,measure,measured\nF99,width,3\n")
    done = run("check", kiosk_folder, tmp_path, "--measured", bad)
    assert done.exit_code == 2
    assert "row 2, what" in done.stderr
    assert "row 2, measured" in done.stderr
    both = ("--measured", bad, "--measuring-list", tmp_path / "new.csv")
    assert run("check", kiosk_folder, tmp_path, *both).exit_code == 2
    assert not (tmp_path / "new.csv").exists()
