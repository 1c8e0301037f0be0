"""The command line: exit codes, what is printed, and what is written."""

from __future__ import annotations

import ctypes
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from click.testing import CliRunner

from shopfit import wording
from shopfit.cli import main
from shopfit.cli.solving import progress_line
from shopfit.files.layouts import write_layout
from shopfit.model.finding import Finding
from shopfit.model.progress import Change, Clash, Progress, Solution
from shopfit.planning import Plan
from shopfit.quantities.takeoff import complete

FILES = {
    "layout.json",
    "plan.svg",
    "drawings.pdf",
    "fixtures.csv",
    "set-out.csv",
    "sheets.csv",
    "shopping-list.csv",
    "shopping-list.xlsx",
    "findings.csv",
    "findings.json",
    "findings.svg",
    "findings.pdf",
}
NARROW = Finding(
    code="aisle-width",
    severity="violation",
    subject="F1",
    message="The aisle before F1 is too narrow.",
    mend="Move F1 by 1 in.",
    required=914.4,
    measured=889.0,
    clause="403.5.1",
    source="ADA 2010",
)
OUTLET = Finding(
    code="outlet", severity="advice", subject="west outlet", message="It is behind F2."
)


def run(*words: object):
    """Run a command and make sure that it never shows a traceback."""
    done = CliRunner().invoke(main, [str(word) for word in words])
    told = done.stdout + done.stderr
    assert done.exception is None or isinstance(done.exception, SystemExit), told
    assert "Traceback" not in told
    for word in ("legal", "compliant", "compliance"):
        assert word not in told.lower()
    if not done.stdout.startswith("{"):
        assert all(len(line) <= 100 for line in done.stdout.splitlines())
    return done


@pytest.fixture(autouse=True)
def elsewhere(tmp_path, monkeypatch):
    """Run every command in an empty folder."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def answer(kiosk, kiosk_layout, monkeypatch):
    """Put a fake in the place of the solve; what it gives and what it was asked can be seen."""
    layout = complete(kiosk, kiosk_layout)

    class Answer:
        plan = Plan(kiosk, Solution(outcome="layout", layout=layout), layout, (OUTLET,))
        asked = ()
        linger = 0.0

        def __call__(self, scenario, options, *, listener, stop):
            self.asked = (scenario, options)
            listener(Progress("placing", 1.0, facings=9, bound=12.0, gap=0.25))
            time.sleep(self.linger)
            return self.plan

    fake = Answer()
    monkeypatch.setattr("shopfit.planning.solve", fake)
    return fake


@pytest.fixture
def clash(kiosk, answer):
    """Let the solve end without a layout."""
    told = Clash(
        reason="A 24 in case on both sides and a 48 in aisle need 96 in; the shell has 92.5 in.",
        wishes=("a 48 in aisle", "two rows of cases"),
        changes=(
            Change(wish="aisle", change="44 1/2 in", facings=96),
            Change(wish="cases", change="one row"),
        ),
    )
    answer.plan = Plan(kiosk, Solution(outcome="no layout", clash=told))
    return told


@pytest.fixture
def layout_file(kiosk, kiosk_layout, tmp_path):
    """Write the hand layout where `check` and the others look for it."""
    path = tmp_path / "out" / "market-kiosk" / "layout.json"
    write_layout(path, complete(kiosk, kiosk_layout))
    return path


def test_help_names_every_command():
    """The help lists the commands and the exit codes."""
    told = run("--help").stdout
    for name in (
        "solve",
        "rearrange",
        "check",
        "quantities",
        "draw",
        "compare",
        "new",
        "schema",
        "page",
    ):
        assert f"\n  {name} " in told
    assert "Exit codes" in told


def test_help_is_quick():
    """Asking for help loads nothing heavy, so it answers at once."""
    start = time.monotonic()
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "shopfit.cli", "--help"],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    assert time.monotonic() - start < 5
    assert "solve" in done.stdout
    for heavy in ("pydantic", "shapely", "ortools", "streamlit", "rich.console"):
        assert f" {heavy}\n" not in done.stderr


def test_solve_writes_everything_and_sums_it_up(kiosk_folder, answer, elsewhere):
    """A layout without violations ends with 0, its files in out/<scenario>, and a summary."""
    answer.linger = 0.5
    done = run("solve", kiosk_folder)
    assert done.exit_code == 0
    folder = elsewhere / "out" / "market-kiosk"
    names = {path.name for path in folder.iterdir()}
    assert names >= FILES
    assert "wall-west.svg" in names
    assert "Meets the values checked; 1 piece of advice." in done.stdout
    assert "at most 25.0 %" in done.stdout
    assert "It is behind F2." in done.stdout
    assert "licensed people decide" in " ".join(done.stdout.split())
    assert f"{len(names)} files" in done.stdout
    assert "9 facings" in done.stderr


def test_solve_hands_its_options_on(kiosk_folder, answer, elsewhere):
    """Seconds, workers, seed, pins and output folder reach the places they are meant for."""
    pins = elsewhere / "mine.yaml"
    pins.write_text("keep:\n  - {fixture: cab-36, wall: west, offset: 24 in}\n")
    words = ("--seconds", 7, "--workers", 3, "--seed", 5, "--pins", pins, "-o", "there")
    assert run("solve", kiosk_folder, *words).exit_code == 0
    scenario, options = answer.asked
    assert (options.seconds, options.workers, options.seed) == (7.0, 3, 5)
    assert scenario.pins.keep[0].fixture == "cab-36"
    assert (elsewhere / "there" / "layout.json").is_file()


def test_solve_with_a_violation_ends_with_1(kiosk_folder, answer):
    """A violation is printed with what is required and measured, and ends with 1."""
    plan = answer.plan
    answer.plan = Plan(plan.scenario, plan.solution, plan.layout, (OUTLET, NARROW))
    done = run("solve", kiosk_folder)
    assert done.exit_code == 1
    assert done.stdout.index("Violations (1)") < done.stdout.index("Advice (1)")
    assert "3' 0\"" in done.stdout
    assert "2' 11\"" in done.stdout
    assert "403.5.1" in done.stdout
    assert "Does not meet 1 of the values checked." in done.stdout


def test_solve_without_a_layout_ends_with_3(kiosk_folder, clash, elsewhere):
    """A clash is told with reason, wishes and changes; nothing is written."""
    done = run("solve", kiosk_folder)
    assert done.exit_code == 3
    told = " ".join(done.stdout.split())
    assert "No layout meets every wish." in told
    assert clash.reason in told
    assert "- two rows of cases" in told
    assert wording.helping(clash) in told
    assert "aisle 44 1/2 in 96 facings or more" in told
    assert "cases one row not in the time" in told
    assert not (elsewhere / "out").exists()


def test_what_is_not_enough_alone_is_told_below_the_changes(kiosk, clash, answer, kiosk_folder):
    """A wish without a change is marked, and a list of wishes says what it is."""
    told = clash.model_copy(update={"not_alone": clash.wishes[1:]})
    answer.plan = Plan(kiosk, Solution(outcome="no layout", clash=told))
    lines = " ".join(run("solve", kiosk_folder).stdout.split())
    assert wording.clashing(told) in lines
    assert lines.endswith(wording.not_alone(told))


def test_solve_as_json(kiosk_folder, answer):
    """With --json the standard output is JSON alone, with claims, proof, findings and files."""
    data = json.loads(run("solve", kiosk_folder, "--json").stdout)
    assert data["outcome"] == "layout"
    assert data["claims"]["facings"] == 9
    assert data["proof"]["gap"] == 0.25
    assert data["violations"] == 0
    assert data["findings"][0]["code"] == "outlet"
    assert set(data["files"]) >= FILES


def test_clash_as_json(kiosk_folder, clash):
    """A clash is told to scripts too."""
    done = run("solve", kiosk_folder, "--json")
    assert done.exit_code == 3
    data = json.loads(done.stdout)
    assert data["clash"]["changes"] == [
        {"wish": "aisle", "change": "44 1/2 in", "facings": 96},
        {"wish": "cases", "change": "one row", "facings": None},
    ]
    assert data["files"] == []


@pytest.mark.skipif(os.name != "posix", reason="the signal is taken away as on POSIX")
def test_ctrl_c_keeps_the_best_so_far(kiosk, kiosk_folder, answer, elsewhere, monkeypatch):
    """The first Ctrl-C asks the solve to stop, and what it had is written.

    A solver's library puts its own handler in the place of Python's, which used to swallow the
    signal for as long as that solver ran.
    """
    plan = answer.plan

    def solve(scenario, options, *, listener, stop):
        ctypes.CDLL(None).signal(int(signal.SIGINT), 1)  # 1 is SIG_IGN
        time.sleep(0.7)
        os.kill(os.getpid(), signal.SIGINT)
        assert stop.wait(20)
        stopped = plan.solution.model_copy(update={"stopped": True})
        return Plan(kiosk, stopped, plan.layout)

    monkeypatch.setattr("shopfit.planning.solve", solve)
    before = signal.getsignal(signal.SIGINT)
    done = run("solve", kiosk_folder)
    assert signal.getsignal(signal.SIGINT) == before
    assert done.exit_code == 0
    assert "Stopped on request" in done.stdout
    assert (elsewhere / "out" / "market-kiosk" / "layout.json").is_file()


def test_second_ctrl_c_breaks_off(kiosk_folder, monkeypatch, elsewhere):
    """The second Ctrl-C does not wait for the solve, and writes nothing."""

    def solve(scenario, options, *, listener, stop):
        os.kill(os.getpid(), signal.SIGINT)
        assert stop.wait(20)
        os.kill(os.getpid(), signal.SIGINT)
        time.sleep(2)

    monkeypatch.setattr("shopfit.planning.solve", solve)
    start = time.monotonic()
    done = run("solve", kiosk_folder)
    assert time.monotonic() - start < 2
    assert done.exit_code == 130
    assert not (elsewhere / "out").exists()


def test_bad_input_lists_every_fault_and_ends_with_2(kiosk_folder, elsewhere):
    """Faults of several files come in one pass, each with given, allowed and mend."""
    bad = elsewhere / "bad"
    shutil.copytree(kiosk_folder, bad)
    shop, goods = bad / "shop.yaml", bad / "range.csv"
    shop.write_text(shop.read_text().replace("aisle: 36 in ", "aisle: 36 parsecs "))
    goods.write_text(goods.read_text().replace("Apron,Linen,16 in", "Apron,Linen,sixteen"))
    done = run("solve", bad)
    assert done.exit_code == 2
    assert done.stdout == ""
    assert "2 faults" in done.stderr
    assert "shop.yaml" in done.stderr
    assert "parsecs" in done.stderr
    assert "range.csv" in done.stderr
    assert "sixteen" in done.stderr
    assert done.stderr.count("allowed") >= 2
    assert done.stderr.count("mend") >= 2
    data = json.loads(run("check", bad, "--json").stdout)
    assert {fault["file"] for fault in data["faults"]} == {"shop.yaml", "range.csv"}


def test_no_broken_scenario_gives_a_traceback(kiosk_folder):
    """Every broken scenario in the checkout is refused in words, whatever is wrong with it."""
    broken = sorted(path.parent for path in (kiosk_folder.parent / "broken").glob("*/*.*"))
    assert broken
    for folder in dict.fromkeys(broken):
        done = run("check", folder)
        assert done.exit_code == 2, folder.name
        assert "allowed" in done.stderr
        assert "mend" in done.stderr


@pytest.mark.parametrize(
    "words",
    [
        ("solve", "nowhere"),
        ("check", "nowhere"),
        ("quantities", "nowhere"),
        ("draw", "nowhere"),
        ("compare", "nowhere", "nothing"),
        ("schema", "nonsense"),
        ("solve", "nowhere", "--seconds", "0"),
        ("solve", "nowhere", "--workers", "0"),
    ],
)
def test_what_is_not_there_ends_with_2(words):
    """A folder, file or value that cannot be is the user's to mend: exit code 2, said plainly."""
    done = run(*words)
    assert done.exit_code == 2
    assert done.stderr


def test_missing_pins_file_ends_with_2(kiosk_folder, answer):
    """A pins file that is not there is named."""
    done = run("solve", kiosk_folder, "--pins", "lost.yaml")
    assert done.exit_code == 2
    assert "lost.yaml" in done.stderr


def test_output_folder_that_is_a_file_ends_with_2(kiosk_folder, answer, elsewhere):
    """Where the output folder cannot be made, that is said, and the file there is left alone."""
    (elsewhere / "taken").write_text("mine")
    done = run("solve", kiosk_folder, "-o", "taken")
    assert done.exit_code == 2
    assert "taken" in done.stderr
    assert (elsewhere / "taken").read_text() == "mine"


@pytest.mark.parametrize(("finding", "code"), [(NARROW, 1), (OUTLET, 0)])
def test_check_ends_by_what_it_found(kiosk_folder, layout_file, monkeypatch, finding, code):
    """A violation gives 1, advice alone gives 0, in words and in JSON."""
    monkeypatch.setattr("shopfit.checks.check", lambda scenario, layout: (finding,))
    done = run("check", kiosk_folder)
    assert done.exit_code == code
    assert finding.message in " ".join(done.stdout.split())
    done = run("check", kiosk_folder, layout_file, "--json")
    assert done.exit_code == code
    data = json.loads(done.stdout)
    assert data["counts"][finding.severity] == 1
    assert data["findings"][0]["subject"] == finding.subject


def test_check_notes_a_changed_scenario(kiosk, kiosk_folder, kiosk_layout, monkeypatch, tmp_path):
    """A layout made for other input is measured all the same, with a note."""
    monkeypatch.setattr("shopfit.checks.check", lambda scenario, layout: ())
    path = tmp_path / "old.json"
    write_layout(path, kiosk_layout.model_copy(update={"fingerprint": "0" * 64}))
    assert "has changed" in run("check", kiosk_folder, path).stderr


def test_quantities_prints_what_is_bought(kiosk, kiosk_folder, kiosk_layout, layout_file):
    """The shopping list shows packs and the total; other lists come when asked for."""
    total = complete(kiosk, kiosk_layout).claims.cost
    told = run("quantities", kiosk_folder).stdout
    assert "hook-4" in told
    assert f"{total:,.2f}" in told
    assert "Set-out" not in told
    told = run("quantities", kiosk_folder, "--list", "set-out", "--list", "cuts").stdout
    assert "Set-out" in told
    assert "Slat-wall pieces" in told
    assert "Shopping list" not in told
    data = json.loads(run("quantities", kiosk_folder, layout_file, "--json").stdout)
    assert data["total"] == total


def test_quantities_of_a_foreign_layout_end_with_2(kiosk_folder, kiosk_layout, tmp_path):
    """A layout that names an unknown fixture is refused with the name."""
    strange = kiosk_layout.placements[0].model_copy(update={"fixture": "throne"})
    path = tmp_path / "strange.json"
    write_layout(path, kiosk_layout.model_copy(update={"placements": (strange,)}))
    done = run("quantities", kiosk_folder, path)
    assert done.exit_code == 2
    assert "throne" in done.stderr


def test_draw_writes_drawings_and_removes_old_elevations(kiosk_folder, layout_file, elsewhere):
    """Drawings appear where asked, old ones go, and lists that are not drawn stay."""
    there = elsewhere / "there"
    there.mkdir()
    for name in ("order.xlsx", "cut-list.csv", "findings.pdf", "moves.csv"):
        (there / name).write_text("mine")
    (there / "wall-moon.svg").write_text("old")
    (there / "note.txt").write_text("mine")
    done = run("draw", kiosk_folder, layout_file, "-o", there)
    assert done.exit_code == 0
    names = {path.name for path in there.iterdir()}
    assert {"plan.svg", "ways.svg", "drawings.pdf", "wall-west.svg", "note.txt"} <= names
    assert {"order.xlsx", "cut-list.csv", "findings.pdf", "moves.csv"} <= names
    assert "wall-moon.svg" not in names
    assert "layout.json" not in names


def test_compare_finds_the_scenario_by_name(kiosk_folder, layout_file, kiosk_layout, elsewhere):
    """Without --scenario the scenario is looked for near the layout, in ./scenarios."""
    shutil.copytree(kiosk_folder, elsewhere / "scenarios" / "market-kiosk")
    other = elsewhere / "other.json"
    fewer = kiosk_layout.model_copy(update={"runs": (), "blocks": kiosk_layout.blocks[:1]})
    write_layout(other, fewer)
    told = run("compare", layout_file.parent, other).stdout
    assert "Candles" in told
    assert "-4" in told
    data = json.loads(run("compare", layout_file, other, "--json").stdout)
    assert data["facings"] == [9, 5]


def test_compare_writes_moves_in_the_units_of_the_shop(kiosk_folder, layout_file, kiosk_layout):
    """A tape in feet and inches reads no millimetres."""
    first, *others = kiosk_layout.placements
    moved = first.model_copy(update={"x_mm": first.x_mm + 304.8})
    other = layout_file.parent / "moved.json"
    write_layout(other, kiosk_layout.model_copy(update={"placements": (moved, *others)}))
    told = run("compare", layout_file, other, "--scenario", kiosk_folder).stdout
    assert "by 1' 0\"" in told


def test_compare_asks_for_a_scenario_it_cannot_find(layout_file, kiosk_folder):
    """Where the scenario is not found, the option to name it is told."""
    done = run("compare", layout_file, layout_file)
    assert done.exit_code == 2
    assert "--scenario" in done.stderr
    assert run("compare", layout_file, layout_file, "--scenario", kiosk_folder).exit_code == 0


def test_new_writes_a_scenario_once(elsewhere):
    """A new folder is filled and can be read; what stands there already is left alone."""
    from shopfit.planning import load_scenario

    assert run("new", "mine").exit_code == 0
    assert load_scenario(elsewhere / "mine").lines
    before = (elsewhere / "mine" / "shop.yaml").read_text()
    done = run("new", "mine")
    assert done.exit_code == 2
    assert (elsewhere / "mine" / "shop.yaml").read_text() == before


def test_schema_lists_and_prints():
    """Without a name the schemas are listed; each is JSON."""
    names = run("schema").stdout.split()
    assert "shop" in names
    assert all("$schema" in json.loads(run("schema", name).stdout) for name in names)


def test_page_is_served_on_this_machine_without_telling_anybody(monkeypatch):
    """The page's process listens here alone, and reports nothing."""
    seen = []
    monkeypatch.setattr(
        "subprocess.run",
        lambda words, check: seen.extend(words) or subprocess.CompletedProcess(words, 0),
    )
    assert run("page", "--port", 8600).exit_code == 0
    assert "--browser.gatherUsageStats=false" in seen
    assert "--server.address=localhost" in seen
    assert "--server.port=8600" in seen


def test_limits_of_the_page_are_read_before_it_is_served(monkeypatch, tmp_path):
    """The size of uploads follows the file of limits; a faulty one is told and nothing served."""
    seen = []
    monkeypatch.setattr(
        "subprocess.run",
        lambda words, check: seen.extend(words) or subprocess.CompletedProcess(words, 0),
    )
    monkeypatch.setenv("SHOPFIT_PAGE", "")
    held = tmp_path / "mine.toml"
    held.write_text("upload_megabytes = 7\n")
    assert run("page", "--limits", held).exit_code == 0
    assert "--server.maxUploadSize=7" in seen
    seen.clear()
    held.write_text("upload_megabytes = 0\n")
    outcome = run("page", "--limits", held)
    assert outcome.exit_code == 2
    assert "upload_megabytes" in outcome.output
    assert not seen


@pytest.mark.parametrize("name", ["browser", "client", "theme"])
def test_settings_are_the_same_from_a_checkout(name):
    """What `streamlit run` reads in a checkout is what `shopfit page` asks for."""
    import tomllib

    from shopfit.ui.start import SETTINGS

    text = (Path(__file__).parents[1] / ".streamlit" / "config.toml").read_text("utf-8")

    def flat(table: dict, prefix: str = "") -> dict[str, str]:
        found = {}
        for key, value in table.items():
            if isinstance(value, dict):
                found |= flat(value, f"{prefix}{key}.")
            else:
                found[f"{prefix}{key}"] = str(value).lower() if value in (True, False) else value
        return found

    held = {key: value for key, value in flat(tomllib.loads(text)).items() if key.startswith(name)}
    assert held == {key: value for key, value in SETTINGS.items() if key.startswith(name)}


@pytest.mark.parametrize(
    ("progress", "line"),
    [
        (None, "0:07  starting"),
        (Progress("placing", 1.0), "0:07  placing"),
        (
            Progress("filling", 1.0, facings=1412, bound=1431.4, gap=0.0131),
            "0:07  1,412 facings  bound 1,431  gap 1.3 %  filling",
        ),
    ],
)
def test_progress_line_tells_what_is_known(progress, line):
    """The line leaves out what is not known yet."""
    assert progress_line(progress, 7.9, "facings") == line


def test_version_is_told():
    """The version can be asked for."""
    from shopfit import __version__

    assert __version__ in run("--version").stdout


def test_reader_that_goes_away_is_no_fault(kiosk_folder, layout_file):
    """A pipe that closes early, as `head` does, gives no traceback."""
    read, write = os.pipe()
    os.close(read)
    done = subprocess.run(
        [sys.executable, "-m", "shopfit.cli", "quantities", str(kiosk_folder), "--list", "all"],
        stdout=write,
        stderr=subprocess.PIPE,
        text=True,
        timeout=60,
        check=False,
    )
    os.close(write)
    assert "Traceback" not in done.stderr


def test_a_shop_from_start_to_drawings(kiosk_folder, elsewhere):
    """The real search lays the kiosk out; the witness, the lists and the drawings agree with it."""
    shop = elsewhere / "kiosk"
    shutil.copytree(kiosk_folder, shop)
    text = (shop / "shop.yaml").read_text()
    (shop / "shop.yaml").write_text(re.sub(r"budget: \d+", "budget: 3000", text))
    done = run("solve", shop, "--seconds", 2, "--workers", 1, "--json")
    assert done.exit_code == 0, done.stdout + done.stderr
    data = json.loads(done.stdout)
    claims, proof = data["claims"], data["proof"]
    assert 24 <= claims["facings"] <= proof["bound"]
    assert claims["cost"] <= 3000
    stages = {stage["objective"]: stage for stage in proof["stages"]}
    assert stages["value"]["value"] == claims["value"] <= stages["value"]["bound"]
    assert 0 < stages["cost"]["bound"] < claims["cost"] == stages["cost"]["value"]
    assert set(data["files"]) >= FILES
    done = run("check", shop)
    assert done.exit_code == 0
    assert "has changed" not in done.stderr
    counted = json.loads(run("quantities", shop, "--json").stdout)
    assert counted["total"] == claims["cost"]
    assert sum(row["facings"] for row in counted["set_out"]) == claims["facings"]
    assert run("draw", shop, "-o", "again").exit_code == 0
    for name in ("plan.svg", "drawings.pdf"):
        again = (elsewhere / "again" / name).read_bytes()
        assert again == (elsewhere / "out" / "kiosk" / name).read_bytes()


def test_wishes_that_clash_end_with_3(kiosk_folder, elsewhere):
    """The real search says that no layout exists, and writes nothing."""
    done = run("solve", kiosk_folder.parent / "market-kiosk-impossible", "--seconds", 5)
    assert done.exit_code == 3, done.stdout + done.stderr
    assert not (elsewhere / "out").exists()
