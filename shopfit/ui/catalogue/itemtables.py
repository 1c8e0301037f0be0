"""What is written of fixtures, slat-wall, brackets and shelves, for tables and forms."""

from __future__ import annotations

from collections.abc import Sequence

from shopfit.model.fixtures import Bracket, Fixture, ShelfBoard
from shopfit.ui.tables.cells import Field
from shopfit.ui.tables.fromschema import fields_of
from shopfit.ui.tables.records import Records

KINDS = ("base-cabinet", "plinth", "glass-case", "counter", "table", "gondola", "rack")
STANDS = ("wall", "island", "divider")
SIDES = ("front", "back", "left", "right")
PRICE = "A pack, in the shop's currency."
MAKER = "The maker's figure."


def fixtures() -> Records:
    """Describe fixtures, without their faces."""
    fields = (
        Field(("id",), "Id"),
        Field(("name",), "Name"),
        Field(("kind",), "Kind", "choice", KINDS, start="base-cabinet"),
        Field(("width",), "Width", "length", help="The front is a side of the width."),
        Field(("depth",), "Depth", "length"),
        Field(("height",), "Height", "length"),
        Field(("price",), "Price", "number", help="Each."),
        Field(("available",), "To be had", "number"),
        Field(("owned",), "Owned", "number", help="They cost nothing.", usual="0"),
        Field(("stands",), "Stands", "choices", STANDS, start="wall"),
        Field(("weight",), "Weight", "mass", help="Empty."),
        Field(("fixed",), "Fastened", "yes or no", help="To the building."),
        Field(("slat_above",), "Slat-wall above", "yes or no", usual="true"),
        Field(("service_height",), "Counter's low part, high", "length"),
        Field(("service_width",), "Counter's low part, wide", "length"),
    )
    return Records("fixtures", "fixture", fields, more=fields_of(Fixture, fields))


def faces(fixture_ids: Sequence[str]) -> Records:
    """Describe sides of fixtures that show goods."""
    return Records(
        "faces",
        "face",
        (
            Field(("fixture",), "Fixture", "choice", tuple(fixture_ids)),
            Field(("side",), "Side", "choice", SIDES, start="front"),
            Field(
                ("kind",),
                "Kind",
                "choice",
                ("shelf", "case", "table"),
                help="Adjustable shelves, shelves behind locked glass, or one level.",
                start="shelf",
            ),
            Field(("width",), "Usable width", "length", help="The whole side if left empty."),
            Field(("bottom",), "Lowest surface", "length", help="Above the floor."),
            Field(("top",), "Highest goods", "length", help="Above the floor."),
            Field(("depth",), "Usable depth", "length", help="From that side."),
            Field(("load",), "A shelf carries", "mass", help=MAKER),
            Field(("pitch",), "Shelves adjust by", "length"),
            Field(("board",), "Shelf thickness", "length"),
        ),
        named_by=(("side",),),
    )


def sheets() -> Records:
    """Describe slat-wall sheets."""
    return Records(
        "sheets",
        "sheet",
        (
            Field(("id",), "Id"),
            Field(("name",), "Name"),
            Field(("width",), "Width", "length", help="Along the grooves.", start="96 in"),
            Field(("height",), "Height", "length", start="48 in"),
            Field(("groove_pitch",), "Grooves every", "length", usual="3 in"),
            Field(
                ("first_groove",),
                "Lowest groove",
                "length",
                help="Above the sheet's lower edge.",
                start="1 1/2 in",
            ),
            Field(("groove_load",), "A groove carries", "line load", help=MAKER),
            Field(("thickness",), "Thickness", "length", start="3/4 in"),
            Field(("price",), "Price", "number", help=PRICE),
            Field(("pack",), "Sheets a pack", "number", usual="1"),
            Field(("available",), "Packs to be had", "number"),
            Field(("weight",), "Weight", "mass", help="Of one sheet."),
        ),
    )


def brackets() -> Records:
    """Describe brackets."""
    fields = (
        Field(("id",), "Id"),
        Field(("name",), "Name"),
        Field(("kind",), "Kind", "choice", ("hook", "face-out", "cradle"), start="hook"),
        Field(("depth",), "Stands out", "length"),
        Field(("load",), "Carries", "mass", help=MAKER),
        Field(("price",), "Price", "number", help=PRICE),
        Field(("pack",), "Pieces a pack", "number", usual="1"),
        Field(("units",), "Most units", "number", help="By its depth alone if left empty."),
        Field(
            ("per_facing",),
            "For one facing",
            "number",
            help="A long thing may need 2.",
            usual="1",
        ),
        Field(
            ("rise",),
            "Room it takes",
            "length",
            help="Under or above the goods.",
        ),
    )
    return Records("brackets", "bracket", fields, more=fields_of(Bracket, fields))


def shelves() -> Records:
    """Describe shelf boards for slat-wall."""
    fields = (
        Field(("id",), "Id"),
        Field(("name",), "Name"),
        Field(("length",), "Length", "length", help="Along the groove; it may be cut."),
        Field(("depth",), "Depth", "length"),
        Field(("thickness",), "Thickness", "length", start="3/4 in"),
        Field(("load",), "Carries", "mass", help=MAKER),
        Field(("price",), "Price", "number", help="A pack, with its brackets."),
        Field(("pack",), "Boards a pack", "number", usual="1"),
    )
    return Records("shelves", "shelf", fields, more=fields_of(ShelfBoard, fields))
