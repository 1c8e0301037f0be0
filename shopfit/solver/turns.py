"""Compiled loop that fills a few of many faces anew, again and again."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from shopfit.solver.compiling import compiled
from shopfit.solver.facearrays import (
    BARRED,
    BEST,
    BLOCK,
    BLOCKS,
    BOARD,
    CATEGORY,
    CELLS,
    CHANGED,
    CHARGE,
    CLASS,
    COST,
    COUNT,
    COUNTED,
    DEAR,
    FACINGS,
    FIRST,
    FULLNESS,
    HELD,
    HOLDING,
    LEAST,
    LEFT,
    LINE,
    MISSED,
    MISSING,
    MONEY,
    MOST,
    NEAR,
    NEW,
    NOW,
    PRICE,
    ROW,
    ROW_KIND,
    SHAKEN,
    SHORT,
    SHOWN,
    SPAN,
    SPENT,
    STEPS,
    STEPS_END,
    TOUCHED,
    UNITS,
    URGENT,
    VALUE,
    WIDTH,
    Floats,
    Floor,
    Ints,
)
from shopfit.solver.faceboards import boards_from, charged, follow_money
from shopfit.solver.faceloops import Bench, fill_face

# How often the other faces show what the first one shows, and by how much prices are shaken.
_AKIN = 0.7
_SHAKEN = 0.3
# How often as many faces as can be are filled anew together; else one less.
_ALL_TOGETHER = 0.5
# By how much what is kept may be worse than what stood there, as it is drawn: on average, in goods
# as large as usual, for all faces together.
_GRACE = 4.0
# Faces drawn at most to find one that shows the same.
_DRAWS = 50
# How often the first face is one that can show what misses its minimum, where something does.
_MENDING = 0.5
_EPS = 1e-9


class Draws(NamedTuple):
    """What is drawn for a turn.

    Parameters
    ----------
    state
        Of the random numbers.
    faces, found
        The faces drawn to be filled anew together, and those or the lines of which one is drawn.
    touched
        Lines that came or went.
    """

    state: NDArray[np.uint64]
    faces: Ints
    found: Ints
    touched: Ints


@compiled
def _below(state: NDArray[np.uint64], n: int) -> int:
    """Draw a number from 0 up, below another (Marsaglia 2003, J. Statistical Software 8(14))."""
    x = state[0]
    x ^= x << np.uint64(13)
    x ^= x >> np.uint64(7)
    x ^= x << np.uint64(17)
    state[0] = x
    return int(np.int64((x >> np.uint64(33)) % np.uint64(n)))


@compiled
def _line_value(lines: Ints, worth: Floats, steps: Floats, missing: float, line: int) -> float:
    """Give the worth of what is shown of a line, less what its minimums miss."""
    counted, value = worth[line, COUNTED], 0.0
    for step in range(lines[line, STEPS], lines[line, STEPS_END]):
        if counted <= 0.0:
            break
        value += min(steps[step, 0], counted) * steps[step, 1]
        counted -= steps[step, 0]
    return value - missing * _short(lines, line)


@compiled
def _short(lines: Ints, line: int) -> int:
    """Give how many facings and units a line misses."""
    missing: int = max(0, lines[line, LEAST] - lines[line, COUNT])
    missing += max(0, lines[line, HOLDING] - lines[line, HELD])
    return missing


@compiled
def _put(floor: Floor, place: int, face: int, sign: int) -> float:
    """Count what stands on a face, or in a place for it, or count it no more.

    Returns
    -------
    How large it is; goods as large as usual count one.
    """
    lines, worth, cells, size = floor.lines, floor.worth, floor.cells, 0.0
    kind = floor.faces[face, CLASS]
    first = floor.faces[place, FIRST]
    for n in range(first, first + floor.faces[place, CELLS]):
        line, facings = cells[n, LINE], sign * cells[n, FACINGS]
        pattern = floor.blocks[place, cells[n, BLOCK]]
        row = floor.patterns[pattern, cells[n, ROW] + 1, ROW_KIND]
        worth[line, COUNTED] += floor.weights[row] * facings
        lines[line, COUNT] += facings
        lines[line, HELD] += facings * int(floor.showings[line, kind, UNITS])
        floor.sums[SPENT] += facings * floor.showings[line, kind, COST]
        size += worth[line, PRICE] * facings
        if floor.boards.shape[0] > 0 and floor.showings[line, kind, BOARD] >= 0.0:
            floor.sums[SPENT] += sign * boards_from(floor, place, kind, n)
    return size


@compiled
def turn(floor: Floor, bench: Bench, draws: Draws, work: int, goal: float) -> None:
    """Fill faces anew until a goal is reached or so many steps are worked."""
    sums, spare = floor.sums, floor.best_counts.shape[0]
    while bench.work[0] < work and sums[BEST] < goal - _EPS:
        many = draws.faces.size
        if many > 1 and _below(draws.state, 1000) >= 1000 * _ALL_TOGETHER:
            many -= 1
        _draw_faces(floor, bench.names, draws, many)
        names = _draw_names(bench.names, draws.state)
        _shake(floor.worth, floor.ranges, bench.names, names, draws.state)
        spent, size = sums[SPENT], 0.0
        for n in range(many):
            size += _put(floor, draws.faces[n], draws.faces[n], -1)
        for n in range(many):
            face = draws.faces[n]
            kind = floor.faces[face, CLASS]
            _set_left(floor.lines, floor.showings, floor.ranges, bench.names, names, kind)
            fill_face(floor, bench, face, names, spare + n)
            size += _put(floor, spare + n, face, 1)
        touched = _touched(floor.lines, floor.faces, floor.cells, draws, many, spare)
        gained = _gained(floor.lines, floor.worth, floor.steps, sums, draws.touched, touched)
        grace = -_GRACE / spare * np.log((1 + _below(draws.state, 1 << 20)) / (1 << 20))
        if sums[DEAR] > 0.0:
            gained -= sums[DEAR] * (sums[SPENT] - spent)
        worse = gained + sums[FULLNESS] * (size + grace) < -_EPS
        dear = sums[DEAR] <= 0.0 and sums[SPENT] > max(sums[MONEY], spent) + _EPS
        if worse or dear:
            for n in range(many):
                _put(floor, spare + n, draws.faces[n], -1)
                _put(floor, draws.faces[n], draws.faces[n], 1)
        else:
            _take(floor.lines, floor.worth, floor.steps, sums, draws.touched, touched)
            _take_over(floor, draws.faces, many)
            over = charged(sums) if sums[CHARGE] > 0.0 else 0.0
            if sums[NOW] - over >= sums[BEST] - _EPS:
                _keep(floor)
                sums[BEST] -= over
        if sums[CHARGE] > 0.0:
            follow_money(sums)
        bench.work[0] += 10 * floor.categories.shape[1]


@compiled
def _draw_faces(floor: Floor, names: Ints, draws: Draws, group: int) -> None:
    """Draw so many faces that mostly show categories in common, and mark these."""
    state, faces, categories = draws.state, draws.faces, floor.categories
    every = floor.best_counts.shape[0]
    faces[0] = _below(state, every)
    for category in range(names.size):
        names[category] = 0
    _draw_mending(floor, names, draws)
    for category in range(names.size):
        names[category] |= categories[faces[0], category, SHOWN]
    many = 1
    while many < group:
        face, known = _below(state, every), False
        if _below(state, 1000) < 1000 * _AKIN:
            for _ in range(_DRAWS):
                if _akin(categories, names, face):
                    break
                face = _below(state, every)
        for n in range(many):
            known = known or faces[n] == face
        if not known:
            faces[many] = face
            many += 1
            for category in range(names.size):
                names[category] |= categories[face, category, SHOWN]


@compiled
def _akin(categories: Ints, names: Ints, face: int) -> bool:
    """Say whether a face shows one of the categories marked."""
    for category in range(names.size):
        if names[category] and categories[face, category, SHOWN]:
            return True
    return False


@compiled
def _draw_mending(floor: Floor, names: Ints, draws: Draws) -> None:
    """Often draw a first face that can show what misses its minimum, and mark its category."""
    lines, faces, found, missed, able = floor.lines, floor.faces, draws.found, 0, 0
    if floor.sums[MISSED] <= 0.0 or _below(draws.state, 1000) >= 1000 * _MENDING:
        return
    for line in range(lines.shape[0]):
        if lines[line, SHORT] > 0:
            found[missed] = line
            missed += 1
    line = found[_below(draws.state, missed)]
    names[lines[line, CATEGORY]] = 1
    for face in range(floor.best_counts.shape[0]):
        allowed = not floor.categories[face, lines[line, CATEGORY], BARRED]
        if lines[line, NEW] and not faces[face, NEAR]:
            allowed = False
        shown = floor.showings[line, faces[face, CLASS], UNITS] > 0
        if allowed and shown and lines[line, WIDTH] <= faces[face, SPAN]:
            found[able] = face
            able += 1
    if able > 0:
        draws.faces[0] = found[_below(draws.state, able)]


@compiled
def _draw_names(names: Ints, state: NDArray[np.uint64]) -> int:
    """List the categories marked and one other, in their order; gives how many."""
    others, many = names.size, 0
    for category in range(names.size):
        others -= names[category]
    other = _below(state, others) if others > 0 else -1
    for category in range(names.size):
        if not names[category]:
            other -= 1
            if other != -1:
                continue
        names[many] = category
        many += 1
    return many


@compiled
def _shake(worth: Floats, ranges: Ints, names: Ints, many: int, state: NDArray[np.uint64]) -> None:
    """Shake the prices of some categories."""
    for n in range(many):
        for line in range(ranges[names[n]], ranges[names[n] + 1]):
            shaken = 1.0 + _SHAKEN * _below(state, 1 << 20) / (1 << 20)
            worth[line, SHAKEN] = worth[line, PRICE] * shaken


@compiled
def _set_left(
    lines: Ints, showings: Floats, ranges: Ints, names: Ints, many: int, kind: int
) -> None:
    """Write down what is left of some categories, and what of it is urgent on a class of face."""
    for n in range(many):
        for line in range(ranges[names[n]], ranges[names[n] + 1]):
            missing = lines[line, LEAST] - lines[line, COUNT]
            units = int(showings[line, kind, UNITS])
            if units > 0:
                missing = max(missing, -((lines[line, HELD] - lines[line, HOLDING]) // units))
            lines[line, LEFT] = max(0, lines[line, MOST] - lines[line, COUNT])
            lines[line, URGENT] = max(0, missing)


@compiled
def _touched(lines: Ints, faces: Ints, cells: Ints, draws: Draws, group: int, spare: int) -> int:
    """List the lines that came or went with some faces; gives how many."""
    many = 0
    for n in range(2 * group):
        place = draws.faces[n] if n < group else spare + n - group
        for cell in range(faces[place, FIRST], faces[place, FIRST] + faces[place, CELLS]):
            line = cells[cell, LINE]
            if not lines[line, TOUCHED]:
                lines[line, TOUCHED] = 1
                draws.touched[many] = line
                many += 1
    for n in range(many):
        lines[draws.touched[n], TOUCHED] = 0
    return many


@compiled
def _gained(
    lines: Ints, worth: Floats, steps: Floats, sums: Floats, touched: Ints, many: int
) -> float:
    """Give how much more some lines are worth than before."""
    gained = 0.0
    for n in range(many):
        value = _line_value(lines, worth, steps, sums[MISSING], touched[n])
        gained += value - worth[touched[n], VALUE]
    return gained


@compiled
def _take(
    lines: Ints, worth: Floats, steps: Floats, sums: Floats, touched: Ints, many: int
) -> None:
    """Take what some lines are worth for what they are worth from now on."""
    for n in range(many):
        value = _line_value(lines, worth, steps, sums[MISSING], touched[n])
        sums[NOW] += value - worth[touched[n], VALUE]
        worth[touched[n], VALUE] = value
        missing = _short(lines, touched[n])
        sums[MISSED] += missing - lines[touched[n], SHORT]
        lines[touched[n], SHORT] = missing


@compiled
def _take_over(floor: Floor, group: Ints, many: int) -> None:
    """Set what was filled on the faces drawn."""
    faces = floor.faces
    for n in range(many):
        face, place = group[n], floor.best_counts.shape[0] + n
        blocks, cells = faces[place, BLOCKS], faces[place, CELLS]
        _copy(floor.blocks, floor.blocks, place, face, blocks)
        first = faces[face, FIRST]
        _copy_cells(floor.cells, floor.cells, faces[place, FIRST], first, cells)
        faces[face, BLOCKS], faces[face, CELLS], faces[face, CHANGED] = blocks, cells, 1
        for category in range(floor.categories.shape[1]):
            floor.categories[face, category, SHOWN] = 0
        for cell in range(first, first + cells):
            category = floor.lines[floor.cells[cell, LINE], CATEGORY]
            floor.categories[face, category, SHOWN] = 1


@compiled
def _copy(source: Ints, to: Ints, face: int, number: int, many: int) -> None:
    for n in range(many):
        to[number, n] = source[face, n]


@compiled
def _copy_cells(source: Ints, to: Ints, first: int, number: int, many: int) -> None:
    for n in range(many):
        for column in range(4):
            to[number + n, column] = source[first + n, column]


@compiled
def _keep(floor: Floor) -> None:
    """Take what stands as the best."""
    floor.sums[BEST] = floor.sums[NOW]
    for face in range(floor.best_counts.shape[0]):
        if floor.faces[face, CHANGED]:
            blocks, cells = floor.faces[face, BLOCKS], floor.faces[face, CELLS]
            floor.faces[face, CHANGED] = 0
            floor.best_counts[face, 0], floor.best_counts[face, 1] = blocks, cells
            _copy(floor.blocks, floor.best_blocks, face, face, blocks)
            first = floor.faces[face, FIRST]
            _copy_cells(floor.cells, floor.best_cells, first, first, cells)


def draws(floor: Floor, together: int, seed: int) -> Draws:
    """Set up what is drawn."""
    lines, faces = floor.lines.shape[0], floor.best_counts.shape[0]
    return Draws(
        np.array([(2 * seed + 1) * 0x9E3779B97F4A7C15 % 2**64], dtype=np.uint64),
        np.zeros(together, dtype=np.int64),
        np.zeros(max(lines, faces), dtype=np.int64),
        np.zeros(lines, dtype=np.int64),
    )
