"""Ends of islands that are too tight to turn back round, and how far one gets without (F13)."""

from __future__ import annotations

from collections.abc import Sequence

from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from shopfit.geometry.freefloor import reached
from shopfit.geometry.turning import Islands, Tight, cut, narrow_ends, tight_ends
from shopfit.geometry.waysround import leg_widths, reached_without, turns
from shopfit.solver.candidate import Candidate
from shopfit.solver.site import Site
from shopfit.standards.turns import KEYS, turn_width
from shopfit.units import TOLERANCE_MM


def turns_matter(site: Site) -> bool:
    """Say whether some turn may be too tight for a customer whom the aisle lets through."""
    book = site.rulebook
    if book.why_without(*KEYS):
        return False
    least = turn_width(book, 0.0, site.brief.aisle)
    return least is not None and least.value > site.brief.aisle + TOLERANCE_MM


def room_before(site: Site, width: float) -> float:
    """Give the clear depth that a careful search leaves before a side of an island, mm.

    Room to turn back round a narrow end, where that asks for little more than an aisle. Where it
    asks for much more, because the aisle is too narrow for the lesser value, an aisle is left:
    with 60 in before every end a third fewer islands found room in small shops, and of floors
    without it few had a front that only turning back led to.

    Parameters
    ----------
    site
        The shop.
    width
        Of the side, mm.
    """
    book, aisle = site.rulebook, site.brief.aisle
    if book.why_without(*KEYS) or aisle < book.mm("turn-leg") - TOLERANCE_MM:
        return aisle
    wanted = turn_width(book, width, aisle)
    return aisle if wanted is None else max(aisle, wanted.value)


class TightEnds:
    """The ends on a floor that customers as wide as the aisle pass, but may not turn back round.

    Parameters
    ----------
    site, chosen
        The shop and what stands in it.
    """

    def __init__(self, site: Site, chosen: Sequence[Candidate]) -> None:
        self._site = site
        free = [one for one in chosen if one.stands_free]
        self._islands = Islands(
            [one.body for one in free], [one.placement.angle_deg for one in free]
        )
        self._others: list[BaseGeometry] = [
            *(one.body for one in chosen if not one.stands_free),
            *site.shell.columns.values(),
            *site.shell.zones.values(),
        ]
        self._rooms = list(site.shell.rooms.values())
        self.tight = self._tight()

    def _tight(self) -> list[Tight]:
        book, aisle = self._site.rulebook, self._site.brief.aisle
        ends = narrow_ends(self._islands, book.mm("turn-element"), aisle)
        narrow, wide = book.mm("turn-width"), book.mm("turn-wide")
        near = [
            one
            for one in tight_ends(ends, self._islands, self._others, self._rooms, max(narrow, wide))
            # Where the aisle itself is missing nobody passes anyway.
            if one.depth >= aisle - TOLERANCE_MM
        ]
        if aisle >= book.mm("turn-leg") - TOLERANCE_MM:
            legs = [aisle] * len(near)
        else:
            legs = leg_widths(
                [one.end for one in near],
                self._islands,
                self._others,
                self._rooms,
                narrow,
                book.mm("turn-leg"),
            )
        found = []
        for one, leg in zip(near, legs, strict=True):
            wanted = turn_width(book, one.end.length, max(leg, aisle))
            if wanted is not None and one.depth < wanted.value - TOLERANCE_MM:
                found.append(one)
        return found

    def passed(self, areas: Sequence[Polygon], starts: Sequence[BaseGeometry]) -> list[Polygon]:
        """Give what is reached without so much as passing before a tight end: quick to find.

        Parameters
        ----------
        areas
            Where the centre of a customer may be.
        starts
            Where customers come in.
        """
        return reached(cut(areas, [one.barrier for one in self.tight]), starts, self._site.links)

    def rounded(self, areas: Sequence[Polygon], starts: Sequence[BaseGeometry]) -> list[Polygon]:
        """Give what is reached without turning back where it is tight: exact, but slower."""
        lane = self._site.rulebook.mm("turning-circle")
        around = turns(self.tight, self._islands, self._others, self._rooms, lane)
        return list(reached_without(areas, starts, self._site.links, around).areas)
