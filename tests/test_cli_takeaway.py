"""Commands for what is carried off, as a newcomer runs them."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
import yaml
from click.testing import CliRunner, Result
from PIL import Image

from shopfit.cli import main
from shopfit.files.layouts import write_layout
from tests.checks import build as b


def _run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


def _written(folder: Path, shop: dict[str, Any], catalogue: dict[str, Any]) -> tuple[Path, Path]:
    """Write the shop that is drawn up by hand, and its layout."""
    folder.mkdir()
    (folder / "shop.yaml").write_text(yaml.safe_dump({**b.SHOP, **shop}), "utf-8")
    (folder / "fixtures.yaml").write_text(yaml.safe_dump({**b.CATALOGUE, **catalogue}), "utf-8")
    columns = list(dict.fromkeys(name for line in b.LINES for name in line))
    with (folder / "range.csv").open("w", encoding="utf-8", newline="") as stream:
        table = csv.DictWriter(stream, columns)
        table.writeheader()
        for line in b.LINES:
            row = {**line, "ways": " ".join(line["ways"])}
            table.writerow({k: "yes" if v is True else v for k, v in row.items()})
    write_layout(folder / "layout.json", b.layout())
    return folder, folder / "layout.json"


@pytest.fixture(scope="module")
def given(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Write a scenario with terms and finishes, and a layout of it."""
    finishes = {
        "floor": {"covers": "20 sq ft", "price": 50},
        "trim": {"length": "8 ft", "price": 6},
    }
    screws = {"id": "screws", "for_each": "screw", "price": 6, "pack": 50, "weight": "4 g"}
    ordering = {"tax": "8 %", "extras": [screws]}
    folder = tmp_path_factory.mktemp("takeaway") / "test-shop"
    return _written(folder, {"finishes": finishes}, {"ordering": ordering})


def test_order_prints_what_and_from_whom(given: tuple[Path, Path]) -> None:
    """Extras, tax and the sum are in the tables; the JSON says the same."""
    told = _run("order", *given)
    assert told.exit_code == 0, told.output
    assert "screws" in told.output
    assert "× screw" in told.output
    data = json.loads(_run("order", *given, "--json").stdout)
    assert data["rows"][-1]["item"] == "screws"
    (sent,) = data["consignments"]
    assert sent["tax"] == pytest.approx(sent["goods"] * 0.08, abs=0.006)
    assert f"{data['total']:,.2f}" in told.output


def test_order_and_finishes_write_their_files(given: tuple[Path, Path], tmp_path: Path) -> None:
    """Files are written where asked and nothing else is touched."""
    (tmp_path / "mine.txt").write_text("kept", "utf-8")
    assert _run("order", *given, "-o", tmp_path).exit_code == 0
    assert _run("finishes", *given, "-o", tmp_path).exit_code == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "finishes-parts.csv",
        "finishes.csv",
        "mine.txt",
        "order.csv",
        "order.xlsx",
    ]


def test_finishes_show_how_they_were_reckoned(given: tuple[Path, Path]) -> None:
    """The formulas stand below what is bought."""
    told = _run("finishes", *given)
    assert told.exit_code == 0
    assert "floor finish" in told.output
    assert "wall to wall" in told.output
    assert "common practice, no source" in told.output


def test_a_shop_without_finishes_says_where_they_go(tmp_path: Path) -> None:
    """Nothing named is no failure."""
    told = _run("finishes", *_written(tmp_path / "test-shop", {}, {}))
    assert told.exit_code == 0
    assert "add `finishes` to shop.yaml" in told.output


def test_labels_are_written_at_the_size_asked(given: tuple[Path, Path], tmp_path: Path) -> None:
    """A document on the paper asked for."""
    path = tmp_path / "sub" / "labels.pdf"
    told = _run("labels", *given, "-o", path, "--size", "70 mm", "37 mm", "--paper", "a4")
    assert told.exit_code == 0, told.output
    assert path.read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    ("size", "said"), [(("70", "37 mm"), "no unit"), (("10 mm", "37 mm"), "at least")]
)
def test_a_size_that_cannot_be_printed_is_refused(
    given: tuple[Path, Path], tmp_path: Path, size: tuple[str, str], said: str
) -> None:
    """Exit code 2, the mend in words, and no file."""
    path = tmp_path / "labels.pdf"
    told = _run("labels", *given, "-o", path, "--size", *size)
    assert told.exit_code == 2
    assert said in told.output
    assert not path.exists()


@pytest.mark.parametrize(("form", "start"), [("glb", b"glTF"), ("ifc", b"ISO-10303-21")])
def test_solids_are_written_in_the_form_asked(
    given: tuple[Path, Path], tmp_path: Path, form: str, start: bytes
) -> None:
    """The file begins as its standard says."""
    path = tmp_path / f"shop.{form}"
    assert _run("solids", *given, "-o", path, "--form", form).exit_code == 0
    assert path.read_bytes().startswith(start)


def test_a_missing_layout_is_a_fault_in_words(given: tuple[Path, Path]) -> None:
    """Exit code 2 for every command."""
    for command in ("order", "finishes", "labels", "solids"):
        told = _run(command, given[0], given[0] / "nothing.json")
        assert told.exit_code == 2, command
        assert "nothing.json" in told.output


def test_before_the_first_layout_it_is_said_how_to_make_one(
    given: tuple[Path, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Not the scenario is at fault: nothing was laid out yet."""
    monkeypatch.chdir(tmp_path)
    for command in ("check", "draw", "quantities", "order", "finishes", "labels", "solids"):
        told = _run(command, given[0])
        assert told.exit_code == 2, command
        assert "shopfit solve" in told.output, command
        assert "shopfit new" not in told.output, command


def test_a_code_on_several_labels_is_noted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two lines with one code print all the same, and the note names both."""
    monkeypatch.setattr(b, "LINES", [{**line, "code": "502"} for line in b.LINES])
    told = _run("labels", *_written(tmp_path / "twice", {}, {}), "-o", tmp_path / "labels.pdf")
    assert told.exit_code == 0, told.output
    names = [line["line"] for line in b.LINES]
    assert "code 502 is on" in told.stderr
    assert sum(name in told.stderr for name in names) >= 2


def test_lists_of_fixings_and_of_what_is_covered_are_printed(given: tuple[Path, Path]) -> None:
    """Both are lists of the quantities."""
    told = _run("quantities", *given, "--list", "fixings", "--list", "covered")
    assert told.exit_code == 0
    assert "lines at" in told.output
    assert "covered or close" in told.output


def test_what_to_buy_return_and_move_is_written(given: tuple[Path, Path], tmp_path: Path) -> None:
    """A table moved is told in the list of changes."""
    moved = b.moved(b.layout(), "F4", y_mm=2900.0)
    write_layout(tmp_path / "later.json", moved)
    words = ("compare", given[1], tmp_path / "later.json", "--scenario", given[0], "-o", tmp_path)
    assert _run(*words).exit_code == 0
    rows = list(csv.DictReader((tmp_path / "changes.csv").open(encoding="utf-8")))
    assert [(row["Do"], row["Item"], row["Moved by (mm)"]) for row in rows] == [
        ("move", "table-4", "200")
    ]


def test_sheets_are_drawn_as_pictures_on_the_paper_asked(
    given: tuple[Path, Path], tmp_path: Path
) -> None:
    """Every sheet is a picture of an A3 page at 150 dots an inch."""
    told = _run("draw", *given, "-o", tmp_path, "--paper", "a3", "--png")
    assert told.exit_code == 0, told.output
    pages = pypdfium2.PdfDocument(tmp_path / "drawings.pdf")
    pictures = sorted(tmp_path.glob("sheet-*.png"))
    assert len(pictures) == len(pages) > 1
    with Image.open(pictures[0]) as picture:
        assert picture.size == pytest.approx((420 / 25.4 * 150, 297 / 25.4 * 150), abs=1)
