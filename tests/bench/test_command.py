"""The command: its table, its JSON, its files, and how it ends."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from shopfit.bench.measure import Record
from shopfit.bench.report import HEADINGS, markdown
from shopfit.bench.suite import RECORDS
from shopfit.cli import main

Make = Callable[..., Record]
ASKED = ("--quick", "--solver", "shopfit", "--size", "stall", "--seconds", "1")
FILES = {"bench.json", "bench.md", RECORDS}


def recorded(folder: Path, *records: Record) -> None:
    """Write records as of runs already taken, so that none is taken now."""
    folder.mkdir(exist_ok=True)
    (folder / RECORDS).write_text("".join(f"{e.model_dump_json()}\n" for e in records), "utf-8")


def asked(folder: Path, *more: str) -> Result:
    return CliRunner().invoke(main, ["bench", *ASKED, "-o", str(folder), *more])


@pytest.fixture
def pair(record: Make) -> tuple[Record, Record]:
    """Give the two records that the question above is about."""
    common = {"seconds_asked": 1.0, "versions": {"shopfit": "0.0.0"}, "commit": "abc"}
    first = record(value=1234.0, bound=1300.0, gap=66 / 1300, **common)
    return first, record(known=True, value=100.0, optimum=100, proof_seconds=2.25, **common)


def test_the_table_shows_medians_within_its_width(
    tmp_path: Path, pair: tuple[Record, Record]
) -> None:
    """Every column is there, and no line is wider than 100 columns."""
    recorded(tmp_path, *pair)
    found = asked(tmp_path)
    assert found.exit_code == 0, found.output
    assert all(heading in found.stdout for heading in HEADINGS)
    row = next(line for line in found.stdout.splitlines() if "1,234" in line)
    assert row.split() == [
        *("stall", "shopfit", "1/1", "1,234", "5.08", "5.08", "1.0", "–", "–", "5.0", "200", "0")
    ]
    assert max(len(line) for line in found.stdout.splitlines()) <= 100
    assert {path.name for path in tmp_path.iterdir()} == FILES


def test_json_holds_records_machine_and_summaries(
    tmp_path: Path, pair: tuple[Record, Record]
) -> None:
    """What is printed is what is written, complete enough to compare another day."""
    recorded(tmp_path, *pair)
    found = asked(tmp_path, "--json")
    told = json.loads(found.stdout)
    assert told == json.loads((tmp_path / "bench.json").read_text("utf-8"))
    assert [Record.model_validate(each) for each in told["records"]] == list(pair)
    assert {"processor", "cores", "memory_bytes", "python", "system"} == set(told["machine"])
    assert (told["commits"], told["versions"]) == (["abc"], [{"shopfit": "0.0.0"}])
    assert [each["value"] for each in told["summaries"]] == [1234.0, 100.0]


def test_the_markdown_is_a_table(tmp_path: Path, pair: tuple[Record, Record]) -> None:
    """Every row of the table for the README has as many cells as its head."""
    recorded(tmp_path, *pair)
    asked(tmp_path)
    text = (tmp_path / "bench.md").read_text("utf-8")
    rows = [line for line in text.splitlines() if line.startswith("|")]
    assert len(rows) == 4
    assert {row.count("|") for row in rows} == {len(HEADINGS) + 1}
    assert "1,234" in text


def test_the_text_says_by_which_commits(tmp_path: Path, pair: tuple[Record, Record]) -> None:
    """Each commit that records were made by is named once; where none is known, nothing is said."""
    one, other = pair
    for commits, said in (
        (("abc", "abc"), "Commit abc."),
        (("abc", "def+"), "Commit abc and def+."),
        (("", ""), None),
    ):
        made = [
            each.model_copy(update={"commit": commit})
            for each, commit in zip((one, other), commits, strict=True)
        ]
        text = markdown(made)
        assert said in text if said else "Commit" not in text


@pytest.mark.parametrize(
    "amiss",
    [
        {"violations": 1, "value": None},
        {"ended": "failed", "error": "no memory", "value": None},
        {"value": 101.0, "optimum": 100},
    ],
)
def test_what_is_amiss_shows_in_the_exit_code(
    amiss: dict[str, object], tmp_path: Path, pair: tuple[Record, Record]
) -> None:
    """Violations, failures and contradictions do not pass unseen in a script."""
    recorded(tmp_path, pair[0], pair[1].model_copy(update=amiss))
    assert asked(tmp_path).exit_code == 1


def test_a_run_is_taken_and_recorded(tmp_path: Path) -> None:
    """What is not recorded yet is measured, told of, and recorded."""
    command = ["bench", "--quick", "--size", "stall", "--solver", "merchandiser"]
    found = CliRunner().invoke(main, [*command, "--workers", "1", "-o", str(tmp_path)])
    rows = (tmp_path / RECORDS).read_text("utf-8").splitlines()
    taken = [Record.model_validate_json(row) for row in rows]
    assert [(each.solver, each.known, each.workers) for each in taken] == [
        ("merchandiser", False, 1),
        ("merchandiser", True, 1),
    ]
    assert all((each.ended, each.violations, each.error) == ("answered", 0, "") for each in taken)
    assert found.exit_code == 0, found.output
    assert "2/2  stall known 0  merchandiser  worth" in found.stderr


def test_an_unknown_solver_is_told_before_anything_runs(tmp_path: Path) -> None:
    """A mistyped name is answered with those there are, and nothing is written."""
    found = CliRunner().invoke(main, ["bench", "--solver", "oracle", "-o", str(tmp_path / "out")])
    assert found.exit_code == 2
    assert "allowed: shopfit" in found.stderr
    assert not (tmp_path / "out").exists()
