"""Builds scenarios and plausible layouts in code, for trying the drawings."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field

from shopfit.geometry.footprint import against_wall, footprint
from shopfit.geometry.openings import door_rectangle, things_on
from shopfit.geometry.shell import ShellPlan, WallLine, survey
from shopfit.geometry.wallface import FaceShape, faces
from shopfit.model.fixtures import Fixture
from shopfit.model.layout import Block, Claims, CutPiece, Layout, Placement, Row, Run, Slot
from shopfit.model.scenario import Scenario

GAP = 25.4


def catalogue() -> dict:
    """Give fixtures, sheets, brackets and boards as written in files."""
    shelf = {"kind": "shelf", "bottom": "4 in", "top": "32 in", "depth": "18 in"}
    return {
        "fixtures": [
            {
                "id": "BC-36",
                "kind": "base-cabinet",
                "name": "Base cabinet 36",
                "width": "36 in",
                "depth": "20 in",
                "height": "34 in",
                "stands": ["wall"],
                "price": 210,
                "faces": [shelf],
            },
            {
                "id": "GC-48",
                "kind": "glass-case",
                "name": "Glass case 48",
                "width": "48 in",
                "depth": "22 in",
                "height": "38 in",
                "stands": ["wall", "island"],
                "price": 640,
                "slat_above": False,
                "faces": [
                    {
                        "kind": "case",
                        "bottom": "10 in",
                        "top": "37 in",
                        "depth": "18 in",
                        "width": "45 in",
                    }
                ],
            },
            {
                "id": "GO-60",
                "kind": "gondola",
                "name": "Gondola 60",
                "width": "60 in",
                "depth": "30 in",
                "height": "54 in",
                "stands": ["island"],
                "price": 380,
                "faces": [
                    {
                        "side": side,
                        "kind": "shelf",
                        "bottom": "6 in",
                        "top": "54 in",
                        "depth": "14 in",
                    }
                    for side in ("front", "back")
                ],
            },
            {
                "id": "TB-40",
                "kind": "table",
                "name": "Table 40",
                "width": "40 in",
                "depth": "40 in",
                "height": "30 in",
                "stands": ["island"],
                "price": 150,
                "faces": [{"kind": "table", "bottom": "30 in", "top": "46 in", "depth": "20 in"}],
            },
            {
                "id": "CT-60",
                "kind": "counter",
                "name": "Counter 60",
                "width": "60 in",
                "depth": "24 in",
                "height": "34 in",
                "stands": ["divider"],
                "price": 520,
            },
        ],
        "sheets": [
            {
                "id": "SW-48",
                "name": "Slat-wall 4 × 8",
                "width": "96 in",
                "height": "48 in",
                "groove_load": "40 lb/ft",
                "price": 58,
            },
        ],
        "brackets": [
            {
                "id": "HK-8",
                "kind": "hook",
                "depth": "8 in",
                "load": "5 lb",
                "price": 14,
                "pack": 24,
            },
            {
                "id": "CR-10",
                "kind": "cradle",
                "depth": "10 in",
                "load": "12 lb",
                "price": 9,
                "per_facing": 2,
            },
        ],
        "shelves": [
            {"id": "SB-48", "length": "48 in", "depth": "10 in", "load": "60 lb", "price": 21},
        ],
    }


def lines(categories: int = 6, each: int = 8) -> list[dict]:
    """Give a range: some lines for hooks, some for cradles, some for shelves."""
    words = ("Rope", "Lamp", "Oil", "Chart", "Tin", "Brush", "Flag", "Float", "Twine", "Cleat")
    found = []
    for c in range(categories):
        for k in range(each):
            way = ("hook", "cradle", "shelf")[(c + k) % 3]
            found.append(
                {
                    "line": f"{words[(c + k) % len(words)]} {c + 1}{k + 1:02d}",
                    "category": f"{words[c % len(words)]} goods {c + 1}",
                    "width": f"{3 + (c * 3 + k * 5) % 9} in",
                    "height": f"{4 + (c * 2 + k) % 7} in",
                    "depth": "4 in",
                    "weight": "8 oz",
                    "min_facings": 1,
                    "max_facings": 6,
                    "ways": [way, "shelf", "case", "table"]
                    if way != "shelf"
                    else ["shelf", "case", "table"],
                }
            )
    return found


def narrow_shop(units: str = "ft-in", name: str = "Towpath Sundries") -> Scenario:
    """Give a narrow shell of 11998 x 2330 mm with its entrance in a short side."""
    return Scenario.model_validate(
        {
            "shop": {
                "name": name,
                "units": units,
                "rooms": [
                    {
                        "id": "shop",
                        "height": "2700 mm",
                        "corners": [
                            ["0 mm", "0 mm"],
                            ["0 mm", "2330 mm"],
                            ["11998 mm", "2330 mm"],
                            ["11998 mm", "0 mm"],
                        ],
                        "walls": [
                            {"id": "back"},
                            {
                                "id": "north",
                                "heights": [
                                    {"offset": "0 mm", "height": "2300 mm"},
                                    {"offset": "6000 mm", "height": "2700 mm"},
                                    {"offset": "11998 mm", "height": "2700 mm"},
                                ],
                            },
                            {"id": "street"},
                            {"id": "south"},
                        ],
                    }
                ],
                "doors": [
                    {
                        "id": "front",
                        "wall": "street",
                        "offset": "600 mm",
                        "width": "36 in",
                        "height": "80 in",
                        "swing": "out",
                        "closer": True,
                    },
                    {
                        "id": "yard",
                        "wall": "back",
                        "offset": "1000 mm",
                        "width": "34 in",
                        "height": "80 in",
                        "swing": "in",
                        "use": "staff",
                        "hinge": "right",
                    },
                ],
                "windows": [
                    {
                        "id": "W1",
                        "wall": "south",
                        "offset": "5200 mm",
                        "width": "1400 mm",
                        "sill": "1000 mm",
                        "head": "2100 mm",
                    },
                ],
                "obstructions": [
                    {
                        "id": "PB",
                        "kind": "panelboard",
                        "wall": "north",
                        "offset": "300 mm",
                        "width": "400 mm",
                        "bottom": "1200 mm",
                        "top": "1900 mm",
                        "depth": "120 mm",
                    },
                    {
                        "id": "T1",
                        "kind": "thermostat",
                        "wall": "south",
                        "offset": "9000 mm",
                        "width": "120 mm",
                        "bottom": "1400 mm",
                        "top": "1520 mm",
                    },
                ],
                "approach": {
                    "floor_above_grade": "150 mm",
                    "door": "front",
                    "ramps": [
                        {
                            "id": "ramp",
                            "rise": "150 mm",
                            "run": "1830 mm",
                            "width": "1000 mm",
                            "top": {"length": "1525 mm", "width": "1525 mm"},
                            "bottom": {"length": "1525 mm", "width": "1525 mm"},
                        }
                    ],
                },
                "brief": {"aisle": "36 in"},
            },
            "lines": lines(),
            "catalogue": catalogue(),
            "folder": "narrow",
        }
    )


def corner_shop(units: str = "mm") -> Scenario:
    """Give an L-shaped room with an angled wall, columns, a staff zone and room for islands."""
    return Scenario.model_validate(
        {
            "shop": {
                "name": "Corner Yarn & Thread",
                "units": units,
                "rooms": [
                    {
                        "id": "shop",
                        "height": "3000 mm",
                        "corners": [
                            ["0 mm", "0 mm"],
                            ["0 mm", "9000 mm"],
                            ["6000 mm", "9000 mm"],
                            ["6000 mm", "6000 mm"],
                            ["11000 mm", "6000 mm"],
                            ["12500 mm", "4500 mm"],
                            ["12500 mm", "0 mm"],
                        ],
                        "walls": [
                            {"id": w} for w in ("W", "N", "inner", "high", "slant", "E", "S")
                        ],
                    }
                ],
                "doors": [
                    {
                        "id": "main",
                        "wall": "S",
                        "offset": "3000 mm",
                        "width": "1000 mm",
                        "height": "2100 mm",
                    },
                    {
                        "id": "side",
                        "wall": "N",
                        "offset": "4000 mm",
                        "width": "900 mm",
                        "height": "2100 mm",
                        "use": "exit",
                        "swing": "out",
                    },
                ],
                "columns": [
                    {"id": "C1", "at": ["4000 mm", "4000 mm"], "size": ["300 mm", "300 mm"]},
                    {"id": "C2", "at": ["8000 mm", "4000 mm"], "diameter": "350 mm"},
                ],
                "zones": [
                    {
                        "id": "till",
                        "kind": "staff",
                        "corners": [
                            ["0 mm", "7000 mm"],
                            ["2600 mm", "7000 mm"],
                            ["2600 mm", "9000 mm"],
                            ["0 mm", "9000 mm"],
                        ],
                    },
                ],
            },
            "lines": lines(5, 7),
            "catalogue": catalogue(),
            "folder": "corner",
        }
    )


@dataclass
class Builder:
    """Fills a shell greedily; it minds doors and overlaps, and nothing more.

    Parameters
    ----------
    scenario
        What is given.
    """

    scenario: Scenario
    placements: list[Placement] = field(default_factory=list)
    runs: list[Run] = field(default_factory=list)
    blocks: list[Block] = field(default_factory=list)
    cuts: list[CutPiece] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.shell: ShellPlan = survey(self.scenario.shop)
        self.taken = list(self.shell.columns.values())
        for door in self.scenario.shop.doors:
            self.taken.append(door_rectangle(self.shell.wall(door.wall), door, 0, 300, 1200))

    def fixture(self, kind: str, stands: str) -> Fixture | None:
        """Give the first fixture of the catalogue that stands so; of a kind, if given."""
        for fixture in self.scenario.catalogue.fixtures:
            if stands in fixture.stands and kind in ("", fixture.kind):
                return fixture
        return None

    def along(self, wall_id: str, fixture: Fixture, margin: float = 0.0) -> None:
        """Stand a fixture along a wall as often as it goes, with a run above each stretch."""
        wall = self.shell.wall(wall_id)
        offset, tags = margin, []
        while offset + fixture.width <= wall.length - margin:
            tag = f"F{len(self.placements) + 1}"
            placed = against_wall(tag, fixture, wall, offset)
            shape = footprint(fixture, placed)
            low = wall.lowest(offset, offset + fixture.width)
            blocked = any(
                thing.bottom < fixture.height
                and thing.left < offset + fixture.width
                and thing.right > offset
                for thing in things_on(self.scenario.shop, wall_id)
            )
            room = self.shell.rooms[wall.room]
            clash = any(shape.intersection(t).area > 1 for t in self.taken)
            if blocked or clash or low < fixture.height or shape.difference(room).area > 1:
                offset += 50
                continue
            self.placements.append(placed)
            self.taken.append(shape)
            tags.append(tag)
            offset += fixture.width
        if fixture.slat_above and wall.slat_wall:
            self._runs_over(wall, fixture, tags)

    def island(self, fixture: Fixture, x: float, y: float, angle: float = 0.0) -> None:
        """Stand a fixture away from walls."""
        tag = f"F{len(self.placements) + 1}"
        placed = Placement(id=tag, fixture=fixture.id, x_mm=x, y_mm=y, angle_deg=angle)
        self.placements.append(placed)
        self.taken.append(footprint(fixture, placed))

    def _runs_over(self, wall: WallLine, fixture: Fixture, tags: list[str]) -> None:
        stretches: list[list[Placement]] = []
        for placed in (p for p in self.placements if p.id in tags):
            last = stretches[-1][-1] if stretches else None
            if last and abs(last.offset_mm + fixture.width - placed.offset_mm) < 0.01:
                stretches[-1].append(placed)
            else:
                stretches.append([placed])
        for stretch in stretches:
            left = stretch[0].offset_mm
            self._run(
                wall,
                left,
                stretch[-1].offset_mm + fixture.width,
                fixture.height + 50.8,
                [p.id for p in stretch],
            )

    def _run(
        self, wall: WallLine, left: float, right: float, bottom: float, tags: list[str]
    ) -> None:
        sheet = self.scenario.catalogue.sheets[0]
        things = [t for t in things_on(self.scenario.shop, wall.id) if t.top > bottom]
        edges = [left, *(e for t in things for e in (t.left, t.right) if left < e < right), right]
        for a, b in itertools.pairwise(edges):
            if b - a < 300 or any(t.left < b - 1 and t.right > a + 1 for t in things):
                continue
            top = min(bottom + sheet.height, wall.lowest(a, b), self.scenario.brief.display_top)
            run = Run(
                id=f"R{len(self.runs) + 1}",
                wall=wall.id,
                from_mm=a,
                to_mm=b,
                bottom_mm=bottom,
                top_mm=top,
                sheet=sheet.id,
                first_groove_mm=bottom + sheet.first_groove,
                over=tuple(tags),
            )
            self.runs.append(run)
            self._cut(run, sheet.width)

    def _cut(self, run: Run, sheet_width: float) -> None:
        x = 0.0
        while run.from_mm + x < run.to_mm - 0.01:
            width = min(sheet_width, run.to_mm - run.from_mm - x)
            self.cuts.append(
                CutPiece(
                    run=run.id,
                    x_mm=x,
                    z_mm=0,
                    width_mm=width,
                    height_mm=run.top_mm - run.bottom_mm,
                    sheet_number=len(self.cuts) + 1,
                    sheet_x_mm=0,
                    sheet_z_mm=0,
                )
            )
            x += width

    def stock(self, block_width: float = 1200.0) -> None:
        """Fill every face with blocks, rows and slots."""
        layout = self.layout()
        turn = 0
        for face in faces(self.scenario, layout, 101.6):
            count = max(1, round(face.width / block_width))
            for k in range(count):
                left, right = face.width * k / count, face.width * (k + 1) / count
                category = self.scenario.categories[turn % len(self.scenario.categories)]
                turn += 1
                rows = tuple(self._rows(face, category, left, right))
                if rows:
                    self.blocks.append(
                        Block(
                            id=f"B{len(self.blocks) + 1}",
                            host=face.host,
                            side=face.side,
                            category=category,
                            from_mm=left,
                            to_mm=right,
                            rows=rows,
                        )
                    )

    def _rows(self, face: FaceShape, category: str, left: float, right: float):
        goods = [line for line in self.scenario.lines if line.category == category]
        level, k = 0, 0
        while level < face.levels:
            steps = max(1, int(250 / face.pitch)) if face.kind != "table" else 1
            steps = min(steps, face.levels - level)
            slots, x = [], left
            for _ in range(len(goods)):
                line = goods[k % len(goods)]
                k += 1
                facings = 1 + k % 3
                if x + facings * line.width > right or line.height + 40 > steps * face.pitch:
                    continue
                slot = self._slot(face, line, facings, x)
                if slot:
                    slots.append(slot)
                    x = slot.to_mm
            if slots:
                on_slat = face.kind == "slat"
                yield Row(
                    bottom_mm=face.bottom + level * face.pitch,
                    top_mm=face.bottom + (level + steps) * face.pitch,
                    low_groove=level + 1 if on_slat else None,
                    high_groove=level + steps if on_slat else None,
                    slots=tuple(slots),
                )
            level += steps

    def _slot(self, face: FaceShape, line, facings: int, x: float) -> Slot | None:
        ends = {
            "line": line.line,
            "facings": facings,
            "from_mm": x,
            "to_mm": x + facings * line.width,
            "units": facings,
        }
        if face.kind != "slat":
            return Slot(way=face.kind, **ends) if face.kind in line.ways else None
        for bracket in self.scenario.catalogue.brackets:
            if bracket.kind in line.ways:
                return Slot(
                    way=bracket.kind,
                    holder=bracket.id,
                    brackets=facings * bracket.per_facing,
                    **ends,
                )
        if "shelf" in line.ways and self.scenario.catalogue.shelves:
            return Slot(way="shelf", holder=self.scenario.catalogue.shelves[0].id, **ends)
        return None

    def layout(self) -> Layout:
        """Give what was built."""
        slots = [s for b in self.blocks for r in b.rows for s in r.slots]
        facings = sum(slot.facings for slot in slots)
        return Layout(
            scenario=self.scenario.folder,
            fingerprint="5f0c19d2a7e84b31",
            placements=tuple(self.placements),
            runs=tuple(self.runs),
            blocks=tuple(self.blocks),
            cuts=tuple(self.cuts),
            claims=Claims(facings=facings, units=facings, value=0, cost=0),
        )


def narrow_layout(scenario: Scenario) -> Layout:
    """Fill the narrow shop: cabinets along both long walls."""
    builder = Builder(scenario)
    cabinet = scenario.catalogue.fixture("BC-36")
    builder.along("north", cabinet)
    builder.along("south", cabinet)
    builder.stock()
    return builder.layout()


def corner_layout(scenario: Scenario) -> Layout:
    """Fill the corner shop: cabinets and cases along walls, islands, a counter as divider."""
    builder = Builder(scenario)
    find = scenario.catalogue.fixture
    for wall, fixture in (
        ("W", "BC-36"),
        ("inner", "BC-36"),
        ("slant", "GC-48"),
        ("S", "BC-36"),
        ("E", "BC-36"),
        ("high", "GC-48"),
    ):
        builder.along(wall, find(fixture), 150.0)
    builder.island(find("GO-60"), 5500, 3200)
    builder.island(find("GO-60"), 9200, 3200)
    builder.island(find("TB-40"), 2200, 5400, 30.0)
    builder.island(find("CT-60"), 1000, 7609.6)
    builder.stock()
    return builder.layout()


def any_layout(scenario: Scenario) -> Layout:
    """Fill any shell: the first fixture for walls along every wall."""
    builder = Builder(scenario)
    fixture = builder.fixture("", "wall")
    for wall in builder.shell.walls:
        if fixture and wall.fixtures:
            builder.along(wall.id, fixture)
    builder.stock()
    return builder.layout()
