"""Curves: the points tried, what they learn of each other, and what is drawn and written."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st
from solver import build as b

from shopfit.errors import InputFaults
from shopfit.files.layouts import fingerprint, read_layout
from shopfit.frontier import chart
from shopfit.frontier.axis import Axis, read_axis
from shopfit.frontier.chart import chart_files
from shopfit.frontier.curve import (
    CurvePoint,
    Solved,
    best_start,
    levels,
    told_of_each_other,
    trace,
)
from shopfit.frontier.run import run_frontier
from shopfit.model.finding import Finding
from shopfit.model.layout import Claims, Layout
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Clash, Solution
from shopfit.model.proof import AFTER_FIRST, MISSED, Proof, Stage
from shopfit.model.scenario import Scenario
from shopfit.planning import Plan
from shopfit.stopping import StopFlag
from shopfit.sweep.processes import Here
from shopfit.sweep.work import Answer, Task

QUICK = SolveOptions(seconds=0.5, workers=1)


def shop(**changes: Any) -> Scenario:
    """Give a shop with cabinets, a table that stands free, and a wish for a counter."""
    counter = b.fixture("till", kind="counter", service_height="800 mm", service_width="1 m")
    table = b.fixture("round", kind="table", stands=["island"], height="700 mm")
    parts: dict[str, Any] = {
        "lines": [b.line(max_facings=40)],
        "fixtures": [b.fixture(), table, counter],
        "brief": {
            "aisle": b.mm(950.0),
            "budget": 500,
            "wanted": [{"kind": "counter", "at_least": 1, "at_most": 2}],
        },
        **changes,
    }
    return b.scenario(**parts)


def faults(*words: Any) -> dict[str, str]:
    """Give what is wrong with a curve asked for, by the option."""
    with pytest.raises(InputFaults) as caught:
        read_axis(shop(), *words)
    return {
        fault.where: f"{fault.given}; {fault.allowed}; {fault.mend}"
        for fault in caught.value.faults
    }


def test_lengths_are_stepped_to_what_a_tape_shows() -> None:
    """Five points from 36 to 48 in, and sixteenths of an inch where a step is no whole one."""
    axis, values = read_axis(shop(), "aisle", "36 in", "48 in", None)
    assert [axis.label(value) for value in values] == [
        "3' 0\"",
        "3' 3\"",
        "3' 6\"",
        "3' 9\"",
        "4' 0\"",
    ]
    assert axis.more_is_harder
    axis, values = read_axis(shop(), "aisle", "48 in", "36 in", 7)
    assert values[0] == pytest.approx(1219.2)
    assert values[-1] == pytest.approx(914.4)
    assert len(values) == 8
    for value in values:
        assert value / 25.4 * 16 == pytest.approx(round(value / 25.4 * 16))
    metric = shop(units="mm")
    assert read_axis(metric, "aisle", "1 m", "1.1 m", 3)[1] == (1000.0, 1033.0, 1067.0, 1100.0)


def test_money_and_numbers_have_points_of_their_own() -> None:
    """Money is cut in four steps, numbers in ones; both are easier the more there is."""
    axis, values = read_axis(shop(), "budget", "300", "500", None)
    assert values == (300.0, 350.0, 400.0, 450.0, 500.0)
    assert axis.label(350.0) == "USD 350.00"
    axis, values = read_axis(shop(), "cab", "0", "3", None)
    assert values == (0.0, 1.0, 2.0, 3.0)
    assert not axis.more_is_harder
    assert axis.title == "most of cab"
    assert read_axis(shop(), "islands", "3", "1", None)[1] == (3.0, 2.0, 1.0)
    assert read_axis(shop(), "islands", "0", "1", None)[0].over == "table"
    assert read_axis(shop(), "cab", "0", "10", 3)[1] == (0.0, 3.0, 7.0, 10.0)


def test_the_shop_at_a_value_differs_in_nothing_else() -> None:
    """The wish that is there is narrowed; one that is not there is added."""
    given_ = shop()
    at = read_axis(given_, "aisle", "36 in", "40 in", 1)[0].at(1000.0)
    assert at.brief == given_.brief.model_copy(update={"aisle": 1000.0})
    assert read_axis(given_, "budget", "1", "2", 1)[0].at(700.0).brief.budget == 700.0
    (wanted,) = read_axis(given_, "counter", "1", "2", 1)[0].at(1.0).brief.wanted
    assert (wanted.kind, wanted.at_least, wanted.at_most) == ("counter", 1, 1)
    wanted = read_axis(given_, "cab", "0", "2", 1)[0].at(0.0).brief.wanted[1]
    assert (wanted.fixture, wanted.at_least, wanted.at_most) == ("cab", 0, 0)


def test_every_fault_of_a_curve_is_told() -> None:
    """Ends and steps are looked at together, each with what is allowed."""
    told = faults("aisle", "35.9 in", "wide", 0)
    assert set(told) == {"--from", "--to", "--steps"}
    assert "at least 3' 0\", the width of a route (2010 ADA" in told["--from"]
    assert "a length with its unit" in told["--to"]
    assert "from 1 to 100" in told["--steps"]
    assert faults("aisle", "36 in", "3 ft", 4).keys() == {"--to"}
    assert "Did you mean 'budget'?" in faults("bugdet", "1", "2", None)["--over"]
    told = faults("budget", "-1", "USD 5", None)
    assert "an amount of money from 0 up" in told["--from"]
    assert "without currency" in told["--to"]
    told = faults("counter", "0", "1.5", None)
    assert "a whole number from 1, which the brief wants" in told["--from"]
    assert "--to" in told
    both = shop(fixtures=[b.fixture(stands=["wall", "island"])], brief={"aisle": b.mm(950.0)})
    with pytest.raises(InputFaults, match=r"kinds that may stand as islands: base-cabinet"):
        read_axis(both, "islands", "0", "2", None)


@given(st.integers(1, 40))
def test_each_point_is_solved_once_and_ends_come_first(count: int) -> None:
    """Whatever the number, every point has one turn, between points that had theirs."""
    found = levels(count)
    flat = [place for level in found for place in level]
    assert sorted(flat) == list(range(count))
    assert set(found[0]) == {0, count - 1}
    done = set(found[0])
    for level in found[1:]:
        for place in level:
            assert any(other < place for other in done)
            assert any(other > place for other in done)
        done |= set(level)


def made(facings: int, bound: float | None, cost: float = 0.0) -> Layout:
    """Give a layout of nothing that claims something; its cost says where it is allowed."""
    stage = Stage(objective="facings", value=facings, bound=bound, gap=0.5, scope="grid and rules")
    least = Stage(objective="cost", value=cost, bound=cost / 2, gap=0.5, scope=AFTER_FIRST)
    proof = Proof(
        status="proved" if bound == facings else "within gap",
        objective=float(facings),
        bound=bound,
        gap=None,
        grid="",
        rules="",
        step_mm=1.0,
        candidates=1,
        stages=(stage, least),
    )
    claims = Claims(facings=facings, units=0, value=float(facings), cost=cost)
    return Layout(scenario="nook", claims=claims, proof=proof)


def ended(at: float, layout: Layout | None, violations: int = 0) -> Answer:
    """Give an answer."""
    status = "no layout" if layout is None else "layout"
    return Answer(f"{at}", f"{at}", status, layout, violations, 1.0, "" if layout else "too small")


def affordable(scenario: Scenario, layout: Layout) -> bool:
    """Stand for the checks: a layout meets the rules if it is paid for."""
    return layout.claims.cost <= (scenario.brief.budget or 0.0)


def money(solved: dict[float, tuple[int, float | None, float] | None]) -> list[Solved]:
    """Give points over the budget from facings, bound and cost."""
    axis = Axis("budget", "money", False, shop())
    return [
        Solved(at, axis.at(at), ended(at, None if told is None else made(*told)), f"at-{at:.0f}")
        for at, told in solved.items()
    ]


def test_points_take_over_what_is_better_and_say_so() -> None:
    """More money never shows less, and a bound for more money holds for less."""
    axis = Axis("budget", "money", False, shop())
    solved = money(
        {
            100.0: None,
            200.0: (10, 19.0, 150.0),
            300.0: (8, 15.0, 290.0),
            400.0: (14, 16.0, 180.0),
            500.0: (13, 30.0, 500.0),
        }
    )
    found = {
        point.at: (point, layout) for point, layout in told_of_each_other(axis, solved, affordable)
    }
    points = {at: point for at, (point, _) in found.items()}
    assert [points[at].worth for at in (100, 200, 300, 400, 500)] == [None, 14, 14, 14, 14]
    assert [points[at].layout_of for at in (200, 300, 400, 500)] == [
        "USD 400.00",
        "USD 400.00",
        None,
        "USD 400.00",
    ]
    assert [points[at].bound for at in (200, 300, 400, 500)] == [15.0, 15.0, 16.0, 30.0]
    assert [points[at].bound_of for at in (200, 300, 400, 500)] == ["USD 300.00", None, None, None]
    assert points[100].message == "too small"
    assert points[100].bound is None
    assert points[400].gap == pytest.approx(0.125)
    layout = found[200][1]
    assert layout is not None
    assert layout.proof is not None
    assert (layout.proof.bound, layout.proof.status) == (15.0, "within gap")
    first, least = layout.proof.stages
    assert first.bound == 15.0
    assert (least.bound, least.gap) == (None, None), "it was for as much as another budget shows"
    own = found[400][1]
    assert own is not None
    assert own.proof is not None
    assert [stage.bound for stage in own.proof.stages] == [16.0, 90.0]
    assert layout.fingerprint == fingerprint(solved[1].scenario)


def test_bounds_hold_for_points_on_the_same_positions() -> None:
    """Islands in lanes stand elsewhere with every aisle: no bound is shared, nothing is proved."""
    axis = Axis("budget", "money", False, shop())
    solved = money({200.0: (10, 12.0, 150.0), 300.0: (8, 9.0, 290.0), 400.0: (9, 9.0, 180.0)})
    for each, grid in zip(solved, ("a", "b", "b"), strict=True):
        layout = each.answer.layout
        assert layout is not None
        assert layout.proof is not None
        proof = layout.proof.model_copy(update={"grid": grid})
        layout = layout.model_copy(update={"proof": proof})
        solved[solved.index(each)] = replace(each, answer=replace(each.answer, layout=layout))
    points = {p.at: p for p, _ in told_of_each_other(axis, solved, affordable)}
    assert [points[at].worth for at in (200, 300, 400)] == [10, 10, 10]
    # Ten stand on other positions than those of which nine was proved to be the most.
    assert [points[at].bound for at in (200, 300, 400)] == [12.0, None, None]
    assert [points[at].gap for at in (300, 400)] == [None, None]
    assert [points[at].grid for at in (200, 300, 400)] == ["a", "b", "b"]
    assert [points[at].bound_of for at in (200, 300, 400)] == [None, None, None]
    assert [points[at].proved for at in (200, 300, 400)] == [False, False, False]


def test_a_point_whose_layout_meets_too_little_takes_one_that_meets_all() -> None:
    """A layout that misses a value checked gives way to one with fewer facings that misses none."""
    axis = Axis("budget", "money", False, shop())
    good, bad = money({100.0: (5, 9.0, 90.0), 200.0: (7, 9.0, 150.0)})
    bad = Solved(bad.at, bad.scenario, ended(200.0, bad.answer.layout, violations=2))
    points = [point for point, _ in told_of_each_other(axis, [good, bad], affordable)]
    assert [(point.worth, point.violations) for point in points] == [(5.0, 0), (5.0, 0)]
    assert points[1].layout_of == "USD 100.00"


def test_a_layout_that_misses_a_minimum_has_no_gap() -> None:
    """The bound is for layouts that miss none: the point tells it, the layout's proof does not."""
    axis = Axis("budget", "money", False, shop())
    poor, rich = money({100.0: (5, None, 90.0), 200.0: (7, 9.0, 150.0)})
    layout = poor.answer.layout
    assert layout is not None
    assert layout.proof is not None
    missed = Stage(objective=MISSED, value=2.0, bound=0.0, gap=None, scope="shop")
    proof = layout.proof.model_copy(update={"stages": (missed, *layout.proof.stages)})
    short = ended(100.0, layout.model_copy(update={"proof": proof}), violations=1)
    (point, own), (other, _) = told_of_each_other(
        axis, [replace(poor, answer=short), rich], affordable
    )
    assert (point.worth, point.bound, point.gap, point.proved) == (5.0, 9.0, None, False)
    assert own is not None
    assert own.proof is not None
    assert (own.proof.bound, own.proof.gap, own.proof.missed) == (None, None, 2.0)
    assert own.proof.stages[1].bound is None
    assert other.gap == pytest.approx(2 / 9)


curve = st.lists(
    st.one_of(
        st.none(),
        st.tuples(st.integers(0, 30), st.integers(0, 10), st.integers(0, 100)),
    ),
    min_size=1,
    max_size=8,
)


@given(curve, st.booleans())
def test_a_curve_is_as_logic_demands(told: list[tuple[int, int, int] | None], wide: bool) -> None:
    """Whatever the searches found, easier points show no less and are bound no lower."""
    axis = Axis("aisle", "length", True, shop()) if wide else Axis("budget", "money", False, shop())
    solved = []
    for number, one in enumerate(told):
        at = 1000.0 + 10 * (len(told) - number if wide else number)
        layout = None
        if one is not None:
            # Of what costs `one[2]` parts of the width or money at hand, none is too dear here.
            layout = made(one[0], 40.0 - one[1] + 40.0 * number, float(number * one[2] // 100))
        solved.append(Solved(at, axis.at(at), ended(at, layout)))
    rank = {fingerprint(each.scenario): number for number, each in enumerate(solved)}

    def judge(scenario: Scenario, layout: Layout) -> bool:
        return layout.claims.cost <= rank[fingerprint(scenario)]

    points = [point for point, _ in told_of_each_other(axis, solved, judge)]
    worths = [point.worth for point in points if point.worth is not None]
    bounds = [
        point.bound for point in points if point.worth is not None and point.bound is not None
    ]
    assert worths == sorted(worths)
    assert bounds == sorted(bounds)
    for point, one in zip(points, told, strict=True):
        if one is not None:
            assert point.worth is not None
            assert point.worth >= one[0]
    first = next((n for n, one in enumerate(told) if one is not None), len(told))
    assert all(point.worth is not None for point in points[first:])


def test_a_point_starts_from_the_best_layout_that_meets_its_rules() -> None:
    """Of three known layouts the dearest is best, but not paid for; the next best is taken."""
    known = money({200.0: (5, 9.0, 90.0), 300.0: (9, 9.0, 260.0), 400.0: (7, 9.0, 190.0)})
    axis = Axis("budget", "money", False, shop())
    assert best_start(axis.at(250.0), known, affordable) == known[2].answer.layout
    assert best_start(axis.at(350.0), known, affordable) == known[1].answer.layout
    assert best_start(axis.at(50.0), known, affordable) is None


class Fake:
    """Stands for the solve: two facings for every hundred of the budget, and a bound of three."""

    def __init__(self) -> None:
        self.asked: list[float] = []

    def __call__(
        self,
        scenario: Scenario,
        options: SolveOptions,
        *,
        stop: StopFlag,
        start: Layout | None = None,
    ) -> Plan:
        """Answer with a layout of nothing, or with none where there is no money."""
        money_ = scenario.brief.budget or 0.0
        self.asked.append(money_)
        if not money_:
            return Plan(scenario, Solution(outcome="no layout", clash=Clash(reason="no money")))
        layout = made(int(money_ / 50), money_ / 100 * 3, money_)
        return Plan(scenario, Solution(outcome="layout", layout=layout), layout)


@pytest.fixture
def fake(monkeypatch: pytest.MonkeyPatch) -> Fake:
    """Put a fake in the place of the solve, and let layouts be judged by their cost."""
    one = Fake()
    monkeypatch.setattr("shopfit.planning.solve", one)
    monkeypatch.setattr("shopfit.checks.check", lambda scenario, layout: ())
    return one


def test_points_start_from_layouts_solved_before(monkeypatch: pytest.MonkeyPatch) -> None:
    """The middle starts from the better end that it can pay for; ends start from nothing."""
    dear = Finding(code="budget", severity="violation", subject="brief", message="too dear")

    def check(scenario: Scenario, layout: Layout) -> tuple[Finding, ...]:
        return () if affordable(scenario, layout) else (dear,)

    monkeypatch.setattr("shopfit.checks.check", check)
    starts: dict[str, float | None] = {}

    def work(task: Task, stop: StopFlag) -> Answer:
        budget = task.scenario.brief.budget or 0.0
        starts[task.name] = None if task.start is None else task.start.claims.cost
        return Answer(task.name, task.key, "layout", made(int(budget), None, budget - 50))

    axis, values = read_axis(shop(), "budget", "100", "300", 2)
    solved = trace(axis, values, QUICK, Here(work=work))
    assert [each.at for each in solved] == [100.0, 200.0, 300.0]
    assert starts == {
        "budget USD 100.00": None,
        "budget USD 300.00": None,
        "budget USD 200.00": 50.0,
    }


def test_a_curve_is_drawn_and_written(fake: Fake, tmp_path: Path) -> None:
    """Table, drawing and layouts come out; a second run solves nothing and writes the same."""
    axis, values = read_axis(shop(), "budget", "0", "400", 4)
    found = run_frontier(axis, values, QUICK, out=tmp_path, processes=0)
    # Where every layout meets the rules of every point, all take the best one.
    assert [point.worth for point in found.points] == [8.0] * 5
    assert fake.asked == [0.0, 400.0, 200.0, 100.0, 300.0]
    names = {path.name for path in tmp_path.iterdir()}
    assert {"frontier.csv", "frontier.json", "frontier.png", "frontier.svg", "searches"} <= names
    rows = list(csv.DictReader(io.StringIO((tmp_path / "frontier.csv").read_text())))
    assert rows[1]["Budget (USD)"] == "100.00"
    assert rows[1]["Layout found at"] == "USD 400.00"
    layout = read_layout(tmp_path / rows[1]["Folder"] / "layout.json")
    assert layout.claims.facings == 8
    data = json.loads((tmp_path / "frontier.json").read_text())
    assert data["values are"] == "USD"
    assert [point["bound"] for point in data["points"]] == [3.0, 3.0, 6.0, 9.0, 12.0]
    before = {path: path.read_bytes() for path in tmp_path.glob("frontier.*")}
    again = run_frontier(axis, values, QUICK, out=tmp_path, processes=0)
    assert again.points == found.points
    assert len(fake.asked) == 5
    assert {path: path.read_bytes() for path in tmp_path.glob("frontier.*")} == before


def test_a_stop_names_the_points_left_out(fake: Fake) -> None:
    """What was solved before a stop is told, and the rest is named."""
    axis, values = read_axis(shop(), "budget", "100", "400", 3)
    stop = StopFlag()
    found = run_frontier(
        axis, values, QUICK, processes=0, stop=stop, told=lambda each, count: stop.request()
    )
    assert [point.at for point in found.points] == [100.0]
    assert found.undone == ("USD 200.00", "USD 300.00", "USD 400.00")


def test_the_drawing_tells_units_and_what_is_proved() -> None:
    """Axes are in the units of the shop, and value, bound and lost points are all named."""
    axis = Axis("aisle", "length", True, shop(name="Nook & Co"))
    points = [
        CurvePoint(at=914.4, label="3' 0\"", worth=12.0, bound=14.0),
        CurvePoint(at=990.6, label="3' 3\"", worth=10.0, bound=12.0, violations=1),
        CurvePoint(at=1066.8, label="3' 6\"", status="no layout"),
    ]
    files = chart_files(axis, points)
    assert files["frontier.png"].startswith(b"\x89PNG")
    drawing = ElementTree.fromstring(files["frontier.svg"])
    texts = {
        "".join(each.itertext()).strip() for each in drawing.iter() if each.tag.endswith("text")
    }
    assert {"3' 0\"", "3' 3\"", "3' 6\"", "aisle", "facings"} <= texts
    assert "Nook & Co: facings against aisle" in texts
    assert {"found", "proved: no layout has more", "no layout found", "not settled"} <= texts
    assert "found, does not meet all values checked" in texts
    assert chart_files(axis, points) == files


def test_a_point_without_a_layout_is_marked_on_the_axis() -> None:
    """Its cross is at the foot of the plot, however high the others are: it is no value."""
    axis, _ = read_axis(shop(units="ft-in"), "aisle", "36 in", "42 in", 2)
    points = [
        CurvePoint(at=914.4, label="3' 0\"", worth=500.0, bound=900.0),
        CurvePoint(at=1066.8, label="3' 6\"", status="no layout"),
    ]
    figure = chart._figure(axis, points)
    figure.canvas.draw()
    (plot,) = figure.axes
    (cross,) = [each for each in plot.get_lines() if each.get_label() == "no layout found"]
    place = cross.get_transform().transform(cross.get_xydata())
    assert place[0][1] == pytest.approx(plot.bbox.y0)
    assert place[0][0] == pytest.approx(plot.transData.transform((1066.8, 0.0))[0])
    assert plot.get_ylim()[0] > 400


def test_nothing_is_drawn_between_whole_numbers() -> None:
    """One and a half cabinets are none, so over a count there are marks alone."""
    axis, _ = read_axis(shop(), "cab", "1", "2", None)
    points = [
        CurvePoint(at=1.0, label="1", worth=20.0, bound=22.0),
        CurvePoint(at=2.0, label="2", worth=40.0, bound=44.0),
    ]
    (plot,) = chart._figure(axis, points).axes
    assert not plot.collections
    assert {each.get_linestyle() for each in plot.get_lines()} == {"None"}
    lengths, _ = read_axis(shop(), "aisle", "1 m", "2 m", None)
    (plot,) = chart._figure(lengths, points).axes
    assert plot.collections


def test_a_real_curve_over_cabinets() -> None:
    """One, two and three cabinets show 20, 40 and 60 jars, and each number is proved."""
    given_ = b.scenario(lines=[b.line(max_facings=60)], brief={"aisle": b.mm(950.0)})
    axis, values = read_axis(given_, "cab", "1", "3", None)
    found = run_frontier(axis, values, QUICK, processes=0)
    assert [point.worth for point in found.points] == [20.0, 40.0, 60.0]
    assert [point.proved for point in found.points] == [True] * 3
    assert [point.violations for point in found.points] == [0] * 3
