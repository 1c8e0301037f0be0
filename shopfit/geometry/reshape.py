"""Rooms whose walls were measured again: corners moved as little as the new lengths allow."""

from __future__ import annotations

import math

import numpy as np

from shopfit.geometry.shell import PlanPoint, room_outline, walk
from shopfit.model.scenario import Shop
from shopfit.model.shell import Room, Wall

# How much dearer it is to turn a wall by a millimetre, and to miss a measured length, than to
# change a length that was not measured. Carpenters keep corners square; common practice, no source.
_TURNED, _MEASURED = 30.0, 1e4
_ROUNDS = 4


def with_wall_lengths(shop: Shop, lengths: dict[str, float]) -> Shop:
    """Give a shop with some walls longer or shorter.

    The walls of a room keep their directions as nearly as they can: in a square room of which one
    wall was measured the wall across goes along.

    Parameters
    ----------
    shop
        Rooms of straight walls.
    lengths
        By wall, mm; all that are known, for what is left out may change.

    Raises
    ------
    ValueError
        If a length is not more than nought, or the room has a curved wall.
    """
    if any(not length > 0 for length in lengths.values()):
        raise ValueError("a wall is longer than nought")
    rooms = tuple(_reshaped(room, lengths) for room in shop.rooms)
    return shop.model_copy(update={"rooms": rooms})


def _reshaped(room: Room, lengths: dict[str, float]) -> Room:
    names = [name for name, *_ in walk(room)]
    measured = {names.index(name): length for name, length in lengths.items() if name in names}
    if not measured:
        return room
    if any(wall.arc is not None for wall in room.walls):
        raise ValueError(f"room {room.id} has a curved wall")
    corners = _fitted(room_outline(room), measured)
    walls = tuple(
        (wall or Wall(id=name)).model_copy(update={"length": None, "turn": 90.0, "arc": None})
        for name, _, _, wall in walk(room)
    )
    changed = {"corners": tuple(corners), "walls": walls, "start": (0.0, 0.0), "heading": 0.0}
    return room.model_copy(update=changed)


def _fitted(corners: list[PlanPoint], measured: dict[int, float]) -> list[PlanPoint]:
    """Move corners by least squares until the measured walls have their lengths."""
    count = len(corners)
    start = np.array(corners, dtype=float)
    place = start.copy()
    for _ in range(_ROUNDS):
        rows, wanted = [], []
        for index in range(count):
            after = (index + 1) % count
            planned = start[after] - start[index]
            now = place[after] - place[index]
            along = now / math.hypot(*now)
            out = np.array([-planned[1], planned[0]]) / math.hypot(*planned)
            length = measured.get(index, float(math.hypot(*planned)))
            weight = _MEASURED if index in measured else 1.0
            rows.append(weight * _difference(count, index, after, along))
            wanted.append(weight * (length - math.hypot(*now)))
            rows.append(_TURNED * _difference(count, index, after, out))
            wanted.append(_TURNED * -float(out @ now))
        for axis in (0, 1):
            held = np.zeros(2 * count)
            held[axis] = _MEASURED
            rows.append(held)
            wanted.append(0.0)
        step, *_ = np.linalg.lstsq(np.array(rows), np.array(wanted), rcond=None)
        place = place + step.reshape(count, 2)
    return [(round(float(x), 6) + 0.0, round(float(y), 6) + 0.0) for x, y in place]


def _difference(count: int, index: int, after: int, direction: np.ndarray) -> np.ndarray:
    row = np.zeros(2 * count)
    row[2 * after : 2 * after + 2] += direction
    row[2 * index : 2 * index + 2] -= direction
    return row
