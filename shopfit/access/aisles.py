"""What aisles need across a room: routes, turns round the ends of islands, passing, the brief."""

from __future__ import annotations

from dataclasses import dataclass

from shopfit.model.aisles import AisleAnswer, AisleRow, AisleTask, Binds
from shopfit.standards import Rulebook
from shopfit.standards.routes import passing_spaces
from shopfit.standards.turns import KEYS, turn_matters, turn_width
from shopfit.units import TOLERANCE_MM, format_length

_MOST_ROWS = 60


@dataclass(frozen=True)
class _Wanted:
    """Least width of an aisle, mm, and which number asks for it."""

    width: float
    binds: Binds
    clause: str
    confidence: str


def aisles(task: AisleTask, book: Rulebook) -> AisleAnswer:
    """Say what aisles and fixtures need across a room, and what is left.

    Parameters
    ----------
    task
        What is asked.
    book
        The rulebook of that name, or one with a user's own values on top.

    Returns
    -------
    A row for each number of rows of islands, up to the first that does not fit.
    """
    if task.rows is not None:
        numbers = [task.rows]
    else:
        numbers = list(range(_MOST_ROWS + 1 if task.island is not None else 1))
    rows: list[AisleRow] = []
    for number in numbers:
        rows.append(_row(task, book, number))
        if not rows[-1].fits and task.rows is None:
            break
    return AisleAnswer(
        task=task, rows=tuple(rows), most=_most(task, book), notes=_notes(task, book)
    )


def _most(task: AisleTask, book: Rulebook) -> int | None:
    fitting = None
    for number in range(_MOST_ROWS + 1 if task.island is not None else 1):
        if not _row(task, book, number).fits:
            break
        fitting = number
    return fitting


def _row(task: AisleTask, book: Rulebook, number: int) -> AisleRow:
    island = task.island or 0.0
    count = number + 1
    standing = task.left + task.right + number * island
    wanted = _wanted(task, book, number)
    needed = standing + count * wanted.width
    spare = task.room - needed
    shared = max(0.0, (task.room - standing) / count)
    end = _end(task, book, number, wanted.width)
    end_spare = None if end is None or task.end is None else task.end - end
    turns = end_spare is None or end_spare >= -TOLERANCE_MM
    length = task.length
    return AisleRow(
        rows=number,
        words=_words(task, number),
        aisles=count,
        fixtures_mm=standing,
        aisle_mm=wanted.width,
        binds=wanted.binds,
        clause=wanted.clause,
        confidence=wanted.confidence,
        needed_mm=needed,
        spare_mm=spare,
        fits=spare >= -TOLERANCE_MM and turns,
        shared_mm=shared,
        end_mm=end,
        end_spare_mm=end_spare,
        passing=None if length is None else passing_spaces(book, wanted.width, length),
    )


def _wanted(task: AisleTask, book: Rulebook, number: int) -> _Wanted:
    """Give the least width of every aisle: route, brief, and turns round the ends of islands.

    Source
    ------
    2010 ADA Standards, 403.5.1: 36 in; 403.5.2: 42 in beside an element under 48 in wide where the
    way round its end is less than 60 in. Text read.
    """
    route = book.requirement("route-width")
    found = _Wanted(route.value, "route", route.clause, route.confidence)
    if _turn_asks(task, book, number):
        leg = book.requirement("turn-leg")
        if leg.value > found.width:
            found = _Wanted(leg.value, "turn", leg.clause, leg.confidence)
    if task.aisle > found.width + TOLERANCE_MM:
        found = _Wanted(task.aisle, "brief", "", "own")
    return found


def _turn_asks(task: AisleTask, book: Rulebook, number: int) -> bool:
    """Say whether turns round ends ask for wide aisles: ends are known, and under 60 in."""
    if number == 0 or task.end is None or task.island is None:
        return False
    if book.why_without(*KEYS) or not turn_matters(book, task.island):
        return False
    wide = book.requirement("turn-wide")
    return not wide.holds(task.end) and book.requirement("turn-width").holds(task.end)


def _end(task: AisleTask, book: Rulebook, number: int, aisle: float) -> float | None:
    """Give the clear way that the ends of islands want beside aisles of a width, mm, or none."""
    if number == 0 or task.island is None:
        return None
    if book.why_without(*KEYS):
        return None
    wanted = turn_width(book, task.island, aisle)
    # An end of any width still has a route round it.
    return book.mm("route-width") if wanted is None else wanted.value


def _words(task: AisleTask, number: int) -> str:
    walls = sum(1 for depth in (task.left, task.right) if depth > 0)
    sides = {0: "bare walls", 1: "one wall lined", 2: "both walls lined"}[walls]
    if number == 0:
        return f"{sides}, no islands"
    return f"{sides}, {number} row{'s' if number > 1 else ''} of islands"


def _notes(task: AisleTask, book: Rulebook) -> tuple[str, ...]:
    told = []
    say = task.units
    why = book.why_without(*KEYS)
    if task.island is not None and why:
        told.append(f"Turns round the ends of islands are not checked: {why}.")
    elif task.island is not None and turn_matters(book, task.island):
        leg, tight, wide = (
            book.requirement(key) for key in ("turn-leg", "turn-width", "turn-wide")
        )
        told.append(
            f"An island {format_length(task.island, say)} wide wants {wide.written} clear round "
            f"its ends, or {tight.written} where the aisles along it are {leg.written} wide "
            f"({leg.clause}, {leg.confidence})."
        )
    passing = book.requirement("passing-width")
    if task.length is None:
        told.append(
            f"Aisles under {passing.written} want a passing space every "
            f"{book.requirement('passing-interval').written} ({passing.clause}, "
            f"{passing.confidence}); say how long they are to have them counted."
        )
    told.append(
        "Depths are those typed or of the fixtures; goods, handles and doors that stand out count "
        "on top. Columns, radiators and skirtings too."
    )
    return tuple(told)
