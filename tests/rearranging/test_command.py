"""The command that rearranges: what it prints, writes and refuses."""

from __future__ import annotations

import csv
import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from shopfit.cli import main

HERE = Path(__file__).parent
TODAY = HERE / "market-kiosk.json"


def run(*words: object) -> Result:
    """Run the command and make sure that it never shows a traceback."""
    done = CliRunner().invoke(main, ["rearrange", *(str(word) for word in words)])
    told = done.stdout + done.stderr
    assert done.exception is None or isinstance(done.exception, SystemExit), told
    assert "Traceback" not in told
    for word in ("legal", "compliant", "compliance"):
        assert word not in told.lower()
    return done


@pytest.fixture(autouse=True)
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Run every command in an empty folder."""
    monkeypatch.chdir(tmp_path)


@pytest.fixture
def changed(tmp_path: Path, kiosk_folder: Path) -> Path:
    """Give the kiosk with one line replaced by a wider one."""
    folder = tmp_path / "autumn"
    shutil.copytree(kiosk_folder, folder, ignore=shutil.ignore_patterns("pictures"))
    path = folder / "range.csv"
    text = path.read_text("utf-8")
    assert "Tote bag,Linen,15 in" in text
    path.write_text(text.replace("Tote bag,Linen,15 in", "Blanket,Linen,16 in"), "utf-8")
    return folder


def test_a_changed_range(changed: Path) -> None:
    """Tables tell what changes; moves.csv and all that `solve` writes are there."""
    done = run(changed, TODAY, "--seconds", 1)
    assert done.exit_code == 0, done.output
    assert "0 moves, and 1 block changed" in done.stdout
    assert "Tote bag 2 → 0" in done.stdout.replace("\n", " ")
    assert "Kept as they are: 7 of 7 fixtures, 5 of 5 runs, 13 of 14 blocks." in done.stdout
    assert all(len(line) <= 100 for line in done.stdout.splitlines())
    folder = Path("out/autumn-rearranged")
    written = {path.name for path in folder.iterdir()}
    assert {"layout.json", "plan.svg", "drawings.pdf", "shopping-list.csv", "moves.csv"} <= written
    rows = list(csv.DictReader((folder / "moves.csv").read_text("utf-8").splitlines()))
    goods = {row["Line"]: row for row in rows if row["What"] == "goods"}
    assert (goods["Tote bag"]["Facings before"], goods["Tote bag"]["Facings after"]) == ("2", "0")
    assert sum(row["What"] == "fixture" for row in rows) == 7
    assert sum(int(row["Counts as moves"]) for row in rows) == 0


def test_json(changed: Path) -> None:
    """Scripts get the counts, the four lists and the proof."""
    done = run(changed, TODAY, "--seconds", 1, "--json", "-o", "there")
    told = json.loads(done.stdout)
    assert told["outcome"] == "layout"
    assert (told["moves"]["count"], told["moves"]["blocks_changed"]) == (0, 1)
    assert {"fixtures", "runs", "blocks", "holders"} <= set(told["moves"])
    assert "moves.csv" in told["files"]
    stages = {stage["objective"]: stage for stage in told["proof"]["stages"]}
    assert stages["moves"]["bound"] == 0
    assert Path("there/moves.csv").is_file()


def test_nothing_to_do(kiosk_folder: Path) -> None:
    """What stands already does it; that is said, and written down all the same."""
    done = run(kiosk_folder, TODAY, "--gain", 0)
    assert done.exit_code == 0
    assert done.stdout.startswith("Nothing has to be moved.")
    assert Path("out/market-kiosk-rearranged/moves.csv").is_file()


def test_too_much_is_refused(kiosk_folder: Path) -> None:
    """No layout: exit code 3, the reason with numbers, and nothing written."""
    done = run(kiosk_folder, TODAY, "--gain", 9, "--seconds", 1)
    assert done.exit_code == 3
    assert "126 facings" in done.stdout
    assert not Path("out").exists()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--gain", "nan"), "not a number of facings"),
        (("--gain", "lots"), "--gain"),
        (("--most-moves", "-1"), "--most-moves"),
        (("--seconds", "0"), "--seconds"),
    ],
)
def test_options_out_of_range(kiosk_folder: Path, words: tuple[str, str], said: str) -> None:
    """Each is refused with its name, and with exit code 2."""
    done = run(kiosk_folder, TODAY, *words)
    assert done.exit_code == 2
    assert said in done.stderr


def test_what_stands_is_never_written_over(kiosk_folder: Path) -> None:
    """An output folder that holds the layout given is refused, by file and by folder."""
    folder = Path("stands")
    folder.mkdir()
    shutil.copyfile(TODAY, folder / "layout.json")
    before = (folder / "layout.json").read_bytes()
    for given in (folder, folder / "layout.json"):
        done = run(kiosk_folder, given, "-o", folder)
        assert done.exit_code == 2
        assert "holds the layout that stands" in done.stderr
    assert (folder / "layout.json").read_bytes() == before
    assert [path.name for path in folder.iterdir()] == ["layout.json"]


def test_a_layout_that_cannot_be_read(kiosk_folder: Path) -> None:
    """The fault is told with file and mend."""
    Path("odd.json").write_text("{}", "utf-8")
    done = run(kiosk_folder, "odd.json")
    assert done.exit_code == 2
    assert "odd.json" in done.stderr
    assert run(kiosk_folder, "nowhere.json").exit_code == 2


def test_a_list_of_moves_is_not_left_behind(kiosk_folder: Path) -> None:
    """A layout that is no rearrangement removes the list that an older one left in its folder."""
    from shopfit import outputs, planning

    assert run(kiosk_folder, TODAY, "--gain", 0, "-o", "there").exit_code == 0
    given = planning.load_scenario(kiosk_folder)
    layout = planning.read_layout(TODAY, given)
    files = outputs.output_files(given, layout, planning.check(given, layout))
    outputs.write_files(files, Path("there"))
    assert not Path("there/moves.csv").exists()
