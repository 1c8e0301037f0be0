"""Cuts what is bought by the length: trims and inserts of slat-wall, mouldings of the shell."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from shopfit.cutting.plan import cut
from shopfit.geometry.shell import survey
from shopfit.model.cutting import CutBoard, CutJob, CutPlan, Part, StockPiece
from shopfit.model.finishes import FinishItem, Lengths
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from shopfit.quantities.cutting import cut_runs
from shopfit.quantities.mouldings import MOULDINGS, stretches
from shopfit.quantities.runlengths import Wanted, run_lengths
from shopfit.units import TOLERANCE_MM

# Less than a second a material where nothing is proved sooner.
EFFORT = 0.1
_MOST = 10_000  # equal pieces in one part of a job


@dataclass(frozen=True)
class Bought:
    """Something bought by the length, and what is wanted of it.

    Parameters
    ----------
    id, name
        Id and name in words.
    length
        Of one as bought, mm.
    wanted
        What is cut from it.
    """

    id: str
    name: str
    length: float
    wanted: tuple[Wanted, ...]


def length_plan(scenario: Scenario, layout: Layout) -> CutPlan:
    """Cut extras and mouldings that are bought by the length from as few lengths as are found.

    Parameters
    ----------
    scenario, layout
        Which; runs are cut first if the layout holds no cuts.

    Returns
    -------
    Lengths numbered from 1, the stock of each by the id of the extra or by `moulding_id`. What is
    longer than one length is made of whole ones and a rest.
    """
    return cut_from(tuple(_bought(scenario, layout)))


@lru_cache(maxsize=16)
def cut_from(bought: tuple[Bought, ...]) -> CutPlan:
    """Cut what is wanted from as few lengths as are found, kerf and all."""
    # Lists, order, finishes and drawings of one layout ask for the same plan.
    job = CutJob(
        stock=tuple(
            StockPiece(id=each.id, name=each.name[:120], material=each.id, length=_mm(each.length))
            for each in bought
        ),
        parts=tuple(part for each in bought for part in _parts(each)),
    )
    return cut(job, EFFORT)


def moulding_id(scenario: Scenario, item: FinishItem) -> str:
    """Give the name of a moulding as stock: its own, unless an extra has that id."""
    ordering = scenario.catalogue.ordering
    taken = {extra.id for extra in ordering.extras} if ordering is not None else set()
    return f"{item} of the shell" if item in taken else item


def bars(plan: CutPlan, stock: str) -> tuple[CutBoard, ...]:
    """Give the lengths of one stock in a plan."""
    return tuple(board for board in plan.boards if board.stock == stock)


def _bought(scenario: Scenario, layout: Layout) -> Iterator[Bought]:
    shell = survey(scenario.shop)
    ordering, finishes = scenario.catalogue.ordering, scenario.shop.finishes
    extras = ordering.extras if ordering is not None else ()
    by_length = [extra for extra in extras if extra.length is not None]
    if by_length:
        cuts = layout.cuts or cut_runs(scenario, layout)
        lengths = run_lengths(scenario, shell, layout, cuts)
        for extra in by_length:
            assert extra.length is not None
            wanted = tuple(
                Wanted(each.where, each.length, each.count * extra.pieces)
                for each in lengths[extra.for_each]
            )
            yield Bought(extra.id, extra.name or extra.id, extra.length, wanted)
    for item in MOULDINGS if finishes is not None else ():
        moulding: Lengths | None = getattr(finishes, item)
        if moulding is not None:
            wanted = tuple(
                Wanted(each.where, length)
                for each in stretches(scenario, shell, item)
                for length in each.lengths
            )
            name = item.capitalize()
            yield Bought(moulding_id(scenario, item), name, moulding.length, wanted)


def _parts(bought: Bought) -> Iterator[Part]:
    for wanted in bought.wanted:
        sizes = _sizes(wanted.length, bought.length)
        for number, (length, each) in enumerate(sizes, start=1):
            said = wanted.where if len(sizes) == 1 else f"{wanted.where} {number}"
            count = each * wanted.count
            for start in range(0, count, _MOST):
                yield Part(
                    id=re.sub(r"[^A-Za-z0-9 ._-]", "", said)[:60].strip(),
                    material=bought.id,
                    length=_mm(length),
                    count=min(_MOST, count - start),
                    purpose=f"{bought.name} at {wanted.where}"[:120],
                )


def _sizes(length: float, most: float) -> list[tuple[float, int]]:
    """Make a length of whole ones and a rest: how long, and how many of each, mm."""
    whole = int((length + TOLERANCE_MM) // most)
    rest = length - whole * most
    sizes = [(most, whole)] if whole else []
    return [*sizes, (rest, 1)] if rest > TOLERANCE_MM else sizes


def _mm(length: float) -> Any:
    # What is given is read with its unit.
    return f"{length:.6f} mm"
