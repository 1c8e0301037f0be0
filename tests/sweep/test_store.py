"""Finished cases: found again, and only where nothing has changed."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from shopfit.model.options import SolveOptions
from shopfit.planning import Plan
from shopfit.stopping import StopFlag
from shopfit.sweep.cases import Case
from shopfit.sweep.processes import Here
from shopfit.sweep.settle import Settled, settle
from shopfit.sweep.store import RESULTS, Store
from shopfit.sweep.study import cases_csv, ordered, run_study
from shopfit.sweep.work import Answer, Task

from . import build

STUDY = """
name: Nook's money
scenarios: [nook]
vary:
  brief.budget: [300, 200, 100]
"""


class Counting:
    """Stands for the solve: counts, and answers with a layout of nothing."""

    def __init__(self) -> None:
        self.names: list[str] = []

    def __call__(self, task: Task, stop: StopFlag) -> Answer:
        """Answer with as many facings as a hundredth of the budget."""
        self.names.append(task.name)
        facings = int((task.scenario.brief.budget or 0) / 100)
        if task.name == "clash":
            return Answer(task.name, task.key, "no layout", message="it is too small")
        if task.name == "stops":
            return replace(build.answer(task), status="stopped")
        return build.answer(task, facings)


def case(name: str = "one", folder: str = "", **brief: object) -> Case:
    """Give a case of the small shop."""
    return Case(name, folder or name, "nook", {}, build.nook(**brief), build.QUICK)


def solve(cases: list[Case], folder: Path) -> tuple[list[str], list[Settled]]:
    """Settle cases in a folder; give which were solved, and all answers."""
    work = Counting()
    found = settle(cases, Here(work=work), Store(folder))
    return work.names, found


def test_a_finished_case_is_not_solved_again(tmp_path: Path) -> None:
    """A second run finds every answer with its layout, and solves nothing."""
    cases = [case("rich", budget=900), case("poor", budget=100), case("clash")]
    names, first = solve(cases, tmp_path)
    assert names == ["rich", "poor", "clash"]
    names, second = solve(cases, tmp_path)
    assert names == []
    assert [each.again for each in second] == [True] * 3
    assert [each.row for each in second] == [each.row for each in first]
    assert [each.answer for each in second] == [each.answer for each in first]


def test_a_changed_case_is_solved_again(tmp_path: Path) -> None:
    """Another budget, seed or start makes another answer; the same under another name does not."""
    one = case("one", budget=300)
    solve([one], tmp_path)
    assert solve([case("one", budget=400)], tmp_path / "other")[0] == ["one"]
    assert solve([replace(one, options=SolveOptions(seconds=0.5, workers=1, seed=1))], tmp_path)[0]
    solve([one], tmp_path)
    assert solve([replace(one, start=build.layout())], tmp_path)[0] == ["one"]
    solve([one], tmp_path)
    names, found = solve([replace(one, name="new", folder="new")], tmp_path)
    assert names == []
    assert found[0].answer.worth == 3.0
    assert (tmp_path / "new" / "layout.json").is_file()


def test_a_folder_taken_by_another_case_is_not_believed(tmp_path: Path) -> None:
    """Where another case of the same name wrote over a layout, the earlier case is solved again."""
    solve([case("one", budget=300)], tmp_path)
    solve([case("one", budget=700)], tmp_path)
    names, found = solve([case("one", budget=300)], tmp_path)
    assert names == ["one"]
    assert found[0].answer.worth == 3.0


def test_stopped_cases_and_lost_layouts_are_solved_again(tmp_path: Path) -> None:
    """Only what ended by itself, and is still there, counts as finished."""
    solve([case("stops"), case("lost", budget=300)], tmp_path)
    (tmp_path / "lost" / "layout.json").unlink()
    assert solve([case("stops"), case("lost", budget=300)], tmp_path)[0] == ["stops", "lost"]


def test_a_changed_layout_is_not_believed(tmp_path: Path) -> None:
    """A layout that was changed by hand since it was written is solved again, and then kept."""
    one = case("one", budget=300)
    solve([one], tmp_path)
    file = tmp_path / "one" / "layout.json"
    text = file.read_text()
    file.write_text(text.replace('"facings": 3', '"facings": 8'))
    assert file.read_text() != text
    names, found = solve([one], tmp_path)
    assert names == ["one"]
    assert found[0].answer.worth == 3.0
    assert file.read_text() == text
    assert solve([one], tmp_path)[0] == []


def test_a_row_without_a_digest_is_not_believed(tmp_path: Path) -> None:
    """What an older version wrote cannot be told from a changed layout, so it is solved again."""
    solve([case("one", budget=300), case("clash")], tmp_path)
    rows = [json.loads(line) for line in (tmp_path / RESULTS).read_text().splitlines()]
    for row in rows:
        del row["digest"]
    (tmp_path / RESULTS).write_text("".join(json.dumps(row) + "\n" for row in rows))
    assert solve([case("one", budget=300), case("clash")], tmp_path)[0] == ["one"]


def test_a_torn_last_line_costs_its_own_case_alone(tmp_path: Path) -> None:
    """After a power cut in the middle of a line, that case is solved again and the rest is kept."""
    cases = [case("a", budget=100), case("b", budget=200)]
    solve(cases, tmp_path)
    file = tmp_path / RESULTS
    whole = file.read_bytes()
    file.write_bytes(whole[:-20])
    assert solve(cases, tmp_path)[0] == ["b"]
    assert solve(cases, tmp_path)[0] == []
    lines = file.read_text().splitlines()
    assert [json.loads(lines[0])["case"], json.loads(lines[-1])["case"]] == ["a", "b"]


@pytest.fixture
def planning_solve(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """Put a fake in the place of the solve; gives the budgets that it was asked."""
    asked: list[float] = []

    def solve(scenario, options, *, stop, start=None):
        asked.append(scenario.brief.budget)
        layout = build.layout(int(scenario.brief.budget / 100), 4.0, cost=scenario.brief.budget)
        from shopfit.model.progress import Solution

        return Plan(scenario, Solution(outcome="layout", layout=layout), layout)

    monkeypatch.setattr("shopfit.planning.solve", solve)
    return asked


def test_a_study_is_written_down_and_goes_on(tmp_path: Path, planning_solve: list[float]) -> None:
    """A run that was stopped after one case does the others the next time, and tells them all."""
    path, out, stop = build.write_study(tmp_path, STUDY), tmp_path / "out", StopFlag()
    told: list[tuple[str, bool]] = []

    def stop_at_once(settled: Settled, count: int) -> None:
        assert count == 3
        told.append((settled.row.case, settled.again))
        stop.request()

    done = run_study(path, out, processes=0, stop=stop, told=stop_at_once)
    assert told == [("budget 300", False)]
    assert done.undone == ("budget 200", "budget 100")
    done = run_study(path, out, processes=0, order="cost")
    assert planning_solve == [300.0, 200.0, 100.0]
    assert done.undone == ()
    assert [row.facings for row in done.rows] == [1, 2, 3]
    data = json.loads((out / "cases.json").read_text())
    assert [row["case"] for row in data["cases"]] == ["budget 100", "budget 200", "budget 300"]
    assert data["cases"][0]["changes"] == {"brief.budget": "100"}
    lines = (out / "cases.csv").read_text().splitlines()
    assert lines[0].startswith("Case,Scenario,brief.budget,Ended with,Facings")
    assert lines[1].startswith("budget 100,nook,100,layout,1,1,facings,1,4,0.75,no,100.00,USD,0")
    assert json.loads((out / "budget-200" / "layout.json").read_text())["claims"]["facings"] == 2


def test_tables_are_sorted_as_asked() -> None:
    """Most facings come first, least gap and cost, and what has no number comes last."""
    work = Counting()
    cases = [case("a", budget=100), case("clash"), case("c", budget=500)]
    rows = [each.row for each in settle(cases, Here(work=work))]
    assert [row.case for row in ordered(rows, "study")] == ["a", "clash", "c"]
    assert [row.case for row in ordered(rows, "facings")] == ["c", "a", "clash"]
    assert [row.case for row in ordered(rows, "gap")] == ["c", "a", "clash"]
    assert "it is too small" in cases_csv(rows)
