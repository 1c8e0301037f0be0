"""Published clearances typed in beside their clauses, against the rulebook and its functions.

Expected inches are those of the 2010 ADA Standards for Accessible Design (2004 ADAAG text) as
published by the US Access Board, chapters 3, 4 and 9, unless another source stands beside them.
"""

from __future__ import annotations

from typing import Any

import pytest

from shopfit.model.openings import Door
from shopfit.standards import load
from shopfit.standards.doors import clear_opening, front_approach
from shopfit.standards.panels import working_space
from shopfit.standards.ramps import steepest_slope
from shopfit.units import INCH_MM

US = load("us")

# key, inches, clause
LENGTHS = [
    ("level-vertical", 0.25, "303.2"),
    ("level-without-ramp", 0.5, "303.4"),
    ("turning-circle", 60, "304.3.1"),
    ("turning-tee", 60, "304.3.2"),
    ("turning-tee-arm", 36, "304.3.2"),
    ("protrusion", 4, "307.2"),
    ("protrusion-from", 27, "307.2"),
    ("protrusion-to", 80, "307.2"),
    ("headroom", 80, "307.4"),
    ("reach-high", 48, "308.3.1"),
    ("reach-low", 15, "308.3.1"),
    ("route-width", 36, "403.5.1"),
    ("pinch-width", 32, "403.5.1"),
    ("pinch-length", 24, "403.5.1"),
    ("pinch-apart", 48, "403.5.1"),
    ("turn-element", 48, "403.5.2"),
    ("turn-leg", 42, "403.5.2"),
    ("turn-width", 48, "403.5.2"),
    ("turn-wide", 60, "403.5.2"),
    ("passing-width", 60, "403.5.3"),
    ("passing-interval", 200 * 12, "403.5.3"),
    ("passing-side", 60, "403.5.3"),
    ("door-width", 32, "404.2.3"),
    ("door-width-deep", 36, "404.2.3"),
    ("door-deep", 24, "404.2.3"),
    ("ramp-width", 36, "405.5"),
    ("ramp-rise", 30, "405.6"),
    ("landing-length", 60, "405.7.3"),
    ("ramp-handrail-rise", 6, "405.8"),
    ("counter-height", 36, "904.4.1"),
    ("counter-width", 36, "904.4.1"),
    # 29 CFR 1910.303(g)(1)(i): width read in an OSHA letter of 28 May 1999.
    ("panel-width", 30, "1910.303(g)(1)(i)"),
    # 29 CFR 1910.303(g)(1), Table S-1, 0-150 V to ground, and 6 1/2 ft of height: from memory.
    ("panel-depth", 36, "1910.303(g)(1)"),
    ("panel-height", 78, "1910.303(g)(1)"),
    # 29 CFR 1910.36(g)(2) and (g)(1): read in a reprint.
    ("exit-width", 28, "1910.36(g)(2)"),
    ("exit-ceiling", 90, "1910.36(g)(1)"),
]


@pytest.mark.parametrize(("key", "inches", "clause"), LENGTHS)
def test_lengths(key: str, inches: float, clause: str) -> None:
    """Every length is the published inches times 25.4, exactly, with its clause."""
    found = US.requirement(key)
    assert found.value == pytest.approx(inches * INCH_MM, abs=1e-9)
    assert found.clause.endswith(f", {clause}")


# Table 404.2.4.1, front approach: side, closer, latch -> depth, beyond the latch, inches.
SWING_DOORS = [
    ("in", False, True, 60, 18),
    ("in", True, True, 60, 18),
    ("in", True, False, 60, 18),
    ("out", False, True, 48, 0),
    ("out", True, False, 48, 0),
    ("out", True, True, 48, 12),
    # Table 404.2.4.2, front approach.
    ("sliding", False, True, 48, 0),
    ("none", False, False, 48, 0),
]


@pytest.mark.parametrize(("swing", "closer", "latch", "depth", "beyond"), SWING_DOORS)
def test_front_approach_to_doors(
    swing: Any, closer: bool, latch: bool, depth: float, beyond: float
) -> None:
    """2010 ADA Standards, Tables 404.2.4.1 and 404.2.4.2, seen from inside the door's room."""
    door = Door.model_validate(
        {
            "id": "d",
            "wall": "w",
            "offset": "0",
            "width": "36 in",
            "height": "80 in",
            "swing": swing,
            "closer": closer,
            "latch": latch,
        }
    )
    space = front_approach(US, door, inside=True)
    assert space.depth_mm == pytest.approx(depth * INCH_MM)
    assert space.latch_side_mm == pytest.approx(beyond * INCH_MM)
    assert space.hinge_side_mm == 0
    assert ("404.2.4.1" if swing in ("in", "out") else "404.2.4.2") in space.clause


@pytest.mark.parametrize(("depth", "width"), [(0, 32), (24, 32), (24.1, 36)])
def test_clear_opening_of_doors(depth: float, width: float) -> None:
    """2010 ADA Standards, 404.2.3."""
    door = Door.model_validate(
        {
            "id": "d",
            "wall": "w",
            "offset": "0",
            "width": "36 in",
            "height": "80 in",
            "depth": f"{depth} in",
        }
    )
    assert clear_opening(US, door).value == pytest.approx(width * INCH_MM)


# 2010 ADA Standards, 405.2 and Table 405.2: rise in inches, existing site -> run per rise.
SLOPES = [
    (6, False, 12),
    (3, True, 8),
    (3.1, True, 10),
    (6, True, 10),
    (6.1, True, 12),
    (30, True, 12),
    (0.5, False, 12),
]


@pytest.mark.parametrize(("rise", "existing", "run"), SLOPES)
def test_slope_of_ramps(rise: float, existing: bool, run: float) -> None:
    """2010 ADA Standards, 405.2."""
    assert steepest_slope(US, rise * INCH_MM, existing).value == pytest.approx(1 / run)


@pytest.mark.parametrize(("key", "run"), [("walk-slope", 20), ("cross-slope", 48)])
def test_slope_of_floors(key: str, run: float) -> None:
    """2010 ADA Standards, 403.3: running slope 1:20, cross slope 1:48."""
    assert US.slope(key) == pytest.approx(1 / run)


def test_working_space_at_panelboards() -> None:
    """29 CFR 1910.303(g)(1): 30 in wide (read), 36 in deep and 78 in high (from memory)."""
    space = working_space(US)
    assert (space.width, space.depth, space.height) == pytest.approx((762.0, 914.4, 1981.2))
