"""Shops whose optimum is known: the finished layout is sound and filled to the last place."""

from __future__ import annotations

from collections import Counter

import pytest

from shopfit.bench.known import KNOWN, Known, known, known_optimum
from shopfit.files.crosscheck import crosscheck
from shopfit.files.parts import Parts
from shopfit.geometry.wallface import faces
from shopfit.planning import check
from shopfit.units import TOLERANCE_MM

CASES = [(size, seed) for size in KNOWN for seed in range(4)]


@pytest.fixture(scope="module", params=CASES, ids=lambda each: f"{each[0]}-{each[1]}")
def made(request: pytest.FixtureRequest) -> Known:
    """Give a shop cut from a finished layout."""
    return known(*request.param)


def test_the_finished_layout_meets_the_values_checked(made: Known) -> None:
    """The optimum is only an optimum if its layout breaks no rule."""
    amiss = [
        finding.message
        for finding in check(made.scenario, made.layout)
        if finding.severity in ("violation", "barrier to review")
    ]
    assert amiss == []


def test_the_optimum_is_everything_that_is_wanted(made: Known) -> None:
    """No layout can show more than is wanted, and the finished one shows just that."""
    shown: Counter[str] = Counter()
    for block in made.layout.blocks:
        for row in block.rows:
            for slot in row.slots:
                shown[slot.line] += slot.facings
    assert shown == {line.line: line.max_facings for line in made.scenario.lines}
    assert shown.total() == made.optimum == made.layout.claims.facings


def test_there_are_no_more_fixtures_than_stand(made: Known) -> None:
    """Cut apart means that nothing is left over to stand elsewhere."""
    used = Counter(placement.fixture for placement in made.layout.placements)
    assert used == {fixture.id: fixture.available for fixture in made.scenario.catalogue.fixtures}


def test_every_face_is_filled_to_the_last_place(made: Known) -> None:
    """Rows are filled exactly in length, and faces in height and length, so nothing is easy."""
    filled: Counter[tuple[str, str]] = Counter()
    for block in made.layout.blocks:
        steps = 0.0
        for row in block.rows:
            length = sum(slot.to_mm - slot.from_mm for slot in row.slots)
            assert length == pytest.approx(block.to_mm - block.from_mm, abs=TOLERANCE_MM)
            steps += row.top_mm - row.bottom_mm
        filled[block.host, block.side] += steps * (block.to_mm - block.from_mm)
    for face in faces(made.scenario, made.layout, 0.0):
        whole = face.levels * face.pitch * face.width
        assert filled[face.host, face.side] == pytest.approx(whole, rel=1e-6)


def test_the_files_take_it(made: Known) -> None:
    """It has no fault that a person's files would be refused for."""
    given = made.scenario
    lines = dict(enumerate(given.lines, start=2))
    assert crosscheck(Parts(shop=given.shop, catalogue=given.catalogue, lines=lines)) == []


def test_a_seed_gives_the_same_shop() -> None:
    """The same seed gives the same, another one another, and the short form agrees."""
    assert known("narrow", 2) == known("narrow", 2)
    assert known("narrow", 2).scenario != known("narrow", 3).scenario
    assert known_optimum("stall", 1) == (known("stall", 1).scenario, known("stall", 1).optimum)


def test_a_size_without_known_optimum_is_told() -> None:
    """A size that none is made of is answered with those there are."""
    with pytest.raises(ValueError, match="stall, narrow, corner"):
        known_optimum("hall", 0)


def test_the_checks_see_a_finished_layout_spoilt() -> None:
    """Shows that the clean verdict above means something: one more facing is found."""
    made = known("stall", 0)
    block = made.layout.blocks[0]
    row = block.rows[0]
    more = row.slots[0].model_copy(update={"facings": row.slots[0].facings + 1})
    spoilt_row = row.model_copy(update={"slots": (more, *row.slots[1:])})
    spoilt = block.model_copy(update={"rows": (spoilt_row, *block.rows[1:])})
    layout = made.layout.model_copy(update={"blocks": (spoilt, *made.layout.blocks[1:])})
    codes = {f.code for f in check(made.scenario, layout) if f.severity == "violation"}
    assert "slot-width" in codes
    assert "claim-facings" in codes
