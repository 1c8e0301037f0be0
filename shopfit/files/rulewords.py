"""Words for the rules that models keep between several fields of one item."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Rule:
    """Words for a rule between fields of one item.

    Parameters
    ----------
    field
        The field that is shown as the place, or none for the item.
    shown
        Fields that are shown as given.
    allowed, mend
        What is allowed, the model's own sentence if empty, and what to do.
    """

    field: str | None
    shown: tuple[str, ...]
    allowed: str
    mend: str


# By the beginning of the model's own sentence.
RULES: Mapping[str, Rule] = {
    "min_facings": Rule(
        "min_facings",
        ("min_facings", "max_facings"),
        "min_facings at most max_facings",
        "Lower min_facings or raise max_facings (4 where it is left out).",
    ),
    "a secured line": Rule(
        "ways",
        ("ways", "secured"),
        "case among the ways of a secured line",
        "Add case to its ways, or set secured to no.",
    ),
    "a code that ends": Rule(
        "code", ("code",), "", "Read it off the goods again: one of its digits is not right."
    ),
    "heavy_over needs": Rule(
        "heavy_over",
        ("heavy_over",),
        "heavy_over together with heavy_top",
        "Add heavy_top, the highest upper edge of their rows, or take heavy_over out.",
    ),
    "heavy_top needs": Rule(
        "heavy_top",
        ("heavy_top",),
        "heavy_top together with heavy_over",
        "Add heavy_over, above which a unit is heavy, or take heavy_top out.",
    ),
    "leaf_width must": Rule(
        "leaf_width",
        ("leaves", "leaf_width", "width"),
        "leaf_width of one of two leaves, no wider than the whole opening",
        "Say leaves: 2 as well, or correct the width of the leaf.",
    ),
    "sprinklered false": Rule(
        "sprinklered",
        ("sprinklered", "deflector"),
        "sprinklered true where sprinklers or a deflector are given",
        "Set sprinklered to true, or take the sprinklers and the deflector out.",
    ),
    "top must be": Rule(
        "top", ("bottom", "top"), "a top above the bottom", "Correct the two heights."
    ),
    "give either a fixture or": Rule(
        None, ("fixture", "kind"), "either a fixture or a kind", "Give one of the two."
    ),
    "at_most": Rule(
        "at_most",
        ("at_least", "at_most"),
        "at_most not under at_least",
        "Correct the two numbers.",
    ),
    "a room needs": Rule("corners", ("corners",), "at least 3 corners", "Add the missing ones."),
    "give corners or": Rule(
        "walls",
        ("corners",),
        "corners, or lengths of walls, not both",
        "Take out the corners, or the lengths and arcs of the walls.",
    ),
    "give either corners": Rule(
        None, ("corners", "walls"), "corners, or walls with lengths", "Add one of the two."
    ),
    "give either a size": Rule(
        None, ("size", "diameter"), "either a size or a diameter", "Give one of the two."
    ),
    "give either a wall": Rule(
        None,
        ("wall", "offset", "at"),
        "either a wall and an offset, or a place (at)",
        "Give one of the two.",
    ),
    "give along and away, or corners, not both": Rule(
        "corners",
        ("along", "away"),
        "a rectangle (along and away), or corners, not both",
        "Take out one of the two.",
    ),
    "give along and away": Rule(
        None,
        ("along", "away"),
        "a rectangle (along and away), or corners",
        "Give both sides of the rectangle, or the corners.",
    ),
    "the ground needs": Rule("corners", ("corners",), "at least 3 corners", "Add the missing."),
    "fewest_turns": Rule(
        "fewest_turns",
        ("fewest_turns", "most_turns"),
        "fewest_turns not over most_turns (2 where it is left out)",
        "Correct the two numbers.",
    ),
    "a door on ground given by corners": Rule(
        "door", (), "the door's middle, where the ground is given by corners", "Add door > middle."
    ),
    "a door on a rectangle": Rule(
        "door",
        (),
        "the door's offset from the left end, where the ground is a rectangle",
        "Replace its middle by an offset, or give the corners of the ground.",
    ),
}
