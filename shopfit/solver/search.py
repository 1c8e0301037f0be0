"""The whole search: floor and walls together, then goods, then the proof."""

from __future__ import annotations

import math
import time

from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Listener, Progress, Solution
from shopfit.model.proof import gap_between
from shopfit.model.scenario import Scenario
from shopfit.solver import shares
from shopfit.solver.bettering import Betterer
from shopfit.solver.candidates import positions
from shopfit.solver.choosing import Chosen, FloorChooser
from shopfit.solver.effort import POSITION_SECONDS, Purse, most_positions, seconds_of
from shopfit.solver.explain import unmet
from shopfit.solver.fill import Filler
from shopfit.solver.filling import BlockKey, Filling, Score
from shopfit.solver.firstfloor import first_floor
from shopfit.solver.fixing import Fixed, fix
from shopfit.solver.floor import FloorAnswer, FloorProblem, face_classes
from shopfit.solver.held import Filled, Held
from shopfit.solver.inturn import made_ready
from shopfit.solver.jointanswer import JointAnswer
from shopfit.solver.laterbounds import Floors, LaterBounds
from shopfit.solver.laterstages import LAST_SHARE, LaterStages
from shopfit.solver.merchandise import Merchandiser
from shopfit.solver.otherfloors import OtherFloors
from shopfit.solver.paying import Payer
from shopfit.solver.proving import Reached, proved, timing
from shopfit.solver.range_display import Display, display
from shopfit.solver.refusing import Refuser
from shopfit.solver.renew import MIDDLING, QUICK
from shopfit.solver.resume import taken_up
from shopfit.solver.showing import Shower
from shopfit.solver.site import Site
from shopfit.solver.spacing import Spacing
from shopfit.solver.spending import Bought, Within, laid_out, least_cost
from shopfit.solver.worth import everything, worth
from shopfit.stopping import StopFlag

_WHOLE = 1e-6


class Search:
    """One search, of what `solve` is asked for."""

    _paid_share = shares.PAID_SHARE

    def __init__(
        self,
        scenario: Scenario,
        options: SolveOptions,
        listener: Listener,
        stop: StopFlag,
        start: Layout | None = None,
        bought: Bought | None = None,
        why: bool = True,
        within: Within | None = None,
        sold: Scenario | None = None,
    ) -> None:
        self._began = time.monotonic()
        self._options, self._listener, self._stop = options, listener, stop
        self._site = Site(scenario)
        self._start = start
        self._worth = worth(scenario)
        self._held = Held()
        self._most = everything(scenario, self._worth)
        self._bound = self._most
        self._first: float | None = None
        self._repeatable, self._careful_filled = True, False
        self._filled: set[tuple[int, FloorAnswer]] = set()
        self._coarse: Chosen | None = None
        self._positions, self._spacing = 0, Spacing()
        # What a position of a chosen floor and the whole divisible bound cost, s of a slow core.
        self._each = self._relaxing = 0.0
        self._careful: Chosen | None = None
        self._purse = Purse(options.seconds * (1 - LAST_SHARE))
        self._later = LaterBounds()
        self._least = seconds_of(shares.LEAST_EFFORT, options.workers)
        self._floor: tuple[FloorProblem, FloorAnswer, Fixed] | None = None
        self._merchandiser = Merchandiser(options.workers, options.seed, stop)
        self._betterer = Betterer(
            options, stop, self._offer, lambda: self._ended, self._whole_bound
        )
        self._payer = bought and Payer(self._betterer, sold or scenario, bought, within)
        self._refuser = Refuser(scenario, options, stop, Shower(search, bought), why, self._tell)

    def run(self) -> Solution:
        """Search and give the best layout, or say why there is none."""
        made_ready()
        self._first_floor()
        found, self._spacing = positions(self._site, most_positions(self._options.seconds))
        self._positions = len(found)
        self._purse.spend(POSITION_SECONDS * self._positions)
        shown = display(self._site, face_classes(found))
        chooser = FloorChooser(self._site, found, shown, self._worth, self._options, self._stop)
        if self._start is not None:
            known = taken_up(chooser.problem, shown, self._start)
            if known is not None:
                self._keep(known)
        if chooser.small and not self._ended:
            self._relax(chooser)
        misses = not self._ended and (self._best is None or self._score().short > 0)
        plain = misses and self._refuser.plain(chooser.problem, shown)
        if plain and (refused := self._refuser.proved()):
            return refused
        floors_short = 0.0 if self._ended else self._careful_floor(chooser, shown)
        if self._best is None:
            return self._refuser.no_layout()
        if not self._ended:
            self._prove(chooser, shown)
        if not self._ended and (self._gap() or 0.0) >= shares.FAR:
            self._floor_again()
        self._better(chooser, shown)
        choosers = [one.chooser for one in (self._coarse, self._careful) if one is not None]
        self._repeatable &= all(each.repeatable for each in (chooser, *choosers))
        few = chooser.provable and self._relaxing <= shares.BOUND_SHARE * self._options.seconds
        self._later_stages(Floors(chooser.problem, shown, self._worth, few))
        misses = self._score().short > 0 and floors_short > shares.SHORT_EPS
        if misses and (refused := self._refuser.proved()):
            return refused
        return self._found(self._best)

    @property
    def _ended(self) -> bool:
        gap = self._gap() if self._held.shows() else None
        good_enough = gap is not None and gap <= self._options.gap + 1e-9
        return self._stop.requested or good_enough

    def _first_floor(self) -> None:
        """Fill the floor of a first layout."""
        first = first_floor(self._site, self._worth, self._options, self._tell)
        self._purse.spend(first.worked)
        self._repeatable &= first.repeatable
        self._coarse, self._each = first.chosen, first.each
        if first.chosen is not None:
            self._fill(first.chosen.problem, first.chosen.shown, first.chosen.answer, quick=True)

    def _careful_floor(self, chooser: FloorChooser, shown: Display) -> float:
        """Choose a floor from all positions and fill it; gives what it misses of minimums."""
        nearly_all = not chooser.provable and self._held.shows(shares.NEARLY_ALL * self._most)
        if nearly_all or self._beyond():
            return 0.0
        self._tell("placing fixtures")
        before = chooser.worked
        problem, answer = chooser.choose(chooser.careful_gap)
        self._purse.spend(chooser.worked - before)
        if answer is None:
            return 0.0
        given = Chosen(chooser, shown, problem, answer)
        seconds = shares.BETTER_SHARE * self._options.seconds
        chosen = given.bettered(seconds, self._stop, self._purse)
        if self._coarse is not None and not chosen.outshines(self._coarse):
            # Where ways close easily a floor of few positions can be the better one.
            given = self._coarse
            chosen = given.bettered(seconds, self._stop, self._purse)
        first = given.answer.value
        if chosen.answer.value - first >= shares.GAINFUL * abs(first):
            self._careful = chosen
        if chosen.answer.floor is None:
            return 0.0
        known = 0.0 if self._best is None or self._score().short > 0 else self._score().worth
        # Not filled where not even with divisible facings it would be better.
        if chosen.answer.value > known:
            self._fill(chosen.problem, chosen.shown, chosen.answer)
        return chosen.answer.short

    def _beyond(self) -> bool:
        """Say whether a floor of all positions costs more than is left where one is filled."""
        return self._held.shows() and self._costs_more_than_is_left()

    def _costs_more_than_is_left(self) -> bool:
        return self._each * self._positions > max(self._purse.left, self._least)

    def _prove(self, chooser: FloorChooser, shown: Display) -> None:
        """Bound what any floor on the grid could show, and take its floor where all is reached."""
        # On very large floors whole positions take too long.
        if not chooser.provable or self._beyond():
            if not chooser.small:
                self._relax(chooser)
            return
        self._tell("proving the bound")
        answer = chooser.bounded()
        self._purse.spend(answer.worked)
        self._bound = min(self._bound, answer.bound)
        if answer.bound == math.inf and not chooser.small:
            self._relax(chooser)
        if self._ended or answer.floor is None:
            return
        self._careful_filled = True
        self._fill(chooser.problem, shown, answer)

    def _floor_again(self) -> None:
        """Better the careful floor for longer where what is shown is far from the bound."""
        known = self._careful
        if known is None:
            return
        self._tell("placing fixtures")
        chosen = known.bettered(shares.AGAIN_SHARE * self._purse.left, self._stop, self._purse)
        if chosen is not known and not self._ended:
            self._careful_filled = True
            self._fill(chosen.problem, chosen.shown, chosen.answer)

    def _relax(self, chooser: FloorChooser) -> None:
        """Bound what any floor could show by one with divisible positions."""
        self._tell("proving the bound")
        before = chooser.worked
        self._bound = min(self._bound, chooser.relaxed_bound())
        self._relaxing = chooser.worked - before
        self._purse.spend(self._relaxing)
        self._tell("proving the bound")

    def _whole_bound(self) -> float:
        return math.floor(self._bound + _WHOLE) if self._worth.whole else self._bound

    def _fill(
        self, problem: FloorProblem, shown: Display, answer: JointAnswer, quick: bool = False
    ) -> None:
        """Fill the faces of a floor and keep it if it is better."""
        floor = answer.floor
        assert floor is not None
        # Floors chosen with more and less care have the same positions, coarse floors others.
        known = id(problem.candidates), floor
        if not quick:
            if known in self._filled:
                return
            self._filled.add(known)
        self._tell("filling faces")
        filler = self._at(problem, shown, floor)
        soon = len(problem.candidates) <= shares.SOON_POSITIONS
        first = shares.SOON_SHARE if soon else shares.FIRST_SHARE
        seconds = (first if quick else shares.FILLING_SHARE) * self._options.seconds
        if quick and not soon:
            # A first layout that misses a minimum is none, however short the search.
            seconds = max(seconds, shares.FIRST_SECONDS)
            self._purse.left = max(self._purse.left, seconds)
        with self._purse.lent(seconds) as purse:
            self._fill_faces(filler, answer.blocks, quick, purse)

    def _at(self, problem: FloorProblem, shown: Display, floor: FloorAnswer) -> Filler:
        """Give what fills the faces of a floor, which is the one at hand from now on."""
        fixed = fix(problem, floor)
        self._floor = problem, floor, fixed
        money = problem.money_left(floor.chosen, floor.slat)
        return Filler(self._site, shown, fixed.faces, money)

    def _fill_faces(
        self, filler: Filler, blocks: dict[BlockKey, float], quick: bool, purse: Purse
    ) -> None:
        better, filling = self._betterer, filler.start(blocks)
        self._offer(filler, filling)
        if not quick:
            better.price(filler, self._purse)
            if self._careful_filled:
                filling = better.sounded(filler, filling, purse)
                if self._held.outshines(filler, filling, shares.HOPELESS):
                    return
        if not self._merchandiser.begins_anew(filler, filling):
            filling = better.filled(filler, filling, QUICK if quick else MIDDLING, purse)
        share, least = (
            (shares.FIRST_SHARE, 0.0) if quick else (shares.WISHES_SHARE, shares.LEAST_WISHES_SHARE)
        )
        with self._purse.lent(share * self._options.seconds) as own:
            if filler.broken(filling) and own.left > least * self._options.seconds:
                filler, filling, finished = self._merchandiser.merchandised(filler, filling, own)
                self._repeatable &= finished
                self._offer(filler, filling)
        missing = filler.score(filling).short > 0
        if missing or (filler.neighbours is not None and not quick):
            # A first layout that misses a minimum is no layout yet.
            seconds = max(purse.left, self._least)
            filling = better.refitted(filler, filling, seconds, self._options.seed, purse)
            self._offer(filler, filling)

    def _take(self, found: Filled) -> None:
        """Take a filled floor for the one at hand."""
        self._floor = found.problem, found.floor, found.fixed

    @property
    def _best(self) -> Filled | None:
        return self._held.best

    def _offer(self, filler: Filler, filling: Filling) -> None:
        """Keep a filling of the floor at hand if it is the best so far."""
        assert self._floor is not None
        self._keep(Filled(*self._floor, filler, filling))

    def _keep(self, found: Filled) -> None:
        """Keep a filled floor if it is the best so far, and tell."""
        score = found.score
        if self._first is None and score.complete:
            self._first = time.monotonic() - self._began
        if self._held.offer(found):
            self._tell("filling faces")

    def _better(self, chooser: FloorChooser, shown: Display) -> None:
        """Better what is most worth it for as long as there is work left."""
        found = self._held.onward
        if found is None or self._ended:
            return
        self._take(found)
        self._purse.left = max(self._purse.left, self._least)
        better = self._betterer
        filling, finished = better.whole_floor(found.filler, found.filling, self._purse)
        self._repeatable &= finished
        if self._ended:
            return
        if filling is not None:
            filler, filling = self._merchandiser.moved(found.filler, filling, self._purse)
            self._offer(filler, filling)
            better.bettered(filler, filling, MIDDLING, self._purse)
        elif self._best is found:
            others = OtherFloors(chooser, shown, self._worth)
            with self._purse.lent(shares.OTHERS_SHARE * self._purse.left) as own:
                self._repeatable &= better.one_by_one(others, self._at, self._held, own)

    def _later_stages(self, floors: Floors) -> None:
        """Better what misses a minimum, then what comes after the first objective, and bound it."""
        self._betterer.further(self._held, self._take)
        if not self._stop.requested:
            stages = LaterStages(self._betterer, self._held, self._payer, self._tell)
            self._later = stages.finished(floors, self._purse)
            self._repeatable &= stages.repeatable

    def _score(self) -> Score:
        assert self._best is not None
        return self._best.score

    def _gap(self) -> float | None:
        return gap_between(self._score().worth, self._whole_bound())

    def _tell(self, stage: str) -> None:
        seconds = time.monotonic() - self._began
        if self._best is None:
            self._listener(Progress(stage, seconds))
            return
        facings, score = sum(self._best.filling.facings.values()), self._score()
        # Bound and gap compare layouts that miss no minimum.
        known = (self._whole_bound(), self._gap(), score.worth) if score.short == 0 else ()
        self._listener(Progress(stage, seconds, facings, *known))

    def _found(self, best: Filled) -> Solution:
        """Give the best layout, and with it what its floor shows in whole packs for the budget."""
        layout, stopped = self._layout(best), self._stop.requested
        clash = paid = within = None
        if self._refuser.why and best.score.short > 0:
            clash = self._refuser.clash or unmet(self._site.scenario, layout)
        if self._payer is not None and not stopped:
            self._tell("choosing goods for whole packs")
            purse = Purse(self._paid_share * self._options.seconds)
            paid = self._payer.paid(best, purse)
            within = paid and self._payer.within(paid, purse)
        return Solution(
            outcome="layout",
            layout=layout,
            paid=paid and self._layout(paid),
            within=within and self._layout(within),
            bound=self._whole_bound(),
            clash=clash,
            stopped=stopped,
        )

    def _layout(self, found: Filled) -> Layout:
        layout, score = laid_out(found), found.score
        cost = least_cost(found) if self._payer is None else self._payer.cost(layout)
        bound = self._whole_bound()
        known = bound, gap_between(score.worth, bound), self._later, self._positions, self._spacing
        reached = Reached(score, cost, *known, self._stop.requested, self._repeatable)
        seconds = time.monotonic() - self._began
        return proved(layout, self._site, self._options, reached, timing(seconds, self._first))


def search(
    scenario: Scenario,
    options: SolveOptions,
    *,
    listener: Listener,
    stop: StopFlag,
    bought: Bought | None,
    why: bool,
) -> Solution:
    """Search with nothing to start from.

    Parameters
    ----------
    scenario, options, listener, stop, bought, why
        As for `solve`.
    """
    return Search(scenario, options, listener, stop, None, bought, why).run()
