"""Shops and drawings that several tests look at."""

from __future__ import annotations

import pytest

from drawing import build
from shopfit.drawing import draw
from shopfit.model.finding import Finding


@pytest.fixture(scope="session")
def findings():
    return (
        Finding(
            code="aisle-width",
            severity="violation",
            subject="F3",
            message="The aisle before F3 is 34 in wide.",
            at_mm=(3000, 1200),
        ),
        Finding(code="outlet", severity="advice", subject="F5", message="An outlet is hidden."),
        Finding(code="budget", severity="advice", subject="money", message="Money is left."),
    )


@pytest.fixture(scope="session")
def narrow():
    scenario = build.narrow_shop()
    return scenario, build.narrow_layout(scenario)


@pytest.fixture(scope="session")
def corner():
    scenario = build.corner_shop()
    return scenario, build.corner_layout(scenario)


@pytest.fixture(scope="session")
def narrow_set(narrow, findings):
    return draw(*narrow, findings, page="letter", date="2025-03-01")


@pytest.fixture(scope="session")
def corner_set(corner, findings):
    return draw(*corner, findings, date="2025-03-01")
