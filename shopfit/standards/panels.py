"""Clauses on electrical panelboards: the working space kept clear."""

from __future__ import annotations

from shopfit.model.shell import ClearSpace, WallObstruction
from shopfit.standards.rulebook import Rulebook


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
    """Give the space that a thing on a wall wants empty: its own, or a panelboard's, or none."""
    if thing.clear is not None:
        return thing.clear
    return working_space(rulebook) if thing.kind == "panelboard" else None
