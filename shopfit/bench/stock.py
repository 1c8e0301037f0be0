"""Draws the catalogue: fixtures, slat-wall sheets, brackets and boards, with prices."""

from __future__ import annotations

from dataclasses import dataclass

from shopfit.bench.dice import Dice, inches, pounds
from shopfit.bench.sizes import Size
from shopfit.model.fixtures import (
    Bracket,
    Catalogue,
    DisplayFace,
    Fixture,
    FixtureKind,
    Sheet,
    ShelfBoard,
    Side,
    Stand,
)

CABINET_FACE = (4.0, 32.0)  # bottom and top of a base cabinet's shelves, in
GONDOLA_FACE = (4.0, 54.0)
CABINET_HEIGHT = 34.0
CASE_WIDTH = 36.0


@dataclass(frozen=True)
class Cabinet:
    """The few measures in which fixtures of one kind differ; lengths in inches.

    Parameters
    ----------
    kind, name, stands
        As a fixture has them.
    width, depth, height
        Overall.
    face
        Bottom and top of its display faces.
    load, price
        Most on a shelf of the whole width, lb, and price each.
    sides
        Sides that show goods.
    available
        How many can be had.
    slat_above
        Whether slat-wall may hang above.
    """

    kind: FixtureKind
    name: str
    stands: tuple[Stand, ...]
    width: float
    depth: float
    height: float
    face: tuple[float, float]
    load: float
    price: float
    sides: tuple[Side, ...] = ("front",)
    available: int = 1000
    slat_above: bool = False


def catalogue(dice: Dice, size: Size) -> Catalogue:
    """Draw what may be bought for a size of shop."""
    depth = dice.between(size.wall_depth, 1)
    dear = dice.between((0.85, 1.15))
    items = [*_along_walls(dice, size, depth), *(_islands(dice, size) if size.islands else ())]
    return Catalogue(
        fixtures=(*(fixture(each, dear) for each in items), _counter(dice, size, dear)),
        sheets=(sheet(round(78 * dear)),),
        brackets=brackets(dear),
        shelves=boards(dear),
    )


def _along_walls(dice: Dice, size: Size, depth: float) -> list[Cabinet]:
    found = [
        Cabinet(
            "base-cabinet",
            f"cab-{width}",
            ("wall",),
            width,
            depth,
            CABINET_HEIGHT,
            CABINET_FACE,
            2.5 * width,
            60 + 2.9 * width,
            slat_above=True,
        )
        for width in (24, 36, 48)
    ]
    if size.name != "stall":
        rack = ("rack", "rack-36", ("wall",), 36, depth, 72, (4.0, 74.0), 220, 240)
        found.append(Cabinet(*rack))  # type: ignore[arg-type]
    case: tuple[Stand, ...] = ("wall", "divider")
    width = 24 if size.name in ("stall", "narrow") else CASE_WIDTH
    found.append(
        Cabinet(
            "glass-case",
            f"case-{width:.0f}",
            case,
            width,
            max(depth, 16),
            40,
            (12.0, 38.0),
            1.5 * width,
            240 + 7 * width,
            available=size.cases,
        )
    )
    return found


def _islands(dice: Dice, size: Size) -> list[Cabinet]:
    depth = dice.between((30, 36), 2)
    both: tuple[Side, ...] = ("front", "back")
    found = [
        Cabinet(
            "gondola",
            f"gondola-{width}",
            ("island",),
            width,
            depth,
            54,
            GONDOLA_FACE,
            3 * width,
            110 + 9 * width,
            sides=both,
        )
        for width in ((36, 48) if size.lines > 1_000 else (dice.pick((36, 48)),))
    ]
    table = Cabinet(
        "table", "table-60", ("island",), 60, 36, 30, (30.0, 46.0), 90, 290, both, available=8
    )
    return [*found, table]


def fixture(each: Cabinet, dear: float) -> Fixture:
    """Make a fixture for the catalogue; prices are those of an ordinary one times ``dear``."""
    kinds = {"glass-case": "case", "table": "table"}
    deep = each.depth / len(each.sides) - (0 if each.kind == "table" else 1)
    inner = each.width - (0 if each.kind == "table" else 1.5)
    faces = [
        DisplayFace(
            side=side,
            kind=kinds.get(each.kind, "shelf"),
            width=inches(inner),
            bottom=inches(each.face[0]),
            top=inches(each.face[1]),
            depth=inches(deep),
            pitch=inches(2),
            board=inches(0.25 if each.kind == "glass-case" else 0.75),
            load=pounds(each.load),
        )
        for side in each.sides
    ]
    return Fixture(
        id=each.name,
        kind=each.kind,
        name=f"{each.kind} {each.width:.0f} in".capitalize(),
        width=inches(each.width),
        depth=inches(each.depth),
        height=inches(each.height),
        stands=each.stands,
        faces=tuple(faces),
        slat_above=each.slat_above,
        fixed="wall" in each.stands,
        weight=pounds(1.2 * each.width + 30),
        price=round(each.price * dear),
        available=each.available,
    )


def counter(width: float, stands: tuple[Stand, ...], dear: float, available: int = 1000) -> Fixture:
    """Make a counter that is low over its whole width, 24 in deep; width in inches."""
    return Fixture(
        id=f"counter-{width:.0f}",
        kind="counter",
        name=f"Counter {width:.0f} in",
        width=inches(width),
        depth=inches(24),
        height=inches(34),
        stands=stands,
        slat_above=False,
        fixed=True,
        weight=pounds(2 * width),
        price=round((150 + 6 * width) * dear),
        available=available,
        service_height=inches(34),
        service_width=inches(width),
    )


def _counter(dice: Dice, size: Size, dear: float) -> Fixture:
    width = 36 if size.name in ("stall", "narrow") else dice.between((48, 72), 12)
    return counter(width, ("divider", "wall") if size.name == "stall" else ("divider",), dear)


def sheet(price: float) -> Sheet:
    """Make the slat-wall sheet: 8 ft along its grooves, 4 ft high, a groove every 3 in."""
    return Sheet(
        id="slat-8x4",
        name="Slat-wall sheet 8 ft x 4 ft",
        width=inches(96),
        height=inches(48),
        groove_pitch=inches(3),
        first_groove=inches(1.5),
        groove_load="30 lb/ft",
        price=price,
        weight=pounds(82),
    )


def brackets(dear: float) -> tuple[Bracket, ...]:
    """Make the hooks, face-out arms and cradles, in packs."""
    # Kind, depth in, load lb, brackets a facing, rise in, price and pieces a pack.
    table = (
        ("hook", 4, 6, 1, 0.5, 8, 10),
        ("hook", 8, 10, 1, 0.5, 11, 10),
        ("face-out", 12, 18, 1, 1, 16, 5),
        ("cradle", 6, 10, 2, 1.5, 14, 4),
        ("cradle", 12, 18, 2, 2, 22, 4),
    )
    return tuple(
        Bracket(
            id=f"{kind}-{depth}",
            name=f"{kind} {depth} in".capitalize(),
            kind=kind,
            depth=inches(depth),
            load=pounds(load),
            per_facing=each,
            rise=inches(rise),
            price=round(price * dear),
            pack=pack,
        )
        for kind, depth, load, each, rise, price, pack in table
    )


def boards(dear: float) -> tuple[ShelfBoard, ...]:
    """Make the shelf boards, 4 ft long."""
    return tuple(
        ShelfBoard(
            id=f"board-{depth}",
            name=f"Shelf board 48 in x {depth} in",
            length=inches(48),
            depth=inches(depth),
            load=pounds(60),
            price=round((10 + 1.3 * depth) * dear),
        )
        for depth in (8, 12)
    )
