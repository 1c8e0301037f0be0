"""Facings, units and height bands line by line."""

from __future__ import annotations

import pytest

from shopfit.checks import check
from shopfit.model.brief import Band

from . import build as b


@pytest.mark.parametrize(
    ("low", "high", "found"),
    [(6, 6, []), (7, 9, ["facings-few"]), (1, 5, ["facings-many"]), (0, 6, [])],
)
def test_facings_lie_between_the_ends(low: int, high: int, found: list[str]) -> None:
    """The mugs have six facings in two places (D7)."""
    scenario = b.relined(b.scenario(), "mug", min_facings=low, max_facings=high)
    assert b.codes(check(scenario, b.layout())) == found


@pytest.mark.parametrize(("holding", "found"), [(40, []), (41, ["holding"])])
def test_enough_units_are_held(holding: int, found: list[str]) -> None:
    """Forty cards hang (D7)."""
    scenario = b.relined(b.scenario(), "card", holding=holding)
    assert b.codes(check(scenario, b.layout())) == found


def test_a_line_that_is_nowhere_is_missed() -> None:
    """A line without a slot has no facings (D7)."""
    layout = b.layout()
    kept = tuple(block for block in layout.blocks if block.id != "B5")
    codes = b.codes(check(b.scenario(), layout.model_copy(update={"blocks": kept})))
    assert codes == ["facings-few", "claim-facings", "claim-units", "claim-value"]


@pytest.mark.parametrize(
    ("bottom", "top", "found"),
    [
        (1193.8, 1300.0, []),
        (1193.9, 1300.0, ["band"]),
        (1000.0, 1193.8, []),
        (1000.0, 1193.7, ["band"]),
    ],
)
def test_the_middle_of_the_row_lies_in_the_band(
    bottom: float, top: float, found: list[str]
) -> None:
    """The umbrellas' row has its middle at 1193.8 (D7)."""
    bands = (Band.model_construct(id="eye", bottom=bottom, top=top),)
    assert b.codes(check(b.briefed(b.scenario(), bands=bands), b.layout())) == found


def test_a_band_that_the_brief_does_not_have_is_found() -> None:
    """The name must be one of the brief's."""
    codes = b.codes(check(b.briefed(b.scenario(), bands=()), b.layout()))
    assert codes == ["band-unknown"]
