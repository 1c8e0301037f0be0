"""A small shop whose quantities were worked out by hand."""

from __future__ import annotations

import pytest

from shopfit.model.layout import Block, Claims, Layout, Placement, Row, Run, Slot
from shopfit.model.scenario import Scenario

IN = 25.4


def given() -> dict[str, object]:
    """Give a room of 240 × 120 in with one kind of everything."""
    lengths = {"west": "120 in", "north": "240 in", "east": "120 in", "south": "240 in"}
    walls = [{"id": name, "length": length} for name, length in lengths.items()]
    caps = {"line": "Caps", "category": "Hats", "width": "6 in", "height": "8 in"}
    mugs = {"line": "Mugs", "category": "Ware", "width": "4 in", "height": "4 in"}
    oars = {"line": "Oars", "category": "Ware", "width": "12 in", "height": "4 in"}
    jars = {"line": "Jars", "category": "Ware", "width": "5 in", "height": "5 in"}
    return {
        "shop": {
            "name": "Reed & Rope",
            "rooms": [{"id": "sales", "height": "9 ft", "heading": 90, "walls": walls}],
            "brief": {"budget": 1000},
        },
        "lines": [
            caps | {"depth": "2 in", "weight": "0.5 kg", "value": 2, "ways": ["hook"]},
            mugs | {"depth": "4 in", "weight": "0.25 kg", "ways": ["shelf"]},
            oars | {"depth": "3 in", "weight": "2 kg", "value": 3, "ways": ["cradle"]},
            jars | {"depth": "4 in", "weight": "0.3 kg", "ways": ["shelf"]},
        ],
        "catalogue": {
            "fixtures": [
                {
                    "id": "CAB",
                    "kind": "base-cabinet",
                    "name": "Low cabinet",
                    "width": "36 in",
                    "depth": "24 in",
                    "height": "30 in",
                    "stands": ["wall"],
                    "price": 120,
                    "owned": 1,
                    "faces": [
                        {
                            "kind": "shelf",
                            "bottom": "4 in",
                            "top": "28 in",
                            "depth": "20 in",
                            "pitch": "2 in",
                            "board": "0.75 in",
                        }
                    ],
                },
                {
                    "id": "TAB",
                    "kind": "table",
                    "width": "48 in",
                    "depth": "30 in",
                    "height": "30 in",
                    "stands": ["island"],
                    "price": 200,
                    "faces": [
                        {"kind": "table", "bottom": "30 in", "top": "50 in", "depth": "30 in"}
                    ],
                },
            ],
            "sheets": [
                {
                    "id": "SLAT",
                    "name": "Slat-wall 8 by 4",
                    "width": "96 in",
                    "height": "48 in",
                    "groove_load": "40 lb/ft",
                    "price": 80,
                }
            ],
            "brackets": [
                {
                    "id": "HOOK",
                    "kind": "hook",
                    "depth": "6 in",
                    "load": "5 kg",
                    "price": 4.5,
                    "pack": 2,
                },
                {
                    "id": "CRAD",
                    "kind": "cradle",
                    "depth": "6 in",
                    "load": "5 kg",
                    "per_facing": 2,
                    "rise": "1 in",
                    "price": 7,
                },
            ],
            "shelves": [
                {
                    "id": "BOARD",
                    "length": "24 in",
                    "depth": "10 in",
                    "load": "20 kg",
                    "price": 30,
                    "pack": 2,
                }
            ],
        },
    }


def _cabinets() -> tuple[Placement, ...]:
    # Backs on the north wall, which runs east from (0, 3048).
    return tuple(
        Placement(
            id=f"F{k + 1}",
            fixture="CAB",
            x_mm=(12 + 36 * k) * IN,
            y_mm=120 * IN,
            angle_deg=0.0,
            wall="north",
            offset_mm=(12 + 36 * k) * IN,
        )
        for k in range(4)
    )


def _blocks() -> tuple[Block, ...]:
    first = 33.5 * IN  # lowest groove of R1: 32 in + 1.5 in
    caps = Slot(
        line="Caps",
        facings=3,
        from_mm=0,
        to_mm=18 * IN,
        way="hook",
        holder="HOOK",
        brackets=3,
        units=9,
    )
    oars = Slot(
        line="Oars",
        facings=1,
        from_mm=0,
        to_mm=12 * IN,
        way="cradle",
        holder="CRAD",
        brackets=2,
        units=1,
    )
    mugs = Slot(
        line="Mugs", facings=5, from_mm=0, to_mm=20 * IN, way="shelf", holder="BOARD", units=10
    )
    jars = Slot(
        line="Jars", facings=2, from_mm=20 * IN, to_mm=30 * IN, way="shelf", holder="BOARD", units=4
    )
    own = Slot(line="Mugs", facings=6, from_mm=4 * IN, to_mm=28 * IN, way="shelf", units=24)
    hats = Row(
        bottom_mm=first + 6 * 3 * IN,
        top_mm=first + 10 * 3 * IN,
        low_groove=7,
        high_groove=10,
        slots=(caps,),
    )
    shelf = Row(
        bottom_mm=first, top_mm=first + 2 * 3 * IN, low_groove=1, high_groove=2, slots=(mugs, jars)
    )
    long = Row(
        bottom_mm=first + 2 * 3 * IN,
        top_mm=first + 4 * 3 * IN,
        low_groove=3,
        high_groove=4,
        slots=(oars,),
    )
    cabinet = Row(bottom_mm=10 * IN, top_mm=20 * IN, slots=(own,))
    return (
        Block(
            id="B1",
            host="R1",
            side="front",
            category="Ware",
            from_mm=0,
            to_mm=36 * IN,
            rows=(shelf, long),
        ),
        Block(
            id="B2",
            host="R2",
            side="front",
            category="Hats",
            from_mm=0,
            to_mm=24 * IN,
            rows=(hats,),
        ),
        Block(
            id="B3",
            host="F2",
            side="front",
            category="Ware",
            from_mm=0,
            to_mm=36 * IN,
            rows=(cabinet,),
        ),
    )


@pytest.fixture
def scenario() -> Scenario:
    """Give the small shop."""
    return Scenario.model_validate(given())


@pytest.fixture
def layout() -> Layout:
    """Give four cabinets, a run of 144 in above them, and one of 48 in on the next wall."""
    height = {"bottom_mm": 32 * IN, "top_mm": 80 * IN, "first_groove_mm": 33.5 * IN}
    return Layout(
        scenario="small",
        placements=_cabinets(),
        runs=(
            Run(
                id="R1",
                wall="north",
                from_mm=12 * IN,
                to_mm=156 * IN,
                sheet="SLAT",
                over=("F1", "F2", "F3", "F4"),
                **height,
            ),
            Run(id="R2", wall="west", from_mm=24 * IN, to_mm=72 * IN, sheet="SLAT", **height),
        ),
        blocks=_blocks(),
        claims=Claims(facings=17, units=48, value=22.0, cost=0.0),
    )


@pytest.fixture(scope="session")
def scenario_of_the_trade() -> Scenario:
    """Give the small shop once for all tries of a property."""
    return Scenario.model_validate(given())
