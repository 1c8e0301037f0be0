"""Fills one or two of many faces anew, again and again, at prices that lead to full faces."""

from __future__ import annotations

import math
import random
from collections.abc import Iterable, Mapping, Sequence

from shopfit.solver.effort import Purse
from shopfit.solver.facefilling import FaceFilling, FaceType, PricedBlock, Prices
from shopfit.solver.fill import Filler
from shopfit.solver.filling import BlockPlan, Cell, Filling
from shopfit.solver.pricing import Pricer
from shopfit.stopping import StopFlag

# A facing or unit missing from a minimum counts as much as this many of the dearest facings.
_SHORT = 1000.0
# Faces filled anew together, at first and once that gains little; how often the others show what
# the first one shows, how many other categories may come to stand there, and by how much prices are
# shaken.
FEW_TOGETHER = (1, 2)
MORE_TOGETHER = (1, 2, 2, 3)
_AKIN = 0.7
_OTHERS = 1
_SHAKEN = 0.3
# What goods as large as usual add to what a filling is judged by, in facings: of fillings that show
# as many, the one with large goods leaves small ones over, for which there is room more often.
_FULLNESS = 0.6
# How often the first face is one that can show what misses its minimum, where something does.
_MENDING = 0.5
_EPS = 1e-9
# Seconds of a slow core that an attempt costs, for each second of work at prices.
_ALL_TOLD = 1.0


class InTurn:
    """What stands on the faces of a floor, and how a few of them are filled anew.

    A face emptied is filled as well as can be with what all others leave, by dynamic programming.
    What is left over is worth nothing, so not worth but size makes prices: they fill a face to its
    ends. What is no worse in worth and size together is kept, and may show a little less for a
    while; what is given in the end is the filling with the most worth.

    Parameters
    ----------
    filler, filling
        The faces, and what stands on them.
    seed
        Of the random choices.
    together
        Numbers of faces filled anew together, one of which is drawn each time.
    """

    def __init__(
        self,
        filler: Filler,
        filling: Filling,
        seed: int,
        together: Sequence[int] = FEW_TOGETHER,
    ) -> None:
        self._filler, self._rng, self._together = filler, random.Random(seed), together
        scenario = filler.site.scenario
        self._lines = {line.line: line for line in scenario.lines}
        # In the order of the range, and found at once.
        self._wanted = {
            n: None for n, line in self._lines.items() if line.min_facings or line.holding
        }
        names = {category: filler.lines(category) for category in filler.categories}
        self._minimums: dict[str, list[str]] = {}
        for name in self._wanted:
            self._minimums.setdefault(self._lines[name].category, []).append(name)
        self._pricer = Pricer(names, filler.display, filler.faces)
        self._types = [self._pricer.type_of(face) for face in filler.faces]
        self._missing = _SHORT * max(1.0, filler.worth.dearest)
        self._price = self._prices()
        self._fullness = _FULLNESS * filler.worth.last
        self._count = dict.fromkeys(self._lines, 0)
        self._held = dict.fromkeys(self._lines, 0)
        self._counted = dict.fromkeys(self._lines, 0.0)
        self._cost = 0.0
        self._at = _standing(filling, len(self._types))
        self._shows = [_categories(own) for own in self._at]
        for face, own in enumerate(self._at):
            self._put(face, own, 1)
        self._short_lines = self._missed()
        self._now = self._value(self._lines)
        self._best = self._now, list(self._at)

    def _prices(self) -> dict[str, float]:
        """Give each line a price that grows with its worth and with its size."""
        prices = {}
        for name, line in self._lines.items():
            worth = self._filler.worth.of(name, line.max_facings) / max(1, line.max_facings)
            prices[name] = worth * line.width * line.height
        usual = sum(prices.values()) / max(1, len(prices))
        return {name: price / usual if usual > 0 else 1.0 for name, price in prices.items()}

    def _put(self, face: int, own: FaceFilling, sign: int) -> None:
        """Put a filling on a face, or take it off."""
        shown, kind = self._filler.display, self._types[face].kind
        for block in own.blocks:
            for row, group in zip(block.rows, block.pattern.groups, strict=True):
                weight = shown.weight(block.category, group)
                for name, facings in row.items():
                    self._counted[name] += sign * weight * facings
        for name, facings in own.facings.items():
            showing = shown.showings[name, kind]
            self._count[name] += sign * facings
            self._held[name] += sign * facings * showing.units
            self._cost += sign * facings * showing.cost

    def _value(self, names: Iterable[str]) -> float:
        """Give the worth of some lines, less what their minimums miss."""
        worth = self._filler.worth
        return sum(worth.of(n, self._counted[n]) - self._missing * self._short(n) for n in names)

    def _short(self, name: str) -> int:
        line = self._lines[name]
        missing = max(0, line.min_facings - self._count[name])
        return missing + max(0, line.holding - self._held[name])

    def _missed(self) -> list[str]:
        return [name for name in self._wanted if self._short(name) > 0]

    def bettered(self, goal: float, stop: StopFlag, purse: Purse) -> Filling:
        """Fill faces anew until a goal is reached or the work allowed is used up.

        Returns
        -------
        A filling at least as good.
        """
        while purse.left > 0 and self._best[0] < goal - _EPS and not stop.requested:
            before = self._pricer.work.seconds
            self._try(*self._drawn())
            purse.spend(_ALL_TOLD * (self._pricer.work.seconds - before))
        self._at = self._best[1]
        return self._filling()

    def _drawn(self) -> tuple[list[int], list[str]]:
        """Draw faces that mostly show categories in common, and what may stand there."""
        rng, every = self._rng, range(len(self._types))
        group, shows = [], set()
        if self._short_lines and rng.random() < _MENDING:
            line = self._lines[rng.choice(self._short_lines)]
            able = [n for n in every if self._filler.can_show(line, n)]
            group = [rng.choice(able)] if able else []
            shows = {line.category}
        group = group or [rng.choice(every)]
        shows = shows | self._shows[group[0]]
        akin = [n for n, own in enumerate(self._shows) if not shows.isdisjoint(own)]
        size = min(len(every), rng.choice(self._together))
        while len(group) < size:
            face = rng.choice(akin) if akin and rng.random() < _AKIN else rng.choice(every)
            if face not in group:
                group.append(face)
                shows |= self._shows[face]
        names = self._filler.categories
        others = [name for name in names if name not in shows]
        shows |= set(rng.sample(others, min(_OTHERS, len(others))))
        return group, [name for name in names if name in shows]

    def _try(self, group: list[int], names: list[str]) -> None:
        """Fill some faces anew, and put back what stood there if that was better."""
        old, cost = [self._at[n] for n in group], self._cost
        self._swap(group, old, [])
        prices = self._shaken(names)
        new: list[FaceFilling] = []
        for face in group:
            found = self._found(face, group, names, prices)
            self._put(face, found, 1)
            new.append(found)
        touched = {name for own in (*old, *new) for name in own.facings}
        after, spent = self._value(touched), self._cost
        self._swap(group, new, old)
        gained = after - self._value(touched)
        money = self._filler.money
        dear = money is not None and spent > max(money, cost) + _EPS
        larger = sum(map(self._size, new)) - sum(map(self._size, old))
        if dear or gained + self._fullness * larger < -_EPS:
            return
        self._swap(group, old, new)
        for face, own in zip(group, new, strict=True):
            self._at[face], self._shows[face] = own, _categories(own)
        self._short_lines = self._still_missed(touched)
        self._now += gained
        if self._now >= self._best[0] - _EPS:
            self._best = self._now, list(self._at)

    def _size(self, own: FaceFilling) -> float:
        """Give how large the goods of a filling are, of which usual ones count one."""
        return sum(self._price[name] * facings for name, facings in own.facings.items())

    def _still_missed(self, touched: set[str]) -> list[str]:
        """Bring the lines that miss minimums up to date, by those that were touched alone."""
        still = [name for name in self._short_lines if self._short(name) > 0]
        known = set(still)
        more = (name for name in touched if name not in known and name in self._wanted)
        return still + sorted(name for name in more if self._short(name) > 0)

    def _swap(
        self, group: Sequence[int], old: Sequence[FaceFilling], new: Sequence[FaceFilling]
    ) -> None:
        for sign, fillings in ((-1, old), (1, new)):
            for face, own in zip(group, fillings, strict=False):
                self._put(face, own, sign)

    def _shaken(self, names: Iterable[str]) -> dict[str, float]:
        """Shake the prices of what is left."""
        prices = {}
        for name in (line.line for category in names for line in self._filler.lines(category)):
            prices[name] = 0.0
            if self._count[name] < self._lines[name].max_facings:
                prices[name] = self._price[name] * (1 + _SHAKEN * self._rng.random())
        return prices

    def _found(
        self, face: int, group: Sequence[int], names: Sequence[str], prices: Mapping[str, float]
    ) -> FaceFilling:
        """Give the best filling of an empty face with what is left."""
        own = self._types[face]
        alike = [k for k in (self._types[n] for n in group) if _class(k) == _class(own)]
        left = {name: self._lines[name].max_facings - self._count[name] for name in prices}
        urgent = self._urgent(names, own.kind)
        priced = self._pricer.priced(
            max(alike), Prices(prices, dict.fromkeys(prices, 0.0), urgent), left, own.units, names
        )
        return priced.best(own.units)[1]

    def _urgent(self, names: Iterable[str], kind: int) -> dict[str, tuple[int, float]]:
        """Give how many facings of lines miss minimums, and what each of these is worth more."""
        found = {}
        for category in names:
            for name in self._minimums.get(category, ()):
                showing = self._filler.display.showings.get((name, kind))
                if showing is None or self._short(name) == 0:
                    continue
                line = self._lines[name]
                unheld = math.ceil((line.holding - self._held[name]) / showing.units)
                count = max(line.min_facings - self._count[name], unheld)
                found[name] = (count, self._missing)
        return found

    def _filling(self) -> Filling:
        plans: list[BlockPlan] = []
        widths: list[int] = []
        facings: dict[Cell, int] = {}
        for face, own in enumerate(self._at):
            for block in own.blocks:
                for r, row in enumerate(block.rows):
                    facings |= {(len(plans), r, name): count for name, count in row.items()}
                plans.append(BlockPlan(face, block.category, block.pattern))
                widths.append(block.width)
        return Filling(plans, widths, facings)


def _class(kind: FaceType) -> tuple[object, ...]:
    return kind.kind, kind.near, kind.barred


def _categories(own: FaceFilling) -> set[str]:
    return {block.category for block in own.blocks}


def _standing(filling: Filling, faces: int) -> list[FaceFilling]:
    """Give what stands on each face."""
    blocks: list[list[PricedBlock]] = [[] for _ in range(faces)]
    for b, cells in sorted(filling.by_block().items()):
        plan = filling.plans[b]
        rows: list[dict[str, int]] = [{} for _ in plan.pattern.rows]
        for (row, name), count in cells:
            rows[row][name] = count
        block = PricedBlock(plan.category, plan.pattern, tuple(rows), filling.widths[b])
        blocks[plan.face].append(block)
    return [FaceFilling.of(own) for own in blocks]
