"""Clauses on electrical panelboards: the working space kept clear."""

from __future__ import annotations

from typing import Literal

from shopfit.model.shell import ClearSpace, WallObstruction
from shopfit.standards.rulebook import Requirement, Rulebook

Facing = Literal["nothing", "earthed", "live"]
# Up to here the least depth holds whatever stands opposite; 29 CFR 1910.303, Table S-1, memory.
LOW_VOLTS, MOST_VOLTS = 150.0, 600.0


def working_space(rulebook: Rulebook) -> ClearSpace:
    """Give the working space at a panelboard of at most 600 V: 30 in wide, 36 in deep, 78 in high.

    The depth holds for up to 150 V to ground; higher voltages can want more. Local code and a
    licensed electrician decide.

    Source
    ------
    29 CFR 1910.303(g)(1): width read in an OSHA letter; depth and height from memory.
    """
    return ClearSpace.model_validate(
        {
            "width": f"{rulebook.mm('panel-width')!r} mm",
            "depth": f"{rulebook.mm('panel-depth')!r} mm",
            "height": f"{rulebook.mm('panel-height')!r} mm",
        }
    )


def wanted_space(rulebook: Rulebook, thing: WallObstruction) -> ClearSpace | None:
    """Give the space that a thing on a wall wants empty: its own, or a panelboard's, or none.

    A user's own space holds as it is written.
    """
    if thing.clear is not None:
        return thing.clear
    return panel_space(rulebook, thing) if thing.kind == "panelboard" else None


def panel_space(rulebook: Rulebook, panel: WallObstruction) -> ClearSpace:
    """Give the working space at one panelboard, by its voltage, its size and what is opposite.

    It begins at the face of the panelboard, is as high as the panelboard at least, and lets a door
    as wide as the panelboard open by 90 degrees. Without a voltage up to 150 V to ground are
    taken; at more without a word on what is opposite, and over 600 V, the deepest space known.

    Source
    ------
    29 CFR 1910.303(g)(1) and Table S-1. From memory, but for the width.
    """
    space = working_space(rulebook)
    volts = LOW_VOLTS if panel.volts is None else panel.volts
    depth = working_depth(rulebook, volts, panel.opposite or "live")
    deep = depth.value if depth is not None else rulebook.mm("panel-depth-live-live")
    return space.model_copy(
        update={
            "depth": panel.depth + max(deep, panel.width),
            "height": max(space.height, panel.top),
        }
    )


def working_depth(rulebook: Rulebook, volts: float, facing: Facing) -> Requirement | None:
    """Give the least depth of the working space at a panelboard, or none above 600 V.

    Local code and a licensed electrician decide.

    Parameters
    ----------
    rulebook
        Whose values.
    volts
        To ground, V.
    facing
        What is opposite the live parts: nothing live or earthed, something earthed such as a
        masonry wall, or other live parts.

    Source
    ------
    29 CFR 1910.303(g)(1), Table S-1: 3 ft up to 150 V; 3, 3 1/2 or 4 ft up to 600 V. From memory.
    """
    if volts > MOST_VOLTS:
        return None
    if volts <= LOW_VOLTS or facing == "nothing":
        return rulebook.requirement("panel-depth")
    live = facing == "live"
    return rulebook.requirement("panel-depth-live-live" if live else "panel-depth-live-earth")
