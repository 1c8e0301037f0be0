"""Fitted exponents, on made-up data whose exponent is known, and the plots."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfit.bench.growth import fitted, growth, growth_files
from shopfit.bench.measure import Record
from shopfit.bench.sizes import BY_NAME, SIZES

Make = Callable[..., Record]


def grown(
    record: Make, solver: str, exponent: float, sizes: tuple[str, ...] = SIZES
) -> list[Record]:
    return [
        record(
            size=size,
            seed=seed,
            solver=solver,
            lines=BY_NAME[size].lines,
            first_seconds=0.01 * BY_NAME[size].lines ** exponent * (seed + 1),
            one_percent_seconds=None,
        )
        for size in sizes
        for seed in range(3)
    ]


@given(
    exponent=st.floats(-2, 3),
    factor=st.floats(1e-3, 1e3),
    lines=st.lists(st.integers(1, 10_000), min_size=2, max_size=6, unique=True),
)
def test_a_power_law_is_found_again(exponent: float, factor: float, lines: list[int]) -> None:
    """Least squares on logarithms give back exactly what made the data."""
    found, level = fitted(lines, [factor * n**exponent for n in lines])
    assert found == pytest.approx(exponent, abs=1e-6)
    assert level == pytest.approx(factor, rel=1e-4)


def test_scatter_is_averaged() -> None:
    """Points off the line on both sides leave its slope alone."""
    assert fitted([1, 1, 10, 10], [2.0, 0.5, 20.0, 5.0])[0] == pytest.approx(1.0)


def test_growth_is_fitted_to_medians_over_seeds(record: Make) -> None:
    """Of three seeds the middle one counts, and each solver has its own exponent."""
    made = [*grown(record, "a", 1.5), *grown(record, "b", 0.5)]
    found = {each.solver: each for each in growth(made) if each.measured == "first_seconds"}
    assert found["a"].exponent == pytest.approx(1.5)
    assert found["b"].exponent == pytest.approx(0.5)
    assert found["a"].factor == pytest.approx(0.02)
    assert found["a"].lines == tuple(BY_NAME[size].lines for size in SIZES)


def test_what_was_never_reached_is_not_fitted(record: Make) -> None:
    """Nobody came to 1 %, so there is nothing to draw; two sizes make no exponent."""
    found = growth(grown(record, "a", 1.0, ("stall", "narrow")))
    assert {each.measured for each in found} == {"first_seconds", "peak_bytes"}
    assert all(each.exponent is None for each in found)


def test_known_shops_are_not_mixed_in(record: Make) -> None:
    """They have other numbers of lines than drawn ones of the same size."""
    assert growth([record(known=True)]) == ()


def test_plots_are_drawn_and_say_the_exponent(record: Make) -> None:
    """Both forms are there, and text in the SVG is text."""
    found = growth([*grown(record, "a", 1.5), *grown(record, "b", 0.5, ("stall", "corner"))])
    files = growth_files(found)
    assert set(files) == {"growth.svg", "growth.png"}
    assert files["growth.png"].startswith(b"\x89PNG")
    assert "a, lines^1.50" in files["growth.svg"].decode()


def test_one_size_grows_nowhere(record: Make) -> None:
    """A plot of single points would say nothing, and none is drawn."""
    assert growth_files(growth([record(seed=seed) for seed in range(3)])) == {}
    assert growth_files(()) == {}
