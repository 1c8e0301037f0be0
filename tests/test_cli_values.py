"""The command that lists the values of a rulebook."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from rich.console import Console

from shopfit.checks import check
from shopfit.cli import main
from shopfit.cli.tables import show_findings
from shopfit.files.template import write_template
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from shopfit.standards import load, names


def _run(*words: str) -> Result:
    return CliRunner().invoke(main, ["values", *words])


@pytest.mark.parametrize("name", names())
def test_every_value_is_listed_with_how_far_it_is_known(name: str) -> None:
    """As JSON, all of it; the published text stands beside the number."""
    done = _run(name, "--json")
    assert done.exit_code == 0
    listed = json.loads(done.stdout)["values"]
    assert [row["key"] for row in listed] == [one.key for one in load(name)]
    assert all(row["confidence"] and row["clause"] and row["published"] for row in listed)


def test_the_table_says_limit_clause_and_confidence() -> None:
    """Chosen by a word; at most 100 columns wide, with the caution below."""
    done = _run("--about", "Panel")
    assert done.exit_code == 0
    assert "at least 30 in" in done.stdout
    assert "memory" in done.stdout
    assert "1910.303(g)(1)" in done.stdout
    assert "licensed people decide" in done.stdout
    assert max(len(line) for line in done.stdout.splitlines()) <= 100
    assert "route-width" not in done.stdout


def test_own_values_are_listed_as_own(tmp_path: Path) -> None:
    """A file in place of a name; what is at fault in it ends with 2."""
    path = tmp_path / "ours.yaml"
    path.write_text("based_on: us\nvalues:\n  - {key: route-width, length: 44 in}\n")
    done = _run(str(path), "--about", "route-width")
    assert done.exit_code == 0
    assert "at least 44 in" in done.stdout
    assert "own" in done.stdout
    path.write_text("based_on: us\nvalues:\n  - {key: route-width, length: 34 in}\n")
    done = _run(str(path))
    assert done.exit_code == 2
    assert "never for less" in done.stderr


def test_findings_say_how_far_their_clause_is_known(kiosk: Scenario, kiosk_layout: Layout) -> None:
    """Beside the clause stands read, second-hand or memory."""
    screen = Console(width=100, record=True)
    findings = check(kiosk, kiosk_layout)
    with screen.capture() as shown:
        show_findings(screen, kiosk, findings, full=True)
    text = " ".join(shown.get().split())
    known = {finding.confidence for finding in findings if finding.clause}
    assert known >= {"read"}
    assert all(f", {confidence})" in text for confidence in known)


def test_values_of_a_scenario_hold_its_own(tmp_path: Path) -> None:
    """A scenario folder in place of a name lists its rulebook with its own values marked."""
    folder = tmp_path / "mine"
    write_template(folder)
    (folder / "values.yaml").write_text("values:\n  - {key: headroom, length: 84 in}\n")
    done = _run(str(folder), "--about", "headroom")
    assert done.exit_code == 0
    assert "at least 84 in" in done.stdout
    assert "own value" in done.stdout


def test_england_is_checked_end_to_end(kiosk: Scenario, kiosk_layout: Layout) -> None:
    """The kiosk under the England rulebook: its door is told too narrow by Approved Document M."""
    shop = kiosk.shop.model_copy(update={"rulebook": "england"})
    findings = check(kiosk.model_copy(update={"shop": shop}), kiosk_layout)
    door = next(f for f in findings if f.code == "door-width" or "wide enough" in f.message)
    assert "Approved Document M" in door.clause
    assert door.required == pytest.approx(1000.0)
    assert door.margin == pytest.approx(door.measured - 1000.0)
    turns = next(f for f in findings if f.severity == "not checked" and "England" in f.message)
    assert "turns" in turns.message
    assert not [f for f in findings if "403.5.2" in f.clause]
