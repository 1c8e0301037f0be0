"""Writes the fitted shop as an IFC 4 building model: spaces, walls, openings, furnishings."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any
from uuid import NAMESPACE_OID, uuid5

import numpy as np
from shapely import Polygon, box

from shopfit.geometry.openings import things_on
from shopfit.geometry.shell import ShellPlan, WallLine, survey
from shopfit.geometry.wallareas import wall_elevation
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from shopfit.solids.build import solids_of
from shopfit.solids.shellparts import WALL_MM, on_wall
from shopfit.solids.solid import Solid, upright

if TYPE_CHECKING:
    import ifcopenshell

_KINDS: Mapping[str, str] = {
    "door": "IfcDoor",
    "window": "IfcWindow",
    "thing on a wall": "IfcBuildingElementProxy",
    "column": "IfcColumn",
    "fixture": "IfcFurniture",
    "slat-wall": "IfcCovering",
}


class MissingLibraryError(Exception):
    """The library that writes building models is not installed."""


def ifc_text(scenario: Scenario, layout: Layout) -> str:
    """Write a layout as an IFC 4 file.

    Parameters
    ----------
    scenario, layout
        What is written: rooms as spaces with area and height, walls with openings, doors, windows,
        columns, things on walls, fixtures as furniture, and pieces of slat-wall as coverings. Goods
        are left out. Everything carries its tag, and quantities in metres.

    Raises
    ------
    MissingLibraryError
        If ifcopenshell is not installed.

    Source
    ------
    ISO 16739-1, Industry Foundation Classes; quantity sets as buildingSMART publishes them. Text
    not read: names from memory, checked by reading the file back.
    """
    try:
        import ifcopenshell  # noqa: F401
    except ImportError as missing:
        raise MissingLibraryError("ifcopenshell") from missing
    text: str = _Writer(scenario, layout).written()
    return text


class _Writer:
    """Fills one file."""

    def __init__(self, scenario: Scenario, layout: Layout) -> None:
        import ifcopenshell

        self._scenario, self._layout = scenario, layout
        self._shell: ShellPlan = survey(scenario.shop)
        self.file: ifcopenshell.file = ifcopenshell.file(schema="IFC4")
        self._run("root.create_entity", ifc_class="IfcProject", name=scenario.shop.name)
        self._run(
            "unit.assign_unit",
            length={"is_metric": True, "raw": "METERS"},
            area={"is_metric": True, "raw": "METERS"},
            volume={"is_metric": True, "raw": "METERS"},
        )
        model = self._run("context.add_context", context_type="Model")
        self._body = self._run(
            "context.add_context",
            context_type="Model",
            context_identifier="Body",
            target_view="MODEL_VIEW",
            parent=model,
        )
        self._storey = self._levels()

    def _run(self, usecase: str, **given: Any) -> Any:
        import ifcopenshell.api

        return ifcopenshell.api.run(usecase, self.file, **given)

    def _entity(self, ifc_class: str, name: str, tag: str = "", **more: Any) -> Any:
        made = self._run("root.create_entity", ifc_class=ifc_class, name=name, **more)
        if tag and hasattr(made, "Tag"):
            made.Tag = tag
        return made

    def _levels(self) -> Any:
        project = self.file.by_type("IfcProject")[0]
        above, made = project, None
        for ifc_class in ("IfcSite", "IfcBuilding", "IfcBuildingStorey"):
            name = self._scenario.shop.name if ifc_class != "IfcBuildingStorey" else "Shop floor"
            made = self._entity(ifc_class, name)
            self._run("aggregate.assign_object", products=[made], relating_object=above)
            above = made
        return made

    def written(self) -> str:
        """Give the text of the file, made of everything."""
        self._spaces()
        walls = {wall.id: self._wall(wall) for wall in self._shell.walls}
        parts: dict[tuple[str, str], list[Solid]] = defaultdict(list)
        for solid in solids_of(self._scenario, self._layout, goods=False):
            if solid.kind in _KINDS:
                parts[solid.kind, solid.tag].append(solid)
        for (kind, _), solids in parts.items():
            self._element(kind, solids, walls)
        self._settle()
        return str(self.file.to_string())

    def _settle(self) -> None:
        """Settle what chance or the clock gave: the same layout, the same file."""
        import ifcopenshell.guid

        name = f"{self._scenario.folder} {self._layout.fingerprint}"
        for number, each in enumerate(self.file.by_type("IfcRoot")):
            own = uuid5(NAMESPACE_OID, f"{name} {number}")
            each.GlobalId = ifcopenshell.guid.compress(own.hex)
        # Sets of the schema are written in an order that changes from run to run.
        for kind, name in (
            ("IfcUnitAssignment", "Units"),
            ("IfcRelAggregates", "RelatedObjects"),
            ("IfcRelContainedInSpatialStructure", "RelatedElements"),
        ):
            for each in self.file.by_type(kind):
                items = sorted(getattr(each, name), key=lambda item: int(item.id()))
                setattr(each, name, items)
        header = self.file.header.file_name
        header.name = f"{self._scenario.shop.name}.ifc"
        header.time_stamp = self._layout.timing.made or "2000-01-01T00:00:00"

    def _spaces(self) -> None:
        heights = {room.id: room.height for room in self._scenario.shop.rooms}
        for room, outline in self._shell.rooms.items():
            space = self._entity("IfcSpace", room)
            self._run("aggregate.assign_object", products=[space], relating_object=self._storey)
            self._shape(space, [upright(room, room, "floor", outline, 0.0, heights[room])])
            self._quantities(
                space,
                "Qto_SpaceBaseQuantities",
                {
                    "NetFloorArea": outline.area / 1e6,
                    "NetPerimeter": outline.length / 1e3,
                    "Height": heights[room] / 1e3,
                },
            )

    def _wall(self, wall: WallLine) -> Any:
        made = self._entity("IfcWall", wall.id, wall.id)
        self._contained(made)
        whole = wall_elevation(wall)
        self._shape(made, [on_wall(wall, wall.id, wall.id, "wall", whole, -WALL_MM, 0.0)])
        openings = [
            box(thing.left, thing.bottom, thing.right, thing.top)
            for thing in things_on(self._scenario.shop, wall.id)
            if thing.kind in ("door", "window")
        ]
        net = whole.area - sum(opening.area for opening in openings)
        self._quantities(
            made,
            "Qto_WallBaseQuantities",
            {
                "Length": wall.length / 1e3,
                "GrossSideArea": whole.area / 1e6,
                "NetSideArea": net / 1e6,
            },
        )
        return made

    def _element(self, kind: str, solids: Sequence[Solid], walls: Mapping[str, Any]) -> None:
        first = solids[0]
        more = {"predefined_type": "CLADDING"} if kind == "slat-wall" else {}
        made = self._entity(_KINDS[kind], first.name, first.tag, **more)
        self._shape(made, solids)
        if kind in ("door", "window"):
            self._fill(made, first, walls[first.owner])
        self._contained(made)
        if kind == "slat-wall":
            area = sum(solid.outline.area for solid in solids) / 1e6
            self._quantities(made, "Qto_CoveringBaseQuantities", {"NetArea": area})
        elif kind in ("door", "window"):
            left, low, right, high = first.outline.bounds
            self._quantities(
                made,
                f"Qto_{kind.capitalize()}BaseQuantities",
                {
                    "Width": (right - left) / 1e3,
                    "Height": (high - low) / 1e3,
                    "Area": first.outline.area / 1e6,
                },
            )

    def _fill(self, made: Any, solid: Solid, wall: Any) -> None:
        """Cut the opening that a door or window fills out of its wall."""
        line = self._shell.wall(solid.owner)
        left, low, right, high = solid.outline.bounds
        made.OverallWidth, made.OverallHeight = (right - left) / 1e3, (high - low) / 1e3
        opening = self._entity("IfcOpeningElement", f"opening of {solid.name}")
        outline = box(left, low, right, high)
        hole = on_wall(line, solid.tag, solid.name, "wall", outline, -WALL_MM - 10.0, 10.0)
        self._shape(opening, [hole])
        self._run("feature.add_feature", feature=opening, element=wall)
        self._run("feature.add_filling", opening=opening, element=made)

    def _contained(self, made: Any) -> None:
        self._run("spatial.assign_container", products=[made], relating_structure=self._storey)

    def _quantities(self, made: Any, name: str, values: Mapping[str, float]) -> None:
        found = self._run("pset.add_qto", product=made, name=name)
        self._run(
            "pset.edit_qto",
            qto=found,
            properties={key: round(value, 6) for key, value in values.items()},
        )

    def _shape(self, made: Any, solids: Iterable[Solid]) -> None:
        items = [self._swept(solid) for solid in solids]
        shape = self.file.createIfcShapeRepresentation(self._body, "Body", "SweptSolid", items)
        self._run("geometry.assign_representation", product=made, representation=shape)
        self._run("geometry.edit_object_placement", product=made, matrix=np.eye(4), is_si=True)

    def _swept(self, solid: Solid) -> Any:
        create = self.file
        axis = np.cross(solid.across, solid.along)
        place = create.createIfcAxis2Placement3D(
            create.createIfcCartesianPoint(_metres(solid.origin)),
            create.createIfcDirection([float(v) for v in axis]),
            create.createIfcDirection([float(v) for v in solid.across]),
        )
        up = create.createIfcDirection([0.0, 0.0, 1.0])
        return create.createIfcExtrudedAreaSolid(
            self._profile(solid.outline), place, up, solid.thick / 1e3
        )

    def _profile(self, outline: Polygon) -> Any:
        outer = self._ring(list(outline.exterior.coords))
        if not outline.interiors:
            return self.file.createIfcArbitraryClosedProfileDef("AREA", None, outer)
        inner = [self._ring(list(ring.coords)) for ring in outline.interiors]
        return self.file.createIfcArbitraryProfileDefWithVoids("AREA", None, outer, inner)

    def _ring(self, coords: Sequence[tuple[float, ...]]) -> Any:
        points = [self.file.createIfcCartesianPoint(_metres(point)) for point in coords[:-1]]
        return self.file.createIfcPolyline([*points, points[0]])


def _metres(point: Sequence[float]) -> list[float]:
    return [round(float(value) / 1e3, 7) for value in point]
