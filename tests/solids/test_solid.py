"""Surfaces of solids: closed, facing outwards, and of the volume that arithmetic gives."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon, box

from shopfit.solids.solid import UP, Solid, joined, upright


def _mesh(*solids: Solid) -> trimesh.Trimesh:
    points, faces = joined(solids)
    return trimesh.Trimesh(points, faces, process=True)


@pytest.mark.parametrize(
    ("outline", "volume"),
    [
        (box(0, 0, 1000, 500), 1000 * 500 * 700.0),
        (Polygon([(0, 0), (900, 0), (0, 400)]), 900 * 400 / 2 * 700.0),
        (
            Polygon(box(0, 0, 1000, 1000).exterior, [box(200, 200, 400, 700).exterior]),
            (1e6 - 200 * 500) * 700.0,
        ),
        (
            Polygon([(0, 0), (0, 900), (300, 900), (300, 300), (900, 300), (900, 0)]),
            (900 * 300 + 300 * 600) * 700.0,
        ),
    ],
)
def test_a_solid_is_closed_and_has_its_volume(outline: Polygon, volume: float) -> None:
    """Boxes, wedges, frames and angles close, and enclose what arithmetic says."""
    solid = upright("F1", "thing", "fixture", outline, 100.0, 800.0)
    mesh = _mesh(solid)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    # A surface that faced inwards would have a volume under nought.
    assert mesh.volume == pytest.approx(volume)
    assert solid.volume == pytest.approx(volume)
    assert mesh.bounds[:, 2] == pytest.approx([100.0, 800.0])


@given(
    st.floats(-np.pi, np.pi),
    st.floats(1, 5000),
    st.floats(1, 3000),
    st.floats(0.5, 500),
)
def test_a_solid_on_a_wall_of_any_direction_faces_outwards(
    turn: float, length: float, height: float, thick: float
) -> None:
    """Whichever way a wall runs, what is on it has its volume and not less nought."""
    across = (float(np.cos(turn)), float(np.sin(turn)), 0.0)
    solid = Solid(
        "W", "wall", "wall", box(0, 0, length, height), (3.0, 4.0, 0.0), across, UP, thick
    )
    assert _mesh(solid).volume == pytest.approx(length * height * thick, rel=1e-6)


def test_solids_joined_keep_their_volumes() -> None:
    """Two boxes as one surface enclose the sum of both."""
    one = upright("A", "a", "fixture", box(0, 0, 10, 10), 0.0, 10.0)
    other = upright("B", "b", "fixture", box(20, 0, 30, 10), 0.0, 5.0)
    assert _mesh(one, other).volume == pytest.approx(1000.0 + 500.0)
