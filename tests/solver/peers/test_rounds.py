"""Rounds of a search: what closes a way is forbidden, and when a round is enough."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from shopfit.model.options import SolveOptions
from shopfit.solver.connect import blockages
from shopfit.solver.floor import FloorAnswer
from shopfit.solver.peers.answers import Course
from shopfit.solver.peers.engines import Ears, End, Rounds
from shopfit.solver.peers.program import Row
from shopfit.solver.peers.summed import SummedProgram

from .. import build as b


class Scripted:
    """Stands for a solver: each search plays the next script, and rows added are kept."""

    def __init__(self, *scripts: Callable[[Ears], End]) -> None:
        self.scripts, self.rows = list(scripts), list[Row]()

    def add(self, row: Row) -> None:
        """Keep a row."""
        self.rows.append(row)

    def solve(self, seconds: float, ears: Ears) -> End:
        """Play the next script."""
        return self.scripts.pop(0)(ears)


def program(seconds: float = 5.0) -> SummedProgram:
    """Give the program of a passage with a block that closes it where it stands amid the way."""
    block = b.fixture("block", kind="plinth", depth=b.mm(1500.0), faces=[])
    given = b.scenario(
        fixtures=[b.fixture(), block], width=2000.0, depth=5000.0, brief={"step": b.mm(500.0)}
    )
    options = SolveOptions(seconds=seconds, workers=1)
    return SummedProgram(Course(given, options, lambda *event: None))


def standing(own: SummedProgram, *places: tuple[str, str, float]) -> tuple[int, ...]:
    return tuple(
        sorted(
            i
            for i, c in enumerate(own.problem.candidates)
            if (c.fixture, c.placement.wall, c.placement.offset_mm) in places
        )
    )


BLOCKED = (("cab", "N", 500.0), ("block", "W", 2000.0))
OPEN = (("cab", "N", 500.0),)


def tells(own: SummedProgram, *places: tuple[str, str, float], worth: float = 1.0) -> Any:
    """Give a script that tells one answer with these positions."""
    chosen = {own.stands[i] for i in standing(own, *places)}

    def play(ears: Ears) -> End:
        ears.answer(worth, lambda column: 1.0 if column in chosen else 0.0)
        ears.bound(90.0)
        return End.PROVED

    return play


def test_what_closes_a_way_is_forbidden_and_asked_again():
    """After a closed answer its sets are forbidden; the open one that follows ends the rounds."""
    own = program()
    engine = Scripted(tells(own, *BLOCKED), tells(own, *OPEN))
    assert Rounds(own, engine, bounding=True).run(5.0) is End.PROVED
    closed = standing(own, *BLOCKED)
    expected = blockages(own.problem, FloorAnswer(closed, ()))
    assert {frozenset(row.columns) for row in engine.rows} == {
        frozenset(own.stands[i] for i in group) for group in expected
    }
    assert all(row.high == len(row.columns) - 1 for row in engine.rows)
    assert own.best is not None
    assert own.best[0].chosen == standing(own, *OPEN)


def test_an_open_answer_ends_at_once():
    """Nothing is forbidden where nothing is closed."""
    own = program()
    engine = Scripted(tells(own, *OPEN))
    assert Rounds(own, engine, bounding=True).run(5.0) is End.PROVED
    assert engine.rows == []


@pytest.mark.parametrize(("lasting", "bound"), [(True, 70.0), (False, 90.0)])
def test_sets_that_do_not_last_prove_nothing(
    monkeypatch: pytest.MonkeyPatch, lasting: bool, bound: float
):
    """After a set was forbidden that may yet be in order, later bounds are not taken over."""
    own = program()
    closed = standing(own, *BLOCKED)
    found = {closed: {frozenset(closed): lasting}}
    monkeypatch.setattr(own.course, "closing", lambda chosen: found.get(chosen, {}))

    def lower(ears: Ears) -> End:
        tells(own, *OPEN)(ears)
        ears.bound(70.0)
        return End.LIMIT

    Rounds(own, Scripted(tells(own, *BLOCKED), lower), bounding=True).run(5.0)
    assert own.course.answer().bound == bound


def test_bounds_of_other_programs_are_not_told():
    """A program that leaves something out proves nothing for the shop."""
    own = program()
    Rounds(own, Scripted(tells(own, *OPEN)), bounding=False).run(5.0)
    assert own.course.answer().bound is None


@pytest.mark.parametrize(("worth", "decent"), [(1.0, True), (-999.0, False)])
def test_an_answer_that_misses_a_minimum_is_waited_past(worth: float, decent: bool):
    """Over its time, a round ends with an answer that misses nothing, and else goes on."""
    own, asked = program(), []

    def play(ears: Ears) -> End:
        tells(own, *OPEN, worth=worth)(ears)
        asked.append(ears.enough())
        return End.LIMIT

    rounds = Rounds(own, Scripted(play), bounding=False)
    rounds.run(0.0, at_most=5.0)
    assert rounds.decent is decent
    assert asked == [decent]
