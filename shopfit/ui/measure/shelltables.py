"""What is written of walls, openings and the rest of a shell, for tables and forms."""

from __future__ import annotations

from collections.abc import Sequence

from shopfit.model.approach import Approach, Ramp
from shopfit.model.openings import Door
from shopfit.model.shell import Room, WallObstruction, Zone
from shopfit.ui.tables.cells import Field
from shopfit.ui.tables.fromschema import fields_of
from shopfit.ui.tables.records import Records

FROM_LEFT = "From the wall's left end as you stand inside and face it."
ABOVE_FLOOR = "Above the finished floor."
EAST = "East of the plan's zero."
NORTH = "North of the plan's zero."
TURN = "Degrees to the right at the end of the wall; negative turns left."


def rooms() -> Records:
    """Describe rooms."""
    fields = (
        Field(("id",), "Name"),
        Field(("height",), "Wall height", "length", help=ABOVE_FLOOR, start="9 ft"),
        Field(("start", 0), "Start, east", "length", help=EAST, start="0 in"),
        Field(("start", 1), "Start, north", "length", help=NORTH, start="0 in"),
        Field(
            ("heading",),
            "First wall runs",
            "number",
            help="Degrees anticlockwise from east: 90 is north, 0 east, 270 south.",
            start="90",
        ),
    )
    return Records(
        "rooms", "room", fields, more=fields_of(Room, (*fields, Field(("corners",), "Corners")))
    )


def walls() -> Records:
    """Describe walls of a room that is walked round."""
    return Records(
        "walls",
        "wall",
        (
            Field(("id",), "Name"),
            Field(("length",), "Length", "length"),
            Field(("turn",), "Then turn", "number", help=TURN, usual="90"),
            Field(("slat_wall",), "Slat-wall", "yes or no", help="May hang on it.", usual="true"),
            Field(("fixtures",), "Fixtures", "yes or no", help="May stand at it.", usual="true"),
            Field(("arc", "radius"), "Curve's radius", "length", help="In place of a length."),
            Field(("arc", "sweep"), "Curve turns", "number", help="Degrees to the right."),
            Field(
                ("arc", "chords"),
                "Built as chords",
                "number",
                help="How many straight ones stand for the curve; 8 if left empty.",
            ),
        ),
    )


def corners() -> Records:
    """Describe corners of a room that is given by them."""
    return Records(
        "corners",
        "corner",
        (
            Field(("wall", "id"), "Wall from here"),
            Field(("at", 0), "East", "length", help=EAST),
            Field(("at", 1), "North", "length", help=NORTH),
            Field(("wall", "slat_wall"), "Slat-wall", "yes or no", usual="true"),
            Field(("wall", "fixtures"), "Fixtures", "yes or no", usual="true"),
        ),
    )


def doors(on: Sequence[str], rooms_there: Sequence[str]) -> Records:
    """Describe doors."""
    fields = (
        Field(("id",), "Name"),
        Field(("wall",), "Wall", "choice", tuple(on)),
        Field(("offset",), "From left", "length", help=FROM_LEFT),
        Field(("width",), "Width", "length", help="Clear opening.", start="36 in"),
        Field(("height",), "Height", "length", help="Clear opening.", start="80 in"),
        Field(
            ("hinge",),
            "Hinges",
            "choice",
            ("left", "right"),
            help="As you stand inside and face it.",
            usual="left",
        ),
        Field(("swing",), "Swings", "choice", ("in", "out", "sliding", "none"), usual="in"),
        Field(
            ("use",),
            "For",
            "choice",
            ("entrance", "staff", "exit", "inner"),
            usual="entrance",
        ),
        Field(("closer",), "Closer", "yes or no", help="Whether it shuts by itself."),
        Field(("latch",), "Latch", "yes or no", usual="true"),
        Field(("leads_to",), "Leads to", "choice", tuple(rooms_there), help="For inner doors."),
        Field(("depth",), "Wall's thickness", "length", help="For inner doors."),
    )
    return Records("doors", "door", fields, more=fields_of(Door, fields))


def windows(on: Sequence[str]) -> Records:
    """Describe windows."""
    return Records(
        "windows",
        "window",
        (
            Field(("id",), "Name"),
            Field(("wall",), "Wall", "choice", tuple(on)),
            Field(("offset",), "From left", "length", help=FROM_LEFT),
            Field(("width",), "Width", "length", help="With its trim.", start="48 in"),
            Field(("sill",), "Sill", "length", help=ABOVE_FLOOR, start="36 in"),
            Field(("head",), "Head", "length", help=ABOVE_FLOOR, start="84 in"),
        ),
    )


def obstructions(on: Sequence[str]) -> Records:
    """Describe things on walls."""
    kinds = ("panelboard", "thermostat", "outlet", "switch", "radiator", "other")
    fields = (
        Field(("id",), "Name"),
        Field(("kind",), "What", "choice", kinds, start="outlet"),
        Field(("wall",), "Wall", "choice", tuple(on)),
        Field(("offset",), "From left", "length", help=FROM_LEFT),
        Field(("width",), "Width", "length", start="3 in"),
        Field(("bottom",), "Bottom", "length", help=ABOVE_FLOOR, start="15 in"),
        Field(("top",), "Top", "length", help=ABOVE_FLOOR, start="19 in"),
        Field(("depth",), "Stands out", "length"),
        Field(
            ("clear", "depth"),
            "Keep free, deep",
            "length",
            help="Floor kept free before it; a panelboard has its own.",
        ),
        Field(("clear", "width"), "Keep free, wide", "length"),
    )
    return Records(
        "obstructions", "thing on a wall", fields, more=fields_of(WallObstruction, fields)
    )


def columns() -> Records:
    """Describe columns."""
    return Records(
        "columns",
        "column",
        (
            Field(("id",), "Name"),
            Field(("at", 0), "Middle, east", "length", help=EAST),
            Field(("at", 1), "Middle, north", "length", help=NORTH),
            Field(("size", 0), "Width", "length", help="Of a rectangular one."),
            Field(("size", 1), "Depth", "length", help="Of a rectangular one."),
            Field(("diameter",), "Diameter", "length", help="Of a round one."),
            Field(("turn",), "Turned", "number", help="Degrees anticlockwise."),
        ),
    )


def zones() -> Records:
    """Describe zones."""
    fields = (
        Field(("id",), "Name"),
        Field(("kind",), "For", "choice", ("staff", "stock", "sales"), start="staff"),
        Field(
            ("corners",),
            "Corners",
            "places",
            help="East, north of each corner in order round it, with semicolons between: "
            "0, 88; 120, 88; 120, 144; 0, 144",
        ),
    )
    return Records("zones", "zone", fields, more=fields_of(Zone, fields))


def heights(on: Sequence[str]) -> Records:
    """Describe heights along walls."""
    return Records(
        "heights",
        "height",
        (
            Field(("wall",), "Wall", "choice", tuple(on)),
            Field(("offset",), "From left", "length", help=FROM_LEFT),
            Field(("height",), "Height there", "length", help=ABOVE_FLOOR),
        ),
    )


def ramps() -> Records:
    """Describe ramps from the door down."""
    fields = (
        Field(("id",), "Name"),
        Field(("rise",), "Rise", "length"),
        Field(("run",), "Level length", "length"),
        Field(("width",), "Clear width", "length", start="36 in"),
        Field(("handrails",), "Handrails", "yes or no", help="On both sides."),
        Field(("edge_protection",), "Edges", "yes or no", help="Kerbs or rails."),
        Field(("top", "length"), "Top landing, long", "length", start="60 in"),
        Field(("top", "width"), "Top landing, wide", "length", start="36 in"),
        Field(("bottom", "length"), "Foot landing, long", "length", start="60 in"),
        Field(("bottom", "width"), "Foot landing, wide", "length", start="36 in"),
    )
    return Records("ramps", "ramp", fields, more=fields_of(Ramp, fields))


def approach_fields(doors_there: Sequence[str]) -> tuple[Field, ...]:
    """Describe the way in from outside, without its ramps."""
    return (
        Field(("door",), "Door served", "choice", tuple(doors_there)),
        Field(
            ("floor_above_grade",),
            "Floor above the ground",
            "length",
            help="Height of the finished floor above the ground at the foot of the ramp.",
        ),
        Field(("steps", "count"), "Risers", "number", help="Of steps beside the ramp, if any."),
        Field(("steps", "riser"), "Height of a riser", "length"),
        Field(("steps", "tread"), "Going of a tread", "length"),
        Field(("steps", "width"), "Width of the steps", "length"),
    )


def approach_more(told: Sequence[Field]) -> tuple[Field, ...]:
    """Describe what is seldom written of the way in, beside what is told already."""
    return fields_of(Approach, told)


def shop_fields() -> tuple[Field, ...]:
    """Describe the shop itself."""
    from shopfit import standards

    return (
        Field(("name",), "Name of the shop"),
        Field(("currency",), "Currency", help="Up to 5 letters, such as USD."),
        Field(
            ("rulebook",),
            "Published values checked",
            "choice",
            tuple(standards.names()),
            help="Local code and licensed people decide, whichever is chosen.",
        ),
        Field(("studs", "spacing"), "Stud centres apart", "length"),
        Field(
            ("studs", "first"),
            "First stud's centre",
            "length",
            help="From each wall's left end.",
        ),
        Field(("studs", "load"), "A stud carries", "mass", help="As an engineer said."),
        Field(
            ("categories",),
            "Categories that the range may name",
            "names",
            help="With commas between; any if left empty.",
        ),
    )
