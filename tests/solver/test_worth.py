"""Tests of what facings are worth, and of the same inside integer programs."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from shopfit.checks.totals import line_worth
from shopfit.solver.aims import WEIGHT_STEPS, Aims
from shopfit.solver.worth import Worth, worth
from tests.solver import build as b


def sales(beta: float = 0.17, **line: object) -> Worth:
    """Give the worth of a scenario of one line with expected sales."""
    brief = {"objective": "sales", "elasticity": {"default": beta}}
    return worth(b.scenario([b.line(**line)], brief=brief))


# Values of n to the power 0.17, by arithmetic; the elasticity is the mean of Eisend 2014, Journal
# of Retailing 90(2):168-181.
POWERS = [(1, 1.0), (2, 1.1251), (3, 1.2053), (4, 1.2658), (6, 1.3561), (8, 1.4241)]


@pytest.mark.parametrize(("facings", "expected"), POWERS)
def test_expected_sales_grow_with_the_power_of_facings(facings: int, expected: float):
    """One more facing of a line brings ever less."""
    found = sales(value=1.0, max_facings=8)
    assert found.of("jar", facings) == pytest.approx(expected, abs=5e-5)


def test_the_last_facing_is_worth_what_its_line_gains_by_it():
    """With sales it is the last step of each line, on average; with facings it is one."""
    # The eighth less the seventh of facings to the power 0.17, by arithmetic: 1.4241 - 1.3921.
    assert sales(value=1.0, max_facings=8).last == pytest.approx(0.0320, abs=1e-4)
    assert worth(b.scenario([b.line("a"), b.line("z", max_facings=0)])).last == 1.0


def test_steps_end_with_the_most_facings():
    """Facings above the most bring nothing."""
    found = sales(value=2.0, max_facings=3)
    assert found.of("jar", 3) == pytest.approx(found.of("jar", 9))
    assert found.of("jar", 2.9) < found.of("jar", 3)


@settings(max_examples=60)
@given(st.floats(0.0, 12.0), st.floats(0.05, 1.0), st.floats(0.0, 50.0))
def test_solver_and_checks_count_alike(counted: float, beta: float, value: float):
    """Two writings of the same worth agree for every number of weighted facings."""
    brief = {"objective": "sales", "elasticity": {"default": beta}}
    given = b.scenario([b.line(max_facings=12, value=value)], brief=brief)
    found = worth(given).of("jar", counted)
    assert found == pytest.approx(line_worth(given.brief, given.line("jar"), counted), abs=1e-6)


@pytest.mark.parametrize(
    ("objective", "even", "whole"),
    [("facings", True, True), ("value", True, False), ("sales", False, False)],
)
def test_kinds_of_worth(objective: str, even: bool, whole: bool):
    """Only facings and whole values may be rounded; sales fall off."""
    given = b.scenario([b.line(value=1.5)], brief={"objective": objective})
    found = worth(given)
    assert (found.even, found.whole) == (even, whole)


def test_weights_of_bands_make_worth_uneven():
    """A band with a weight means that rows are not alike."""
    band = {"id": "eye", "bottom": b.mm(1200.0), "top": b.mm(1600.0), "weight": 1.5}
    assert not worth(b.scenario(brief={"bands": [band]})).even
    assert worth(b.scenario(brief={"bands": [{**band, "weight": 1.0}]})).even


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.tuples(st.sampled_from([0.5, 1.0, 1.5]), st.integers(0, 3)), max_size=3),
    st.floats(0.1, 0.9),
    st.integers(0, 3),
)
def test_programs_give_the_worth_of_what_is_known(
    counts: list[tuple[float, int]], beta: float, elsewhere: int
):
    """With facings fixed, the program's best steps are those that the sum takes in order."""
    aims = Aims(sales(beta, value=1.0, max_facings=9), 1000)
    model = cp_model.CpModel()
    terms = [(weight, model.new_int_var(n, n, "")) for weight, n in counts]
    model.maximize(aims.of(model, "jar", terms, elsewhere))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    assert solver.objective_value == aims.now("jar", counts, elsewhere)
    total = sum(weight * n for weight, n in counts)
    exact = aims.worth.of("jar", elsewhere + total) - aims.worth.of("jar", elsewhere)
    assert aims.now("jar", counts, elsewhere) / (1000 * WEIGHT_STEPS) == pytest.approx(
        exact, abs=0.01
    )


def test_sales_are_spread_over_lines():
    """With room for six facings of three equal lines, expected sales show two of each."""
    found = worth(
        b.scenario([b.line(name, max_facings=6) for name in "abc"], brief={"objective": "sales"})
    )
    best = max(
        (c for c in itertools.product(range(7), repeat=3) if sum(c) == 6),
        key=lambda c: found.most(dict(zip("abc", c, strict=True))),
    )
    assert best == (2, 2, 2)


@pytest.mark.parametrize(
    ("objective", "known", "least"),
    [("facings", 62.0, 1.0), ("sales", 62.0, 62e-4), ("sales", 0.0, 1e-4), ("sales", -50.0, 50e-4)],
)
def test_what_is_better_is_better_by_a_whole_facing_or_a_little(
    objective: str, known: float, least: float
):
    """Where every worth is whole the next one is one more; else a ten-thousandth counts."""
    given = worth(b.scenario([b.line(value=2.5)], brief={"objective": objective}))
    assert given.gain(known) == pytest.approx(least)
