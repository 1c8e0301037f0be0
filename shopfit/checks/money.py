"""Recounts purchases and money, and checks how runs are cut from sheets."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from shopfit.checks.notes import BRIEF, CATALOGUE, LAYOUT, plain_number, tame
from shopfit.checks.scene import Scene
from shopfit.model.finding import Finding
from shopfit.model.layout import Purchase, Row
from shopfit.units import TOLERANCE_MM

ItemKind = Literal["fixture", "sheet", "bracket", "shelf"]
# Half a cent and a hair: totals are rounded to the cent.
CENT = 0.0051


@dataclass(frozen=True)
class Bought:
    """What has to be bought of one item, counted afresh.

    Parameters
    ----------
    item, kind
        Id in the catalogue, and which list it is in.
    needed, owned
        Pieces the layout needs, and pieces owned already.
    pack, price
        Pieces a pack, and price a pack.
    available
        Most packs that can be had, or none where it is not limited here.
    """

    item: str
    kind: ItemKind
    needed: int
    owned: int
    pack: int
    price: float
    available: int | None = None

    @property
    def packs(self) -> int:
        """Packs to buy."""
        return math.ceil(max(self.needed - self.owned, 0) / self.pack)

    @property
    def total(self) -> float:
        """Money for them."""
        return self.packs * self.price


def bought(scene: Scene) -> list[Bought]:
    """Count what the layout needs of every item, in the order of the catalogue."""
    catalogue = scene.scenario.catalogue
    fixtures = Counter(one.fixture.id for one in scene.stood)
    sheets = _sheets(scene)
    brackets: Counter[str] = Counter()
    boards: Counter[str] = Counter()
    for block in scene.layout.blocks:
        for row in block.rows:
            for slot in row.slots:
                if slot.holder is not None:
                    brackets[slot.holder] += slot.brackets
            boards.update(_boards(scene, row))
    found = [
        Bought(f.id, "fixture", fixtures[f.id], f.owned, 1, f.price) for f in catalogue.fixtures
    ]
    found += [
        Bought(s.id, "sheet", sheets[s.id], 0, s.pack, s.price, s.available)
        for s in catalogue.sheets
    ]
    found += [
        Bought(b.id, "bracket", brackets[b.id], 0, b.pack, b.price) for b in catalogue.brackets
    ]
    found += [Bought(b.id, "shelf", boards[b.id], 0, b.pack, b.price) for b in catalogue.shelves]
    return [one for one in found if one.needed]


def cost(scene: Scene) -> float:
    """Give the money that the layout costs, counted afresh."""
    return sum(one.total for one in bought(scene))


def check(scene: Scene) -> Iterator[Finding]:
    """Find purchases that do not match the layout, and budgets and stocks overrun."""
    counted = bought(scene)
    listed: dict[str, list[Purchase]] = defaultdict(list)
    for purchase in scene.layout.purchases:
        listed[purchase.item].append(purchase)
    for one in counted:
        yield from _purchase(one, listed.pop(one.item, []))
        if one.available is not None and one.packs > one.available:
            yield _finding(
                "available",
                one.item,
                f"{one.packs} packs of {one.item} are needed, but only {one.available} can be had.",
                "Shorten or leave out runs, or ask for more packs.",
                one.available,
                one.packs,
                "packs",
                CATALOGUE.source,
            )
    for item, lines in listed.items():
        if any(line.packs or line.total for line in lines):
            yield _finding(
                "purchase-extra",
                item,
                f"{item} is bought, but the layout does not use it.",
                "Take it off the list.",
                0.0,
                sum(tame(line.packs) for line in lines),
                "packs",
                LAYOUT.source,
            )
    yield from _budget(scene, sum(one.total for one in counted))


def _finding(
    code: str,
    subject: str,
    message: str,
    mend: str,
    required: float,
    measured: float,
    unit: str,
    source: str,
) -> Finding:
    return Finding(
        code=code,
        severity="violation",
        subject=subject,
        message=message,
        mend=mend,
        required=required,
        measured=plain_number(measured),
        unit=unit,
        source=source,
    )


def _purchase(one: Bought, lines: list[Purchase]) -> Iterator[Finding]:
    if not lines:
        if one.packs:
            yield _finding(
                "purchase-missing",
                one.item,
                f"The layout needs {one.needed} of {one.item}, but none is on the list.",
                f"Add {one.packs} pack{'s' if one.packs > 1 else ''}.",
                one.packs,
                0.0,
                "packs",
                LAYOUT.source,
            )
        return
    if len(lines) > 1:
        yield _finding(
            "purchase-twice",
            one.item,
            f"{one.item} is on the list {len(lines)} times.",
            "List it once.",
            1,
            len(lines),
            "lines",
            LAYOUT.source,
        )
    for what, unit, listed, counted in (
        ("pieces needed", "pieces", tame(lines[0].needed), one.needed),
        ("packs", "packs", sum(tame(line.packs) for line in lines), one.packs),
        ("price a pack", "money", tame(lines[0].price), one.price),
        ("total", "money", sum(tame(line.total) for line in lines), one.total),
    ):
        if not abs(listed - counted) <= CENT:
            yield _finding(
                "purchase-wrong",
                one.item,
                f"The list says {listed:.12g} for the {what} of {one.item}; recounted: "
                f"{counted:.12g}.",
                f"Write {counted:.12g}.",
                counted,
                listed,
                unit,
                LAYOUT.source,
            )
    if lines[0].kind != one.kind:
        yield _finding(
            "purchase-wrong",
            one.item,
            f"The list calls {one.item} a {lines[0].kind}; it is a {one.kind}.",
            f"Write {one.kind}.",
            0.0,
            0.0,
            "",
            LAYOUT.source,
        )


def _budget(scene: Scene, total: float) -> Iterator[Finding]:
    budget = scene.brief.budget
    if budget is not None and total > budget + CENT:
        currency = scene.scenario.shop.currency
        yield _finding(
            "budget",
            "budget",
            f"The layout costs {total:.2f} {currency}; the brief allows {budget:.2f}: "
            f"{total - budget:.2f} too much.",
            f"Save {total - budget:.2f} {currency}, or raise the budget.",
            budget,
            total,
            "money",
            BRIEF.source,
        )


def _sheets(scene: Scene) -> Counter[str]:
    numbers: dict[str, set[int]] = defaultdict(set)
    for cut in scene.layout.cuts:
        numbers[scene.hung_by_tag[cut.run].run.sheet].add(cut.sheet_number)
    return Counter({sheet: len(found) for sheet, found in numbers.items()})


def _boards(scene: Scene, row: Row) -> Counter[str]:
    """Count the boards of one row: neighbours on the same board share it as far as it reaches."""
    found: Counter[str] = Counter()
    segment: tuple[str, float, float] | None = None
    for slot in sorted(row.slots, key=lambda slot: (slot.from_mm, slot.to_mm)):
        holder = slot.holder if slot.holder in scene.boards else None
        if segment and holder == segment[0] and slot.from_mm - segment[2] <= TOLERANCE_MM:
            segment = (segment[0], segment[1], max(segment[2], slot.to_mm))
            continue
        _close(scene, segment, found)
        segment = (holder, slot.from_mm, slot.to_mm) if holder else None
    _close(scene, segment, found)
    return found


def _close(scene: Scene, segment: tuple[str, float, float] | None, found: Counter[str]) -> None:
    if segment is not None:
        board, start, end = segment
        length = max(end - start - TOLERANCE_MM, 0.0)
        found[board] += max(math.ceil(length / scene.boards[board].length), 1)
