"""What a cane finds: how far fixtures stand on the floor, or low enough over it."""

from __future__ import annotations

from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from shopfit.checks.scene import Scene, Stood
from shopfit.geometry.footprint import rectangle
from shopfit.model.fixtures import Fixture
from shopfit.standards import Rulebook


def cane_depth(rulebook: Rulebook, fixture: Fixture) -> float:
    """Give how far out of its back a cane finds a fixture, mm.

    Parameters
    ----------
    rulebook
        Whose values.
    fixture
        One whose overhang, if it has one, is on its front.

    Source
    ------
    2010 ADA Standards, 307.2: edges at 27 in or lower. Text read.
    """
    above = rulebook.requirement("protrusion-from")
    if above.holds(fixture.raised):
        return 0.0
    if fixture.overhang is not None and above.holds(fixture.overhang.bottom):
        return max(fixture.depth - fixture.overhang.out, 0.0)
    return fixture.depth


def found_by_cane(scene: Scene, one: Stood) -> BaseGeometry:
    """Give the floor on which a cane finds a fixture, mm."""
    depth = cane_depth(scene.rulebook, one.fixture)
    if depth <= 0.0:
        return Polygon()
    if one.role == "wall" or depth == one.fixture.depth:
        return rectangle(one.placement, 0.0, one.fixture.width, 0.0, depth)
    # Away from walls people pass on all sides, so what stands out does so all round.
    out = one.fixture.depth - depth
    right, far = one.fixture.width - out, one.fixture.depth - out
    if right <= out or far <= out:
        return Polygon()
    return rectangle(one.placement, out, right, out, far)
