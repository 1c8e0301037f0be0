"""Draws the shells: rooms with their doors, windows, columns and zones."""

from __future__ import annotations

from dataclasses import dataclass

from shapely import Polygon

from shopfit.bench.dice import Dice, inches
from shopfit.bench.sizes import Size
from shopfit.model.brief import Wanted
from shopfit.model.openings import Door, Window
from shopfit.model.shell import Column, Room, Wall, WallObstruction, Zone
from shopfit.units import FOOT_MM, TOLERANCE_MM

Corner = tuple[float, float]


@dataclass(frozen=True)
class Shell:
    """A shell and what it asks of the brief.

    Parameters
    ----------
    rooms, doors, windows, obstructions, columns, zones
        As a shop has them.
    wanted
        What must stand in it, because of its zones.
    """

    rooms: tuple[Room, ...]
    doors: tuple[Door, ...]
    windows: tuple[Window, ...] = ()
    obstructions: tuple[WallObstruction, ...] = ()
    columns: tuple[Column, ...] = ()
    zones: tuple[Zone, ...] = ()
    wanted: tuple[Wanted, ...] = ()


def shell(dice: Dice, size: Size) -> Shell:
    """Draw the shell of a size, again and again until its floor is as large as the size says."""
    draw = {
        "stall": _stall,
        "narrow": _narrow,
        "corner": _corner,
        "store": _large,
        "hall": _large,
    }[size.name]
    while True:
        drawn = draw(dice, size)
        least, most = (area * FOOT_MM**2 for area in size.area)
        floor = sum(Polygon(each.corners).area for each in drawn.rooms)
        if least - TOLERANCE_MM**2 <= floor <= most + TOLERANCE_MM**2:
            return drawn


def room(name: str, corners: list[Corner], height: float, bare: tuple[int, ...] = ()) -> Room:
    """Make a room from corners in inches, clockwise; walls are called ``w1`` and so on.

    Parameters
    ----------
    name, corners, height
        Its name, its corners and its height, in.
    bare
        Numbers of the walls that take neither fixtures nor slat-wall.
    """
    walls = [
        Wall(id=f"w{k}", slat_wall=k not in bare, fixtures=k not in bare)
        for k in range(1, len(corners) + 1)
    ]
    return Room(
        id=name,
        height=inches(height),
        corners=tuple((inches(x), inches(y)) for x, y in corners),
        walls=tuple(walls),
    )


def door(name: str, wall: str, offset: float, width: float = 36.0, use: str = "entrance") -> Door:
    """Make a door that swings out; from 60 in wide on, a doorway without a leaf."""
    return Door(
        id=name,
        wall=wall,
        offset=inches(offset),
        width=inches(width),
        height=inches(80),
        swing="out" if width < 60 else "none",
        closer=width < 60,
        use=use,
    )


def rectangle(x0: float, y0: float, x1: float, y1: float) -> list[Corner]:
    """Give the corners of a rectangle, clockwise from the south-west; walls W, N, E, S."""
    return [(x0, y0), (x0, y1), (x1, y1), (x1, y0)]


def zone(name: str, kind: str, corners: list[Corner]) -> Zone:
    """Make a zone from corners in inches."""
    return Zone(id=name, kind=kind, corners=tuple((inches(x), inches(y)) for x, y in corners))


def _window(name: str, wall: str, offset: float, width: float, sill: float, head: float) -> Window:
    return Window(
        id=name,
        wall=wall,
        offset=inches(offset),
        width=inches(width),
        sill=inches(sill),
        head=inches(head),
    )


def _panelboard(wall: str, offset: float) -> WallObstruction:
    return WallObstruction(
        id="panelboard",
        kind="panelboard",
        wall=wall,
        offset=inches(offset),
        width=inches(14),
        bottom=inches(44),
        top=inches(74),
        depth=inches(4),
    )


def _small(dice: Dice, kind: str, wall: str, length: float, number: int) -> WallObstruction:
    bottom = 15.0 if kind == "outlet" else 46.0
    return WallObstruction(
        id=f"{kind} {number}",
        kind=kind,
        wall=wall,
        offset=inches(dice.between((6, length - 12), 1)),
        width=inches(4),
        bottom=inches(bottom),
        top=inches(bottom + 4),
    )


def _counters(number: int) -> Wanted:
    return Wanted(kind="counter", at_least=number, at_most=number)


def _stall(dice: Dice, size: Size) -> Shell:
    # Half of them have a staff zone across the north end, with a counter on its edge.
    wide, deep = dice.between((114, 126), 2), dice.between((114, 126), 2)
    served = dice.happens(0.5)
    if served:
        deep = dice.between((132, 144), 2)
        wide = dice.between((96, 120), 2)
    height = dice.between(size.height, 2)
    made = room("stall", rectangle(0, 0, wide, deep), height, bare=(2,) if served else ())
    entrance = door("front door", "w4", dice.between((30, wide - 36 - 30), 2))
    windows: tuple[Window, ...] = ()
    if dice.happens(0.6):
        width = dice.between((30, 42), 2)
        left = dice.between((56, deep - width - 12), 2) if not served else 62.0
        windows = (_window("window 1", "w3", left, width, dice.between((38, 42), 2), 72),)
    things = (_small(dice, "outlet", "w1", deep, 1),)
    if not served:
        return Shell((made,), (entrance,), windows, things)
    staff = zone("staff", "staff", rectangle(0, deep - 58, wide, deep))
    return Shell((made,), (entrance,), windows, things, (), (staff,), (_counters(1),))


def _narrow(dice: Dice, size: Size) -> Shell:
    # A metal shell: the door in one end, windows in the long walls, staff at the other end.
    long, wide = dice.between((456, 504), 2), dice.between((90, 108), 1)
    made = room("shell", rectangle(0, 0, long, wide), dice.between(size.height, 1), bare=(3,))
    doors = [door("front door", "w1", dice.between((20, wide - 36 - 20), 1))]
    staff_deep = dice.between((62, 68), 1)
    if dice.happens(0.4):
        # A second door, an exit in the middle of the south wall.
        doors.append(door("side door", "w4", dice.between((180, long - 240), 6), use="exit"))
    windows = []
    taken = [(float(each.offset) / 25.4, each.wall) for each in doors[1:]]
    for number in range(dice.whole(2, 5)):
        width, wall = dice.between((28, 40), 2), dice.pick(("w2", "w4"))
        offset = dice.between((72, long - 72 - width), 4)
        if all(w != wall or abs(offset - at) > 46 for at, w in taken):
            taken.append((offset, wall))
            windows.append(_window(f"window {number + 1}", wall, offset, width, 38, 68))
    things = (
        _panelboard("w3", dice.between((10, wide - 24), 2)),
        _small(dice, "outlet", "w2", long, 1),
        _small(dice, "outlet", "w4", long, 2),
    )
    staff = zone("staff", "staff", rectangle(long - staff_deep, 0, long, wide))
    return Shell((made,), tuple(doors), tuple(windows), things, (), (staff,), (_counters(1),))


def _corner(dice: Dice, size: Size) -> Shell:
    # An L, or a rectangle with its south-west corner cut off for the entrance.
    wide, deep = dice.between((336, 396), 6), dice.between((324, 372), 6)
    height = dice.between(size.height, 2)
    if dice.happens(0.5):
        x, y = wide - dice.between((108, 144), 6), deep - dice.between((96, 120), 6)
        corners = [(0.0, 0.0), (0.0, deep), (x, deep), (x, y), (wide, y), (wide, 0.0)]
        made = room("shop", corners, height)
        entrance = door("front door", "w6", dice.between((60, wide - 120), 6), 40)
        staff = rectangle(x - 120, deep - 70, x, deep)
        back, front = "w3", "w6"
        board = _panelboard("w2", x - 60)
    else:
        wide = dice.between((330, 366), 6)
        cut = dice.between((60, 84), 6)
        corners = [(0.0, cut), (0.0, deep), (wide, deep), (wide, 0.0), (cut, 0.0)]
        made = room("shop", corners, height, bare=(5,))
        slant = cut * 2**0.5
        entrance = door("front door", "w5", slant / 2 - 20, 40)
        staff = rectangle(wide - 120, deep - 70, wide, deep)
        back, front = "w3", "w4"
        board = _panelboard("w2", wide - 60)
    doors = [entrance]
    if dice.happens(0.5):
        doors.append(door("back door", back, 14, 36, "staff"))
    windows = [
        _window("window 1", "w1", dice.between((40, 90), 6), dice.between((48, 84), 6), 38, 84)
    ]
    if front == "w4":
        windows.append(_window("window 2", "w4", dice.between((40, 120), 6), 72, 38, 84))
    columns = _columns(dice, [(wide * 0.33, deep * 0.42), (wide * 0.66, deep * 0.4)])
    columns = columns[: dice.whole(1, 2)]
    things = (board, _small(dice, "outlet", "w1", deep - 90, 1))
    made_zone = zone("staff", "staff", staff)
    return Shell(
        (made,), tuple(doors), tuple(windows), things, columns, (made_zone,), (_counters(1),)
    )


def _columns(dice: Dice, places: list[Corner]) -> tuple[Column, ...]:
    found = []
    for number, (x, y) in enumerate(places, start=1):
        at = (inches(x + dice.between((-12, 12), 2)), inches(y + dice.between((-12, 12), 2)))
        if dice.happens(0.3):
            found.append(Column(id=f"column {number}", at=at, diameter=inches(12)))
        else:
            side = inches(dice.between((12, 18), 2))
            found.append(Column(id=f"column {number}", at=at, size=(side, side)))
    return tuple(found)


def _large(dice: Dice, size: Size) -> Shell:
    # A rectangle with columns on a grid, tills along the west wall, stock in the north-east.
    hall = size.name == "hall"
    wide = dice.between((1_800, 2_040) if hall else (876, 972), 12)
    area = dice.between(size.area) * 144
    deep = round(area / wide / 12) * 12.0
    made = room("hall", rectangle(0, 0, wide, deep), dice.between(size.height, 6))
    doors = [
        door("front doorway", "w4", dice.between((0.3 * wide, 0.6 * wide), 12), 96),
        door("staff door", "w1", deep - 60, 36, "staff"),
        door("exit 1", "w3", dice.between((0.4 * deep, 0.7 * deep), 12), 42, "exit"),
    ]
    if hall:
        doors.append(door("exit 2", "w2", dice.between((0.3 * wide, 0.5 * wide), 12), 42, "exit"))
    apart = dice.between((300, 360) if hall else (240, 300), 12)
    across, along = int(wide // apart), int(deep // apart)
    grid = [
        (wide * (i + 1) / (across + 1), deep * (j + 1) / (along + 1))
        for i in range(across)
        for j in range(along)
    ]
    windows = [
        _window(f"window {k + 1}", "w4", 120 + k * 168, dice.between((72, 120), 12), 38, 90)
        for k in range(dice.whole(0, 2))
        if 120 + k * 168 + 120 < 0.3 * wide - 12
    ]
    tills, stock = dice.between((216, 264), 12), dice.between((240, 360), 12)
    zones = (
        zone("tills", "staff", rectangle(0, deep - tills, 96, deep)),
        zone("stock", "stock", rectangle(wide - stock, deep - 96, wide, deep)),
    )
    inside = [(x, y) for x, y in grid if x > 120 and not (x > wide - stock - 24 and y > deep - 120)]
    things = (
        _panelboard("w1", deep - tills + 60),
        _small(dice, "thermostat", "w2", wide * 0.28, 1),
        _small(dice, "outlet", "w4", wide * 0.25, 1),
    )
    return Shell(
        (made,),
        tuple(doors),
        tuple(windows),
        things,
        _columns(dice, inside),
        zones,
        (_counters(3 if hall else 2),),
    )
