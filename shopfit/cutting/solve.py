"""Finds the cheapest boards to cut pieces from, with a bound below which no plan can be."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from shopfit.cutting.answer import Answer
from shopfit.cutting.bounds import fewest_boards
from shopfit.cutting.cover import Cover, Key
from shopfit.cutting.lengths import every_length
from shopfit.cutting.pool import Pool
from shopfit.cutting.problem import Pattern, Problem, common_unit
from shopfit.cutting.renewing import Renewer, Work
from shopfit.cutting.shelving import lay
from shopfit.cutting.staged import Stages
from shopfit.stopping import StopFlag

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

# Pieces laid at an effort of 1: some six seconds.
_WORK = 900_000
_SHARES = (0.25, 0.2, 0.2, 0.2, 0.15)
_ORDERS = 20
# Patterns times kinds of a choice among patterns; with more kinds than a few it is not made by
# branching but by diving.
_AMONG, _MOST, _FEW, _NODES, _DIVING = 120_000, 3_000, 50, 200, 12_000
# Money makes harder choices than counts do.
_MOST_OF_SEVERAL, _NODES_OF_SEVERAL = 800, 30
# Elements of the dynamic programs that take as long as laying a piece.
_ELEMENTS = 1_500
# Pieces laid in the time of one linear program.
_LINEAR = 6_000
# Part of the work that goes into the bound; of boards of several kinds nothing else bounds the mix.
_BOUNDING, _BOUNDING_SEVERAL = 0.15, 0.5
_UNCUT = -1
# Lengths with no more patterns than this are proved by a choice among all of them.
_ALL_PATTERNS, _PROOF_NODES = 3_000, 2_000
# Cuts are made fewer by a program of their own where that is small.
_FEW_KINDS, _FEW_PATTERNS, _FEW_NODES = 40, 300, 5


def solve(
    problem: Problem,
    effort: float = 1.0,
    stop: StopFlag | None = None,
    few_cuts: bool = True,
) -> Answer:
    """Cut all pieces from the boards that cost least, and of these plans take one of few cuts.

    Parameters
    ----------
    problem
        Pieces and boards.
    effort
        How hard to search; the answer depends on it alone, not on the machine.
    stop
        Raised to end early with the best plan so far.
    few_cuts
        Whether cuts matter at all; counting boards is quicker without.

    Notes
    -----
    Shelves in shaken orders, boards emptied by laying a few of them anew, and a choice among all
    boards ever laid (Monaci and Toth 2006, INFORMS Journal on Computing 18(1), 71-85, from
    memory). The bound is that of dual feasible functions, and where it leaves a gap that of
    column generation over three-stage patterns, each kind as often as it fits.
    """
    return _Search(problem, effort, stop or StopFlag(), few_cuts).run()


class _Search:
    def __init__(self, problem: Problem, effort: float, stop: StopFlag, few_cuts: bool) -> None:
        self.problem, self.few_cuts = problem, few_cuts
        self.work = Work(max(1, int(_WORK * effort)), stop)
        self.pool = Pool(problem.boards)
        self.renewers = [
            Renewer(number, board, self.pool) for number, board in enumerate(problem.boards)
        ]
        fitting = problem.fitting
        self.pieces = [
            [kind for kind in fitting if board.forms[kind] for _ in range(problem.demands[kind])]
            for board in problem.boards
        ]
        self.wanted = sum(problem.demands[kind] for kind in fitting)
        self.unit = common_unit(board.cost for board in problem.boards)
        dearest = max((board.cost for board in problem.boards), default=1)
        self.dropping = 1.0 + 2.0 * dearest * max(1, self.wanted)
        self.short = any(board.most < self.wanted for board in problem.boards)
        self.best: list[Key] = []
        self.bound, self.any_cuts = 0, True

    def run(self) -> Answer:
        if self.wanted:
            self._search()
        return self._answer()

    def _search(self) -> None:
        boards, demands = self.problem.boards, self.problem.demands
        least = [
            fewest_boards(board, [n if board.forms[kind] else 0 for kind, n in enumerate(demands)])
            for board in boards
        ]
        self._bound_freely(least)
        if self._try_everything():
            return
        standing = [
            renewer.start(pieces, _ORDERS, low, self.work) if pieces else []
            for renewer, pieces, low in zip(self.renewers, self.pieces, least, strict=True)
        ]
        for number, kinds in enumerate(standing):
            self._offer([(number, each) for each in kinds])
        alone = len(boards) == 1 and not self.short
        shares, total = _SHARES, self.work.left
        if not alone:
            self._choose()
            self._generate(int(total * _BOUNDING_SEVERAL / 2))
            self._choose()
        for turn, share in enumerate(shares):
            if self._closed or self.work.over:
                break
            if turn == 1:
                self._generate(int(total * (_BOUNDING if alone else _BOUNDING_SEVERAL / 2)))
            for number, renewer in enumerate(self.renewers):
                if standing[number]:
                    part = Work(int(total * share / len(boards)), self.work.stop)
                    given = part.left
                    standing[number] = renewer.renew(standing[number], least[number] * alone, part)
                    self.work.left -= given - max(0, part.left)
                    self._offer([(number, each) for each in standing[number]])
            if self._closed and alone:
                break
            self._choose()
            if alone and turn % 2:
                # From elsewhere another valley may be reached; the pool keeps what was found.
                standing[0] = self.renewers[0].afresh(self.pieces[0], self.work)
            elif alone:
                standing[0] = [kinds for _, kinds in self.best]
        self._fewest_cuts()

    def _try_everything(self) -> bool:
        """Where lengths have few patterns, choose among all of them, which proves the choice."""
        boards, demands = self.problem.boards, self.problem.demands
        if self.short or any(board.height > 1 for board in boards):
            return False
        listed: list[Key] = []
        for number, board in enumerate(boards):
            patterns = every_length(board, demands, _ALL_PATTERNS - len(listed))
            if patterns is None:
                return False
            listed += [(number, kinds) for kinds in patterns]
        for number, kinds in listed:
            self.pool.add_laid(number, lay(boards[number], kinds)[0], False)
        costs = [float(boards[number].cost) for number, _ in listed]
        cover = Cover(self.problem, listed, costs)
        chosen = cover.choose(range(len(listed)), _PROOF_NODES)
        if chosen is None:
            return False
        self._offer([listed[n] for n in chosen])
        self._raise(cover.least)
        if self._closed:
            self._fewest_cuts()
        return self._closed

    @property
    def _closed(self) -> bool:
        return bool(self.best) and self._cost(self.best) <= self.bound

    def _cost(self, keys: Sequence[Key]) -> float:
        boards = self.problem.boards
        return sum(self.dropping if n == _UNCUT else boards[n].cost for n, _ in keys)

    def _offer(self, keys: Sequence[Key]) -> None:
        """Take up a plan where it is whole, keeps to the boards there are, and is cheaper."""
        used: dict[int, int] = {}
        for number, _ in keys:
            used[number] = used.get(number, 0) + 1
        boards = self.problem.boards
        if any(n != _UNCUT and count > boards[n].most for n, count in used.items()):
            return
        if sum(len(kinds) for _, kinds in keys) < self.wanted:
            return
        if not self.best or self._cost(keys) < self._cost(self.best):
            self.best = list(keys)

    def _bound_freely(self, least: Sequence[int]) -> None:
        """Bound from below whatever the cuts: by one board, or by the area of several."""
        boards = self.problem.boards
        if len(boards) == 1:
            self.bound = least[0] * boards[0].cost
            return
        # Pieces that a board alone takes need that board, and the cheapest mix of the rest is no
        # cheaper than the cheapest area.
        each = min((board.cost / (board.width * board.height) for board in boards), default=0.0)
        sizes = [
            min(form.width * form.height for board in boards for form in board.forms[kind])
            * self.problem.demands[kind]
            for kind in self.problem.fitting
        ]
        self._raise(sum(sizes) * each)

    def _raise(self, bound: float) -> bool:
        """Take up a bound, rounded up to what boards can cost."""
        whole = math.ceil(bound / self.unit - 1e-6) * self.unit
        better = whole > self.bound
        self.bound = max(self.bound, whole)
        return better

    def _keys(self, most: int) -> tuple[list[Key], list[float]]:
        keys: list[Key] = list(self.pool.fullest(most))
        seen = set(keys)
        keys += [key for key in self.best if key[0] != _UNCUT and key not in seen]
        costs = [float(self.problem.boards[number].cost) for number, _ in keys]
        if self.short:
            kinds = self.problem.fitting
            keys += [(_UNCUT, (kind,)) for kind in kinds]
            costs += [self.dropping] * len(kinds)
        return keys, costs

    def _choose(self) -> None:
        """Choose the cheapest of everything laid so far."""
        cover = Cover(self.problem, *self._keys(12_000))
        relaxed = cover.relax()
        if relaxed is None or self.work.stop.requested:
            return
        least = math.ceil(relaxed.worth / self.unit - 1e-6) * self.unit
        now = self._cost(self.best) if self.best else math.inf
        if least >= now:
            return
        # What costs more at these prices than there is to gain is in no better plan.
        gain = (now if self.best else relaxed.worth * 1.2) - self.unit - relaxed.worth
        at = [n for n, more in enumerate(relaxed.reduced) if more <= gain + 1e-6]
        at = sorted(at, key=lambda n: (relaxed.reduced[n], n))
        several = len(self.problem.boards) > 1
        at = at[: min(_MOST_OF_SEVERAL if several else _MOST, _AMONG // len(cover.rows))]
        if len(cover.rows) > _FEW and len(self.problem.boards) == 1:
            self._dive(cover, at)
            return
        standing, among = set(self.best), set(at)
        at += [n for n, key in enumerate(cover.keys) if key in standing and n not in among]
        chosen = cover.choose(at, _NODES_OF_SEVERAL if several else _NODES)
        if chosen is not None:
            self._offer([cover.keys[n] for n in chosen])

    def _dive(self, cover: Cover, at: list[int]) -> None:
        """Take patterns for good, the surest first, and lay what is left anew after each."""
        import numpy as np

        wanted = cover.wanted.copy()
        taken: list[tuple[int, ...]] = []
        while wanted.any() and not self.work.over:
            for column in cover.surest(at, wanted)[: 1 + len(taken) // 3]:
                kinds = self._useful(cover.keys[column][1], wanted, cover.rows)
                wanted = np.maximum(0.0, wanted - cover.given(column))
                taken.append(kinds)
            left = [kind for kind, n in zip(cover.rows, wanted, strict=True) for _ in range(int(n))]
            spare = len(self.best) - 1 - len(taken)
            if spare < 0 or not taken:
                return
            rest = self.renewers[0].start(left, _ORDERS, spare, self.work) if left else []
            if len(rest) == spare + 1:
                part = Work(_DIVING, self.work.stop)
                rest = self.renewers[0].renew(rest, spare, part)
                self.work.left -= _DIVING - max(0, part.left)
            if len(rest) <= spare:
                self._offer([(0, kinds) for kinds in (*taken, *rest)])
                return

    def _useful(self, kinds: tuple[int, ...], wanted: Floats, rows: list[int]) -> tuple[int, ...]:
        """Keep of a pattern what is still wanted, and remember what is left of it."""
        left = {kind: int(n) for kind, n in zip(rows, wanted, strict=True)}
        kept = []
        for kind in kinds:
            if left[kind]:
                left[kind] -= 1
                kept.append(kind)
        return self.pool.lessen(0, kinds, tuple(kept))

    def _generate(self, most: int) -> None:
        """Raise the bound by column generation; what it finds goes into the pool too."""
        boards = self.problem.boards
        stages = [
            (number, upright, Stages(way, self.problem.demands))
            for number, board in enumerate(boards)
            if self.pieces[number]
            for upright, way in ((False, board), (True, board.transposed))
        ]
        spent, keys, costs = 0, *self._keys(600)
        known, best = set(keys), 0.0
        while spent < most and not self.work.stop.requested:
            relaxed = Cover(self.problem, keys, costs).relax()
            if relaxed is None:
                return
            worth, new = [0.0] * len(boards), False
            spent += _LINEAR
            for number, upright, stage in stages:
                spent += stage.work // _ELEMENTS
                found, kinds, laid = stage.best(relaxed.prices)
                worth[number] = max(worth[number], found)
                self.pool.add_laid(number, laid, upright)
                if (number, kinds) not in known and found > boards[number].cost + 1e-7:
                    known.add((number, kinds))
                    keys.append((number, kinds))
                    costs.append(float(boards[number].cost))
                    new = True
            bound = self._farley(relaxed.prices, worth)
            if bound > best:
                best = bound
                if self._raise(bound):
                    self.any_cuts = False
            enough = math.ceil(relaxed.worth / self.unit - 1e-6) * self.unit <= self.bound
            if not new or enough or self._closed:
                break
        self.work.left -= spent

    def _farley(self, prices: Iterable[float], worth: Sequence[float]) -> float:
        """Make prices so low that no board is worth more than it costs, and add them up.

        Farley 1990, Operations Research 38(5), 922-923, from memory; a board of which there are
        few may be worth more, at the price of all there are.
        """
        boards, demands = self.problem.boards, self.problem.demands
        rates = [
            board.cost / value
            for board, value in zip(boards, worth, strict=True)
            if board.most >= self.wanted and value > 0
        ]
        rate = min([1.0, *rates])
        total = rate * sum(price * n for price, n in zip(prices, demands, strict=True))
        for board, value in zip(boards, worth, strict=True):
            if board.most < self.wanted:
                total -= board.most * max(0.0, rate * value - board.cost)
        return total

    def _fewest_cuts(self) -> None:
        """Of plans as cheap, take one with fewer boards and then with fewer cuts."""
        if not self.few_cuts or not self.best or any(n == _UNCUT for n, _ in self.best):
            return
        if len(self.problem.fitting) <= _FEW_KINDS:
            self._choose_few_cuts()
        for number, kinds in set(self.best):
            self.renewers[number].simplify(kinds)

    def _choose_few_cuts(self) -> None:
        import numpy as np

        keys, costs = self._keys(_FEW_PATTERNS)
        at = [n for n, (number, _) in enumerate(keys) if number != _UNCUT]
        cover = Cover(self.problem, keys, costs)
        # A board more is dearer than any number of cuts.
        each = [0.0 if n == _UNCUT else 1e3 + self.pool.get(n, kinds).cuts for n, kinds in keys]
        chosen = cover.choose(at, _FEW_NODES, np.array(each), self._cost(self.best))
        if chosen is None:
            return
        plan = [cover.keys[n] for n in chosen]
        if self._rank(plan) < self._rank(self.best):
            self.best = plan

    def _rank(self, keys: Sequence[Key]) -> tuple[float, int, int]:
        return self._cost(keys), len(keys), sum(self.pool.get(*key).cuts for key in keys)

    def _answer(self) -> Answer:
        left = list(self.problem.demands)
        patterns: list[Pattern] = []
        # The fullest give all their pieces; the emptiest lose what there is twice.
        ordered = sorted(
            (key for key in self.best if key[0] != _UNCUT),
            key=lambda key: (key[0], -round(self.pool.fill(*key), 6), len(key[1]), key[1]),
        )
        for number, kinds in ordered:
            pattern = self.pool.get(number, kinds)
            places = []
            for place in pattern.places:
                if left[place.kind]:
                    left[place.kind] -= 1
                    places.append(place)
            if places:
                patterns.append(Pattern(number, tuple(places), pattern.cuts))
        uncut = tuple(kind for kind, n in enumerate(left) for _ in range(n))
        cost = sum(self.problem.boards[pattern.board].cost for pattern in patterns)
        return Answer(tuple(patterns), uncut, cost, min(self.bound, cost), self.any_cuts)
