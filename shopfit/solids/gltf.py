"""Writes solids as a binary glTF 2.0 file, for any viewer."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy as np

from shopfit.solids.solid import Kind, Solid, joined

_MM = 0.001
# Base colours, red to blue and how much is let through; of goods by category below.
_COLOURS: Mapping[Kind, tuple[int, int, int, int]] = {
    "floor": (176, 168, 156, 255),
    "wall": (232, 230, 225, 255),
    "door": (140, 102, 66, 255),
    "window": (170, 205, 225, 90),
    "thing on a wall": (96, 102, 110, 255),
    "column": (150, 150, 150, 255),
    "fixture": (214, 190, 152, 255),
    "glass": (190, 220, 232, 70),
    "shelf": (196, 168, 126, 255),
    "slat-wall": (240, 234, 220, 255),
    "bracket": (70, 76, 84, 255),
    "goods": (120, 140, 160, 255),
}
# Colours that colour-blind people tell apart: Okabe and Ito 2008, Color universal design; from
# memory.
_CATEGORIES = (
    (0, 114, 178, 255),
    (230, 159, 0, 255),
    (0, 158, 115, 255),
    (204, 121, 167, 255),
    (86, 180, 233, 255),
    (213, 94, 0, 255),
    (240, 228, 66, 255),
)


def colour_of(solid: Solid, categories: Sequence[str]) -> tuple[int, int, int, int]:
    """Give the colour of a solid: red, green, blue and how much is not let through, 0 to 255."""
    if solid.category in categories:
        return _CATEGORIES[categories.index(solid.category) % len(_CATEGORIES)]
    return _COLOURS[solid.kind]


def glb(solids: Iterable[Solid], title: str, categories: Sequence[str] = ()) -> bytes:
    """Write solids as a binary glTF file.

    Parameters
    ----------
    solids
        What is shown; solids with the same tag, name and kind become one node.
    title
        Name of the scene.
    categories
        Categories of the goods, in the order of their colours.

    Source
    ------
    Khronos Group, glTF 2.0 specification (ISO/IEC 12113:2022): metres, y up, faces anticlockwise.
    """
    import trimesh

    scene = trimesh.Scene(metadata={"title": title})
    materials: dict[tuple[int, int, int, int], Any] = {}
    for number, parts in enumerate(_groups(solids)):
        first = parts[0]
        points, faces = joined(parts)
        # East, north and up become x, minus z and y.
        turned = points[:, [0, 2, 1]] * np.array([_MM, _MM, -_MM])
        colour = colour_of(first, categories)
        mesh = trimesh.Trimesh(turned, faces, process=False)
        mesh.visual = trimesh.visual.TextureVisuals(
            material=materials.setdefault(colour, _material(colour))
        )
        # Numbered, because names must differ and people give the same name twice.
        name = f"{first.tag} {first.name} [{number + 1}]"
        scene.add_geometry(mesh, node_name=name, geom_name=name)
    data: bytes = scene.export(file_type="glb")
    return data


def _groups(solids: Iterable[Solid]) -> list[list[Solid]]:
    groups: dict[tuple[str, str, str], list[Solid]] = {}
    for solid in solids:
        groups.setdefault((solid.tag, solid.name, solid.kind), []).append(solid)
    return list(groups.values())


def _material(colour: tuple[int, int, int, int]) -> Any:
    from trimesh.visual.material import PBRMaterial

    clear = colour[3] < 255
    return PBRMaterial(
        name="#{:02x}{:02x}{:02x}{:02x}".format(*colour),
        baseColorFactor=list(colour),
        metallicFactor=0.0,
        roughnessFactor=0.9,
        alphaMode="BLEND" if clear else "OPAQUE",
        doubleSided=clear,
    )
