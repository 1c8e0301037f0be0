"""Checks what a catalogue says of ordering: ids that are there, once each."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from shopfit.errors import Fault
from shopfit.files.parts import FIXTURES, fault
from shopfit.files.wording import nearest, shortened
from shopfit.model.fixtures import Bracket, Catalogue, Fixture
from shopfit.model.ordering import Ordering, PriceStep

LIST = "list"


def check_ordering(catalogue: Catalogue, lost: frozenset[str]) -> Iterator[Fault]:
    """Give every fault of how things are ordered.

    Parameters
    ----------
    catalogue
        What was read.
    lost
        Names of the lists of which something could not be read.
    """
    ordering = catalogue.ordering
    if ordering is None:
        return
    groups = (catalogue.fixtures, catalogue.sheets, catalogue.brackets, catalogue.shelves)
    ids = [item.id for group in groups for item in group]
    ids += [material.id for material in catalogue.materials]
    yield from _once("extras", [extra.id for extra in ordering.extras], ids)
    yield from _once("suppliers", [supplier.id for supplier in ordering.suppliers], [LIST])
    if lost & {"fixtures", "sheets", "brackets", "shelves", "extras", "materials"}:
        return
    ids += [extra.id for extra in ordering.extras]
    yield from _not_made(catalogue, ordering)
    yield from _steps(("steps",), ordering.steps, ids)
    for supplier in ordering.suppliers:
        where = ("suppliers", supplier.id)
        yield from _known((*where, "prices"), supplier.prices, ids)
        yield from _steps((*where, "steps"), supplier.steps, [*supplier.prices])


def _not_made(catalogue: Catalogue, ordering: Ordering) -> Iterator[Fault]:
    """Refuse prices of what is made: whether it or its materials are bought would not be known."""
    items: tuple[Fixture | Bracket, ...] = (*catalogue.fixtures, *catalogue.brackets)
    made = {item.id for item in items if item.made is not None}
    named: list[tuple[tuple[str, ...], list[str]]] = [
        (("steps",), [step.item for step in ordering.steps])
    ]
    for supplier in ordering.suppliers:
        named.append((("suppliers", supplier.id, "prices"), list(supplier.prices)))
    for where, names in named:
        for name in dict.fromkeys(name for name in names if name in made):
            yield fault(
                FIXTURES,
                "ordering",
                *where,
                given=f"'{name}', which is made",
                allowed="what is bought; of what is made the materials are",
                mend=f"Take it out here, or take made away from {name} to buy it.",
            )


def _once(group: str, names: Iterable[str], taken: Iterable[str]) -> Iterator[Fault]:
    seen = set(taken)
    for name in names:
        if name in seen:
            yield fault(
                FIXTURES,
                "ordering",
                group,
                name,
                given=f"'{name}', which is taken already",
                allowed="each id once in the whole file; list is the list itself",
                mend="Rename one of the two.",
            )
        seen.add(name)


def _steps(where: tuple[str, ...], steps: Iterable[PriceStep], ids: list[str]) -> Iterator[Fault]:
    yield from _known(where, [step.item for step in steps], ids)


def _known(where: tuple[str, ...], names: Iterable[str], ids: list[str]) -> Iterator[Fault]:
    for name in dict.fromkeys(names):
        if name not in ids:
            yield fault(
                FIXTURES,
                "ordering",
                *where,
                given=shortened(name),
                allowed="the id of something that is sold there",
                mend=nearest(name, ids, "Add it."),
            )
