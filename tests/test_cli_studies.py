"""The commands that solve many times: exit codes, what is printed, and what is written."""

from __future__ import annotations

import json
import os
import signal
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from sweep import build

from shopfit.cli import main
from shopfit.cli.guard import console
from shopfit.cli.studytables import interval, known, show_curve, signed
from shopfit.files.layouts import fingerprint, write_layout
from shopfit.frontier.axis import read_axis
from shopfit.frontier.curve import CurvePoint
from shopfit.frontier.run import Curve
from shopfit.limits.gains import Gain
from shopfit.model.finding import Finding
from shopfit.model.layout import Claims, Layout
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Clash, Solution
from shopfit.model.proof import Proof
from shopfit.model.scenario import Scenario
from shopfit.planning import Plan, load_scenario
from shopfit.stopping import StopFlag
from shopfit.sweep.holding import LOCK, held
from shopfit.sweep.work import solve_task

STUDY = "name: Money\nscenarios: [nook]\nvary:\n  brief.budget: [100, 200]\n"

STUDIES: dict[str, tuple[str, ...]] = {
    "sweep": ("study.yaml",),
    "frontier": ("nook", "--over", "budget", "--from", "100", "--to", "200"),
    "limits": ("nook",),
}


def run(*words: object) -> Result:
    """Run a command and make sure that it shows no traceback and keeps to 100 columns."""
    done = CliRunner().invoke(main, [str(word) for word in words])
    told = done.stdout + done.stderr
    assert done.exception is None or isinstance(done.exception, SystemExit), told
    assert "Traceback" not in told
    for word in ("legal", "compliant", "compliance"):
        assert word not in told.lower()
    if not done.stdout.startswith("{"):
        assert all(len(line) <= 100 for line in done.stdout.splitlines())
    return done


def words(done: Result) -> str:
    """Give what was printed as one line."""
    return " ".join(done.stdout.split())


@pytest.fixture(autouse=True)
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Run every command in a folder with the small shop and a study of it."""
    monkeypatch.chdir(tmp_path)
    build.write_study(tmp_path, STUDY)
    return tmp_path


@pytest.fixture
def fake(monkeypatch: pytest.MonkeyPatch) -> Callable[..., Plan]:
    """Put a fake in the place of the solve: a facing for every ten of the budget, bound one more.

    Without money there is no layout. The budget is all that is checked.
    """
    too_dear = Finding(code="budget", severity="violation", subject="brief", message="too dear")

    def check(scenario: Scenario, layout: Layout) -> tuple[Finding, ...]:
        return () if layout.claims.cost <= (scenario.brief.budget or 0.0) else (too_dear,)

    def solve(
        scenario: Scenario, options: SolveOptions, *, stop: StopFlag, start: Layout | None = None
    ) -> Plan:
        budget = scenario.brief.budget or 0.0
        if budget < 50:
            clash = Clash(reason="There is too little money.")
            return Plan(scenario, Solution(outcome="no layout", clash=clash))
        facings = int(budget / 10)
        proof = Proof(
            status="within gap",
            objective=facings,
            bound=facings + 1,
            gap=round(1 / (facings + 1), 4),
            grid="",
            rules="",
            step_mm=1.0,
            candidates=1,
        )
        claims = Claims(facings=facings, units=0, value=facings, cost=budget)
        layout = Layout(scenario="nook", claims=claims, proof=proof)
        layout = layout.model_copy(update={"fingerprint": fingerprint(scenario)})
        return Plan(scenario, Solution(outcome="layout", layout=layout), layout)

    monkeypatch.setattr("shopfit.planning.solve", solve)
    monkeypatch.setattr("shopfit.checks.check", check)
    return solve


def test_sweep_prints_every_case_and_writes_them(fake: Any, elsewhere: Path) -> None:
    """Cases come in the order asked for, with a line each as they are solved."""
    done = run("sweep", "study.yaml", "--processes", 0, "--sort", "facings")
    assert done.exit_code == 0
    assert "2 of 2  budget 200: 20 facings, bound 21" in done.stderr
    assert done.stdout.index("budget 200") < done.stdout.index("budget 100")
    assert "cost, USD" in done.stdout
    assert "4.8 %" in done.stdout
    folder = elsewhere / "out" / "study"
    assert (folder / "budget-100" / "layout.json").is_file()
    assert (folder / "cases.csv").is_file()
    again = run("sweep", "study.yaml", "--processes", 0)
    assert again.stderr.count("from before") == 2
    data = json.loads(run("sweep", "study.yaml", "--processes", 0, "--json").stdout)
    assert [row["facings"] for row in data["cases"]] == [10, 20]
    assert data["undone"] == []


def test_sweep_with_a_case_without_layout_ends_with_3(fake: Any, elsewhere: Path) -> None:
    """The case is told with its reason, and the others as well."""
    study = build.write_study(elsewhere, STUDY.replace("[100, 200]", "[10, 200]"))
    done = run("sweep", study, "--processes", 0)
    assert done.exit_code == 3
    assert "budget 10: There is too little money." in words(done)
    assert "no layout" in done.stdout
    assert "20" in done.stdout


@pytest.mark.parametrize("command", ["sweep", "frontier", "limits"])
def test_a_lost_cluster_is_told_beside_what_is_done(
    fake: Any, monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    """Tables of what is finished are written; the reason is told, and the end is 3."""

    class Lost:
        def __init__(self, address: str, stop: StopFlag, look: object) -> None:
            self._stop, self._address = stop, address

        def __enter__(self) -> Lost:
            return self

        def __exit__(self, *_: object) -> None:
            pass

        def run(self, tasks: Any, heard: Any) -> None:
            if not self._stop.requested:
                heard(solve_task(tasks[0], self._stop))
            self._stop.request(f"the cluster at {self._address} was lost")

    monkeypatch.setattr("shopfit.sweep.cluster.Cluster", Lost)
    done = run(command, *STUDIES[command], "--address", "tcp://there:1", "-o", "made")
    assert done.exit_code == 3
    assert (
        "Not done: the cluster at tcp://there:1 was lost; the same command goes on." in done.stderr
    )
    table = {"sweep": "cases.csv", "frontier": "frontier.csv", "limits": "gains.csv"}[command]
    assert (Path("made") / table).is_file()


@pytest.mark.parametrize("command", ["sweep", "frontier", "limits", "solve", "bench", "rearrange"])
@pytest.mark.parametrize("out", ["notes.txt", "notes.txt/deeper"])
def test_a_file_in_the_place_of_the_folder_is_told_first(
    fake: Any, elsewhere: Path, monkeypatch: pytest.MonkeyPatch, command: str, out: str
) -> None:
    """Nothing is solved for a folder that cannot be made."""
    (elsewhere / "notes.txt").write_text("mine")
    write_layout("layout.json", build.layout())
    monkeypatch.setattr("shopfit.planning.solve", None)
    given = STUDIES | {"solve": ("nook",), "bench": (), "rearrange": ("nook", "layout.json")}
    done = run(command, *given[command], "-o", out)
    assert done.exit_code == 2
    assert "notes.txt: output folder" in done.stderr
    assert "a folder, or a name that is free" in done.stderr
    assert (elsewhere / "notes.txt").read_text() == "mine"


def test_a_missing_study_is_told_as_a_study() -> None:
    """It belongs in no scenario folder, and no command writes one."""
    done = run("sweep", "nothing.yaml")
    assert done.exit_code == 2
    assert "a study, a YAML file that lists scenario folders" in done.stderr
    assert "shopfit new" not in done.stderr


@pytest.mark.parametrize("command", list(STUDIES))
def test_a_second_search_in_one_folder_is_told(fake: Any, elsewhere: Path, command: str) -> None:
    """While another process holds the folder a note is printed; both go on all the same."""
    words = (command, *STUDIES[command], "--processes", "0", "-o", "made")
    with held("made", None):
        done = run(*words)
    assert "Another search writes to made too" in done.stderr
    assert done.exit_code == 0
    assert "Another search" not in run(*words).stderr
    assert not (elsewhere / "made" / LOCK).exists()


def test_the_lock_of_a_process_that_is_gone_blocks_nobody(fake: Any, elsewhere: Path) -> None:
    """A file left by a search that was killed is taken for what it is."""
    (elsewhere / "made").mkdir()
    (elsewhere / "made" / LOCK).touch()
    done = run("sweep", "study.yaml", "--processes", 0, "-o", "made")
    assert done.exit_code == 0
    assert "Another search" not in done.stderr


def test_sweep_of_a_faulty_study_ends_with_2(elsewhere: Path) -> None:
    """Every fault is said with given, allowed and mend, and nothing is written."""
    text = STUDY.replace("brief.budget: [100, 200]", "brief.isle: [1 m]\n  seed: [-1]")
    done = run("sweep", build.write_study(elsewhere, text))
    assert done.exit_code == 2
    assert "2 faults" in done.stderr
    assert "Did you mean 'aisle'?" in done.stderr
    assert done.stderr.count("allowed") == 2
    assert not (elsewhere / "out").exists()


def test_sweep_on_a_cluster_that_is_not_there_ends_with_2(
    elsewhere: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The address is named, and so is what is missing where the library is."""
    pytest.importorskip("distributed")
    monkeypatch.setattr("shopfit.sweep.cluster._PATIENCE_SECONDS", 0.5)
    done = run("sweep", "study.yaml", "--address", "tcp://127.0.0.1:9")
    assert done.exit_code == 2
    assert "no scheduler answers at tcp://127.0.0.1:9" in done.stderr


@pytest.mark.skipif(os.name != "posix", reason="the signal is one of POSIX")
def test_ctrl_c_stops_a_sweep_that_goes_on_later(
    fake: Any, elsewhere: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was finished is kept, what was not is named, and the next run does only that."""

    def stopped(
        scenario: Scenario,
        options: SolveOptions,
        *,
        stop: StopFlag,
        start: Layout | None = None,
    ) -> Plan:
        plan = fake(scenario, options, stop=stop)
        if scenario.brief.budget == 200:
            os.kill(os.getpid(), signal.SIGINT)
            assert stop.wait(20)
            solution = plan.solution.model_copy(update={"stopped": True})
            return Plan(scenario, solution, plan.layout)
        return plan

    monkeypatch.setattr("shopfit.planning.solve", stopped)
    before = signal.getsignal(signal.SIGINT)
    done = run("sweep", "study.yaml", "--processes", 0)
    assert signal.getsignal(signal.SIGINT) == before
    assert done.exit_code == 3
    assert "Stopping; the same command goes on later." in done.stderr
    assert "Not solved yet: budget 200." in words(done)
    monkeypatch.setattr("shopfit.planning.solve", fake)
    done = run("sweep", "study.yaml", "--processes", 0)
    assert done.exit_code == 0
    assert done.stderr.count("from before") == 1


@pytest.mark.skipif(os.name != "posix", reason="the signal is one of POSIX")
def test_a_second_ctrl_c_breaks_off(elsewhere: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A search that does not listen is not waited for longer than it takes."""

    def deaf(
        scenario: Scenario,
        options: SolveOptions,
        *,
        stop: StopFlag,
        start: Layout | None = None,
    ) -> Plan:
        os.kill(os.getpid(), signal.SIGINT)
        assert stop.wait(20)
        os.kill(os.getpid(), signal.SIGINT)
        time.sleep(0.6)
        return Plan(scenario, Solution(outcome="no layout"))

    monkeypatch.setattr("shopfit.planning.solve", deaf)
    done = run("sweep", "study.yaml", "--processes", 0)
    assert done.exit_code == 130
    assert "Broken off" in done.stderr


def test_frontier_prints_a_curve_and_draws_it(fake: Any, elsewhere: Path) -> None:
    """Each point is told with its bound and whose layout it has; points without one say why."""
    curve = ("frontier", "nook", "--over", "budget", "--from", 0, "--to", 200, "--steps", 2)
    done = run(*curve, "--processes", 0)
    assert done.exit_code == 0
    assert "Nook: facings against budget" in done.stdout
    assert "USD 100.00" in done.stdout
    assert "USD 0.00: There is too little money." in words(done)
    folder = elsewhere / "out" / "nook-budget"
    for name in ("frontier.png", "frontier.svg", "frontier.csv", "frontier.json"):
        assert (folder / name).stat().st_size > 100
    data = json.loads(run(*curve, "--processes", 0, "--json").stdout)
    assert [point["facings"] for point in data["points"]] == [None, 10, 20]
    assert [point["bound"] for point in data["points"]] == [None, 11.0, 21.0]


@pytest.mark.parametrize(
    ("over", "ends", "sentence"),
    [
        ("aisle", ("36 in", "40 in"), "A wider aisle never shows more."),
        ("budget", ("100", "200"), "Less money never shows more."),
        ("cab", ("1", "2"), "Fewer of cab never show more."),
    ],
)
def test_a_point_with_the_layout_of_another_is_explained(
    over: str, ends: tuple[str, str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Where points took over layouts or bounds, the table says whose, and why that is right."""
    axis, values = read_axis(load_scenario("nook"), over, *ends, 1)
    points = [
        CurvePoint(at=value, label=axis.label(value), facings=9, worth=9.0, violations=0)
        for value in values
    ]
    show_curve(console(), Curve(axis, tuple(points)), Path("out"))
    assert "never show" not in capsys.readouterr().out
    other = points[1].model_copy(update={"layout_of": points[0].label, "bound": 12.0})
    show_curve(console(), Curve(axis, (points[0], other)), Path("out"))
    told = " ".join(capsys.readouterr().out.split())
    assert sentence in told
    assert told.count(points[0].label) >= 2


def test_what_bands_weigh_is_told_beside_its_bound(fake: Any, elsewhere: Path) -> None:
    """Where bands count more or less, bound and gap are of the weighted sum, and that is shown."""
    shop = elsewhere / "nook" / "shop.yaml"
    assert " worth " not in run("sweep", "study.yaml", "--processes", 0).stdout
    bands = "brief: {bands: [{id: eye, bottom: 1 m, top: 2 m, weight: 2}], "
    shop.write_text(shop.read_text().replace("brief: {", bands))
    swept = run("sweep", "study.yaml", "--processes", 0)
    assert " worth " in swept.stdout
    assert "Worth and bound: of facings, weighted by height bands;" in words(swept)
    curve = ("frontier", "nook", "--over", "budget", "--from", "100", "--to", "200")
    drawn = run(*curve, "--steps", 1, "--processes", 0)
    assert "facings, weighted by height bands against budget" in words(drawn)
    assert " worth " in drawn.stdout
    folder = elsewhere / "out" / "nook-budget"
    for name in ("frontier.csv", "frontier.svg"):
        assert "acings, weighted by height bands" in (folder / name).read_text("utf-8")


def test_frontier_without_any_layout_ends_with_3(fake: Any) -> None:
    """Where no point has a layout the reasons are told."""
    ends = ("--over", "budget", "--from", 0, "--to", 40, "--steps", 1)
    done = run("frontier", "nook", *ends, "--processes", 0)
    assert done.exit_code == 3
    assert "There is too little money." in words(done)


def test_frontier_told_wrongly_ends_with_2() -> None:
    """Ends that cannot be are said with what is allowed."""
    done = run("frontier", "nook", "--over", "aisle", "--from", "30 in", "--to", "42")
    assert done.exit_code == 2
    assert "2 faults" in done.stderr
    assert "the width of a route" in " ".join(done.stderr.split())
    assert run("frontier", "nook", "--over", "aisle").exit_code == 2


def test_limits_prints_what_holds_a_shop_back(fake: Any, elsewhere: Path) -> None:
    """Changes are ranked by what is proved, with their intervals and the caution."""
    limits = ("limits", "nook", "--only", "money", "--only", "wall", "--processes", 0)
    done = run(*limits)
    assert done.exit_code == 0
    told = words(done)
    assert done.stdout.index("USD 100.00 more") < done.stdout.index("USD 100.00 less")
    assert "100–101 110–111 +10 +9 to +11 gain proved" in told
    assert "within the noise of the search" in told
    assert "licensed people and local code to decide" in told
    assert (elsewhere / "out" / "nook-limits" / "gains.csv").is_file()
    data = json.loads(run(*limits, "--json").stdout)
    assert data["gains"][0]["verdict"] == "gain proved"
    assert data["caution"].startswith("What a change gains")


def test_limits_take_the_layout_that_is_there(fake: Any, elsewhere: Path) -> None:
    """A layout in out/<scenario> is the start; one made for another shop there is not taken."""
    from shopfit.files.layouts import write_layout

    scenario = load_scenario("nook")
    layout = fake(scenario, SolveOptions(), stop=StopFlag()).layout
    proof = layout.proof.model_copy(update={"status": "proved", "bound": 100.0, "gap": 0.0})
    proved = layout.model_copy(update={"proof": proof})
    usual = elsewhere / "out" / "nook" / "layout.json"
    write_layout(usual, proved)
    limits = ("limits", "nook", "--only", "money", "--processes", 0)
    assert "now:" not in run(*limits).stderr
    write_layout(usual, proved.model_copy(update={"fingerprint": "0" * 64}))
    assert "now: 100 facings" in run(*limits, "-o", "other").stderr
    assert run("limits", "nook", "lost.json", "--processes", 0).exit_code == 2


def test_limits_without_a_layout_end_with_3(fake: Any, elsewhere: Path) -> None:
    """Nothing is compared with nothing, and the reason is told."""
    shop = elsewhere / "nook" / "shop.yaml"
    shop.write_text(shop.read_text().replace("budget: 1000", "budget: 10"))
    done = run("limits", "nook", "--processes", 0)
    assert done.exit_code == 3
    assert "There is too little money." in words(done)


def test_limits_of_a_layout_that_misses_a_value_say_so(
    fake: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """There is a layout, and it is the shell that is at fault: not that there is none."""
    low = Finding(code="door-height", severity="violation", subject="door", message="too low")

    def missing(*asked: Any, **more: Any) -> Plan:
        return replace(fake(*asked, **more), findings=(low,))

    monkeypatch.setattr("shopfit.planning.solve", missing)
    done = run("limits", "nook", "--processes", 0)
    assert "does not meet 1 of the values checked, so nothing is compared" in words(done)
    assert "There is no layout" not in words(done)


def test_numbers_are_told_as_far_as_they_are_known() -> None:
    """What was found is set against what is proved, and a gain against nought."""
    assert known(5.0, 7.0) == "5–7"
    assert known(5.0, 5.0) == known(5.0, None) == "5"
    assert known(None, 7.0) == "up to 7"
    assert known(None, None) == ""
    assert [signed(size) for size in (2.0, -1.5, 0.0, None)] == ["+2", "-1.5", "0", ""]

    def told(least: float | None, most: float | None) -> str:
        return interval(Gain(kind="aisle", change="", status="layout", least=least, most=most))

    assert told(1.0, 4.0) == "+1 to +4"
    assert told(0.0, 0.0) == "0"
    assert told(None, 3.0) == "at most +3"
    assert told(-2.0, None) == "at least -2"
    assert told(None, None) == "not known"
