"""Compiled loops that fill single faces, beside the program that prices them in Python."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.model.range import Line
from shopfit.solver import compiling
from shopfit.solver.facearrays import (
    CELLS,
    COST,
    COUNT,
    FACINGS,
    FIRST,
    HELD,
    LEFT,
    LINE,
    MOST,
    NOW,
    SHAKEN,
    SPAN,
    SPENT,
    URGENT,
    FaceArrays,
)
from shopfit.solver.facefilling import Prices
from shopfit.solver.faceloops import bench, fill_face
from shopfit.solver.fill import Filler
from shopfit.solver.filling import BlockPlan, Filling
from shopfit.solver.patterns import Pattern
from tests.solver import build as b
from tests.solver.test_fill import filled, hung, ranges
from tests.solver.test_pricing import pricer_of

NOTHING = Filling([], [])


def arrays_of(filler: Filler, standing: Filling = NOTHING) -> FaceArrays:
    """Write a floor down with every facing worth one and one place to fill a face in."""
    price = {line.line: 1.0 for line in filler.site.scenario.lines}
    return FaceArrays(filler, standing, price, 0.6, 1000.0, 1)


@settings(max_examples=40)
@given(ranges, st.integers(3000, 12000), st.data())
def test_a_face_is_worth_what_the_other_pricer_says(
    lines: list[Line], width: int, data: st.DataObject
):
    """At any prices the loops find for an empty face what the pricer in Python finds."""
    filler = b.filler(b.scenario(lines), [width / 10])
    prices = {ln.line: float(data.draw(st.integers(1, 20))) for ln in lines}
    own = arrays_of(filler)
    floor, room = own.floor, bench(own.floor)
    order = [line.line for name in filler.categories for line in filler.lines(name)]
    floor.worth[:, SHAKEN] = [prices[name] for name in order]
    floor.lines[:, LEFT] = floor.lines[:, MOST]
    names = len(filler.categories)
    room.names[:names] = np.arange(names)
    fill_face(floor, room, 0, names, 1)
    pricer = pricer_of(filler)
    kind = pricer.types[0]
    caps = {line.line: line.max_facings for line in lines}
    plain = Prices(prices, dict.fromkeys(prices, 0.0))
    value, _ = pricer.priced(kind, plain, caps).best(kind.units)
    assert kind.units == floor.faces[0, SPAN]
    assert room.beside[names, kind.units] == pytest.approx(value)
    assert (floor.lines[:, LEFT] >= 0).all()


@pytest.mark.parametrize(("urgent", "shown"), [(0, (0, 5)), (1, (1, 4)), (3, (3, 2)), (9, (5, 0))])
def test_urgent_facings_come_before_dearer_ones_as_far_as_they_are_missed(
    urgent: int, shown: tuple[int, int]
):
    """Of five places the cheap line has as many as it misses, the dear one the rest."""
    lines = [b.line("a", width=b.mm(100.0)), b.line("z", width=b.mm(100.0))]
    one_row = replace(b.SHELF, levels=b.SHELF.levels // 2)
    filler = b.filler(b.scenario(lines), [500.0], classes=(one_row,))
    floor = arrays_of(filler).floor
    room = bench(floor)
    floor.worth[:, SHAKEN] = 1.0, 2.0
    floor.lines[:, LEFT] = 9
    floor.lines[:, URGENT] = urgent, 0
    fill_face(floor, room, 0, 1, 1)
    first = floor.faces[1, FIRST]
    cells = floor.cells[first : first + floor.faces[1, CELLS]]
    counts = [sum(cell[FACINGS] for cell in cells if cell[LINE] == n) for n in (0, 1)]
    assert tuple(counts) == shown
    least = min(urgent, 5)
    assert room.beside[1, floor.faces[0, SPAN]] == pytest.approx(10 - least + 1000 * least)


def test_what_stands_is_written_down_and_read_again():
    """Blocks, rows and facings come back as they were, counted and paid."""
    filler = hung(None, [b.line(ways=["hook"], min_facings=3)])
    pattern = filler.display.patterns["goods", 0][0]
    standing = filled(filler, [BlockPlan(0, "goods", pattern)], [1000.0])
    own = arrays_of(filler, standing)
    assert own.best() == standing
    assert own.floor.lines[0, COUNT] == standing.total("jar")
    showing = filler.display.showings["jar", 0]
    assert own.floor.lines[0, HELD] == standing.total("jar") * showing.units
    assert own.floor.sums[SPENT] == pytest.approx(filler.score(standing).cost)
    assert own.floor.showings[0, 0, COST] == showing.cost
    assert own.floor.sums[NOW] == filler.score(standing).worth


@pytest.mark.parametrize(("least", "missing"), [(0, 0), (2, 0), (3, 1)])
def test_what_minimums_miss_is_taken_off_the_worth(least: int, missing: int):
    """Each facing that is missing counts a thousand."""
    filler = b.filler(b.scenario([b.line(width=b.mm(400.0), min_facings=least)]), [1000.0])
    pattern = filler.display.patterns["goods", 0][0]
    standing = Filling([BlockPlan(0, "goods", pattern)], [64000], {(0, 0, "jar"): 2})
    assert arrays_of(filler, standing).floor.sums[NOW] == 2 - 1000.0 * missing


def test_a_pattern_that_nothing_new_is_given_may_stand():
    """A layout taken over may have rows that no pattern of the face has."""
    filler = b.filler(b.scenario([b.line()]), [1000.0])
    known = filler.display.patterns["goods", 0]
    strange = Pattern((known[0].rows[0],), known[0].groups[:1])
    assert strange not in known
    standing = Filling([BlockPlan(0, "goods", strange)], [16000], {(0, 0, "jar"): 1})
    assert arrays_of(filler, standing).best().facings == standing.facings


def test_what_was_compiled_is_kept_apart_for_each_state_of_the_sources(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
):
    """Other sources have another place; where nothing can be written there is none."""
    place = compiling._place.__wrapped__
    known = place()
    for name in compiling._SOURCES:
        (tmp_path / name).write_text("other\n")
    monkeypatch.setattr(compiling, "__file__", str(tmp_path / "compiling.py"))
    other = place()
    assert known is not None
    assert other is not None
    assert other.parent == tmp_path / "__pycache__"
    assert other.name != known.name
    monkeypatch.setattr(Path, "home", lambda: tmp_path / "home")
    monkeypatch.setattr(os, "access", lambda at, _: tmp_path / "home" in at.parents)
    assert place() == tmp_path / "home/.cache/shopfit" / other.name
    monkeypatch.setattr(os, "access", lambda *_: False)
    assert place() is None
