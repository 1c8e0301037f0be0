"""Nothing is bought that is not drawn, and nothing drawn that is not bought."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator

import pytest

from shopfit import outputs
from shopfit.bench.known import known
from shopfit.drawing import draw, style
from shopfit.drawing.drawings import Drawings
from shopfit.drawing.scene import Group, Strokes, flat
from shopfit.model.layout import Layout
from shopfit.model.ordering import Ordering
from shopfit.model.scenario import Scenario
from shopfit.quantities.lengths import bars, length_plan
from shopfit.quantities.ordering import order
from shopfit.quantities.takeoff import boards_besides, take_off
from shopfit.solids import solids_of
from tests.checks import build as b

Drawn = tuple[Scenario, Layout, Drawings]


@pytest.fixture(scope="module", params=["by hand", "stall", "narrow", "corner"])
def drawn(request: pytest.FixtureRequest) -> Drawn:
    """Draw a shop on paper large enough for every mark."""
    if request.param == "by hand":
        scenario, layout = b.scenario(), b.layout()
    else:
        made = known(request.param, 1)
        scenario, layout = made.scenario, made.layout
    return scenario, layout, draw(scenario, layout, page="tabloid")


def _groups(drawings: Drawings, stem: str) -> Iterator[Group]:
    for sheet in drawings.sheets:
        if sheet.file.startswith(stem):
            yield from sheet.scene.groups()


def test_every_fixture_bought_is_on_the_plan_and_the_reverse(drawn: Drawn) -> None:
    """As many of each fixture stand on the plan as are needed, by their tags."""
    scenario, layout, drawings = drawn
    tags = {placement.id: placement.fixture for placement in layout.placements}
    shown = {group.tag for group in _groups(drawings, "plan") if group.tag in tags}
    needed = {
        row.item: row.needed for row in take_off(scenario, layout).shopping if row.kind == "fixture"
    }
    assert Counter(tags[tag] for tag in shown) == needed


def test_every_bracket_bought_is_drawn_and_the_reverse(drawn: Drawn) -> None:
    """Marks on walls and islands are as many as the brackets needed."""
    scenario, layout, drawings = drawn
    needed = sum(row.needed for row in take_off(scenario, layout).shopping if row.kind == "bracket")
    marks = sum(
        len(item.lines)
        for sheet in drawings.sheets
        if sheet.file.startswith(("wall", "islands"))
        for layer in sheet.scene.layers
        for item in flat(layer.items)
        if isinstance(item, Strokes) and item.pen == style.BRACKET
    )
    assert marks == needed


def test_every_holder_bought_is_named_in_an_elevation(drawn: Drawn) -> None:
    """Brackets and boards of each kind are said to hold something, and no others are."""
    scenario, layout, drawings = drawn
    bought = {
        row.item for row in take_off(scenario, layout).shopping if row.kind in ("bracket", "shelf")
    }
    titles = [group.title for group in _groups(drawings, "wall")]
    titles += [group.title for group in _groups(drawings, "islands")]
    named = {
        words.split(" on ")[1].split(",")[0]
        for title in titles
        for words in [title]
        if " units (" in words and " on " in words
    }
    assert named == bought


def test_every_sheet_bought_has_a_cutting_diagram_and_the_reverse(drawn: Drawn) -> None:
    """Pieces on the diagrams are those that hang, on as many sheets as are needed."""
    scenario, layout, drawings = drawn
    lists = take_off(scenario, layout)
    needed = sum(row.needed for row in lists.shopping if row.kind == "sheet")
    used = {(row.sheet, row.sheet_number) for row in lists.cuts}
    assert len(used) == needed
    area = {run.id: (run.to_mm - run.from_mm) * (run.top_mm - run.bottom_mm) for run in layout.runs}
    cut: Counter[str] = Counter()
    for row in lists.cuts:
        cut[row.run] += row.width_mm * row.height_mm
    assert set(cut) == set(area)
    for run, size in area.items():
        assert cut[run] == pytest.approx(size, rel=1e-6)
    if needed:
        assert any(sheet.file.startswith("cutting") for sheet in drawings.sheets)


def test_every_length_bought_is_in_the_set_and_the_reverse() -> None:
    """Each piece of trim and moulding is on a sheet of the set, none is there besides."""
    scenario, layout = b.scenario(finishes={"baseboard": {"length": "8 ft"}}), b.layout()
    extra = {"id": "top", "for_each": "run top", "length": "8 ft", "price": 3}
    ordering = Ordering.model_validate({"extras": [extra]})
    catalogue = scenario.catalogue.model_copy(update={"ordering": ordering})
    scenario = scenario.model_copy(update={"catalogue": catalogue})
    boards = [board for board in boards_besides(scenario, layout) if board.width_mm is None]
    wanted = {f"{x.number}.{n}" for x in boards for n in range(1, len(x.parts) + 1)}
    sheets = outputs.drawing_files(scenario, layout, page="tabloid")
    lettered = " ".join(
        sheets[name].decode("utf-8") for name in sheets if name.startswith("cutting-lengths")
    )
    pieces = set(re.findall(r"Piece (\d+\.\d+) of", lettered))
    alike = {tag for tag in wanted if tag not in pieces}
    assert pieces <= wanted
    for tag in alike:
        # Lengths that are cut alike are drawn once, as a row of numbers.
        number = int(tag.split(".")[0])
        rows = re.findall(r"Lengths (\d+)–(\d+)", lettered)
        assert any(int(first) <= number <= int(last) for first, last in rows)
    ordered = {row.item: row.needed for row in order(scenario, layout).rows}
    assert len(bars(length_plan(scenario, layout), "top")) == ordered["top"]


def test_what_is_drawn_is_also_there_in_three_dimensions(drawn: Drawn) -> None:
    """Fixtures, runs, brackets and facings of the solids are those of the lists."""
    scenario, layout, _ = drawn
    solids = solids_of(scenario, layout)
    lists = take_off(scenario, layout)
    kinds = Counter(solid.kind for solid in solids)
    assert {s.tag for s in solids if s.kind == "fixture"} == {p.id for p in layout.placements}
    assert {s.tag for s in solids if s.kind == "slat-wall"} == {run.id for run in layout.runs}
    assert kinds["bracket"] == sum(r.needed for r in lists.shopping if r.kind == "bracket")
    assert kinds["goods"] == layout.claims.facings
