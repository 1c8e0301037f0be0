"""The commands `ramp` and `aisle`: tables, JSON, files, faults and exit codes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner, Result

from shopfit.access.sizes import door_floor
from shopfit.cli import main
from shopfit.files.rampfile import read_ramp_task
from shopfit.planning import load_scenario
from shopfit.standards import load

RAMP = ["--rise", "7 in", "--along", "20 ft", "--away", "20 ft"]
QUESTION = """
name: Quayside stall
rise: 14 in
ground:
  corners: [[0 ft, 0 ft], [30 ft, 0 ft], [30 ft, -12 ft], [0 ft, -18 ft]]
  keep_free: [[[20 ft, -4 ft], [22 ft, -4 ft], [22 ft, -6 ft], [20 ft, -6 ft]]]
door: {middle: [8 ft, 0 ft], faces: 270, width: 36 in, closer: true}
limits: {most_turns: 1, slopes: [12, 14]}
prices: {handrail: 38, edge: 9, ramp: 24, deck: 21, step: 110, post: 40}
"""


def _run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


def test_the_table_reads_in_100_columns() -> None:
    """What fits, the proof, the family, the cautions; nothing wider than the terminal."""
    done = _run("ramp", *RAMP)
    assert done.exit_code == 0
    assert all(len(line) <= 100 for line in done.stdout.splitlines())
    for words in ("smallest", "arrangements tried", "Grid:", "licensed person", "straight out"):
        assert words in done.stdout
    assert "legal" not in done.stdout
    assert "compliant" not in done.stdout


def test_files_of_the_best_few(tmp_path: Path) -> None:
    """Drawings, list, lines for shop.yaml and the whole answer; older ones are taken away."""
    (tmp_path / "ramp-R9.svg").write_text("old")
    (tmp_path / "plan.svg").write_text("of a layout")
    question = tmp_path / "ramp.yaml"
    question.write_text(QUESTION)
    done = _run("ramp", str(question), "-o", str(tmp_path), "--best", "2", "--json")
    assert done.exit_code == 0
    told = json.loads(done.stdout)
    assert told["smallest"]
    assert told["cheapest"]
    names = {path.name for path in tmp_path.iterdir()}
    assert {"ramp.json", "ramps.pdf", "ramp-quantities.csv", "plan.svg"} <= names
    assert "ramp-R9.svg" not in names
    pasted = list(tmp_path.glob("ramp-*-approach.yaml"))
    assert len(pasted) == min(2, len(told["arrangements"]))
    approach = yaml.safe_load(pasted[0].read_text())["approach"]
    assert approach["floor_above_grade"] == "14 in"
    rows = (tmp_path / "ramp-quantities.csv").read_text().splitlines()
    assert rows[0].startswith("ramp,item,part,count,length,length_mm")
    assert json.loads((tmp_path / "ramp.json").read_text())["smallest"] == told["smallest"]


def test_a_scenario_gives_door_and_height(tmp_path: Path) -> None:
    """The chandlery: its floor is 7 in up, its door opens outward; hinges are mirrored."""
    done = _run(
        "ramp", "--scenario", "scenarios/towpath-chandlery", "--along", "30 ft", "--away", "12 ft",
        "--json", "-o", str(tmp_path),
    )  # fmt: skip
    told = json.loads(done.stdout)
    assert float(told["task"]["rise"].split()[0]) == pytest.approx(7 * 25.4)
    assert told["task"]["units"] == "ft-in"
    one = next(iter(tmp_path.glob("ramp-*-approach.yaml")))
    assert yaml.safe_load(one.read_text())["approach"]["door"] == "front door"


def test_a_double_door_of_a_scenario_keeps_its_leaves() -> None:
    """The leaf told counts; its room beside the latch is there once the other stands beside it."""
    shop = load_scenario("scenarios/towpath-chandlery").shop
    two = {"leaves": 2, "leaf_width": 700.0, "width": 1400.0}
    doors = (shop.doors[0].model_copy(update=two), *shop.doors[1:])
    typed = {("ground", "along"): ("--along", "30 ft"), ("ground", "away"): ("--away", "12 ft")}
    task = read_ramp_task(None, typed, shop.model_copy(update={"doors": doors}))
    assert (task.door.leaves, task.door.leaf_width) == (2, 700.0)
    assert (task.door.active_width, task.door.widest_leaf) == (700.0, 700.0)
    left, right, _ = door_floor(task.door, load("us"), "out")
    assert (left, right) == (-700.0, 700.0)
    one = task.door.model_copy(update={"leaves": 1, "leaf_width": None})
    left, right, _ = door_floor(one, load("us"), "out")
    assert right - left > 1400.0


def test_where_nothing_fits_the_least_that_would_is_said() -> None:
    """Exit code 1, with more ground on each side and the greatest rise."""
    done = _run("ramp", "--rise", "30 in", "--along", "43 in", "--away", "479 in", "--steps", "no")
    assert done.exit_code == 1
    assert "no ramp fits" in done.stdout
    assert "40' 0\"" in done.stdout
    assert "Greatest rise" in done.stdout
    assert "2' 5 3/4\"" in done.stdout


def test_no_ramp_for_a_bevel() -> None:
    """Up to 1/2 in a bevel is enough (303.4); that is no failure."""
    done = _run("ramp", "--rise", "1/2 in", "--along", "10 ft", "--away", "10 ft")
    assert done.exit_code == 0
    assert "bevel" in done.stdout


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--rise", "12"], ["--rise", "Add the unit"]),
        (["--away", "x", "--swing", "up"], ["--away", "--swing", "in, out, sliding or none"]),
        (["--width", "30 in"], ["--width", "at least 36 in"]),
        (["--door-offset", "18 ft"], ["--door-offset", "a door within the 20' 0\""]),
        (["--fewest-turns", "3"], ["fewest_turns not over most_turns"]),
        (["--rulebook", "mars"], ["mars"]),
    ],
)
def test_faults_of_what_was_typed(words: list[str], told: list[str]) -> None:
    """Each by its option, with what is allowed; exit code 2."""
    done = _run("ramp", *RAMP, *words)
    assert done.exit_code == 2
    for each in told:
        assert each in done.stderr


def test_faults_of_a_file_are_told_in_one_pass(tmp_path: Path) -> None:
    """With the line of each, and those of options beside them."""
    question = tmp_path / "ramp.yaml"
    question.write_text(
        "rise: tall\nground: {along: 20 ft}\ndor: {width: 36 in}\nlimits: {steps: perhaps}\n"
    )
    done = _run("ramp", str(question), "--most-turns", "9")
    assert done.exit_code == 2
    for words in ("rise (line 1)", "ground (line 2)", "door", "steps (line 4)", "--most-turns"):
        assert words in done.stderr


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"middle: [8 ft, 0 ft]": "middle: [8 ft, 5 ft]"}, "away from the ground"),
        ({"[30 ft, -12 ft], [0 ft, -18 ft]": "[0 ft, -18 ft], [30 ft, -12 ft]"}, "crosses itself"),
        ({"slopes: [12, 14]": "slopes: [6]"}, "from 1:12 on"),
        ({"middle: [8 ft, 0 ft], faces: 270, ": ""}, "needs its middle|door's middle"),
        ({"corners: [[0 ft, 0 ft], ": "along: 4 ft\n  corners: [[0 ft, 0 ft], "}, "not both"),
    ],
)
def test_faults_of_ground_door_and_slopes(
    tmp_path: Path, change: dict[str, str], told: str
) -> None:
    """What can be read but makes no sense is told with its mend."""
    text = QUESTION
    for old, new in change.items():
        assert old in text
        text = text.replace(old, new)
    question = tmp_path / "ramp.yaml"
    question.write_text(text)
    done = _run("ramp", str(question))
    assert done.exit_code == 2
    assert any(words in done.stderr for words in told.split("|"))


def test_own_values_count(tmp_path: Path) -> None:
    """A file of own values asks for a landing of 72 in, so 24 in more of ground are needed."""
    own = tmp_path / "own.yaml"
    own.write_text("based_on: us\nvalues:\n  - {key: landing-length, length: 72 in, why: wish}\n")
    words = ["ramp", "--rise", "6 in", "--along", "40 in", "--steps", "no", "--rulebook", str(own)]
    assert _run(*words, "--away", "215.9 in").exit_code == 1
    assert _run(*words, "--away", "216 in").exit_code == 0


def test_aisles_by_ids_of_a_scenario() -> None:
    """Depths, aisle, units and the width of a rectangular room come from it."""
    done = _run("aisle", "--scenario", "scenarios/towpath-chandlery", "--left", "cab-48", "--json")
    assert done.exit_code == 0
    (row,) = json.loads(done.stdout)["rows"]
    assert row["aisle_mm"] == pytest.approx(44 * 25.4)
    assert row["needed_mm"] == pytest.approx((44 + 18) * 25.4)
    assert row["spare_mm"] == pytest.approx(2330 - (44 + 18) * 25.4)


def test_aisles_back_to_back_as_a_table() -> None:
    """Two fixtures of 18 in make an island of 36 in; what binds is named; 100 columns."""
    done = _run(
        "aisle", "--room", "20 ft", "--left", "24 in", "--right", "18 in", "--island", "18 in",
        "--back-to-back", "--aisle", "40 in", "--end", "54 in",
    )  # fmt: skip
    assert done.exit_code == 0
    assert all(len(line) <= 100 for line in done.stdout.splitlines())
    assert "The most rows of islands that fit: 2." in done.stdout
    assert "403.5.2" in done.stdout


@pytest.mark.parametrize("units", ["ft-in", "in", "mm", "m"])
def test_aisles_with_their_length_stand_in_one_line_each(units: str) -> None:
    """In 100 columns no clause, number or length is broken off or carried over."""
    done = _run(
        "aisle", "--room", "20 ft", "--left", "24 in", "--right", "18 in", "--island", "36 in",
        "--aisle", "40 in", "--end", "54 in", "--length", "60 ft", "--units", units,
    )  # fmt: skip
    title, _, _, head, rule, *rows = done.stdout.splitlines()
    assert "both walls lined, at least" in title
    assert "passing" in head
    assert set(rule.strip()) == {"─"}
    for islands, row in zip(["none", "1", "2", "3"], rows[:4], strict=True):
        assert row.split()[0] == islands
        assert ("(403.5.2)" in row) is (islands != "none")
    assert not rows[4].strip()


def test_aisles_that_do_not_fit() -> None:
    """Exit code 1, how much is lacking, and which number binds."""
    done = _run(
        "aisle", "--room", "92.5 in", "--left", "24 in", "--right", "24 in", "--aisle", "48 in"
    )
    assert done.exit_code == 1
    assert '3 1/2" are lacking' in done.stdout
    assert "aisle wanted" in done.stdout


def test_faults_of_aisles_are_told_in_one_pass() -> None:
    """Depths that are no lengths, ids that are unknown, no room and odd numbers."""
    done = _run("aisle", "--left", "cabb", "--right", "12", "--rows", "many")
    assert done.exit_code == 2
    for words in ("--left", "--right", "--room", "--rows"):
        assert words in done.stderr
    close = _run("aisle", "--scenario", "scenarios/towpath-chandlery", "--left", "cab48")
    assert "Did you mean 'cab-48'?" in close.stderr
