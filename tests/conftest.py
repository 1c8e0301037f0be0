"""What several rooms' tests share: a demo as given, and a layout of it set out by hand."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import settings

from shopfit.geometry.footprint import against_wall
from shopfit.geometry.shell import survey
from shopfit.model.layout import Block, Claims, Layout, Placement, Row, Run, Slot
from shopfit.model.proof import Proof, Timing
from shopfit.model.scenario import Scenario
from shopfit.units import INCH_MM

# The same examples every time: a run that fails here fails everywhere.
settings.register_profile("shopfit", derandomize=True, deadline=None, print_blob=True)
settings.load_profile("shopfit")

SCENARIOS = Path(__file__).parent.parent / "scenarios"


@pytest.fixture(scope="session")
def kiosk_folder() -> Path:
    """Give the folder of the smallest demo."""
    return SCENARIOS / "market-kiosk"


@pytest.fixture(scope="session")
def kiosk(kiosk_folder: Path) -> Scenario:
    """Give the smallest demo."""
    from shopfit.files.scenario import load_scenario

    return load_scenario(kiosk_folder)


@pytest.fixture(scope="session")
def kiosk_layout(kiosk: Scenario) -> Layout:
    """Give a sparse layout of the kiosk: a counter, a cabinet, a run above it, two categories."""
    west = survey(kiosk.shop).wall("west")
    cabinet = against_wall("F2", kiosk.catalogue.fixture("cab-36"), west, _inches(24))
    counter = Placement(
        id="F1",
        fixture="counter-48",
        x_mm=_inches(36),
        y_mm=_inches(112),
        angle_deg=0.0,
    )
    run = Run(
        id="R1",
        wall="west",
        from_mm=_inches(24),
        to_mm=_inches(60),
        bottom_mm=_inches(36),
        top_mm=_inches(78),
        sheet="slat-8x4",
        first_groove_mm=_inches(37.5),
        over=("F2",),
    )
    return Layout(
        scenario="market-kiosk",
        placements=(counter, cabinet),
        runs=(run,),
        blocks=(_jars(), _candles()),
        claims=Claims(facings=9, units=32, value=81.0, cost=0.0),
        proof=Proof(
            status="within gap",
            objective=9.0,
            bound=12.0,
            gap=0.25,
            grid="by hand",
            rules="none",
            step_mm=_inches(6),
            candidates=2,
        ),
        timing=Timing(made="2026-01-02T03:04:05+00:00", seconds=1.5, first_layout_seconds=0.5),
    )


def _jars() -> Block:
    slot = Slot(
        line="Honey jar 12 oz", facings=5, from_mm=0.0, to_mm=_inches(16.25), way="shelf", units=20
    )
    row = Row(bottom_mm=_inches(4), top_mm=_inches(12), slots=(slot,))
    return Block(
        id="B1",
        host="F2",
        side="front",
        category="Preserves",
        from_mm=0.0,
        to_mm=_inches(34.5),
        rows=(row,),
    )


def _candles() -> Block:
    slot = Slot(
        line="Taper candles pair",
        facings=4,
        from_mm=0.0,
        to_mm=_inches(14),
        way="hook",
        holder="hook-4",
        brackets=4,
        units=12,
    )
    row = Row(
        bottom_mm=_inches(37.5), top_mm=_inches(52.5), low_groove=1, high_groove=5, slots=(slot,)
    )
    return Block(
        id="B2",
        host="R1",
        side="front",
        category="Candles",
        from_mm=0.0,
        to_mm=_inches(36),
        rows=(row,),
    )


def _inches(length: float) -> float:
    return length * INCH_MM
