"""A finished shop measured by tape: what drifted, what is passed, and what is left."""

from __future__ import annotations

import pytest

from shopfit.asbuilt import as_built, what_to_measure
from shopfit.asbuilt.building import build, handle_of
from shopfit.asbuilt.judge import PRECISION_MM, tolerance
from shopfit.asbuilt.witness import far, near, new_ones, stands, whole
from shopfit.geometry.built import Built
from shopfit.model.layout import Layout
from shopfit.model.measured import Measured
from shopfit.model.scenario import Scenario
from shopfit.units import INCH_MM


def row(what: str, measure: str, size: float, to: str = "", number: int = 2) -> Measured:
    return Measured(row=number, what=what, measure=measure, to=to, measured_mm=size)


@pytest.fixture(scope="module")
def planned(kiosk: Scenario, kiosk_layout: Layout) -> Built:
    return Built(kiosk, kiosk_layout)


def test_nothing_drifts_where_all_is_as_planned(planned: Built) -> None:
    """Every measure of the list put back as it is gives the same findings and no drift."""
    rows = [
        row(one.what, one.measure, one.planned_mm, one.to, number)
        for number, one in enumerate(what_to_measure(planned.scenario, planned.layout), start=2)
    ]
    assert len(rows) > 5
    built, found = as_built(planned.scenario, planned.layout, rows, seconds=0)
    assert found.passed == found.clashing == found.differing == ()
    assert all(abs(one.drift_mm) < 1e-6 and abs(one.apart_mm) < 1e-3 for one in found.drifts)
    assert new_ones(whole(built), whole(planned)) == ()


def test_each_measure_read_back_is_what_was_set(planned: Built) -> None:
    """Setting a measure 5 mm larger and reading it gives 5 mm more, for all of the list."""
    for one in what_to_measure(planned.scenario, planned.layout):
        wanted = row(one.what, one.measure, one.planned_mm + 5.0, one.to)
        handle = handle_of(planned, wanted)
        assert handle.read(planned) == pytest.approx(one.planned_mm)
        assert handle.read(build(planned, [wanted])) == pytest.approx(
            one.planned_mm + 5.0, abs=1e-3
        )


@pytest.mark.parametrize(("over_mm", "passed"), [(-0.5, False), (0.0, False), (0.5, True)])
def test_a_door_narrower_than_its_clear_opening_is_passed(
    planned: Built, over_mm: float, passed: bool
) -> None:
    """32 in is enough; half a millimetre less is a limit passed as built."""
    door = planned.scenario.shop.doors[0]
    size = 32 * INCH_MM - over_mm
    built, found = as_built(
        planned.scenario, planned.layout, [row(f"door {door.id}", "width", size)], seconds=0
    )
    codes = {one.code for one in found.passed}
    assert ("door-width" in codes) == passed, codes
    assert stands(found.passed) != passed
    assert built.scenario.shop.doors[0].width == size


def test_the_tolerance_left_ends_where_the_limit_is(planned: Built) -> None:
    """A door of 36 in may lose 4 in before it is under 32 in, found by asking the checks."""
    door = planned.scenario.shop.doors[0]
    handle = handle_of(planned, row(f"door {door.id}", "width", door.width))
    known = (near(planned), far(planned))
    room = tolerance(planned, handle, -1, known)
    assert room.room_mm == pytest.approx(door.width - 32 * INCH_MM, abs=PRECISION_MM)
    assert "wide enough" in room.next


def test_without_time_a_tolerance_is_told_as_not_tried(planned: Built) -> None:
    """Nothing is guessed."""
    door = planned.scenario.shop.doors[0]
    handle = handle_of(planned, row(f"door {door.id}", "width", door.width))
    room = tolerance(planned, handle, -1, ((), ()), end=0.0)
    assert (room.room_mm, room.tried_mm) == (None, 0.0)


def test_a_limit_already_passed_is_told_with_how_far(planned: Built) -> None:
    """Shrinking a door that is too narrow by 10 mm is past by 10 mm; growing it is not."""
    door = planned.scenario.shop.doors[0]
    built = build(planned, [row(f"door {door.id}", "width", 32 * INCH_MM - 10.0)])
    handle = handle_of(built, row(f"door {door.id}", "width", 0.0))
    known = (near(built), far(built))
    assert tolerance(built, handle, -1, known).past_mm == pytest.approx(10.0)
    assert tolerance(built, handle, 1, known, end=float("inf")).past_mm is None


def test_what_cannot_stand_as_measured_is_told_apart(planned: Built) -> None:
    """A fixture measured through the end of its wall passes no limit: measure the wall too."""
    one = next(p for p in planned.layout.placements if p.wall is not None)
    end = planned.shell.wall(one.wall).length - planned.fixture(one).width
    rows = [row(one.id, "from left", end + 20.0)]
    _, found = as_built(planned.scenario, planned.layout, rows, seconds=0)
    assert {"beyond-wall", "outside-room"} <= {each.code for each in found.clashing}
    assert not {"beyond-wall", "outside-room"} & {each.code for each in found.passed}


def test_measures_that_contradict_each_other_are_told(planned: Built) -> None:
    """From both ends of a wall to one fixture: the wall would have to be longer."""
    one = next(p for p in planned.layout.placements if p.wall is not None)
    left = handle_of(planned, row(one.id, "from left", 0.0)).read(planned)
    right = handle_of(planned, row(one.id, "from right", 0.0)).read(planned)
    rows = [row(one.id, "from left", left + 8.0), row(one.id, "from right", right, number=3)]
    _, found = as_built(planned.scenario, planned.layout, rows, seconds=0)
    assert max(abs(drift.apart_mm) for drift in found.drifts) == pytest.approx(8.0, abs=0.1)


def test_a_fixture_of_its_own_size_is_named_as_planned(planned: Built) -> None:
    """One cabinet a little deeper than its kind brings no findings but those of its depth."""
    one = planned.layout.placements[0]
    depth = planned.fixture(one).depth
    _, found = as_built(
        planned.scenario, planned.layout, [row(one.id, "depth", depth + 0.5)], seconds=0
    )
    assert not [f for f in found.findings if "as-built" in f"{f.subject} {f.message} {f.mend}"]
    assert [f.code for f in found.findings if one.fixture in f.message]
    assert not [f for f in found.passed if f.code in ("wanted", "available", "purchase-missing")]


def test_least_to_spare_comes_first_on_the_list(planned: Built) -> None:
    """Judged measures rise in their margin; what is judged by nothing follows."""
    rows = what_to_measure(planned.scenario, planned.layout)
    margins = [one.margin_mm for one in rows]
    judged = [margin for margin in margins if margin is not None]
    assert judged == sorted(judged)
    assert judged
    assert None in margins
    assert margins.index(None) >= len(judged)
    assert len(what_to_measure(planned.scenario, planned.layout, most=4)) == 4
