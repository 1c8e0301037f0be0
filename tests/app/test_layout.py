"""Lay out: what cannot be laid out, a running search, its end, and its failures."""

from __future__ import annotations

import threading
import time

import pytest
from streamlit.testing.v1 import AppTest

from shopfit.apart import SolverLost
from shopfit.cases.case import Case
from shopfit.errors import Fault, InputFaults
from shopfit.files.drafts import judge
from shopfit.files.layouts import fingerprint
from shopfit.model.finding import Finding
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Change, Clash, Progress, Solution
from shopfit.model.proof import AFTER_FIRST, Stage
from shopfit.planning import Plan
from shopfit.quantities.takeoff import complete
from shopfit.ui.layout.searching import Meter
from shopfit.units import format_length
from tests.app.conftest import PATIENCE, SCRIPT, said, table_with, work_of


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
def plan(kiosk, kiosk_layout):
    """Give a plan of the hand layout, without findings."""
    given = kiosk.model_copy(update={"folder": "kiosk"})
    layout = complete(given, kiosk_layout)
    return Plan(given, Solution(outcome="layout", layout=layout), layout)


@pytest.fixture
def with_job(opened, page):
    """Give a function that opens the section with a search in some state."""

    def put(job: FakeJob):
        page.session_state["job"] = job
        page.session_state["started"] = time.monotonic() - 7
        return opened("Lay out")

    return put


def test_an_ordinary_case_shows_its_brief_and_the_way_to_start(opened, page, kiosk):
    """Ready to be laid out the section shows the brief and a button."""
    opened("Lay out")
    assert format_length(kiosk.brief.aisle, "ft-in") in said(page)
    assert f"USD {kiosk.brief.budget:,.2f}" in said(page)
    assert not page.button(key="start").disabled
    assert not page.metric


def test_a_faulty_case_lists_what_to_mend(opened, page):
    """Where anything is faulty nothing can be started, and all of it is listed."""
    opened("Lay out", Case())
    assert "mend" in said(page)
    assert "range.csv" in table_with(page, "file", "mend").to_string()
    assert "start" not in [button.key for button in page.button]


def test_start_runs_the_solve_with_the_seconds_asked(opened, page, plan, monkeypatch):
    """Start hands scenario and seconds on, and its result becomes the layout of the case."""
    asked = []

    def solve(scenario, options, *, listener, stop):
        asked.append((scenario, options.seconds))
        return plan

    monkeypatch.setattr("shopfit.apart.solve", solve)
    opened("Lay out")
    page.number_input(key="seconds").set_value(5).run()
    page.button(key="start").click().run()
    page.session_state["job"].wait(PATIENCE)
    page.run()
    assert not page.exception
    assert asked == [(plan.scenario, 5.0)]
    assert [metric.value for metric in page.metric if metric.label == "Facings"] == ["9"]
    assert work_of(page).now.layout is plan.layout
    assert work_of(page).undoes == "Lay the shop out"


def test_the_seconds_asked_stay_while_other_sections_are_open(opened, page):
    """Looking at the range in between does not set the seconds back."""
    opened("Lay out")
    page.number_input(key="seconds").set_value(7).run()
    for section in ("Range", "Clearances", "Lay out"):
        page.segmented_control(key="section").set_value(section).run()
    assert not page.exception
    assert page.number_input(key="seconds").value == 7


def test_the_layout_is_there_again_after_it_was_kept(opened, page, laid_out):
    """A case that comes with a layout shows it, checked afresh, and what is proved of it."""
    stage = Stage(objective="cost", value=9.0, bound=7.5, gap=0.2, scope=AFTER_FIRST)
    proof = laid_out.layout.proof.model_copy(update={"stages": (stage,)})
    layout = laid_out.layout.model_copy(update={"proof": proof})
    opened("Lay out", Case(laid_out.draft, layout))
    told = "As much costs at least USD 7.50, sheets and packs by the piece."
    assert told in said(page)
    assert [metric.value for metric in page.metric if metric.label == "Facings"] == ["9"]


def test_seconds_of_a_visit_are_limited(limits_file, opened, page):
    """On a shared server a visit cannot search longer than it may, and is told so."""
    limits_file.write_text(limits_file.read_text() + "session_seconds = 10\nseconds = 8\n")
    page.session_state["meter"] = Meter(10.0)
    opened("Lay out")
    assert page.number_input(key="seconds").max == 8
    assert page.button(key="start").disabled
    assert "used up" in said(page)


def test_seconds_are_counted_while_a_search_runs_and_however_it_ends():
    """Leaving a search behind saves none of its seconds, and a failed one is counted as well."""
    meter, go = Meter(2.0), threading.Event()

    def search() -> None:
        go.wait(30)
        raise ZeroDivisionError

    running = threading.Thread(target=meter.metered(search), daemon=True)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("threading.excepthook", lambda args: None)
        running.start()
        before = meter.seconds
        time.sleep(0.02)
        assert meter.seconds > before >= 2.0
        go.set()
        running.join(30)
    spent = meter.seconds
    assert spent > before
    time.sleep(0.02)
    assert meter.seconds == spent


def test_running_search_tells_and_stops(with_job, page, kiosk):
    """While it runs the page shows facings, bound, gap and time, and locks everything but stop."""
    newest = Progress("filling wall faces", 6.0, facings=42, bound=50.0, gap=0.16)
    job = FakeJob(kiosk, newest=newest)
    with_job(job)
    metrics = {metric.label: metric.value for metric in page.metric}
    assert metrics["Facings so far"] == "42"
    assert "50" in metrics.values()
    assert metrics["Gap"] == "16.0 %"
    assert "of about 20" in metrics["Time"]
    assert "filling wall faces" in said(page)
    assert page.button(key="start").disabled
    assert page.button(key="undo").disabled
    page.button(key="stop").click().run()
    assert job.stopping
    assert page.button(key="stop").disabled


def test_a_search_that_waits_says_so(with_job, page, kiosk):
    """Two searches at once: the second tells that it waits for the first."""
    with_job(FakeJob(kiosk, newest=Progress("waiting: one search goes before this one", 1.0)))
    assert "one search goes before this one" in said(page)


def test_running_search_without_news_yet(with_job, page, kiosk):
    """Before the first message the page says that nothing is known, instead of failing."""
    with_job(FakeJob(kiosk))
    assert "none yet" in [metric.value for metric in page.metric]


def test_plan_is_shown_with_drawings_and_lists(with_job, page, kiosk, plan):
    """A plan that meets the values checked is said so, drawn and listed."""
    with_job(FakeJob(kiosk, plan))
    assert "Meets the values checked" in page.success[0].value
    assert not page.error
    assert "at most 25.0 %" in said(page)
    shopping = table_with(page, "item", "packs to buy")
    bought = {purchase.item: purchase.packs for purchase in plan.layout.purchases}
    assert dict(zip(shopping["item"], shopping["packs to buy"], strict=True)) == bought
    assert "licensed" in said(page)


def test_violations_are_shown_first(with_job, page, kiosk, plan):
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
    with_job(FakeJob(kiosk, Plan(plan.scenario, plan.solution, plan.layout, findings)))
    assert not page.success
    assert page.error
    table = table_with(page, "severity", "required")
    assert list(table["severity"]) == ["violation", "advice"]
    assert list(table["required"]) == ["3' 0\"", ""]


def test_no_layout_is_explained(with_job, page, kiosk):
    """Where no layout exists the page tells the reason, the wishes and the changes."""
    clash = Clash(
        reason="A 24 in case on both sides needs 96 in.",
        wishes=("aisle 48 in", "two cases"),
        changes=(Change(wish="aisle", change="44 in", facings=96),),
        not_alone=("two cases",),
    )
    with_job(FakeJob(kiosk, Plan(kiosk, Solution(outcome="no layout", clash=clash))))
    assert "No layout meets every wish" in said(page)
    assert "needs 96 in" in said(page)
    assert "without any one of them the rest of these can" in said(page)
    assert "To give up two cases alone is not enough" in said(page)
    assert "two cases" in table_with(page, "wish").to_string()
    assert "Any one of these changes is enough, the nearest first:" in said(page)
    changes = table_with(page, "wish", "change to", "layout with it").to_string()
    assert "44 in" in changes
    assert "96 facings or more" in changes


def test_a_solver_that_died_is_said_and_the_page_lives(with_job, page, kiosk):
    """The death of the solver's process is told in words, and another search can be started."""
    with_job(FakeJob(kiosk, failure=SolverLost("The solver was ended from outside (SIGKILL).")))
    assert "SIGKILL" in said(page)
    assert not page.button(key="start").disabled


def test_failure_of_the_program_is_said_without_a_trace(with_job, page, kiosk):
    """A fault of the program is told as such, and another search can be started."""
    with_job(FakeJob(kiosk, failure=ZeroDivisionError("by nought")))
    assert "fault of the program" in said(page)
    assert "by nought" in said(page)
    assert not page.button(key="start").disabled


def test_input_faults_of_a_search_are_listed(with_job, page, kiosk):
    """Faults that only the search meets are shown like those of reading."""
    fault = Fault("shop.yaml", "brief > aisle", "9 m", "less", "Make it less.")
    with_job(FakeJob(kiosk, failure=InputFaults([fault])))
    assert "Make it less." in table_with(page, "mend").to_string()


def test_a_result_of_an_older_version_is_not_taken_in(with_job, page, kiosk, plan):
    """A search that ended after the case was changed does not become its layout."""
    older = plan.scenario.model_copy(update={"folder": "another"})
    with_job(FakeJob(kiosk, Plan(older, plan.solution, plan.layout)))
    assert work_of(page).now.layout is None
    assert not page.metric


def test_a_layout_of_an_older_version_says_so(opened, page, laid_out):
    """After the case was changed its layout is shown with a word about it."""
    layout = laid_out.layout.model_copy(update={"fingerprint": "of another"})
    opened("Lay out", Case(laid_out.draft, layout))
    assert "has changed since" in said(page)


def test_a_search_is_followed_again_after_the_page_was_loaded_again(
    limits_file, opened, page, plan, monkeypatch
):
    """Its window gone, the next one that opens the case sees it run and takes its layout in."""
    go = threading.Event()

    def solve(scenario, options, *, listener, stop):
        go.wait(PATIENCE)
        return plan

    monkeypatch.setattr("shopfit.apart.solve", solve)
    opened("Lay out")
    page.button(key="start").click().run()
    job = page.session_state["job"]
    beside = AppTest.from_file(str(SCRIPT), default_timeout=PATIENCE)
    monkeypatch.setattr("shopfit.ui.layout.searching._there", lambda visit: True)
    beside.query_params["case"] = "kiosk"
    beside.session_state["section"] = "Lay out"
    beside.run()
    assert "job" not in beside.session_state
    monkeypatch.setattr("shopfit.ui.layout.searching._there", lambda visit: False)
    beside.run()
    assert not beside.exception
    assert beside.session_state["job"] is job
    assert beside.button(key="stop")
    go.set()
    job.wait(PATIENCE)
    beside.run()
    assert work_of(beside).now.layout is plan.layout
    later = AppTest.from_file(str(SCRIPT), default_timeout=PATIENCE)
    later.query_params["case"] = "kiosk"
    later.run()
    assert "job" not in later.session_state


def test_a_layout_that_came_too_late_is_told(with_job, page, kiosk, plan):
    """Nobody is left to guess where the layout is that was searched for."""
    older = plan.scenario.model_copy(update={"folder": "another"})
    with_job(FakeJob(kiosk, Plan(older, plan.solution, plan.layout)))
    assert "was changed while this search went on" in said(page)
    page.run()
    assert "was changed while this search went on" in said(page)


def test_other_units_make_no_other_case(opened, page, laid_out):
    """Reading the shop in millimetres does not age its layout."""
    draft = laid_out.draft
    layout = laid_out.layout.model_copy(
        update={"fingerprint": fingerprint(judge(draft, "kiosk").scenario)}
    )
    metric = draft.changed(shop={**draft.shop, "units": "mm"})
    opened("Lay out", Case(metric, layout))
    assert "Meets" in said(page) or "meet" in said(page)
    assert "has changed since" not in said(page)


def test_a_layout_found_while_units_changed_is_taken_in(with_job, page, kiosk, plan):
    """Lengths written in another way change nothing of what was searched for."""
    other = plan.scenario.model_copy(
        update={"shop": plan.scenario.shop.model_copy(update={"units": "mm"})}
    )
    with_job(FakeJob(kiosk, Plan(other, plan.solution, plan.layout)))
    assert work_of(page).now.layout is plan.layout
    assert not page.exception
