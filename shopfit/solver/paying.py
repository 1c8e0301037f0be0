"""Chooses the goods of a filled floor anew, so that whole packs for them keep to the money."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace

from shopfit.model.fixtures import Fixture
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from shopfit.solver.bettering import Betterer
from shopfit.solver.effort import Purse, effort_of
from shopfit.solver.fill import Filler
from shopfit.solver.filling import Filling
from shopfit.solver.held import Filled
from shopfit.solver.improve import improve
from shopfit.solver.inturn import in_turn
from shopfit.solver.packs import charged, packs
from shopfit.solver.resume import left_of
from shopfit.solver.spending import MONEY_STEP, Bought, Within, laid_out

# What money beyond the budget is charged at, in what the layout is worth for each unit of it.
_CHARGE = 30.0
# Attempts without gain, where faces are refitted in the end.
_PATIENCE = 60
# Fixtures and runs that are tried to be left out at a time.
_TRIED = 4
# Parts of the seconds for filling in turn, of what is left of them for filling all faces first and
# for each try to leave something out, and of the rest for what is shown more for money left over.
_TURNS_SHARE = 0.6
_FIRST_SHARE = 0.4
_EACH_SHARE = 0.04
_SPENDING_SHARE = 0.8


@dataclass(frozen=True)
class _State:
    """A filled floor, what it costs beyond the budget, and its rank."""

    found: Filled
    over: float
    rank: tuple[float, float, float]


@dataclass(frozen=True)
class Payer:
    """Knows what things are sold for in whole packs.

    Parameters
    ----------
    betterer
        Knows how hard to search, and the stop flag.
    sold
        The scenario with the prices and the budget that hold in the end: further searches reckon
        with others.
    bought
        Gives a layout with what has to be bought for it.
    kept
        Takes out of a layout what is too dear; none where minimums are not to be given up.
    """

    betterer: Betterer
    sold: Scenario
    bought: Bought
    kept: Within | None = None

    def cost(self, layout: Layout) -> float:
        """Give what a layout costs in whole sheets and packs."""
        return self.bought(self.sold, layout).claims.cost

    def paid(self, found: Filled, purse: Purse) -> Filled | None:
        """Choose goods anew for the budget, on the same faces.

        Parameters
        ----------
        found
            A filled floor.
        purse
            Seconds of a slow core.

        Returns
        -------
        The floor filled for the budget, or for little more where only fewer fixtures or less
        slat-wall would do; none where there is no budget or it is kept already.
        """
        if self._kept(found):
            return None
        first = self._state(found)
        with purse.lent(_TURNS_SHARE * purse.left) as own:
            best = self._filled(first, _FIRST_SHARE, own)
            best = self._fewer(best, own)
        if best.over <= MONEY_STEP:
            best = self._spent(best, purse)
        return replace(best.found, filler=found.filler)

    def within(self, found: Filled, purse: Purse) -> Filled | None:
        """Give up minimums until the budget is kept, then as few of them as refits can do with.

        What is taken out one by one leaves money over here and goods there that show more than they
        have to.

        Parameters
        ----------
        found
            A floor with goods chosen anew for the budget.
        purse
            Seconds of a slow core.

        Returns
        -------
        None where the budget is kept already, or nothing that keeps it is left.
        """
        budget = self.sold.brief.budget
        if self.kept is None or budget is None:
            return None
        layout = self.bought(self.sold, laid_out(found))
        if layout.claims.cost <= budget + MONEY_STEP:
            return None
        less = self.kept(self.sold, layout)
        left = None if less is None else left_of(found, less)
        if left is None:
            return None
        state = self._state(left)
        return self._spent(state, purse).found if state.over <= MONEY_STEP else None

    def saved(self, found: Filled, purse: Purse) -> Filled:
        """Save whole packs of brackets and boards, as far as nothing that comes before cost falls.

        Where the budget is not kept nothing is saved: goods are chosen anew for it.

        Parameters
        ----------
        found
            A filled floor.
        purse
            Seconds of a slow core.

        Returns
        -------
        The floor filled so that less has to be bought, or as it was.
        """
        if not self._kept(found):
            return found
        filler = _shut(found.filler, _unused(found)).in_packs(packs(self.sold))
        filling = self._improved(filler, found.filling, purse, saving=True)
        less = replace(found, filling=filling)
        if self.cost(laid_out(less)) > self.cost(laid_out(found)) - MONEY_STEP:
            return found
        return less

    def _kept(self, found: Filled) -> bool:
        """Say whether there is no budget, or it is kept and nothing else was reckoned with."""
        budget = self.sold.brief.budget
        if budget is None:
            return True
        return _site(found) is self.sold and self.cost(laid_out(found)) <= budget + MONEY_STEP

    def _state(self, found: Filled) -> _State:
        cost, score = self.cost(laid_out(found)), found.score
        budget = self.sold.brief.budget or 0.0
        each = _CHARGE * self._worth_of_money(score.worth)
        charge = each * charged(cost, budget + MONEY_STEP)
        return _State(found, cost - budget, (-score.short, -score.broken, score.worth - charge))

    def _worth_of_money(self, worth: float) -> float:
        """Give what is shown for a unit of the budget."""
        return worth / max(MONEY_STEP, self.sold.brief.budget or 0.0)

    def _filled(self, state: _State, share: float, purse: Purse) -> _State:
        """Fill faces in turn, while money is worth as much as it takes to spend no more."""
        found = state.found
        known = packs(self.sold)
        # While faces are filled in turn parts of packs are counted: what is lost by whole ones now
        # is kept back.
        money = known.loose(found.filler.shown_in(found.filling)) - state.over
        price = _CHARGE * self._worth_of_money(found.score.worth)
        filler = found.filler.in_packs(replace(known, money=money, price=price))
        with purse.lent(share * purse.left) as own:
            filling = self._in_turn(filler, found.filling, own)
        return max(state, self._state(replace(found, filling=filling)), key=lambda each: each.rank)

    def _in_turn(self, filler: Filler, filling: Filling, purse: Purse) -> Filling:
        better, options = self.betterer, self.betterer.options
        if filler.neighbours is not None:
            return self._improved(filler, filling, purse)
        seeds = range(options.seed, options.seed + options.workers)
        turns = in_turn(filler, filling, seeds, better.goal(), better.stop, purse, better.prices)
        for found in turns:
            if filler.rank(found) > filler.rank(filling) and filler.allowed(found):
                filling = found
        return filling

    def _fewer(self, state: _State, purse: Purse) -> _State:
        """Leave out fixtures and slat-wall as long as that is better."""
        while purse.left > 0 and not self.betterer.stop.requested:
            found = state.found
            tried = [state]
            for faces in self._spared(found)[:_TRIED]:
                filler = _shut(found.filler, faces)
                filling = found.filling.without({n: f.barred for n, f in enumerate(filler.faces)})
                less = self._state(replace(found, filler=filler, filling=filling))
                tried.append(self._filled(less, _EACH_SHARE, purse))
            best = max(tried, key=lambda each: each.rank)
            if best is state:
                break
            state = best
        return state

    def _spared(self, found: Filled) -> list[frozenset[int]]:
        """Give the faces of fixtures and runs that may be left out, most money for least first."""
        own: dict[str, frozenset[int]] = {}
        for number, face in enumerate(found.fixed.faces):
            own[face.host] = own.get(face.host, frozenset()) | {number}
        used = Counter[int]()
        for (b, _, _), facings in found.filling.facings.items():
            used[found.filling.plans[b].face] += facings
        ranked: list[tuple[float, frozenset[int]]] = []
        for faces, cost in self._hosts(found, own):
            if faces & used.keys() and cost > MONEY_STEP:
                ranked.append((sum(used[face] for face in faces) / cost, faces))
        return [faces for _, faces in sorted(ranked, key=lambda entry: entry[0])]

    def _hosts(
        self, found: Filled, own: Mapping[str, frozenset[int]]
    ) -> Iterator[tuple[frozenset[int], float]]:
        """Give faces and cost of each run, and of each fixture with the runs over it."""
        costs: dict[str, float] = {}
        for run in found.fixed.runs:
            area = (run.to_mm - run.from_mm) * (run.top_mm - run.bottom_mm)
            costs[run.id] = found.problem.site.slat_cost(area)
            yield own.get(run.id, frozenset()), costs[run.id]
        names = Counter(placement.fixture for placement in found.fixed.placements)
        for placement in found.fixed.placements:
            fixture = self.sold.catalogue.fixture(placement.fixture)
            if placement.pinned or self._asked_for(found, fixture):
                continue
            over = [run.id for run in found.fixed.runs if placement.id in run.over]
            faces = own.get(placement.id, frozenset()).union(
                *(own.get(tag, frozenset()) for tag in over)
            )
            price = fixture.price if names[fixture.id] > fixture.owned else 0.0
            yield faces, price + sum(costs[tag] for tag in over)

    def _asked_for(self, found: Filled, fixture: Fixture) -> bool:
        """Say whether a fixture has to stand, for no more stand than are asked for."""
        standing = [self.sold.catalogue.fixture(p.fixture) for p in found.fixed.placements]
        return any(
            sum(f.id == wish.fixture or f.kind == wish.kind for f in standing) <= wish.at_least
            for wish in self.sold.brief.wanted
            if fixture.id == wish.fixture or fixture.kind == wish.kind
        )

    def _spent(self, state: _State, purse: Purse) -> _State:
        """Show more for the money that is left, on the faces in use, then save some."""
        found, known = state.found, packs(self.sold)
        money = known.cost(found.filler.shown_in(found.filling)) - state.over
        filler = _shut(found.filler, _unused(found)).in_packs(replace(known, money=money))
        with purse.lent(_SPENDING_SHARE * purse.left) as own:
            filling = self._improved(filler, found.filling, own, goal=self.betterer.goal())
        filling = self._improved(filler, filling, purse, saving=True)
        return max(state, self._state(replace(found, filling=filling)), key=lambda each: each.rank)

    def _improved(
        self,
        filler: Filler,
        filling: Filling,
        purse: Purse,
        saving: bool = False,
        goal: float = math.inf,
    ) -> Filling:
        options = self.betterer.options
        effort = effort_of(purse.left, options.workers)
        return improve(
            filler,
            filling,
            effort,
            options.workers,
            options.seed,
            self.betterer.stop,
            goal,
            lambda better: None,
            purse,
            saving,
            _PATIENCE,
        )


def _site(found: Filled) -> Scenario:
    return found.problem.site.scenario


def _unused(found: Filled) -> frozenset[int]:
    """Give the faces without goods."""
    used = {found.filling.plans[b].face for b, _, _ in found.filling.facings}
    return frozenset(range(len(found.filler.faces))) - used


def _shut(filler: Filler, faces: Collection[int]) -> Filler:
    """Keep goods off some faces, for what they are on is not bought."""
    every = enumerate(filler.faces)
    return filler.restricted({n: filler.categories if n in faces else f.barred for n, f in every})
