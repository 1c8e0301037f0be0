"""A small shop and a layout of it, drawn up by hand so that every check is content.

The room is 6000 by 4800 mm with walls W, N, E and S, walked clockwise from the south-west corner.
"""

from __future__ import annotations

from typing import Any

from shopfit.model.finding import Finding
from shopfit.model.layout import (
    Block,
    Claims,
    CutPiece,
    Layout,
    Placement,
    Purchase,
    Row,
    Run,
    Slot,
)
from shopfit.model.scenario import Scenario

AISLE = 1066.8  # 42 in
WIDTH, DEPTH, HEIGHT = 6000.0, 4800.0, 2743.2


def mm(*lengths: float) -> Any:
    """Write lengths the way the models read them."""
    written = [f"{length!r} mm" for length in lengths]
    return written[0] if len(written) == 1 else written


SHOP: dict[str, Any] = {
    "name": "Test shop",
    "units": "ft-in",
    "rooms": [
        {
            "id": "shop",
            "height": mm(HEIGHT),
            "corners": [mm(0.0, 0.0), mm(0.0, DEPTH), mm(WIDTH, DEPTH), mm(WIDTH, 0.0)],
            "walls": [{"id": "W"}, {"id": "N"}, {"id": "E"}, {"id": "S"}],
        }
    ],
    # Wall S runs from east to west: the door spans x 2585.6 to 3500.
    "doors": [
        {
            "id": "front",
            "wall": "S",
            "offset": mm(2500.0),
            "width": mm(914.4),
            "height": mm(2032.0),
            "hinge": "left",
            "swing": "in",
        }
    ],
    "windows": [
        {
            "id": "light",
            "wall": "W",
            "offset": mm(3500.0),
            "width": mm(1000.0),
            "sill": mm(900.0),
            "head": mm(2000.0),
        }
    ],
    "obstructions": [
        {
            "id": "panel",
            "kind": "panelboard",
            "wall": "E",
            "offset": mm(3800.0),
            "width": mm(400.0),
            "bottom": mm(1000.0),
            "top": mm(1800.0),
        }
    ],
    "columns": [{"id": "post", "at": mm(1000.0, 400.0), "size": mm(200.0, 200.0)}],
    "zones": [
        {
            "id": "staff",
            "kind": "staff",
            "corners": [
                mm(3800.0, 0.0),
                mm(3800.0, 2000.0),
                mm(WIDTH, 2000.0),
                mm(WIDTH, 0.0),
            ],
        }
    ],
    "approach": {
        "floor_above_grade": "6 in",
        "door": "front",
        "ramps": [
            {
                "id": "ramp",
                "rise": "6 in",
                "run": "72 in",
                "width": "36 in",
                "edge_protection": True,
                "top": {"length": "60 in", "width": "60 in"},
                "bottom": {"length": "60 in", "width": "36 in"},
            }
        ],
    },
    "brief": {
        "aisle": mm(AISLE),
        "staff_aisle": "36 in",
        "budget": 3000,
        "bands": [{"id": "eye", "bottom": mm(1193.8), "top": mm(1400.0)}],
        "wanted": [{"kind": "counter", "at_least": 1, "at_most": 1}],
    },
}

FIXTURES: list[dict[str, Any]] = [
    {
        "id": "base-48",
        "kind": "base-cabinet",
        "width": "48 in",
        "depth": "24 in",
        "height": "30 in",
        "stands": ["wall"],
        "faces": [
            {
                "kind": "shelf",
                "bottom": "4 in",
                "top": "28 in",
                "depth": mm(500.0),
                "load": "40 kg",
            }
        ],
        "weight": "30 kg",
        "price": 200,
        "owned": 1,
        "available": 3,
    },
    {
        "id": "case-48",
        "kind": "glass-case",
        "width": "48 in",
        "depth": mm(500.0),
        "height": mm(1400.0),
        "stands": ["wall"],
        "faces": [
            {
                "kind": "case",
                "bottom": mm(900.0),
                "top": mm(1300.0),
                "depth": mm(400.0),
                "load": "20 kg",
            }
        ],
        "slat_above": False,
        "weight": "50 kg",
        "price": 600,
    },
    {
        "id": "table-4",
        "kind": "table",
        "width": mm(1200.0),
        "depth": mm(800.0),
        "height": mm(760.0),
        "stands": ["island"],
        "faces": [
            {
                "side": side,
                "kind": "table",
                "bottom": mm(760.0),
                "top": mm(1160.0),
                "depth": mm(400.0),
                "load": "60 kg",
            }
            for side in ("front", "back")
        ],
        "weight": "25 kg",
        "price": 150,
    },
    {
        "id": "till",
        "kind": "counter",
        "width": mm(1200.0),
        "depth": mm(600.0),
        "height": mm(1000.0),
        "stands": ["divider"],
        "service_height": "36 in",
        "service_width": "36 in",
        "fixed": True,
        "weight": "60 kg",
        "price": 500,
    },
]

CATALOGUE: dict[str, Any] = {
    "fixtures": FIXTURES,
    "sheets": [
        {
            "id": "sheet",
            "width": "96 in",
            "height": "48 in",
            "groove_load": "40 kg/m",
            "price": 90,
            "weight": "35 kg",
            "available": 2,
        }
    ],
    "brackets": [
        {
            "id": "hook-6",
            "kind": "hook",
            "depth": mm(150.0),
            "load": "2 kg",
            "units": 10,
            "price": 5,
            "pack": 10,
        },
        {"id": "arm-4", "kind": "face-out", "depth": "4 in", "load": "3 kg", "price": 2},
        {
            "id": "cradle",
            "kind": "cradle",
            "depth": mm(200.0),
            "load": "2 kg",
            "per_facing": 2,
            "price": 3,
            "pack": 4,
        },
    ],
    "shelves": [
        {
            "id": "board",
            "length": "24 in",
            "depth": mm(300.0),
            "load": "20 kg",
            "price": 15,
            "pack": 2,
        }
    ],
}


def _line(name: str, category: str, size: tuple[float, float, float], **more: Any) -> Any:
    width, height, depth = size
    return {
        "line": name,
        "category": category,
        "width": mm(width),
        "height": mm(height),
        "depth": mm(depth),
        **more,
    }


LINES = [
    _line("card", "paper", (100.0, 200.0, 5.0), ways=["hook"], weight="50 g", holding=30),
    _line("mug", "home", (120.0, 110.0, 100.0), ways=["shelf"], weight="400 g", max_facings=6),
    _line("umbrella", "home", (80.0, 150.0, 60.0), ways=["cradle"], weight="500 g", band="eye"),
    _line("tag", "gifts", (60.0, 100.0, 20.0), ways=["face-out"], weight="20 g", value=2.5),
    _line("yarn", "wool", (90.0, 200.0, 100.0), ways=["shelf"], weight="100 g"),
    _line("ring", "gold", (50.0, 60.0, 50.0), ways=["case"], weight="10 g", secured=True),
    _line("bowl", "clay", (200.0, 250.0, 200.0), ways=["table"], weight="1 kg"),
]


def scenario(**changes: Any) -> Scenario:
    """Give the shop; changes replace whole parts of ``SHOP``."""
    return Scenario.model_validate(
        {
            "shop": {**SHOP, **changes},
            "lines": LINES,
            "catalogue": CATALOGUE,
            "folder": "test-shop",
        }
    )


def _slot(
    line: str, facings: int, start: float, width: float, way: Any, units: int, **more: Any
) -> Slot:
    return Slot(
        line=line,
        facings=facings,
        from_mm=start,
        to_mm=start + facings * width,
        way=way,
        units=units,
        **more,
    )


def layout() -> Layout:
    """Give a layout of the shop that meets every value checked."""
    first, pitch = 812.8 + 38.1, 76.2
    return Layout(
        scenario="test-shop",
        placements=(
            Placement(
                id="F1",
                fixture="base-48",
                x_mm=1000,
                y_mm=4800,
                angle_deg=0,
                wall="N",
                offset_mm=1000,
            ),
            Placement(
                id="F2",
                fixture="base-48",
                x_mm=2219.2,
                y_mm=4800,
                angle_deg=0,
                wall="N",
                offset_mm=2219.2,
            ),
            Placement(
                id="F3",
                fixture="case-48",
                x_mm=6000,
                y_mm=4500,
                angle_deg=-90,
                wall="E",
                offset_mm=300,
            ),
            Placement(id="F4", fixture="table-4", x_mm=2000, y_mm=2700, angle_deg=0),
            Placement(id="F5", fixture="till", x_mm=6000, y_mm=1400, angle_deg=180),
        ),
        runs=(
            Run(
                id="R1",
                wall="N",
                from_mm=1000,
                to_mm=3438.4,
                bottom_mm=812.8,
                top_mm=2032,
                sheet="sheet",
                first_groove_mm=first,
                over=("F1", "F2"),
            ),
            Run(
                id="R2",
                wall="W",
                from_mm=1000,
                to_mm=2219.2,
                bottom_mm=304.8,
                top_mm=1524,
                sheet="sheet",
                first_groove_mm=342.9,
            ),
        ),
        blocks=(
            Block(
                id="B1",
                host="R1",
                side="front",
                category="paper",
                from_mm=0,
                to_mm=1219.2,
                rows=(
                    Row(
                        bottom_mm=first,
                        top_mm=first + 4 * pitch,
                        low_groove=1,
                        high_groove=4,
                        slots=(_slot("card", 4, 10, 100, "hook", 40, holder="hook-6", brackets=4),),
                    ),
                ),
            ),
            Block(
                id="B2",
                host="R1",
                side="front",
                category="home",
                from_mm=1219.2,
                to_mm=2438.4,
                rows=(
                    Row(
                        bottom_mm=first,
                        top_mm=first + 3 * pitch,
                        low_groove=1,
                        high_groove=3,
                        slots=(
                            _slot("mug", 3, 1230, 120, "shelf", 9, holder="board"),
                            _slot("mug", 3, 1590, 120, "shelf", 9, holder="board"),
                        ),
                    ),
                    Row(
                        bottom_mm=first + 3 * pitch,
                        top_mm=first + 6 * pitch,
                        low_groove=4,
                        high_groove=6,
                        slots=(
                            _slot(
                                "umbrella", 3, 1300, 80, "cradle", 9, holder="cradle", brackets=6
                            ),
                        ),
                    ),
                ),
            ),
            Block(
                id="B3",
                host="R2",
                side="front",
                category="gifts",
                from_mm=0,
                to_mm=600,
                rows=(
                    Row(
                        bottom_mm=342.9 + 6 * pitch,
                        top_mm=342.9 + 9 * pitch,
                        low_groove=7,
                        high_groove=9,
                        slots=(_slot("tag", 4, 0, 60, "face-out", 20, holder="arm-4", brackets=4),),
                    ),
                ),
            ),
            Block(
                id="B4",
                host="F1",
                side="front",
                category="wool",
                from_mm=0,
                to_mm=1219.2,
                rows=(
                    Row(
                        bottom_mm=101.6,
                        top_mm=101.6 + 6 * 50.8,
                        slots=(_slot("yarn", 4, 0, 90, "shelf", 20),),
                    ),
                ),
            ),
            Block(
                id="B5",
                host="F3",
                side="front",
                category="gold",
                from_mm=0,
                to_mm=600,
                rows=(
                    Row(
                        bottom_mm=900,
                        top_mm=900 + 3 * 50.8,
                        slots=(_slot("ring", 3, 100, 50, "case", 24),),
                    ),
                ),
            ),
            Block(
                id="B6",
                host="F4",
                side="back",
                category="clay",
                from_mm=0,
                to_mm=1200,
                rows=(
                    Row(
                        bottom_mm=760,
                        top_mm=1160,
                        slots=(_slot("bowl", 2, 0, 200, "table", 4),),
                    ),
                ),
            ),
        ),
        cuts=(
            CutPiece(
                run="R1",
                x_mm=0,
                z_mm=0,
                width_mm=2438.4,
                height_mm=1219.2,
                sheet_number=1,
                sheet_x_mm=0,
                sheet_z_mm=0,
            ),
            CutPiece(
                run="R2",
                x_mm=0,
                z_mm=0,
                width_mm=600,
                height_mm=1219.2,
                sheet_number=2,
                sheet_x_mm=0,
                sheet_z_mm=0,
            ),
            CutPiece(
                run="R2",
                x_mm=600,
                z_mm=0,
                width_mm=619.2,
                height_mm=1219.2,
                sheet_number=2,
                sheet_x_mm=700,
                sheet_z_mm=0,
            ),
        ),
        purchases=(
            _buy("base-48", "fixture", 2, 1, 200, owned=1),
            _buy("case-48", "fixture", 1, 1, 600),
            _buy("table-4", "fixture", 1, 1, 150),
            _buy("till", "fixture", 1, 1, 500),
            _buy("sheet", "sheet", 2, 2, 90),
            _buy("hook-6", "bracket", 4, 1, 5),
            _buy("arm-4", "bracket", 4, 4, 2),
            _buy("cradle", "bracket", 6, 2, 3),
            # One segment of 720 mm on 24 in boards.
            _buy("board", "shelf", 2, 1, 15),
        ),
        # Facings 4 + 6 + 3 + 4 + 4 + 3 + 2; tags are worth 2.5 each, all others 1.
        claims=Claims(facings=26, units=135, value=32, cost=1664),
    )


def _buy(item: str, kind: Any, needed: int, packs: int, price: float, owned: int = 0) -> Purchase:
    return Purchase(
        item=item,
        kind=kind,
        needed=needed,
        owned=owned,
        packs=packs,
        price=price,
        total=packs * price,
    )


def _replace(items: tuple[Any, ...], key: str, name: str, update: dict[str, Any]) -> Any:
    assert any(getattr(item, key) == name for item in items), name
    return tuple(
        item.model_copy(update=update) if getattr(item, key) == name else item for item in items
    )


def moved(given: Layout, tag: str, **update: Any) -> Layout:
    """Change a placement."""
    return given.model_copy(update={"placements": _replace(given.placements, "id", tag, update)})


def added(given: Layout, placement: Placement) -> Layout:
    """Add a placement."""
    return given.model_copy(update={"placements": (*given.placements, placement)})


def rehung(given: Layout, tag: str, **update: Any) -> Layout:
    """Change a run."""
    return given.model_copy(update={"runs": _replace(given.runs, "id", tag, update)})


def reblocked(given: Layout, tag: str, **update: Any) -> Layout:
    """Change a block."""
    return given.model_copy(update={"blocks": _replace(given.blocks, "id", tag, update)})


def _block(given: Layout, tag: str) -> Block:
    return next(block for block in given.blocks if block.id == tag)


def rerowed(given: Layout, tag: str, row: int = 0, **update: Any) -> Layout:
    """Change a row of a block."""
    rows = list(_block(given, tag).rows)
    rows[row] = rows[row].model_copy(update=update)
    return reblocked(given, tag, rows=tuple(rows))


def reslotted(given: Layout, tag: str, row: int = 0, slot: int = 0, **update: Any) -> Layout:
    """Change a slot of a row of a block."""
    slots = list(_block(given, tag).rows[row].slots)
    slots[slot] = slots[slot].model_copy(update=update)
    return rerowed(given, tag, row, slots=tuple(slots))


def recut(given: Layout, index: int, **update: Any) -> Layout:
    """Change a cut piece."""
    cuts = list(given.cuts)
    cuts[index] = cuts[index].model_copy(update=update)
    return given.model_copy(update={"cuts": tuple(cuts)})


def rebought(given: Layout, item: str, **update: Any) -> Layout:
    """Change a purchase."""
    return given.model_copy(update={"purchases": _replace(given.purchases, "item", item, update)})


def refitted(given: Scenario, fixture: str, **update: Any) -> Scenario:
    """Change a fixture of the catalogue."""
    fixtures = _replace(given.catalogue.fixtures, "id", fixture, update)
    catalogue = given.catalogue.model_copy(update={"fixtures": fixtures})
    return given.model_copy(update={"catalogue": catalogue})


def rebracketed(given: Scenario, bracket: str, **update: Any) -> Scenario:
    """Change a bracket of the catalogue."""
    brackets = _replace(given.catalogue.brackets, "id", bracket, update)
    catalogue = given.catalogue.model_copy(update={"brackets": brackets})
    return given.model_copy(update={"catalogue": catalogue})


def relined(given: Scenario, line: str, **update: Any) -> Scenario:
    """Change a line of the range."""
    return given.model_copy(update={"lines": _replace(given.lines, "line", line, update)})


def briefed(given: Scenario, **update: Any) -> Scenario:
    """Change the brief."""
    brief = given.shop.brief.model_copy(update=update)
    return given.model_copy(update={"shop": given.shop.model_copy(update={"brief": brief})})


def faults(findings: tuple[Finding, ...]) -> list[Finding]:
    """Keep the findings that say something is wrong."""
    return [one for one in findings if one.severity in ("violation", "barrier to review")]


def codes(findings: tuple[Finding, ...]) -> list[str]:
    """List the codes of the findings that say something is wrong."""
    return [one.code for one in faults(findings)]
