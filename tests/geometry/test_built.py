"""Measures of a shop: read, set, and walls measured again."""

from __future__ import annotations

import math

import pytest

from shopfit.geometry.built import Built, gap
from shopfit.geometry.builtshell import with_walls
from shopfit.geometry.measures import measures
from shopfit.geometry.reshape import with_wall_lengths
from shopfit.geometry.shell import survey
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario


def test_every_measure_is_set_as_it_is_read(kiosk: Scenario, kiosk_layout: Layout) -> None:
    """Put and read agree for everything but a gap, and what is put as it is changes nothing."""
    built = Built(kiosk, kiosk_layout)
    found = measures(built)
    assert {"from left", "from right", "out from wall", "width", "length", "lower edge"} <= {
        measure for _, measure in found
    }
    for handle in found.values():
        size = handle.read(built)
        assert handle.read(handle.put(built, size)) == pytest.approx(size, abs=1e-3)
        assert handle.read(handle.put(built, size + 7.0)) == pytest.approx(size + 7.0, abs=1e-3)


def test_a_gap_moves_the_first_named_straight_away(kiosk: Scenario, kiosk_layout: Layout) -> None:
    """30 mm less moves the first fixture 30 mm nearer, the other stays, and 0 makes them touch."""
    built = Built(kiosk, kiosk_layout)
    tags = [placement.id for placement in kiosk_layout.placements]
    one, other = next(
        (a, b) for a in tags for b in tags if a != b and gap(built, a, b).read(built) > 200
    )
    handle = gap(built, one, other)
    size = handle.read(built)
    for wanted in (size - 30.0, size + 30.0, 0.0):
        there = handle.put(built, wanted)
        assert handle.read(there) == pytest.approx(wanted, abs=1e-3)
        assert there.layout.placement(other) == kiosk_layout.placement(other)
        before, after = kiosk_layout.placement(one), there.layout.placement(one)
        moved = math.dist((before.x_mm, before.y_mm), (after.x_mm, after.y_mm))
        assert moved == pytest.approx(abs(size - wanted), abs=0.01)


def test_no_gap_without_a_fixture_or_another_thing(kiosk: Scenario, kiosk_layout: Layout) -> None:
    """Walls do not move for a gap, nothing has a gap to itself or to what is not there."""
    built = Built(kiosk, kiosk_layout)
    tag = kiosk_layout.placements[0].id
    wall = f"wall {built.shell.walls[0].id}"
    assert gap(built, tag, wall) is not None
    assert gap(built, wall, tag) is None
    assert gap(built, tag, tag) is None
    assert gap(built, tag, "F99") is None


def test_a_wall_measured_again_takes_the_one_across_along(kiosk: Scenario) -> None:
    """A rectangle stays one: the wall across goes along, corners stay square, others keep."""
    before = {wall.id: wall for wall in survey(kiosk.shop).walls}
    name, length = next(iter(before)), before[next(iter(before))].length
    after = {
        wall.id: wall for wall in survey(with_wall_lengths(kiosk.shop, {name: length - 12})).walls
    }
    assert set(after) == set(before)
    assert after[name].length == pytest.approx(length - 12, abs=1e-3)
    for wall in after.values():
        turned = math.degrees(
            math.acos(
                min(1.0, sum(a * b for a, b in zip(wall.along, before[wall.id].along, strict=True)))
            )
        )
        assert turned < 0.01
        assert wall.heights == before[wall.id].heights
    changed = [n for n in before if abs(after[n].length - before[n].length) > 0.1]
    assert len(changed) == 2


def test_two_walls_across_of_other_lengths_turn_an_end(kiosk: Scenario) -> None:
    """Both measured lengths hold; what has to give are the corners."""
    walls = survey(kiosk.shop).walls
    across = [wall for wall in walls if abs(wall.along[1]) < 0.1]
    lengths = {across[0].id: across[0].length - 10, across[1].id: across[1].length + 4}
    after = survey(with_wall_lengths(kiosk.shop, lengths))
    for name, length in lengths.items():
        assert after.wall(name).length == pytest.approx(length, abs=0.01)


def test_what_stands_at_a_wall_goes_along(kiosk: Scenario, kiosk_layout: Layout) -> None:
    """Fixtures keep their distance from the left end of their wall and from its face."""
    built = Built(kiosk, kiosk_layout)
    wall = built.shell.walls[0]
    there = with_walls(built, {wall.id: wall.length + 15})
    for placement in kiosk_layout.placements:
        if placement.wall is None:
            assert there.layout.placement(placement.id) == placement
            continue
        for measure in ("from left", "out from wall"):
            handle = measures(built)[placement.id, measure]
            assert handle.read(there) == pytest.approx(handle.read(built), abs=1e-3)


@pytest.mark.parametrize("length", [0.0, -5.0])
def test_a_wall_without_length_is_refused(kiosk: Scenario, length: float) -> None:
    """No tape says so."""
    with pytest.raises(ValueError, match="longer than nought"):
        with_wall_lengths(kiosk.shop, {survey(kiosk.shop).walls[0].id: length})
