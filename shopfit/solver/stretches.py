"""Stretches of faces of which each goes on in the next."""

from __future__ import annotations

from collections.abc import Iterable

from shopfit.solver.adjoining import Link


def stretches(count: int, links: Iterable[Link]) -> list[tuple[int, ...]]:
    """Split faces into stretches, each from left to right.

    Parameters
    ----------
    count, links
        How many faces there are, and which go on in which. Where one goes on in several, only the
        first of them counts, so that stretches do not branch.
    """
    follows: dict[int, int] = {}
    later: set[int] = set()
    for link in links:
        if link.left not in follows and link.right not in later:
            follows[link.left] = link.right
            later.add(link.right)
    found = [_along(n, follows) for n in range(count) if n not in later]
    # Faces all round a column make a ring, which has no first one.
    known = {n for chain in found for n in chain}
    for n in range(count):
        if n not in known:
            found.append(_along(n, follows))
            known.update(found[-1])
    return found


def _along(first: int, follows: dict[int, int]) -> tuple[int, ...]:
    chain = [first]
    while (following := follows.get(chain[-1])) is not None and following != first:
        chain.append(following)
    return tuple(chain)
