"""Which faces of a floor lie beside and above one another, and how blocks are set along them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from shopfit.geometry.faceplace import FacePlace, entrances, station
from shopfit.geometry.touching import NEAR_MM, joints
from shopfit.model.brief import Merchandising
from shopfit.solver.adjoining import (
    Link,
    Name,
    Over,
    components,
    group_counts,
    laps,
    met,
    named_pairs,
    overs_of,
    parts_of,
    stacked,
)
from shopfit.solver.filling import PER_MM, Filling
from shopfit.solver.fixing import Face
from shopfit.solver.keptwishes import disorder, wishes
from shopfit.solver.ordering import TOUCH, Bonds, FaceState, Ordered, options
from shopfit.solver.site import Site
from shopfit.units import TOLERANCE_MM

# Rounds in which every face is set anew, given the faces beside it.
_SWEEPS = 4
# Wall by wall arrangements remembered.
_MOST_KNOWN = 50_000
# What an end of a face counts where what it shows could be met on the next face.
_HOPE = 0.05
_GAIN = 1e-9

Placed = list[tuple[int, float, float]]


@dataclass(frozen=True)
class _Part:
    """Faces that hang together, arranged: blocks on each face, groups, and what touches."""

    spots: Mapping[int, Ordered]
    groups: Mapping[str, int]
    touching: frozenset[frozenset[str]]


def neighbours(site: Site, faces: Sequence[Face]) -> Neighbours | None:
    """Give the faces of a floor among one another, or none where no wish of the brief asks."""
    rules = site.brief.merchandising
    places = [face.place for face in faces if face.place is not None]
    if not wishes(rules) or len(places) < len(faces):
        return None
    doors = entrances(site.scenario.shop, site.shell)
    rank = {category: n for n, category in enumerate(site.scenario.categories)}
    stations = [station(place.middle, rules.way, doors) for place in places]
    return Neighbours(rules, faces, places, stations, rank)


def in_order(filling: Filling, faces: Sequence[Face], rank: Mapping[str, int]) -> Placed:
    """Set blocks with goods along each face from the left, in the order of their categories."""
    placed: Placed = []
    at: dict[int, float] = {}
    for b in _ordered(filling, rank):
        face = filling.plans[b].face
        left = at.get(face, 0.0)
        at[face] = left + filling.widths[b] / PER_MM
        placed.append((b, left, min(at[face], faces[face].width)))
    return placed


def _ordered(filling: Filling, rank: Mapping[str, int]) -> list[int]:
    shown = {b for (b, _, _), count in filling.facings.items() if count}
    plans = filling.plans
    return sorted(
        (b for b in shown if filling.widths[b] > 0),
        key=lambda b: (plans[b].face, rank[plans[b].category], b),
    )


class Neighbours:
    """The faces of a floor, with what lies beside and above what.

    Parameters
    ----------
    rules
        The wishes.
    faces, places
        The faces and where they are.
    stations
        How far along the customer's way each lies, mm; none where that is unknown.
    rank
        Order of the categories in the range.
    """

    def __init__(
        self,
        rules: Merchandising,
        faces: Sequence[Face],
        places: Sequence[FacePlace],
        stations: Sequence[float | None],
        rank: Mapping[str, int],
    ) -> None:
        self.rules, self.stations = rules, tuple(stations)
        self._faces, self._rank = faces, rank
        number = {place.key: n for n, place in enumerate(places)}
        self.links = [Link(number[j.left], number[j.right], j.gap) for j in joints(places)]
        self.overs = overs_of(places)
        self._bonds = Bonds.of(rules)
        self._parts = parts_of(len(places), self.links, self.overs)
        self._beside: dict[int, list[Link]] = {}
        for link in self.links:
            self._beside.setdefault(link.left, []).append(link)
            self._beside.setdefault(link.right, []).append(link)
        self._across: dict[int, list[Over]] = {}
        for over in self.overs:
            self._across.setdefault(over.upper, []).append(over)
            self._across.setdefault(over.lower, []).append(over)
        self._known: dict[tuple[int, tuple[FaceState, ...]], _Part] = {}

    @property
    def wished(self) -> frozenset[str]:
        """The categories that wishes name."""
        return self._bonds.named.union(*self.rules.order)

    def broken(self, filling: Filling) -> int:
        """Count the wishes that a filling does not meet, arranged as `arranged` does.

        Of a category in too many groups every group too many counts, of all else every pair.
        """
        parts = [part for _, part in self._arranged(_ordered(filling, self._rank), filling)]
        return self._count(parts) + self._disorder(filling)

    def groups(self, filling: Filling) -> dict[str, int]:
        """Count the groups of blocks of each category that has a limit on them."""
        found: dict[str, int] = {}
        for _, part in self._arranged(_ordered(filling, self._rank), filling):
            for category, count in part.groups.items():
                found[category] = found.get(category, 0) + count
        return found

    def touching(self, filling: Filling) -> frozenset[frozenset[str]]:
        """Give the pairs of categories with wishes of which blocks touch."""
        parts = self._arranged(_ordered(filling, self._rank), filling)
        return frozenset().union(*(part.touching for _, part in parts))

    def arranged(self, filling: Filling) -> Placed:
        """Set blocks with goods along their faces so that few wishes are broken.

        Returns
        -------
        Number of each block and its ends along its face, mm; face by face, from the left.
        """
        order = _ordered(filling, self._rank)
        own: dict[int, list[int]] = {}
        for b in order:
            own.setdefault(filling.plans[b].face, []).append(b)
        placed: Placed = []
        for _, part in self._arranged(order, filling):
            for face, ordered in part.spots.items():
                blocks = own[face]
                placed += [(blocks[k], left, right) for k, _, left, right in ordered.spots]
        return sorted(placed, key=lambda each: (filling.plans[each[0]].face, each[1]))

    def _arranged(self, order: Sequence[int], filling: Filling) -> list[tuple[int, _Part]]:
        states: dict[int, list[tuple[str, int]]] = {}
        for b in order:
            plan = filling.plans[b]
            category = plan.category if plan.category in self._bonds.named else ""
            states.setdefault(plan.face, []).append((category, filling.widths[b]))
        found = []
        for n, faces in enumerate(self._parts):
            key = (n, tuple(tuple(states.get(face, ())) for face in faces))
            part = self._known.get(key)
            if part is None:
                if len(self._known) > _MOST_KNOWN:
                    self._known.clear()
                part = self._arrange(faces, key[1])
                self._known[key] = part
            found.append((n, part))
        return found

    def _count(self, parts: Iterable[_Part]) -> int:
        groups: dict[str, int] = {}
        touching: set[frozenset[str]] = set()
        for part in parts:
            touching |= part.touching
            for category, count in part.groups.items():
                groups[category] = groups.get(category, 0) + count
        rules = self.rules
        many = sum(max(0, groups.get(c, 0) - most) for c, most in rules.blocks.items())
        parted = sum(frozenset(pair) not in touching for pair in rules.touch)
        return many + parted + sum(frozenset(pair) in touching for pair in rules.apart)

    def _disorder(self, filling: Filling) -> int:
        if not self.rules.order:
            return 0
        reach: dict[str, tuple[float, float]] = {}
        for b in {b for (b, _, _), count in filling.facings.items() if count}:
            at = self.stations[filling.plans[b].face]
            if at is not None:
                category = filling.plans[b].category
                near, far = reach.get(category, (at, at))
                reach[category] = (min(near, at), max(far, at))
        return disorder(self.rules, reach)

    def _arrange(self, faces: Sequence[int], states: Sequence[FaceState]) -> _Part:
        """Choose for each face the order of its blocks, face by face until nothing gets better."""
        shown = {face: state for face, state in zip(faces, states, strict=True) if state}
        choices = {
            face: options(
                state,
                int(self._faces[face].width * PER_MM + 1e-6),
                self._bonds,
                face in self._across,
            )
            for face, state in shown.items()
        }
        chosen = {face: own[0] for face, own in choices.items()}
        moving = [face for face, own in choices.items() if len(own) > 1]
        plain = self._judged(chosen)
        if not moving or self._ideal(plain, shown.values()):
            return plain
        for sweep in range(_SWEEPS):
            before = dict(chosen)
            for face in moving if sweep % 2 == 0 else reversed(moving):
                chosen[face] = self._best(face, choices[face], chosen, shown)
            if chosen == before:
                break
        swept = self._judged(chosen)
        if not self._ideal(swept, shown.values()):
            self._settle_pairs(moving, choices, chosen, shown)
            swept = self._judged(chosen)
        return min((plain, swept), key=self._lack)

    def _ideal(self, part: _Part, states: Iterable[FaceState]) -> bool:
        """Say whether no other order of blocks could meet more wishes."""
        bonds = self._bonds
        shown = {category for state in states for category, _ in state}
        return (
            all(count == 1 for count in part.groups.values())
            and not part.touching & bonds.apart
            and all(pair in part.touching or not pair <= shown for pair in bonds.touch)
        )

    def _lack(self, part: _Part) -> float:
        """Give how far a part is from what is wished: smaller is better."""
        groups = sum(part.groups.values()) + len(part.touching & self._bonds.apart)
        return groups - TOUCH * len(part.touching & self._bonds.touch)

    def _best(
        self,
        face: int,
        choices: Sequence[Ordered],
        chosen: Mapping[int, Ordered],
        shown: Mapping[int, FaceState],
        without: int = -1,
    ) -> Ordered:
        """Give the best order of a face among the orders chosen for others."""
        costs = [self._cost(face, own, chosen, shown, without) for own in choices]
        return choices[costs.index(min(costs))]

    def _settle_pairs(
        self,
        moving: Sequence[int],
        choices: Mapping[int, Sequence[Ordered]],
        chosen: dict[int, Ordered],
        shown: Mapping[int, FaceState],
    ) -> None:
        """Set two neighbouring faces anew together where that breaks fewer wishes."""
        pairs = [(link.left, link.right) for link in self.links]
        pairs += [(over.lower, over.upper) for over in self.overs]
        for one, other in pairs:
            if one not in moving or other not in moving:
                continue
            if not self._bonds.meet(shown[one], shown[other]):
                continue
            kept = chosen[one], chosen[other]
            best = self._both(one, other, chosen, shown)
            for mine in choices[one]:
                chosen[one] = mine
                chosen[other] = self._best(other, choices[other], chosen, shown)
                cost = self._both(one, other, chosen, shown)
                if cost < best - _GAIN:
                    best, kept = cost, (mine, chosen[other])
            chosen[one], chosen[other] = kept

    def _both(
        self, one: int, other: int, chosen: Mapping[int, Ordered], shown: Mapping[int, FaceState]
    ) -> float:
        """Give what two faces cost, what lies between them counted once."""
        return self._cost(other, chosen[other], chosen, shown) + self._cost(
            one, chosen[one], chosen, shown, without=other
        )

    def _cost(
        self,
        face: int,
        own: Ordered,
        chosen: Mapping[int, Ordered],
        shown: Mapping[int, FaceState],
        without: int = -1,
    ) -> float:
        """Give what an order of a face costs among the orders chosen for others, but for one."""
        cost, bonds = own.cost, self._bonds
        for link in self._beside.get(face, ()):
            left = link.left == face
            other = link.right if left else link.left
            if other not in shown:
                continue
            end = own.spots[-1][1] if left else own.spots[0][1]
            if end:
                cost -= _HOPE * bonds.hope(end, shown[other])
            if other in chosen and other != without:
                pair = (own, chosen[other]) if left else (chosen[other], own)
                cost += bonds.cost(*met(*pair, link.gap))
        for over in self._across.get(face, ()):
            upper = over.upper == face
            other = over.lower if upper else over.upper
            if other in chosen and other != without:
                pair = (own, chosen[other]) if upper else (chosen[other], own)
                cost += _cost_over(*pair, over.shift, bonds)
        return cost

    def clusters(self, filling: Filling) -> dict[str, list[tuple[int, ...]]]:
        """Give the blocks of each category with wishes, group by group of those that touch."""
        order = _ordered(filling, self._rank)
        own: dict[int, list[int]] = {}
        for b in order:
            own.setdefault(filling.plans[b].face, []).append(b)
        found: dict[str, list[tuple[int, ...]]] = {}
        for _, part in self._arranged(order, filling):
            named = _named(part.spots)
            for category, spots in components(named, self._pairs(part.spots)):
                blocks = (own[face][part.spots[face].spots[j][0]] for face, j in spots)
                found.setdefault(category, []).append(tuple(blocks))
        return found

    def _judged(self, chosen: Mapping[int, Ordered]) -> _Part:
        """Count groups and pairs that touch, exactly."""
        named, pairs = _named(chosen), self._pairs(chosen)
        return _Part(
            chosen, group_counts(named, pairs, self.rules.blocks), named_pairs(named, pairs)
        )

    def _pairs(self, chosen: Mapping[int, Ordered]) -> list[tuple[Name, Name]]:
        """List the blocks that touch, by face and place on it."""
        pairs: list[tuple[Name, Name]] = []
        for face, own in chosen.items():
            for (j, one), (k, other) in pairwise(enumerate(own.spots)):
                if other[2] - one[3] < NEAR_MM - TOLERANCE_MM:
                    pairs.append(((face, j), (face, k)))
        for link in self.links:
            if link.left in chosen and link.right in chosen:
                left, right = chosen[link.left], chosen[link.right]
                if left.right_free + link.gap + right.left_free < NEAR_MM - TOLERANCE_MM:
                    pairs.append(((link.left, len(left.spots) - 1), (link.right, 0)))
        for over in self.overs:
            if over.upper in chosen and over.lower in chosen:
                high, low = chosen[over.upper], chosen[over.lower]
                for j, one in enumerate(high.spots):
                    for k, other in enumerate(low.spots):
                        if laps(one, other, over.shift):
                            pairs.append(((over.upper, j), (over.lower, k)))
        return pairs


def _named(chosen: Mapping[int, Ordered]) -> dict[Name, str]:
    """Give the categories with wishes, by face and place on it."""
    return {
        (face, j): spot[1]
        for face, own in chosen.items()
        for j, spot in enumerate(own.spots)
        if spot[1]
    }


@lru_cache(maxsize=100_000)
def _cost_over(upper: Ordered, lower: Ordered, shift: float, bonds: Bonds) -> float:
    """Give what it costs that blocks of a run hang over those below."""
    over = stacked(upper, lower, shift)
    return sum(bonds.cost(one[1], other[1]) for one, other in over if one[1] and other[1])
