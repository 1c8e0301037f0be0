"""The glTF file, read by another library than the one that writes it.

Source: Khronos Group, glTF 2.0 specification (ISO/IEC 12113:2022), from memory: header, metres, y
up, accessors inside their buffer views, indices inside their accessors.
"""

from __future__ import annotations

import struct

import numpy as np
import pytest
from pygltflib import GLTF2

from shopfit.solids import solids_of
from shopfit.solids.gltf import colour_of, glb
from tests.checks import build as b

SCENARIO, LAYOUT = b.scenario(), b.layout()
SOLIDS = solids_of(SCENARIO, LAYOUT)
DATA = glb(SOLIDS, SCENARIO.shop.name, SCENARIO.categories)
_SIZES = {5121: 1, 5123: 2, 5125: 4, 5126: 4}
_COUNTS = {"SCALAR": 1, "VEC2": 2, "VEC3": 3, "VEC4": 4, "MAT4": 16}


@pytest.fixture(scope="module")
def read() -> GLTF2:
    """Read the file."""
    found: GLTF2 = GLTF2.load_from_bytes(DATA)
    return found


def test_the_header_says_binary_gltf_2_and_its_length() -> None:
    """Magic, version and length stand at the front."""
    magic, version, length = struct.unpack("<4sII", DATA[:12])
    assert (magic, version, length) == (b"glTF", 2, len(DATA))


def test_every_accessor_lies_in_its_view_and_every_view_in_the_buffer(read: GLTF2) -> None:
    """No number is read from outside the file."""
    size = read.buffers[0].byteLength
    for view in read.bufferViews:
        assert (view.byteOffset or 0) + view.byteLength <= size
    for accessor in read.accessors:
        view = read.bufferViews[accessor.bufferView]
        needed = accessor.count * _SIZES[accessor.componentType] * _COUNTS[accessor.type]
        assert (accessor.byteOffset or 0) + needed <= view.byteLength


def _numbers(read: GLTF2, index: int, kind: str) -> np.ndarray:
    accessor = read.accessors[index]
    view = read.bufferViews[accessor.bufferView]
    start = (view.byteOffset or 0) + (accessor.byteOffset or 0)
    count = accessor.count * _COUNTS[accessor.type]
    return np.frombuffer(read.binary_blob(), dtype=kind, count=count, offset=start)


def test_indices_stay_inside_and_corners_inside_their_bounds(read: GLTF2) -> None:
    """Every triangle has corners that exist; minimum and maximum are those of the corners."""
    kinds = {5121: "<u1", 5123: "<u2", 5125: "<u4"}
    for mesh in read.meshes:
        for part in mesh.primitives:
            places = read.accessors[part.attributes.POSITION]
            index = read.accessors[part.indices]
            numbers = _numbers(read, part.indices, kinds[index.componentType])
            assert numbers.max() < places.count
            assert len(numbers) % 3 == 0
            points = _numbers(read, part.attributes.POSITION, "<f4").reshape(-1, 3)
            assert points.min(axis=0) == pytest.approx(places.min, abs=1e-5)
            assert points.max(axis=0) == pytest.approx(places.max, abs=1e-5)


def test_the_shop_is_in_metres_and_stands_upright(read: GLTF2) -> None:
    """6 by 4.8 m of floor lie flat, 2.7432 m of wall stand up, and north points away."""
    places = [read.accessors[p.attributes.POSITION] for m in read.meshes for p in m.primitives]
    low = np.min([p.min for p in places], axis=0)
    high = np.max([p.max for p in places], axis=0)
    assert low == pytest.approx([-0.1, -0.05, -4.9], abs=1e-6)
    assert high == pytest.approx([6.1, 2.7432, 0.1], abs=1e-6)


def test_nodes_carry_tags_and_goods_the_colour_of_their_category(read: GLTF2) -> None:
    """A viewer that lists nodes shows the tags of the drawings."""
    names = " ".join(node.name for node in read.nodes if node.name)
    for tag in ("F1", "R1", "B1.1.1", "front", "panel"):
        assert tag in names
    colours = {
        solid.category: colour_of(solid, SCENARIO.categories)
        for solid in SOLIDS
        if solid.kind == "goods"
    }
    assert len(set(colours.values())) == len(colours) == 6


def test_glass_lets_light_through(read: GLTF2) -> None:
    """Panes and the glass of cases are blended, all else is not."""
    modes = {m.alphaMode for m in read.materials}
    assert modes == {"OPAQUE", "BLEND"}


def test_the_same_layout_gives_the_same_file() -> None:
    """Nothing in it goes by the clock or by chance."""
    assert glb(SOLIDS, SCENARIO.shop.name, SCENARIO.categories) == DATA
