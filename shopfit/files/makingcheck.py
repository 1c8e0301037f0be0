"""Checks that made cabinets and brackets name materials that there are, and have room for parts."""

from __future__ import annotations

from collections.abc import Iterator

from shopfit.errors import Fault
from shopfit.files.parts import FIXTURES, fault
from shopfit.files.wording import nearest, shortened
from shopfit.model.fixtures import Bracket, Catalogue, Fixture
from shopfit.model.making import MaterialKind
from shopfit.units import LengthStyle, format_length

# Room that shelves and doors leave, at least; see the parts they are cut to.
_SPARE_MM = 13.0
_KINDS: dict[str, MaterialKind] = {"panel": "sheet", "back": "sheet", "edging": "length"}
_KINDS |= {"cleat": "length", "rod": "length"}
_KINDS |= {"screws": "piece", "pins": "piece", "hinges": "piece", "pulls": "piece"}


def check_making(catalogue: Catalogue, lost: frozenset[str], style: LengthStyle) -> Iterator[Fault]:
    """Give every fault of what is made.

    Parameters
    ----------
    catalogue
        What was read.
    lost
        Names of the lists of which something could not be read.
    style
        How the shop writes lengths.
    """
    yield from _materials(catalogue)
    if "materials" in lost:
        return
    for group, items in (("fixtures", catalogue.fixtures), ("brackets", catalogue.brackets)):
        for item in items:
            if item.made is None:
                continue
            known = list(_names(catalogue, group, item))
            yield from known
            if not known:
                yield from _room(catalogue, item, style)


def _materials(catalogue: Catalogue) -> Iterator[Fault]:
    groups = (catalogue.fixtures, catalogue.sheets, catalogue.brackets, catalogue.shelves)
    taken = {item.id for group in groups for item in group}
    if catalogue.ordering is not None:
        taken |= {extra.id for extra in catalogue.ordering.extras}
    kinds: dict[str, tuple[str, float | None]] = {}
    for material in catalogue.materials:
        if material.id in taken:
            yield fault(
                FIXTURES,
                "materials",
                material.id,
                given=f"'{material.id}', which is taken already",
                allowed="each id once in the whole file",
                mend="Rename one of the two.",
            )
        taken.add(material.id)
        first = kinds.setdefault(material.what, (material.kind, material.thickness))
        if first != (material.kind, material.thickness):
            yield fault(
                FIXTURES,
                "materials",
                material.id,
                "of",
                given=f"another kind or thickness than other sizes of {material.what}",
                allowed="sizes of one material are alike but for length and width",
                mend="Correct the size, or give it another of.",
            )


def _names(catalogue: Catalogue, group: str, item: Fixture | Bracket) -> Iterator[Fault]:
    for name, kind in _KINDS.items():
        wanted = getattr(item.made, name, None)
        if wanted is None:
            continue
        there = [
            material.id if kind == "piece" else material.what
            for material in catalogue.materials
            if material.kind == kind
        ]
        if wanted not in there:
            yield fault(
                FIXTURES,
                group,
                item.id,
                "made",
                name,
                given=shortened(wanted),
                allowed=f"a material of kind {kind}",
                mend=nearest(wanted, there, f"Add it to materials with kind {kind}."),
            )


def _room(catalogue: Catalogue, item: Fixture | Bracket, style: LengthStyle) -> Iterator[Fault]:
    thick: dict[str, float] = {}
    for material in catalogue.materials:
        thick.setdefault(material.what, material.thickness or 0.0)
    if isinstance(item, Bracket):
        assert item.made is not None
        panel = thick[item.made.panel]
        needs = [("depth", item.depth, panel), ("height", item.made.height, panel)]
    else:
        made = item.made
        assert made is not None
        panel, back = thick[made.panel], thick[made.back] if made.back else 0.0
        high = made.toe_height + (panel if made.top else 0.0) + made.rail
        needs = [
            ("width", item.width, 2 * panel),
            ("depth", item.depth, panel + back + made.toe_depth),
            ("height", item.height, high),
        ]
    group = "brackets" if isinstance(item, Bracket) else "fixtures"
    for name, size, taken in needs:
        if size < taken + _SPARE_MM:
            yield fault(
                FIXTURES,
                group,
                item.id,
                "made",
                given=f"{name} {format_length(size, style)}",
                allowed=f"at least {format_length(taken + _SPARE_MM, style)}, so that panels of "
                f"{format_length(panel, style)} leave room for the parts",
                mend="Correct the size, or take a thinner panel.",
            )
