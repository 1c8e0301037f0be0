"""Checks the range against the brief and against what may be bought."""

from __future__ import annotations

import re
from collections.abc import Iterator

from shopfit.errors import Fault
from shopfit.files.parts import FIXTURES, RANGE, Parts, fault
from shopfit.files.wording import nearest, shortened
from shopfit.geometry.footprint import side_length
from shopfit.geometry.shell import ShellPlan
from shopfit.model.fixtures import Catalogue, FaceKind
from shopfit.model.range import Line, Way
from shopfit.model.scenario import Shop
from shopfit.units import TOLERANCE_MM, format_length, format_mass


def check_range(parts: Parts, plan: ShellPlan | None = None) -> Iterator[Fault]:
    """Give every fault of the range against the other files.

    Parameters
    ----------
    parts, plan
        What could be read, and the shell on the plan where that is sound.
    """
    longest = None
    if plan and "rooms" not in parts.lost:
        longest = max((wall.length for wall in plan.walls if wall.slat_wall), default=0.0)
    yield from _spellings(parts)
    if parts.shop:
        yield from _bands_and_categories(parts, parts.shop)
    if parts.shop and parts.catalogue and not parts.lost & set(Catalogue.model_fields):
        for row, line in parts.lines.items():
            reasons = _unshown(line, parts.catalogue, parts.shop, longest)
            if reasons:
                yield fault(
                    RANGE,
                    f"row {row}, ways",
                    given=f"{' '.join(line.ways)} for '{line.line}'",
                    allowed=f"a way for which {FIXTURES} holds something that fits",
                    mend=f"{'; '.join(reasons)}. Allow another way or add what holds it.",
                )
            else:
                yield from _holding(row, line, parts.catalogue)


def _holding(row: int, line: Line, catalogue: Catalogue) -> Iterator[Fault]:
    """Say where more units are to be held than the facings allowed can hold anywhere."""
    each = _most_units(line, catalogue)
    most = each * line.max_facings
    if line.holding > most:
        yield fault(
            RANGE,
            f"row {row}, holding",
            given=f"{line.holding} for '{line.line}'",
            allowed=f"at most {most}: {line.max_facings} facings of {each} each",
            mend="Hold fewer, raise max_facings, or add something deeper to show it on.",
        )


def _most_units(line: Line, catalogue: Catalogue) -> int:
    """Give the most units that one facing holds, on whatever holds most."""
    deep = [
        face.depth
        for fixture in catalogue.fixtures
        for face in fixture.faces
        if face.kind in line.ways
    ]
    if "shelf" in line.ways and not line.secured:
        deep += [board.depth for board in catalogue.shelves]
    counts = [max(1, int(depth / line.depth + TOLERANCE_MM)) for depth in deep]
    for bracket in catalogue.brackets if not line.secured else ():
        if bracket.kind in line.ways:
            count = max(1, int(bracket.depth / line.depth + TOLERANCE_MM))
            counts.append(count if bracket.units is None else min(count, bracket.units))
    return max(counts, default=1)


def _spellings(parts: Parts) -> Iterator[Fault]:
    spellings: dict[str, tuple[str, int]] = {}
    for row, line in parts.lines.items():
        plain = re.sub(r"[ ._-]+", "", line.category.lower())
        first, at = spellings.setdefault(plain, (line.category, row))
        if line.category != first:
            yield fault(
                RANGE,
                f"row {row}, category",
                given=f"'{line.category}', but '{first}' in row {at}",
                allowed="one spelling a category",
                mend=f"Write '{first}' in both.",
            )


def _bands_and_categories(parts: Parts, shop: Shop) -> Iterator[Fault]:
    bands = [band.id for band in shop.brief.bands]
    for row, line in parts.lines.items():
        if line.band is not None and line.band not in bands and "bands" not in parts.lost:
            yield fault(
                RANGE,
                f"row {row}, band",
                given=shortened(line.band),
                allowed="a band of the brief, or nothing",
                mend=nearest(line.band, bands, "Add the band to brief > bands in shop.yaml."),
            )
        wanted = shop.categories and "categories" not in parts.lost
        if wanted and line.category not in shop.categories:
            yield fault(
                RANGE,
                f"row {row}, category",
                given=shortened(line.category),
                allowed="one of the categories listed in shop.yaml",
                mend=nearest(line.category, shop.categories, ""),
            )


def _unshown(line: Line, catalogue: Catalogue, shop: Shop, longest: float | None) -> list[str]:
    """Say why no way of a line works; an empty list if one does.

    Only what rules a line out on any wall is counted, so that no line is refused wrongly.
    """
    ways: tuple[Way, ...] = ("case",) if line.secured else line.ways
    reasons = []
    for way in ways:
        tried = [
            _on_face(line, way, catalogue, shop),
            _on_slat_wall(line, way, catalogue, shop, longest),
        ]
        said = [reason for reason in tried if reason is not None]
        if "" in said:
            return []
        reasons.append(f"{way}: {', '.join(said)}")
    return reasons


def _on_face(line: Line, way: Way, catalogue: Catalogue, shop: Shop) -> str | None:
    """Say why no fixture shows a line this way; empty if one does, none if fixtures never do."""
    kinds: dict[Way, FaceKind] = {"shelf": "shelf", "case": "case", "table": "table"}
    if way not in kinds:
        return None
    kind = kinds[way]
    faces = [(f, face) for f in catalogue.fixtures for face in f.faces if face.kind == kind]
    if not faces:
        return f"no fixture has a {kind} face"
    deep = [(f, face) for f, face in faces if face.depth >= line.depth - TOLERANCE_MM]
    if not deep:
        most = max(face.depth for _, face in faces)
        return _less("no fixture's face is deep enough", line.depth, most, shop)
    wide = [
        (f, face)
        for f, face in deep
        if (face.width or side_length(f, face.side)) >= line.width - TOLERANCE_MM
    ]
    if not wide:
        most = max(face.width or side_length(f, face.side) for f, face in deep)
        return _less("no fixture's face is wide enough", line.width, most, shop)
    need = line.height + shop.brief.finger_gap
    space = {
        id(face): face.top - face.bottom - (0.0 if kind == "table" else face.board)
        for _, face in wide
    }
    high = [face for _, face in wide if space[id(face)] >= need - TOLERANCE_MM]
    if not high:
        return _less("no fixture's face is high enough", need, max(space.values()), shop)
    if all(face.load < line.weight for face in high):
        load = format_mass(max(face.load for face in high), shop.units)
        return f"no fixture's shelf carries one ({load} at most)"
    return ""


def _on_slat_wall(
    line: Line, way: Way, catalogue: Catalogue, shop: Shop, longest: float | None
) -> str | None:
    """Say why nothing on slat-wall shows a line this way; empty if something does."""
    if way in ("case", "table"):
        return None
    holders = [
        (item.depth, item.load * item.per_facing) for item in catalogue.brackets if item.kind == way
    ]
    if way == "shelf":
        holders = [(item.depth, item.load) for item in catalogue.shelves]
    name = "shelf board" if way == "shelf" else f"bracket of kind {way}"
    if not holders:
        return f"{FIXTURES} has no {name}"
    if not catalogue.sheets:
        return f"{FIXTURES} has no slat-wall sheet"
    deep = [(depth, load) for depth, load in holders if depth >= line.depth - TOLERANCE_MM]
    if not deep:
        most = max(depth for depth, _ in holders)
        return _less(f"no {name} is deep enough", line.depth, most, shop)
    if all(load < line.weight for _, load in deep):
        load = format_mass(max(load for _, load in deep), shop.units)
        return f"no {name} deep enough carries one ({load} at most)"
    tallest = max(sheet.height for sheet in catalogue.sheets)
    if line.height > tallest + TOLERANCE_MM:
        return _less("no sheet is high enough", line.height, tallest, shop)
    if longest is not None and line.width > longest + TOLERANCE_MM:
        return _less("no wall for slat-wall is long enough", line.width, longest, shop)
    return ""


def _less(what: str, need: float, most: float, shop: Shop) -> str:
    needed, had = (format_length(each, shop.units) for each in (need, most))
    if needed == had:
        # Rounded alike, they would contradict the words.
        decimals = 1 if f"{need:.1f}" != f"{most:.1f}" else 2
        needed, had = (
            f"{text} or {each:.{decimals}f} mm" for text, each in ((needed, need), (had, most))
        )
    return f"{what} (needs {needed}, has {had})"
