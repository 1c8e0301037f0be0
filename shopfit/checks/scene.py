"""What a layout says, joined with what was given: the common ground of all checks."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, TypeVar

import shapely
from shapely import Polygon, STRtree
from shapely.geometry.base import BaseGeometry

from shopfit.checks.notes import Words
from shopfit.geometry.footprint import footprint
from shopfit.geometry.shell import ShellPlan, WallLine
from shopfit.geometry.wallface import FaceShape, faces
from shopfit.model.fixtures import Bracket, Fixture, Sheet, ShelfBoard, Stand
from shopfit.model.layout import Layout, Placement, Run
from shopfit.model.openings import Door
from shopfit.model.range import Line
from shopfit.model.scenario import Scenario
from shopfit.model.shell import WallObstruction, ZoneKind
from shopfit.standards import Rulebook
from shopfit.units import TOLERANCE_MM

T = TypeVar("T")


@dataclass(frozen=True)
class Area:
    """A staff or stock zone on the plan.

    Parameters
    ----------
    id, kind
        Its name and use.
    shape
        Its outline, mm.
    """

    id: str
    kind: ZoneKind
    shape: Polygon


@dataclass(frozen=True)
class Stood:
    """A fixture where the layout puts it.

    Parameters
    ----------
    placement, fixture
        As decided and as given.
    shape, core
        Its footprint, and the same less the tolerance all round, mm.
    role
        Whether it stands against a wall, as an island or as a divider.
    """

    placement: Placement
    fixture: Fixture
    shape: Polygon
    core: BaseGeometry
    role: Stand

    @property
    def tag(self) -> str:
        """Its tag in the layout."""
        return self.placement.id

    @property
    def name(self) -> str:
        """Its name for people, such as ``glass case F3 (case-48)``."""
        return f"{self.fixture.kind.replace('-', ' ')} {self.tag} ({self.fixture.id})"


@dataclass(frozen=True)
class Hung:
    """A slat-wall run where the layout puts it.

    Parameters
    ----------
    run, wall, sheet
        As decided, and what it names.
    below
        The fixtures that the layout says stand below it.
    """

    run: Run
    wall: WallLine
    sheet: Sheet
    below: tuple[Stood, ...]

    @property
    def name(self) -> str:
        """Its name for people, such as ``slat-wall run R1``."""
        return f"slat-wall run {self.run.id}"

    def strip(self, near: float, far: float) -> Polygon:
        """Give the floor along the run between two distances out of its wall, mm."""
        return self.wall.rectangle(self.run.from_mm, self.run.to_mm, near, far)


class Scene:
    """A scenario and a layout whose names and numbers have been looked through.

    Parameters
    ----------
    scenario
        What is given.
    layout
        Only what can be measured of the layout: every name known, every number finite.
    rulebook
        Whose values are checked.
    shell
        The shell on the plan.
    """

    def __init__(
        self, scenario: Scenario, layout: Layout, rulebook: Rulebook, shell: ShellPlan
    ) -> None:
        self.scenario = scenario
        self.layout = layout
        self.rulebook = rulebook
        self.shell = shell
        self.brief = scenario.brief
        self.words = Words(scenario.shop.units)
        self.free_projection = rulebook.mm("protrusion")
        self._kept: dict[Hashable, Any] = {}

    def once(self, key: Hashable, make: Callable[[], T]) -> T:
        """Give what is dear to make, and keep it for whoever asks by the same key."""
        if key not in self._kept:
            self._kept[key] = make()
        found: T = self._kept[key]
        return found

    @cached_property
    def walls(self) -> dict[str, WallLine]:
        """Walls by name."""
        return {wall.id: wall for wall in self.shell.walls}

    @cached_property
    def rooms(self) -> dict[str, BaseGeometry]:
        """Rooms grown by the tolerance, prepared for many questions."""
        grown = {name: grow(room, TOLERANCE_MM) for name, room in self.shell.rooms.items()}
        for room in grown.values():
            shapely.prepare(room)
        return grown

    @cached_property
    def zones(self) -> tuple[Area, ...]:
        """Staff and stock zones."""
        return tuple(
            Area(zone.id, zone.kind, Polygon(zone.corners))
            for zone in self.scenario.shop.zones
            if zone.kind != "sales"
        )

    @cached_property
    def staff_zones(self) -> tuple[Area, ...]:
        """Staff zones."""
        return tuple(zone for zone in self.zones if zone.kind == "staff")

    @cached_property
    def fixtures(self) -> dict[str, Fixture]:
        """Fixtures of the catalogue by id."""
        return {fixture.id: fixture for fixture in self.scenario.catalogue.fixtures}

    @cached_property
    def sheets(self) -> dict[str, Sheet]:
        """Sheets of the catalogue by id."""
        return {sheet.id: sheet for sheet in self.scenario.catalogue.sheets}

    @cached_property
    def brackets(self) -> dict[str, Bracket]:
        """Brackets of the catalogue by id."""
        return {bracket.id: bracket for bracket in self.scenario.catalogue.brackets}

    @cached_property
    def boards(self) -> dict[str, ShelfBoard]:
        """Shelf boards of the catalogue by id."""
        return {board.id: board for board in self.scenario.catalogue.shelves}

    @cached_property
    def lines(self) -> dict[str, Line]:
        """Lines of the range by name."""
        return {line.line: line for line in self.scenario.lines}

    @cached_property
    def stood(self) -> tuple[Stood, ...]:
        """Every fixture of the layout, in the layout's order."""
        return tuple(self._stand(placement) for placement in self.layout.placements)

    @cached_property
    def by_tag(self) -> dict[str, Stood]:
        """Fixtures by tag; the first where a tag is given twice."""
        found: dict[str, Stood] = {}
        for one in self.stood:
            found.setdefault(one.tag, one)
        return found

    @cached_property
    def hung(self) -> tuple[Hung, ...]:
        """Every run of the layout, in the layout's order."""
        return tuple(
            Hung(
                run,
                self.walls[run.wall],
                self.sheets[run.sheet],
                tuple(self.by_tag[tag] for tag in run.over),
            )
            for run in self.layout.runs
        )

    @cached_property
    def hung_by_tag(self) -> dict[str, Hung]:
        """Runs by tag; the first where a tag is given twice."""
        found: dict[str, Hung] = {}
        for one in self.hung:
            found.setdefault(one.run.id, one)
        return found

    @cached_property
    def faces(self) -> dict[tuple[str, str], FaceShape]:
        """Faces that show goods, by host and side."""
        shapes = faces(self.scenario, self.layout, self.free_projection)
        found: dict[tuple[str, str], FaceShape] = {}
        for shape in shapes:
            found.setdefault((shape.host, shape.side), shape)
        return found

    @cached_property
    def doors(self) -> tuple[tuple[Door, WallLine], ...]:
        """Doors whose wall is known, with it."""
        return tuple(
            (door, self.walls[door.wall])
            for door in self.scenario.shop.doors
            if door.wall in self.walls
        )

    @cached_property
    def obstructions(self) -> tuple[tuple[WallObstruction, WallLine], ...]:
        """Things on walls whose wall is known, with it."""
        return tuple(
            (thing, self.walls[thing.wall])
            for thing in self.scenario.shop.obstructions
            if thing.wall in self.walls
        )

    @cached_property
    def runs_on(self) -> dict[str, list[Hung]]:
        """Runs by wall."""
        found: dict[str, list[Hung]] = defaultdict(list)
        for one in self.hung:
            found[one.run.wall].append(one)
        return found

    @cached_property
    def _tree(self) -> STRtree:
        return STRtree([one.shape for one in self.stood])

    def standing_in(self, shape: BaseGeometry) -> list[Stood]:
        """List the fixtures that reach into a shape by more than the tolerance, in order."""
        core = shrink(shape)
        if core.is_empty or not self.stood:
            return []
        hits = self._tree.query(core, predicate="intersects")
        return [self.stood[index] for index in sorted(int(hit) for hit in hits)]

    def overlapping(self) -> list[tuple[Stood, Stood]]:
        """List the pairs of fixtures that overlap by more than the tolerance, in order."""
        if not self.stood:
            return []
        ones, others = self._tree.query([one.core for one in self.stood], predicate="intersects")
        pairs = {(int(a), int(b)) for a, b in zip(ones, others, strict=True) if a < b}
        return [(self.stood[a], self.stood[b]) for a, b in sorted(pairs)]

    def columns_in(self, shape: BaseGeometry) -> list[str]:
        """List the columns that reach into a shape by more than the tolerance."""
        core = shrink(shape)
        return [name for name, column in self.shell.columns.items() if core.intersects(column)]

    def zones_in(self, shape: BaseGeometry) -> list[Area]:
        """List the staff and stock zones that reach into a shape by more than the tolerance."""
        core = shrink(shape)
        return [zone for zone in self.zones if core.intersects(zone.shape)]

    def room_of(self, shape: BaseGeometry) -> str | None:
        """Give the room that a shape lies wholly inside, or none."""
        for name, room in self.rooms.items():
            if room.covers(shape):
                return name
        return None

    def _stand(self, placement: Placement) -> Stood:
        fixture = self.fixtures[placement.fixture]
        shape = footprint(fixture, placement)
        core = shrink(shape)
        if placement.wall is not None:
            role: Stand = "wall"
        elif "divider" in fixture.stands and _meets(core, self.staff_zones):
            role = "divider"
        else:
            role = "island"
        return Stood(placement, fixture, shape, core, role)


def grow(shape: BaseGeometry, by: float) -> BaseGeometry:
    """Grow a shape with square corners, mm."""
    return shape.buffer(by, join_style="mitre")


def shrink(shape: BaseGeometry) -> BaseGeometry:
    """Shrink a shape by the tolerance, so that what only touches it is not in it."""
    return grow(shape, -TOLERANCE_MM)


def _meets(shape: BaseGeometry, zones: Sequence[Area]) -> bool:
    return any(shape.intersects(zone.shape) for zone in zones)
