"""The page in its states: empty, faulty, running, ended, no layout, failed."""

from __future__ import annotations

import shutil
import time
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from shopfit.errors import Fault, InputFaults
from shopfit.model.finding import Finding
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Change, Clash, Progress, Solution
from shopfit.planning import Plan
from shopfit.quantities.takeoff import complete
from shopfit.ui.choose import OWN_FILES
from shopfit.units import format_length

SCRIPT = Path(__file__).parents[2] / "streamlit_app.py"
PATIENCE = 30


class FakeJob:
    """Stands for a search in any state, and notes whether it was asked to stop."""

    def __init__(self, scenario, plan=None, failure=None, newest=None):
        self.scenario, self.options = scenario, SolveOptions(seconds=20)
        self.over = plan is not None or failure is not None
        self.failure, self.newest, self.stopping = failure, newest, False
        self._plan = plan

    def result(self):
        """Give the plan."""
        return self._plan

    def stop(self):
        """Note the stop."""
        self.stopping = True


@pytest.fixture
def page():
    """Give the page as first opened."""
    return AppTest.from_file(str(SCRIPT), default_timeout=PATIENCE)


@pytest.fixture
def plan(kiosk, kiosk_layout):
    """Give a plan of the hand layout, without findings."""
    layout = complete(kiosk, kiosk_layout)
    return Plan(kiosk, Solution(outcome="layout", layout=layout), layout)


def with_job(page: AppTest, job: FakeJob) -> AppTest:
    page.session_state["source"] = "market-kiosk"
    page.session_state["job"] = job
    page.session_state["started"] = time.monotonic() - 7
    page.run()
    assert not page.exception
    return page


def table_with(page: AppTest, *columns: str):
    """Give the first table that has these columns, without escapes."""
    for each in [*page.dataframe, *page.table]:
        if set(columns) <= set(each.value.columns):
            return each.value.map(
                lambda cell: cell.replace("\\", "") if isinstance(cell, str) else cell
            )
    raise AssertionError(f"no table has the columns {columns}")


def said(page: AppTest) -> str:
    """Give everything that the page says, in one text without escapes."""
    kinds = ("markdown", "caption", "error", "warning", "success", "info", "header", "subheader")
    texts = [str(each.value) for kind in kinds for each in getattr(page, kind)]
    return "\n".join(texts).replace("\\", "")


def test_first_visit_shows_a_demo_and_its_brief(page, kiosk):
    """Opened for the first time the page shows a shop, its brief, and the way to start."""
    page.session_state["source"] = "market-kiosk"
    page.run()
    assert not page.exception
    assert "Market kiosk" in said(page)
    assert format_length(kiosk.brief.aisle, "ft-in") in said(page)
    assert f"USD {kiosk.brief.budget:,.2f}" in said(page)
    assert not page.button(key="start").disabled
    assert not page.metric


def test_every_demo_can_be_chosen(page):
    """Each demo in the checkout loads without a fault."""
    page.run()
    for name in page.selectbox(key="source").options:
        page.selectbox(key="source").set_value(name).run()
        assert not page.exception
        assert not page.error, name


def test_own_files_are_asked_for(page):
    """Without files of one's own there is nothing to start, and no fault is shown."""
    page.session_state["source"] = OWN_FILES
    page.run()
    assert not page.exception
    assert page.info
    assert not page.error
    assert "start" not in [button.key for button in page.button]


def test_uploaded_files_make_a_shop(page, kiosk_folder):
    """The four files of a demo, uploaded loose, are read as a shop."""
    page.session_state["source"] = OWN_FILES
    page.run()
    files = [(path.name, path.read_bytes(), "") for path in sorted(kiosk_folder.glob("*.*"))]
    page.file_uploader(key="upload").set_value(files).run()
    assert not page.exception
    assert not page.error
    assert "Market kiosk" in said(page)


def test_faults_of_uploads_are_listed(page, kiosk_folder):
    """Every fault of an upload is in one table, and nothing can be started."""
    shop = (kiosk_folder / "shop.yaml").read_text().replace("width: 36 in", "width: 36 parsecs")
    page.session_state["source"] = OWN_FILES
    page.run()
    page.file_uploader(key="upload").set_value([("shop.yaml", shop.encode(), "")]).run()
    assert not page.exception
    assert "faults in what was given" in said(page)
    told = table_with(page, "file", "given").to_string()
    assert "parsecs" in told
    assert "range.csv" in told
    assert "fixtures.yaml" in told
    assert "start" not in [button.key for button in page.button]


def test_start_runs_the_solve_with_the_seconds_asked(page, kiosk, plan, monkeypatch):
    """Start hands the scenario and the seconds on, and its result is shown on the next run."""
    asked = []

    def solve(scenario, options, *, listener, stop):
        asked.append((scenario, options.seconds))
        return plan

    monkeypatch.setattr("shopfit.planning.solve", solve)
    page.session_state["source"] = "market-kiosk"
    page.run()
    page.number_input(key="seconds").set_value(5).run()
    page.button(key="start").click().run()
    page.session_state["job"].wait(PATIENCE)
    page.run()
    assert not page.exception
    assert asked == [(kiosk, 5.0)]
    assert [metric.value for metric in page.metric if metric.label == "Facings"] == ["9"]


def test_running_search_tells_and_stops(page, kiosk):
    """While it runs the page shows facings, bound, gap and time, and locks everything but stop."""
    newest = Progress("filling wall faces", 6.0, facings=42, bound=50.0, gap=0.16)
    job = FakeJob(kiosk, newest=newest)
    with_job(page, job)
    metrics = {metric.label: metric.value for metric in page.metric}
    assert metrics["Facings so far"] == "42"
    assert "50" in metrics.values()
    assert metrics["Gap"] == "16.0 %"
    assert "of about 20" in metrics["Time"]
    assert "filling wall faces" in said(page)
    assert page.button(key="start").disabled
    assert page.selectbox(key="source").disabled
    page.button(key="stop").click().run()
    assert job.stopping
    assert page.button(key="stop").disabled


def test_running_search_without_news_yet(page, kiosk):
    """Before the first message the page says that nothing is known, instead of failing."""
    with_job(page, FakeJob(kiosk))
    assert "none yet" in [metric.value for metric in page.metric]


def test_plan_is_shown_with_drawings_lists_and_files(page, kiosk, plan):
    """A plan that meets the values checked is said so, drawn, listed and offered as files."""
    with_job(page, FakeJob(kiosk, plan))
    assert page.success
    assert "Meets the values checked" in page.success[0].value
    assert not page.error
    assert "at most 25.0 %" in said(page)
    shopping = table_with(page, "item", "packs to buy")
    bought = {purchase.item: purchase.packs for purchase in plan.layout.purchases}
    assert dict(zip(shopping["item"], shopping["packs to buy"], strict=True)) == bought
    keys = {button.key for button in page.get("download_button")}
    assert {"take-all", "take-plan.svg", "take-shopping-list.csv", "take-layout.json"} <= keys
    assert "licensed" in said(page)


def test_violations_are_shown_first(page, kiosk, plan):
    """A plan that does not meet the values is not called good, and says what is wrong."""
    findings = (
        Finding(code="a", severity="advice", subject="west outlet", message="Behind F2."),
        Finding(
            code="b",
            severity="violation",
            subject="F1",
            message="Aisle is narrow.",
            required=914.4,
            measured=900.0,
        ),
    )
    with_job(page, FakeJob(kiosk, Plan(kiosk, plan.solution, plan.layout, findings)))
    assert not page.success
    assert page.error
    table = table_with(page, "severity", "required")
    assert list(table["severity"]) == ["violation", "advice"]
    assert list(table["required"]) == ["3' 0\"", ""]


def test_no_layout_is_explained(page, kiosk):
    """Where no layout exists the page tells the reason, the wishes and the changes."""
    clash = Clash(
        reason="A 24 in case on both sides needs 96 in.",
        wishes=("aisle 48 in", "two cases"),
        changes=(Change(wish="aisle", change="44 in"),),
    )
    with_job(page, FakeJob(kiosk, Plan(kiosk, Solution(outcome="no layout", clash=clash))))
    assert "No layout meets every wish" in said(page)
    assert "needs 96 in" in said(page)
    assert "two cases" in table_with(page, "wish").to_string()
    assert "44 in" in table_with(page, "wish", "change to").to_string()
    assert not page.get("download_button")


def test_failure_of_the_program_is_said_without_a_trace(page, kiosk):
    """A fault of the program is told as such, and another search can be started."""
    with_job(page, FakeJob(kiosk, failure=ZeroDivisionError("by nought")))
    assert "fault of the program" in said(page)
    assert "by nought" in said(page)
    assert not page.button(key="start").disabled


def test_input_faults_of_a_search_are_listed(page, kiosk):
    """Faults that only the search meets are shown like those of reading."""
    fault = Fault("shop.yaml", "brief > aisle", "9 m", "less", "Make it less.")
    with_job(page, FakeJob(kiosk, failure=InputFaults([fault])))
    assert "Make it less." in table_with(page, "mend").to_string()


def test_result_of_another_shop_is_not_shown(page, kiosk, plan, tmp_path, monkeypatch):
    """After another shop is chosen the old plan does not stand below its name."""
    shutil.copytree(Path(SCRIPT).parent / "scenarios" / "market-kiosk", tmp_path / "scenarios/twin")
    shop = tmp_path / "scenarios/twin/shop.yaml"
    shop.write_text(shop.read_text().replace("name: Market kiosk", "name: Twin"))
    monkeypatch.chdir(tmp_path)
    with_job(page, FakeJob(kiosk, plan))
    assert page.success
    page.selectbox(key="source").set_value("twin").run()
    assert not page.exception
    assert "Twin" in said(page)
    assert not page.success
    assert not page.metric


def test_names_of_users_are_no_marks(page, kiosk, plan, tmp_path, monkeypatch):
    """A shop's name with marks in it is shown as written and never as a picture or a link."""
    shutil.copytree(Path(SCRIPT).parent / "scenarios" / "market-kiosk", tmp_path / "scenarios/odd")
    shop = tmp_path / "scenarios/odd/shop.yaml"
    odd = "![x](http://h/i.png) <script>"
    shop.write_text(shop.read_text().replace("name: Market kiosk", f'name: "{odd}"'))
    monkeypatch.chdir(tmp_path)
    page.session_state["source"] = "odd"
    page.run()
    assert not page.exception
    assert "![x](" not in "".join(header.value for header in page.header)
    assert odd in said(page)
