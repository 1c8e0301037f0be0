"""What a peer is asked and answers, and what it knows while it searches."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.solver.assemble import assemble
from shopfit.solver.candidates import candidates, positions
from shopfit.solver.conflicts import cliques
from shopfit.solver.connect import blockages
from shopfit.solver.effort import most_positions
from shopfit.solver.fill import Filler
from shopfit.solver.filling import Filling
from shopfit.solver.fixing import Fixed, fix
from shopfit.solver.floor import FloorAnswer, FloorProblem, face_classes, floor_problem
from shopfit.solver.range_display import Display, display
from shopfit.solver.site import Site
from shopfit.solver.worth import Worth, heaviest, worth

# Seconds since the start; worth of the best layout that meets every rule, or none; bound, or none.
Tell = Callable[[float, float | None, float | None], None]
# Gives the value of a column of an answer.
Values = Callable[[int], float]
# Kept back for writing the layout down: part of the seconds asked for.
CLOSING_SHARE = 0.02
_WHOLE = 1e-6


@dataclass(frozen=True)
class PeerAnswer:
    """How a peer ended.

    Parameters
    ----------
    layout
        Without cuts and purchases; none where no layout with open ways was found. It may miss
        minimums where the peer found nothing better; then no worth was told.
    bound
        Worth that no layout on the same positions and under the same rules exceeds, or none where
        the peer proves nothing.
    seconds
        From the call to the answer.
    """

    layout: Layout | None
    bound: float | None
    seconds: float


Peer = Callable[[Scenario, SolveOptions, Tell], PeerAnswer]


class Care(Enum):
    """How far islands keep off, so that ways seldom close; no rule asks for it.

    The rules alone; an aisle all round every island; and no island where walls leave none.
    """

    RULES = 0
    APART = 1
    CLEAR = 2


@dataclass(frozen=True)
class _Kept:
    floor: FloorAnswer
    fixed: Fixed
    filler: Filler
    filling: Filling


class Course:
    """One peer's search: what is given, the clock, and the best so far.

    Every peer sets out the same positions, sets and showings as the solver does in so many
    seconds, and is told what of its floors closes a way. Wishes on where goods stand among one
    another are in no peer's program: what breaks one is not told.

    Parameters
    ----------
    scenario, options, tell
        As the peer was called.
    whole_grid
        Whether every step of the brief is tried, and not only as many positions as the solver
        tries in so many seconds.
    """

    def __init__(
        self, scenario: Scenario, options: SolveOptions, tell: Tell, whole_grid: bool = False
    ) -> None:
        self._began = time.monotonic()
        self._options, self._tell = options, tell
        site = Site(scenario)
        if whole_grid:
            found = candidates(site)
        else:
            found, _ = positions(site, most_positions(options.seconds))
        self.problem: FloorProblem = floor_problem(site, found, cliques(found))
        self.shown: Display = display(site, face_classes(found))
        self.worths: Worth = worth(scenario)
        self._floors = {Care.RULES: self.problem}
        self._closing: dict[tuple[int, ...], dict[frozenset[int], bool]] = {}
        self._fixed: dict[FloorAnswer, tuple[Fixed, Filler]] = {}
        self._kept: _Kept | None = None
        self._worth: float | None = None
        self._bound: float | None = None

    @property
    def options(self) -> SolveOptions:
        """What was asked for."""
        return self._options

    def floor(self, care: Care) -> FloorProblem:
        """Give the floor with more care than the rules ask for; the positions are the same."""
        if care not in self._floors:
            found = self.problem.candidates
            apart = cliques(found, careful=True)
            site = self.problem.site
            self._floors[care] = floor_problem(site, found, apart, careful=care is Care.CLEAR)
        return self._floors[care]

    @property
    def islands(self) -> bool:
        """Whether anything may stand away from walls, for which care makes a difference."""
        return any(candidate.stands_free for candidate in self.problem.candidates)

    @property
    def seconds(self) -> float:
        """Seconds since the start."""
        return time.monotonic() - self._began

    @property
    def left(self) -> float:
        """Seconds left for searching."""
        return (1 - CLOSING_SHARE) * self._options.seconds - self.seconds

    @property
    def most(self) -> float:
        """Worth of every line at its most facings, which bounds every layout."""
        brief, lines = self.problem.site.brief, self.problem.site.scenario.lines
        return self.worths.most({ln.line: heaviest(brief) * ln.max_facings for ln in lines})

    def reachable(self, chosen: tuple[int, ...]) -> bool:
        """Say whether a choice of positions leaves every way open."""
        return not self.closing(chosen)

    def closing(self, chosen: tuple[int, ...]) -> dict[frozenset[int], bool]:
        """List sets of a choice that close a way, and whether they do whatever else stands.

        Each choice is judged once.
        """
        if chosen not in self._closing:
            found = blockages(self.problem, FloorAnswer(chosen, ()))
            # A set that does not last forbids too much, so that it proves nothing.
            self._closing[chosen] = {
                frozenset(group) - {-1}: bool(getattr(group, "lasting", True)) for group in found
            }
        return self._closing[chosen]

    def fixed(self, floor: FloorAnswer) -> tuple[Fixed, Filler]:
        """Give the tagged fixtures of a floor and what fills its faces."""
        if floor not in self._fixed:
            fixed = fix(self.problem, floor)
            money = self.problem.money_left(floor.chosen, floor.slat)
            filler = Filler(self.problem.site, self.shown, fixed.faces, money)
            self._fixed[floor] = fixed, filler
        return self._fixed[floor]

    def keep(self, floor: FloorAnswer, filling: Filling) -> bool:
        """Keep a filling of a floor with open ways if it is better; say whether it is."""
        fixed, filler = self.fixed(floor)
        score = filler.score(filling)
        if self._kept is not None:
            known = self._kept.filler.score(self._kept.filling)
            if score.key() <= known.key():
                return False
        self._kept = _Kept(floor, fixed, filler, filling)
        if (
            score.short == 0
            and score.broken == 0
            and (self._worth is None or score.worth > self._worth)
        ):
            self._worth = score.worth
            self._tell(self.seconds, self._worth, self._bound)
        return True

    def prove(self, bound: float) -> None:
        """Take a bound over if it is lower than what is known."""
        bound = max(0.0, min(bound, self.most))
        if self.worths.whole:
            bound = float(math.floor(bound + _WHOLE))
        if self._bound is None or bound < self._bound - _WHOLE:
            self._bound = bound
            self._tell(self.seconds, self._worth, self._bound)

    @property
    def worth(self) -> float | None:
        """Worth of the best layout that meets every rule, or none."""
        return self._worth

    @property
    def best_floor(self) -> FloorAnswer | None:
        """The floor of the best layout, or none."""
        return None if self._kept is None else self._kept.floor

    @property
    def proved(self) -> bool:
        """Whether the best reaches the bound, as near as was asked for."""
        if self._worth is None or self._bound is None:
            return False
        return self._worth >= self._bound * (1 - self._options.gap) - _WHOLE

    def answer(self) -> PeerAnswer:
        """Write the best down."""
        kept, layout = self._kept, None
        if kept is not None:
            layout = assemble(self.problem, kept.fixed, kept.filler, kept.filling)
        return PeerAnswer(layout, self._bound, self.seconds)
