"""Loads of slat-wall runs on walls and studs."""

from __future__ import annotations

import pytest

from shopfit.checks import check

from . import build as b


def test_the_heaviest_run_is_told() -> None:
    """R1: cards 2 kg, mugs 7.2 kg, umbrellas 4.5 kg, and its sheet of 35 kg."""
    load = next(f for f in check(b.scenario(), b.layout()) if f.code == "wall-load")
    assert "R1" in load.message
    assert "licensed" in load.mend
    assert load.confidence == "common practice, no source"
    assert load.measured == pytest.approx(48.7)
