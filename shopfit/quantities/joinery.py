"""What home-made cabinets and brackets are put together from: parts, hardware and cautions."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shopfit.model.fixtures import Bracket, Fixture
from shopfit.model.making import MadeBracket, MadeCabinet, Material
from shopfit.units import INCH_MM, LengthStyle, format_length, format_mass

# All common practice, no source.
_GAP_MM = 3.2  # round doors, and beside loose shelves
_SETBACK_MM = 12.7  # of a loose shelf behind the front
_SCREW_EVERY_MM = 150.0
_CLEAT_SCREW_EVERY_MM = 100.0
_PINS_A_SHELF = 4
_TWO_HINGES_MM, _THREE_HINGES_MM = 900.0, 1600.0
# Modulus of elasticity of plywood along its face grain, MPa, on the low side; from memory.
_STIFFNESS_MPA = 7000.0
# A sag that is seen, as a part of the span; common practice, no source.
_SEEN = 300
_GRAVITY = 9.81


@dataclass(frozen=True)
class Piece:
    """A part of one made thing.

    Parameters
    ----------
    part
        What it is.
    count
        How many one takes.
    material
        What it is cut from or bought as.
    length, width
        Size, mm, the length along the grain; none of pieces, no width of a length.
    turns
        Whether its grain does not matter.
    note
        What else is to be done with it.
    """

    part: str
    count: int
    material: str
    length: float | None = None
    width: float | None = None
    turns: bool = False
    note: str = ""


class TooSmall(ValueError):  # noqa: N818 - a fact about the sizes given
    """Sizes that leave nothing for a part; the message names it."""


def thickness(material: str, materials: Sequence[Material]) -> float:
    """Give the thickness of a sheet material, mm; raises KeyError where there is none."""
    for each in materials:
        if each.kind == "sheet" and each.what == material and each.thickness is not None:
            return each.thickness
    raise KeyError(material)


def cabinet_pieces(
    fixture: Fixture, made: MadeCabinet, materials: Sequence[Material]
) -> tuple[Piece, ...]:
    """Take a base cabinet apart.

    Sides stand on the floor and carry all; bottom, rails, toe board and back are screwed to
    them; the top lies on sides and rails; shelves lie loose on pins; doors cover the front.

    Parameters
    ----------
    fixture, made
        Its overall size, and how it is made.
    materials
        What there is, for the thickness of its sheets.

    Raises
    ------
    TooSmall
        If the sizes leave nothing for a part.
    """
    t = thickness(made.panel, materials)
    behind = thickness(made.back, materials) if made.back else 0.0
    body = fixture.height - (t if made.top else 0.0)
    deep = fixture.depth - behind - (t if made.doors else 0.0)
    inside = fixture.width - 2 * t
    front = body - made.toe_height
    pieces = [
        Piece("side", 2, made.panel, body, deep, note=_toe_note(made)),
        Piece("bottom", 1, made.panel, inside, deep),
        Piece("rail", 2, made.panel, inside, made.rail),
    ]
    if made.toe_height:
        pieces.append(Piece("toe board", 1, made.panel, inside, made.toe_height))
    if made.top:
        pieces.append(Piece("top", 1, made.panel, fixture.width, fixture.depth))
    if made.shelves:
        size = (inside - _GAP_MM, deep - _SETBACK_MM)
        pieces.append(Piece("shelf", made.shelves, made.panel, *size))
    if made.doors:
        wide = (fixture.width - _GAP_MM * made.doors) / made.doors
        pieces.append(Piece("door", made.doors, made.panel, front - _GAP_MM, wide))
    if made.back:
        pieces.append(Piece("back", 1, made.back, front, fixture.width, turns=True))
    pieces += _edging(fixture, made, pieces)
    pieces += _cabinet_hardware(fixture, made, deep, front)
    return tuple(_refuse_nothing(pieces))


def _toe_note(made: MadeCabinet) -> str:
    return "notched at the lower front corner for the toes" if made.toe_height else ""


def _refuse_nothing(pieces: Sequence[Piece]) -> Iterator[Piece]:
    for piece in pieces:
        for size in (piece.length, piece.width):
            if size is not None and size <= 0:
                raise TooSmall(f"no room is left for the {piece.part}")
        yield piece


def _edging(fixture: Fixture, made: MadeCabinet, pieces: Sequence[Piece]) -> Iterator[Piece]:
    """Edge every front that is seen."""
    if made.edging is None:
        return
    for piece in pieces:
        if piece.length is None or piece.width is None:
            continue
        if piece.part in ("side", "bottom", "shelf"):
            yield Piece(f"edging of {piece.part}", piece.count, made.edging, piece.length)
        elif piece.part == "top":
            yield Piece("edging of top, front", 1, made.edging, fixture.width)
            yield Piece("edging of top, ends", 2, made.edging, fixture.depth)
        elif piece.part == "door":
            yield Piece("edging of door, upright", 2 * piece.count, made.edging, piece.length)
            yield Piece("edging of door, across", 2 * piece.count, made.edging, piece.width)


def _cabinet_hardware(
    fixture: Fixture, made: MadeCabinet, deep: float, front: float
) -> Iterator[Piece]:
    if made.screws:
        joints = [deep, deep, *[made.rail] * 4]
        joints += [made.toe_height] * 2 if made.toe_height else []
        joints += [fixture.width] * 2 if made.top else []
        joints += [front, front, fixture.width, fixture.width] if made.back else []
        count = sum(_screws(joint, _SCREW_EVERY_MM) for joint in joints)
        yield Piece("screw", count, made.screws)
    if made.pins and made.shelves:
        yield Piece("shelf pin", _PINS_A_SHELF * made.shelves, made.pins)
    if made.hinges and made.doors:
        each = 2 if front <= _TWO_HINGES_MM else 3 if front <= _THREE_HINGES_MM else 4
        yield Piece("hinge", each * made.doors, made.hinges)
    if made.pulls and made.doors:
        yield Piece("pull", made.doors, made.pulls)


def _screws(joint: float, every: float) -> int:
    return max(2, math.ceil(joint / every - 1e-9))


def bracket_pieces(
    bracket: Bracket, made: MadeBracket, materials: Sequence[Material]
) -> tuple[Piece, ...]:
    """Take a bracket apart.

    Parameters
    ----------
    bracket, made
        How far it stands out, and how it is made.
    materials
        What there is, for the thickness of its sheets.

    Raises
    ------
    TooSmall
        If the sizes leave nothing for a part.
    """
    t = thickness(made.panel, materials)
    out = bracket.depth - t
    pieces = [
        Piece("plate", 1, made.panel, made.height, made.width),
        Piece("cleat", 1, made.cleat, made.width, note="hangs in the groove"),
    ]
    screws = _screws(made.width, _CLEAT_SCREW_EVERY_MM)
    if made.form == "cradle":
        note = "sawn out so that goods lie between plate and rod"
        pieces.append(Piece("arm", 2, made.panel, out, made.arm, note=note))
        if made.rod and made.rods:
            pieces.append(Piece("rod", made.rods, made.rod, made.width))
        screws += 2 * _screws(made.arm, _CLEAT_SCREW_EVERY_MM)
    else:
        pieces.append(Piece("arm", 1, made.panel, out, made.width))
        note = "sawn off along the diagonal"
        pieces.append(Piece("brace", 1, made.panel, made.height - t, out, turns=True, note=note))
        screws += _screws(made.width, _CLEAT_SCREW_EVERY_MM)
        screws += _screws(out, _CLEAT_SCREW_EVERY_MM)
        screws += _screws(made.height - t, _CLEAT_SCREW_EVERY_MM)
    if made.screws:
        pieces.append(Piece("screw", screws, made.screws))
    return tuple(_refuse_nothing(pieces))


def cabinet_caution(
    fixture: Fixture, made: MadeCabinet, materials: Sequence[Material], units: LengthStyle
) -> str:
    """Say how far a loaded shelf sags, and what else to see to.

    The sag is that of a simply supported beam under an even load, 5 q L⁴ / (384 E I), without
    what wood gives with the years.
    """
    words = f"{fixture.name or fixture.id}: "
    loads = [face.load for face in fixture.faces if face.kind == "shelf"]
    shelf = next((p for p in cabinet_pieces(fixture, made, materials) if p.part == "shelf"), None)
    if loads and shelf is not None and shelf.length is not None and shelf.width is not None:
        span = shelf.length
        sag = shelf_sag(span, shelf.width, thickness(made.panel, materials), max(loads))
        words += (
            f"a shelf with {format_mass(max(loads), units)} on it sags about "
            f"{_fine(sag, units)} over "
            f"{format_length(span, units)} (modulus {_STIFFNESS_MPA:,.0f} MPa, from memory), and "
            "more in time. "
        )
        if sag > span / _SEEN:
            bearable = max(loads) * span / _SEEN / sag
            words += (
                f"That is more than 1/{_SEEN} of the span: load it with at most "
                f"{format_mass(bearable, units)}, or put an upright under its middle. "
            )
    return words + (
        "Fasten it to the wall so that it cannot tip, and try it with the load before goods go "
        "in. Local code and licensed people decide."
    )


def _fine(length: float, units: LengthStyle) -> str:
    if units in ("ft-in", "in"):
        return f"{length / INCH_MM:.2f} in"
    return f"{length:.1f} mm"


def shelf_sag(span: float, depth: float, thick: float, load: float) -> float:
    """Give the sag of a shelf on its two ends under an even load.

    Parameters
    ----------
    span, depth, thick
        Of the shelf, mm.
    load
        On all of it, kg.

    Returns
    -------
    The sag at the middle, mm.
    """
    inertia = depth * thick**3 / 12
    per_mm = load * _GRAVITY / span
    return 5 * per_mm * span**4 / (384 * _STIFFNESS_MPA * inertia)


def bracket_caution(bracket: Bracket, made: MadeBracket, units: LengthStyle) -> str:
    """Say what a loaded bracket pulls out of its groove with.

    The load is taken to lie at half its depth; the plate leans on its lower edge.
    """
    pull = bracket.load * bracket.depth / 2 / made.height
    return (
        f"{bracket.name or bracket.id}: with {format_mass(bracket.load, units)} at half its depth "
        f"its cleat is pulled out of the groove by as much as {format_mass(pull, units)} would "
        f"weigh, over {format_length(made.width, units)} of groove. Screws into the edge of a "
        "panel hold little: glue them too. Hang twice the load on the first one for a day before "
        "the others are made; a maker's load for the slat-wall counts all the same. Local code "
        "and licensed people decide."
    )
