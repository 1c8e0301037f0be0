"""Sets out by hand the floor of a shop whose optimum is known: every wall and row filled flush."""

from __future__ import annotations

from dataclasses import dataclass, replace

from shopfit.bench.dice import Dice, inches
from shopfit.bench.shells import Shell, door, rectangle, room, zone
from shopfit.bench.stock import CABINET_FACE, CABINET_HEIGHT, GONDOLA_FACE, Cabinet
from shopfit.model.brief import Wanted
from shopfit.model.layout import Placement
from shopfit.model.openings import Door, Window
from shopfit.units import INCH_MM

ISLAND_END = 48.0  # free floor at the ends of island rows, in
_STAFF_AISLE = 32.0
_COUNTER = (36.0, 24.0)  # width and depth, in


@dataclass(frozen=True)
class Stood:
    """A fixture and where it stands; lengths in inches.

    Parameters
    ----------
    tag, item
        Its tag in the layout, and what it is.
    wall, offset
        Its wall and the distance from the wall's left end, or none for one that stands free.
    x, y, angle
        Back left corner, and direction of its width in degrees.
    window
        Whether a window is above it, so that no slat-wall is.
    """

    tag: str
    item: Cabinet
    x: float
    y: float
    angle: float
    wall: str | None = None
    offset: float | None = None
    window: bool = False

    @property
    def placement(self) -> Placement:
        """The placement in the layout."""
        offset = None if self.offset is None else round(self.offset * INCH_MM, 4)
        return Placement(
            id=self.tag,
            fixture=self.item.name,
            x_mm=round(self.x * INCH_MM, 4),
            y_mm=round(self.y * INCH_MM, 4),
            angle_deg=self.angle,
            wall=self.wall,
            offset_mm=offset,
        )


@dataclass(frozen=True)
class Floor:
    """A floor set out; lengths in inches.

    Parameters
    ----------
    shell
        The shell made to measure.
    stood
        Everything that stands in it.
    aisle, staff_aisle
        Of the brief.
    """

    shell: Shell
    stood: tuple[Stood, ...]
    aisle: float
    staff_aisle: float = _STAFF_AISLE


def floor(dice: Dice, size: str) -> Floor:
    """Set out the floor of a size: ``stall``, ``narrow`` or ``corner``."""
    return {"stall": _stall, "narrow": _narrow, "corner": _corner}[size](dice)


def cabinet(width: float, depth: float) -> Cabinet:
    """Give a base cabinet."""
    return Cabinet(
        kind="base-cabinet",
        name=f"cab-{width:.0f}",
        stands=("wall",),
        width=width,
        depth=depth,
        height=CABINET_HEIGHT,
        face=CABINET_FACE,
        load=2.5 * width,
        price=60 + 2.9 * width,
        slat_above=True,
    )


def case(width: float, depth: float) -> Cabinet:
    """Give a glass case, which stands against a wall."""
    return Cabinet(
        kind="glass-case",
        name=f"case-{width:.0f}",
        stands=("wall",),
        width=width,
        depth=depth,
        height=40,
        face=(12.0, 38.0),
        load=1.5 * width,
        price=240 + 7 * width,
    )


def gondola(width: float, depth: float) -> Cabinet:
    """Give a gondola that shows goods to both sides."""
    return Cabinet(
        kind="gondola",
        name=f"gondola-{width:.0f}",
        stands=("island",),
        width=width,
        depth=depth,
        height=54,
        face=GONDOLA_FACE,
        load=3 * width,
        price=110 + 9 * width,
        sides=("front", "back"),
    )


def composed(dice: Dice, length: float, widths: tuple[float, ...]) -> list[float]:
    """Draw widths that fill a length exactly; it must be a sum of them."""

    def fills(left: float) -> bool:
        return left == 0 or any(width <= left and fills(left - width) for width in widths)

    found: list[float] = []
    while length > 0:
        width = dice.pick([w for w in widths if w <= length and fills(length - w)])
        found.append(width)
        length -= width
    return found


def _row(
    dice: Dice,
    wall: str,
    start: tuple[float, float],
    angle: float,
    offset: float,
    length: float,
    depth: float,
) -> list[Stood]:
    """Fill a stretch of a wall with cabinets; ``start`` is the wall's left end."""
    along = {0.0: (1, 0), 90.0: (0, 1), 180.0: (-1, 0), -90.0: (0, -1)}[angle]
    found = []
    for width in composed(dice, length, (24.0, 36.0, 48.0)):
        x, y = start[0] + along[0] * offset, start[1] + along[1] * offset
        found.append(Stood("", cabinet(width, depth), x, y, angle, wall, offset))
        offset += width
    return found


def _tagged(stood: list[Stood]) -> tuple[Stood, ...]:
    return tuple(replace(each, tag=f"F{k}") for k, each in enumerate(stood, start=1))


def _with_case(dice: Dice, stood: list[Stood]) -> list[Stood]:
    """Let a glass case stand in the place of one of the smaller cabinets."""
    least = min(each.item.width for each in stood)
    chosen = dice.pick([each for each in stood if each.item.width == least])
    glass = case(least, chosen.item.depth)
    return [replace(each, item=glass) if each is chosen else each for each in stood]


def _with_windows(dice: Dice, stood: list[Stood], number: int) -> list[Stood]:
    """Put windows above some cabinets, as wide as these."""
    cabinets = [each for each in stood if each.item.slat_above]
    chosen = dice.shuffled(cabinets)[:number]
    return [replace(each, window=each in chosen) for each in stood]


def _windows(stood: tuple[Stood, ...]) -> tuple[Window, ...]:
    return tuple(
        Window(
            id=f"window {each.tag}",
            wall=each.wall,
            offset=inches(each.offset or 0.0),
            width=inches(each.item.width),
            sill=inches(38),
            head=inches(80),
        )
        for each in stood
        if each.window
    )


def _doorway(wall: str, offset: float) -> Door:
    plain = door("front doorway", wall, offset)
    return plain.model_copy(update={"swing": "none", "closer": False})


def _stall(dice: Dice) -> Floor:
    # Cabinets along three walls, the doorway in the fourth.
    depth, aisle = 18.0, dice.between((36, 40), 1)
    inner, side = dice.pick((72.0, 84.0)), dice.pick((84.0, 96.0, 108.0))
    wide, deep = inner + 2 * depth, side + depth
    stood = [
        *_row(dice, "w1", (0, 0), 90.0, 0, side, depth),
        *_row(dice, "w2", (0, deep), 0.0, depth, inner, depth),
        *_row(dice, "w3", (wide, deep), -90.0, depth, side, depth),
    ]
    tagged = _tagged(_with_case(dice, stood))
    made = room("stall", rectangle(0, 0, wide, deep), 96, bare=(4,))
    return Floor(Shell((made,), (_doorway("w4", (wide - 36) / 2),)), tagged, aisle)


def _narrow(dice: Dice) -> Floor:
    # Cabinets along both long walls; at the east end a counter divides off the staff.
    depth, aisle = dice.between((14, 16), 1), dice.pick((40.0, 41.0, 42.0))
    wide, staff = 2 * depth + aisle, dice.between((60, 66), 2)
    filled = dice.between((336, 384), 12)
    long = filled + aisle + staff
    rows = [
        *_row(dice, "w2", (0, wide), 0.0, 0, filled, depth),
        *_row(dice, "w4", (long, 0), 180.0, aisle + staff, filled, depth),
    ]
    rows = _with_windows(dice, _with_case(dice, rows), dice.whole(2, 4))
    width, deep = _COUNTER
    counter = Cabinet(
        kind="counter",
        name="counter-36",
        stands=("divider",),
        width=width,
        depth=deep,
        height=34,
        face=(0.0, 34.0),
        load=100,
        price=345,
        sides=(),
    )
    end = dice.pick((width, wide))
    tagged = _tagged([*rows, Stood("", counter, long - staff + deep, end, -90.0)])
    made = room("shell", rectangle(0, 0, long, wide), 96, bare=(1, 3))
    shell = Shell(
        (made,),
        (_doorway("w1", (wide - 36) / 2),),
        _windows(tagged),
        zones=(zone("staff", "staff", rectangle(long - staff, 0, long, wide)),),
        wanted=(Wanted(kind="counter", at_least=1, at_most=1),),
    )
    return Floor(shell, tagged, aisle)


def _corner(dice: Dice) -> Floor:
    # Cabinets along both long walls, two rows of gondolas between, all an aisle apart.
    depth, aisle, between = dice.pick(((18.0, 42.0, 36.0), (18.0, 42.0, 30.0), (16.0, 44.0, 34.0)))
    row = dice.between((312, 372), 12)
    long, wide = row + 2 * ISLAND_END, 2 * depth + 3 * aisle + 2 * between
    walls = [
        *_row(dice, "w2", (0, wide), 0.0, 0, long, depth),
        *_row(dice, "w4", (long, 0), 180.0, 0, long, depth),
    ]
    stood = _with_windows(dice, _with_case(dice, walls), dice.whole(3, 6))
    for back in (depth + aisle + between, depth + 2 * aisle + 2 * between):
        x = ISLAND_END
        for width in composed(dice, row, (36.0, 48.0)):
            stood.append(Stood("", gondola(width, between), x, back, 0.0))
            x += width
    tagged = _tagged(stood)
    made = room("shop", rectangle(0, 0, long, wide), 108, bare=(1, 3))
    entrance = _doorway("w1", depth + (aisle - 36) / 2)
    return Floor(Shell((made,), (entrance,), _windows(tagged)), tagged, aisle)
