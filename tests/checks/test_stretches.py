"""Clear floor along a line, against trying every place in turn."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import box

from shopfit.checks.stretches import Line, clear_stretches, has_room

LINE = Line((0.0, 0.0), (1.0, 0.0), (0.0, 1.0))
SPAN = (0.0, 3000.0)
DEEP = 762.0

blocks = st.lists(
    st.tuples(st.integers(0, 58), st.integers(1, 20), st.integers(0, 12), st.integers(1, 8)).map(
        lambda b: box(b[0] * 50, b[2] * 50, (b[0] + b[1]) * 50, (b[2] + b[3]) * 50)
    ),
    max_size=5,
)


@settings(max_examples=150, deadline=None)
@given(blocks, st.integers(0, 50), st.integers(1, 10), st.integers(4, 30))
def test_room_is_found_where_a_rectangle_can_be_laid(
    shapes: list[object], left: int, long: int, length: int
) -> None:
    """A space of some length before all of a part: the same as laying it at every 50 mm."""
    part = (left * 50.0, min((left + long) * 50.0, SPAN[1]))
    size, cover = length * 50.0, min((part[1] - part[0]), length * 50.0)
    inside = [shape & box(*SPAN[:1], 0.0, SPAN[1], DEEP) for shape in shapes]  # type: ignore[operator]
    inside = [shape for shape in inside if shape.area > 0]
    found = has_room(clear_stretches(LINE, SPAN, 0.0, inside), part, size, cover)
    laid = False
    for begin in range(0, int(SPAN[1] - size) + 1, 50):
        shared = min(begin + size, part[1]) - max(begin, part[0])
        space = box(begin, 0.0, begin + size, DEEP).buffer(-1.0)
        if shared >= cover and not any(space.intersects(shape) for shape in inside):
            laid = True
    assert found is laid


@pytest.mark.parametrize(
    ("left", "right", "alcove"),
    [
        # (from the line out, on each side): shut in as deep as the shallower of the two.
        ((0.0, 500.0), (0.0, 300.0), 300.0),
        ((0.0, 500.0), (100.0, 300.0), 0.0),
        ((0.0, 500.0), None, 0.0),
    ],
)
def test_alcoves_are_as_deep_as_their_shallower_side(
    left: tuple[float, float], right: tuple[float, float] | None, alcove: float
) -> None:
    """What does not begin at the line shuts nothing in."""
    shapes = [box(0.0, left[0], 500.0, left[1])]
    if right is not None:
        shapes.append(box(2000.0, right[0], 3000.0, right[1]))
    widest = max(clear_stretches(LINE, SPAN, 0.0, shapes), key=lambda s: s.right - s.left)
    assert widest.alcove == pytest.approx(alcove)
