"""Where the rooms meet: budget with whole packs, honest bounds, and what is added to a layout."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path

import pytest

from shopfit import planning
from shopfit.affording import within_budget
from shopfit.affording.paid import times_paid
from shopfit.affording.trim import missing, trim
from shopfit.files.layouts import layout_text
from shopfit.model.finding import Finding
from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Clash, Progress, Solution
from shopfit.model.scenario import Scenario
from shopfit.planning import Plan
from shopfit.quantities.takeoff import complete
from shopfit.stopping import StopFlag


class FakeSearch:
    """Stands for the solver: gives prepared answers in turn and remembers what it was asked."""

    def __init__(self, *answers: Solution) -> None:
        self.answers = list(answers)
        self.asked: list[tuple[Scenario, SolveOptions]] = []
        self.bought: Callable[[Scenario, Layout], Layout] | None = None
        self.then: Callable[[StopFlag], None] = lambda stop: None

    def __call__(self, scenario, options, *, listener, stop, bought, within, start=None, sold=None):
        """Note what is asked, tell of progress, and give the next answer."""
        # Only later searches reckon with other prices than those that hold in the end.
        assert (sold is None) == (not self.asked)
        self.asked.append((scenario, options))
        self.bought, self.sold = bought, sold
        assert within is within_budget
        listener(Progress("placing", 2.0, facings=6, bound=7.0, gap=1 / 7, objective=6.0))
        self.then(stop)
        return self.answers.pop(0)


@pytest.fixture
def search(monkeypatch):
    """Put a fake in the solver's place; its answers are set by each test, and miss nothing."""
    fake = FakeSearch()
    monkeypatch.setattr("shopfit.solver.run.solve", fake)
    monkeypatch.setattr("shopfit.solver.run.solve_again", fake)
    monkeypatch.setattr("shopfit.affording.budget.missing", lambda scenario, layout: 0.0)
    monkeypatch.setattr("shopfit.checks.check", lambda scenario, layout: ())
    return fake


def found(layout: Layout) -> Solution:
    return Solution(outcome="layout", layout=layout)


def with_budget(scenario: Scenario, budget: float | None) -> Scenario:
    brief = scenario.brief.model_copy(update={"budget": budget})
    shop = scenario.shop.model_copy(update={"brief": brief})
    return scenario.model_copy(update={"shop": shop})


def smaller(layout: Layout, status: str = "proved") -> Layout:
    """Give the layout without its run, as a cheaper answer that the solver calls proved."""
    proof = layout.proof.model_copy(
        update={"status": status, "objective": 5.0, "bound": 5.0, "gap": 0.0}
    )
    return layout.model_copy(
        update={
            "runs": (),
            "blocks": layout.blocks[:1],
            "claims": layout.claims.model_copy(update={"facings": 5, "units": 20}),
            "proof": proof,
        }
    )


@pytest.fixture
def dear(kiosk, kiosk_layout) -> float:
    """Give the true cost of the whole hand layout."""
    return complete(kiosk, kiosk_layout).claims.cost


def test_layout_is_completed_signed_and_checked(kiosk, kiosk_layout, search, monkeypatch):
    """The plan's layout has cuts, purchases, cost, digest and versions, and those are checked."""
    seen = []
    finding = Finding(code="x", severity="advice", subject="F1", message="Look.")

    def check(scenario, layout):
        seen.append((scenario, layout))
        return (finding,)

    monkeypatch.setattr("shopfit.checks.check", check)
    search.answers = [found(kiosk_layout)]
    plan = planning.solve(kiosk, SolveOptions(seconds=4))
    layout = plan.layout
    assert layout.cuts
    assert sum(purchase.total for purchase in layout.purchases) == layout.claims.cost > 0
    assert layout.fingerprint
    assert {"shopfit", "ortools", "shapely"} <= set(layout.versions)
    assert layout.timing == kiosk_layout.timing
    assert plan.solution.layout is layout
    assert seen == [(kiosk, layout)]
    assert plan.findings == (finding,)
    assert plan.violations == ()


def test_moment_is_noted_where_the_solver_did_not(kiosk, kiosk_layout, search):
    """A layout without a moment of making gets one, in UTC."""
    timing = kiosk_layout.timing.model_copy(update={"made": ""})
    search.answers = [found(kiosk_layout.model_copy(update={"timing": timing}))]
    assert planning.solve(kiosk).layout.timing.made.endswith("+00:00")


def test_clash_is_handed_on(kiosk, search):
    """Without a layout there is nothing to check, and the clash is told as it came."""
    clash = Clash(reason="Too narrow.")
    search.answers = [Solution(outcome="no layout", clash=clash)]
    plan = planning.solve(kiosk)
    assert plan.layout is None
    assert plan.solution.clash is clash
    assert plan.findings == ()


@pytest.mark.parametrize(("room", "solves"), [(0.0, 1), (0.01, 1), (-0.01, 4)])
def test_budget_is_kept_to_the_cent(kiosk, kiosk_layout, search, dear, room, solves):
    """At the budget and just under it one solve is enough; a cent over, there are others."""
    scenario = with_budget(kiosk, dear + room)
    close = smaller(kiosk_layout)
    # Shows less by far, so it is asked again whether more can be had for the money.
    search.answers = [found(kiosk_layout), *[found(close)] * 3]
    plan = planning.solve(scenario)
    assert len(search.asked) == solves
    assert plan.layout.claims.cost <= dear + room + 0.005


def test_an_answer_that_gives_up_a_minimum_is_told_as_such(
    kiosk, kiosk_layout, search, dear, monkeypatch
):
    """The cheaper answers show less of what is wanted, and are given with what the first costs."""
    monkeypatch.setattr("shopfit.affording.budget.missing", missing)
    search.answers = [found(kiosk_layout), *[found(smaller(kiosk_layout))] * 3]
    plan = planning.solve(with_budget(kiosk, dear - 30.0))
    assert plan.layout.claims.cost <= dear - 30.0
    assert plan.layout.proof.missed == missing(kiosk, plan.layout) > 0
    assert plan.layout.proof.bound is None
    assert f"misses less, costs USD {dear:,.2f}" in plan.solution.clash.reason
    assert len(search.asked) == 4


def test_no_budget_asks_once(kiosk, kiosk_layout, search):
    """Without a budget nothing can be over it."""
    search.answers = [found(kiosk_layout)]
    planning.solve(with_budget(kiosk, None))
    assert len(search.asked) == 1


def test_the_solver_is_given_the_price_of_whole_sheets_and_packs(kiosk, kiosk_layout, search, dear):
    """What it weighs floors by is what the shopping list comes to."""
    search.answers = [found(kiosk_layout)]
    planning.solve(with_budget(kiosk, None))
    assert search.bought(kiosk, kiosk_layout).claims.cost == pytest.approx(dear)
    assert search.bought(kiosk, smaller(kiosk_layout)).claims.cost < dear


def test_whole_packs_are_reckoned_in_and_the_first_bound_stays(kiosk, kiosk_layout, search, dear):
    """The next solve reckons packs as they came and gets less time; the first bound stays."""
    budget = dear - 30.0
    search.answers = [found(kiosk_layout), *[found(smaller(kiosk_layout))] * 3]
    heard: list[Progress] = []
    plan = planning.solve(
        with_budget(kiosk, budget), SolveOptions(seconds=8), listener=heard.append
    )
    (_, first), (again, second), (richer, _), _ = search.asked
    assert again.brief.budget == pytest.approx(budget)
    paid = times_paid(kiosk, complete(kiosk, kiosk_layout))
    assert times_reckoned(kiosk, again, paid) == pytest.approx(paid)
    assert max(paid.values()) > 1.0
    # What was found left money over, so there is more of it at such prices.
    assert richer.brief.budget > budget
    assert (first.seconds, second.seconds) == (8, 2)
    proof = plan.layout.proof
    assert proof.bound == 12.0
    assert proof.gap == pytest.approx(7 / 12)
    assert proof.status == "within gap"
    assert "whole sheets and packs" in proof.stages[-1].scope
    assert proof.stages[-1].value == plan.layout.claims.cost
    assert plan.layout.timing.seconds >= kiosk_layout.timing.seconds
    assert heard[0].bound == 7.0
    assert heard[1].bound == 12.0
    assert heard[1].gap == pytest.approx(0.5)
    assert heard[1].seconds >= 3.5
    assert "at what whole sheets and packs come to" in heard[1].stage
    # Costs are those of the shopping list, whatever is reckoned.
    assert search.bought(search.sold, kiosk_layout).claims.cost == dear


def times_reckoned(kiosk: Scenario, dearer: Scenario, used: Iterable[str]) -> dict[str, float]:
    """Give how many times as much some items cost in another catalogue."""
    own, other = kiosk.catalogue, dearer.catalogue
    times = {a.id: a.length / b.length for a, b in zip(own.shelves, other.shelves, strict=True)}
    for before, after in ((own.brackets, other.brackets), (own.sheets, other.sheets)):
        times |= {a.id: b.price / a.price for a, b in zip(before, after, strict=True)}
    return {item: many for item, many in times.items() if item in used}


@pytest.fixture
def keeping(monkeypatch):
    """Let nothing be taken out that a minimum wants."""

    def keep(scenario, layout, budget, goods_only=False, giving_up=False):
        return None if giving_up else trim(scenario, layout, budget, goods_only)

    monkeypatch.setattr("shopfit.affording.budget.trim", keep)


@pytest.mark.usefixtures("keeping")
def test_lowered_proof_that_meets_the_first_bound_stays_proved(kiosk, kiosk_layout, search, dear):
    """Where the cheaper answer reaches the bound of the whole budget, it is proved after all."""
    cheap = smaller(kiosk_layout)
    proof = kiosk_layout.proof.model_copy(update={"bound": 5.0, "gap": 0.0, "objective": 5.0})
    search.answers = [found(kiosk_layout.model_copy(update={"proof": proof})), *[found(cheap)] * 3]
    plan = planning.solve(with_budget(kiosk, dear - 1))
    assert plan.layout.proof.status == "proved"
    assert plan.layout.proof.gap == 0.0


def test_too_much_kept_back_is_halved(kiosk, kiosk_layout, search, dear):
    """If nothing fits at what packs came to, the overshoot is kept back, then half of it."""
    nothing = Solution(outcome="no layout", clash=Clash(reason="Too little money."))
    search.answers = [found(kiosk_layout), nothing, nothing, found(smaller(kiosk_layout))]
    plan = planning.solve(with_budget(kiosk, dear - 40))
    budgets = [scenario.brief.budget for scenario, _ in search.asked]
    assert budgets == pytest.approx([dear - 40, dear - 40, dear - 80, dear - 60])
    assert search.asked[1][0].catalogue != kiosk.catalogue
    assert [given.catalogue for given, _ in search.asked[2:]] == [kiosk.catalogue] * 2
    assert plan.layout.claims.cost <= dear - 40


def test_as_few_minimums_as_can_be_are_given_up_where_none_can_be_bought(
    kiosk, kiosk_layout, search, dear, monkeypatch
):
    """All that was found is too dear: something is taken out, and the cost of all is told."""
    monkeypatch.setattr("shopfit.affording.budget.missing", missing)
    search.answers = [found(kiosk_layout)] * 4
    plan = planning.solve(with_budget(kiosk, dear - 1))
    assert plan.layout.claims.cost <= dear - 1
    assert plan.layout.proof.missed == missing(kiosk, plan.layout) > missing(kiosk, kiosk_layout)
    assert f"costs USD {dear:,.2f}" in plan.solution.clash.reason


@pytest.mark.usefixtures("keeping")
def test_budget_never_met_is_a_clash_that_is_not_proved(kiosk, kiosk_layout, search, dear):
    """After a few tries it says what the cheapest one costs, and claims no proof."""
    search.answers = [found(kiosk_layout)] * 4
    plan = planning.solve(with_budget(kiosk, dear - 1))
    clash = plan.solution.clash
    assert plan.layout is None
    assert len(search.asked) == 4
    assert clash.proved is False
    assert f"{dear:,.2f}" in clash.reason
    assert f"{dear - 1:,.2f}" in clash.reason
    assert [(change.wish, change.change) for change in clash.changes] == [("budget", f"{dear:.2f}")]


def test_stop_keeps_a_layout_that_is_too_dear(kiosk, kiosk_layout, search, dear):
    """Whoever stops is given what there is, marked as stopped; the checks tell the overshoot."""
    search.answers = [found(kiosk_layout)]
    search.then = lambda stop: stop.request()
    plan = planning.solve(with_budget(kiosk, dear - 1))
    assert plan.layout is not None
    assert plan.solution.stopped
    assert len(search.asked) == 1


def test_pins_from_another_file(kiosk_folder, tmp_path):
    """Another pins file takes the place of the scenario's own."""
    pins = tmp_path / "other.yaml"
    pins.write_text("keep:\n  - {fixture: cab-36, wall: west, offset: 24 in}\n")
    scenario = planning.load_scenario(kiosk_folder, pins)
    assert [keep.fixture for keep in scenario.pins.keep] == ["cab-36"]
    assert scenario.folder == "market-kiosk"


@pytest.fixture
def plan(kiosk, kiosk_layout, search):
    """Give a plan as `solve` gives it."""
    search.answers = [found(kiosk_layout)]
    return planning.solve(kiosk)


def test_outputs_are_whole_and_read_back(plan, kiosk, tmp_path):
    """Every file lands in the folder, nothing else does, and the layout reads back as it was."""
    names = planning.write_outputs(plan, tmp_path / "out")
    assert {path.name for path in (tmp_path / "out").iterdir()} == set(names)
    assert all((tmp_path / "out" / name).stat().st_size > 0 for name in names)
    read = planning.read_layout(tmp_path / "out", kiosk)
    assert planning.made_for(kiosk, read)
    assert not planning.made_for(with_budget(kiosk, 1.0), read)
    assert layout_text(read) == layout_text(plan.layout)


def test_equal_plans_give_equal_files(plan):
    """No file depends on the hour or the order in which it was written."""
    assert planning.plan_files(plan) == planning.plan_files(plan)


def test_failing_to_write_leaves_what_was_there(plan, tmp_path, monkeypatch):
    """If one file cannot be made, the older files stay as they were."""
    folder = tmp_path / "out"
    planning.write_outputs(plan, folder)
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    write = Path.open

    def full(self, mode="r", *rest, **more):
        if "w" in mode and self.name.endswith("shopping-list.csv"):
            raise OSError("no space left")
        return write(self, mode, *rest, **more)

    monkeypatch.setattr(Path, "open", full)
    dated = plan.layout.model_copy(update={"scenario": "other"})
    with pytest.raises(OSError, match="no space"):
        planning.write_outputs(replace(plan, layout=dated), folder)
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_plan_without_a_layout_has_no_files(kiosk):
    """Asking for the files of a clash is the caller's mistake."""
    with pytest.raises(ValueError, match="no files"):
        planning.plan_files(Plan(kiosk, Solution(outcome="no layout")))


def test_import_is_quick_and_light():
    """Importing the package, its jobs or its commands loads neither solver, drawing nor page."""
    code = (
        "import sys, shopfit, shopfit.cli\n"
        "heavy = {'ortools', 'shapely', 'streamlit', 'reportlab', 'openpyxl', 'pydantic', 'rich'}\n"
        "print(*sorted(heavy & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout.strip() == ""


def test_public_names_are_there():
    """Everything the package promises can be taken from it, and nothing else."""
    import shopfit

    for name in shopfit.__all__:
        assert getattr(shopfit, name) is not None
    assert shopfit.solve is planning.solve
    with pytest.raises(AttributeError, match="nonsense"):
        shopfit.nonsense  # noqa: B018
