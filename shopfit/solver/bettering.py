"""Fills the faces of a floor and betters what stands, within the work there is."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass

from shopfit.model.options import SolveOptions
from shopfit.solver.effort import EFFORT_PER_SECOND, Purse
from shopfit.solver.fill import Filler
from shopfit.solver.filling import Filling
from shopfit.solver.improve import improve
from shopfit.solver.renew import Depth, groups, kin, renew, scarce
from shopfit.stopping import StopFlag

# Faces renewed together while a filling is bettered.
RENEWED_FACES = (5, 10)
# Renewed and refitted in turn for so long, s of a slow core, or for a part of what is left.
TURN_SECONDS = 1.0
TURN_SHARE = 0.08
# Turns without gain after which the search ends.
PATIENCE = 25
# Seconds of a slow core that filling a category again with fixed widths takes besides its search.
REFILL_SECONDS = 0.05
REFILL_SECONDS_PER_CELL = 1.2e-4

Keep = Callable[[Filler, Filling], None]


@dataclass(frozen=True)
class Betterer:
    """What all bettering in a search has in common.

    Parameters
    ----------
    options, stop
        How hard to search, and the stop flag.
    keep
        Told of fillings, better or not.
    enough
        Whether the search may end.
    goal
        Worth that cannot be bettered.
    """

    options: SolveOptions
    stop: StopFlag
    keep: Keep
    enough: Callable[[], bool]
    goal: Callable[[], float]

    def filled(self, filler: Filler, filling: Filling, depth: Depth, purse: Purse) -> Filling:
        """Renew all faces, group by group, those that alone can show what is missing first."""
        parts = scarce(filler, filling) + groups(filler, filling)
        for n, group in enumerate(parts):
            own = purse.part(1 / (len(parts) - n))
            before = own.left
            filling = renew(filler, filling, group, depth, self.options.seed + n, self.stop, own)
            purse.spend(before - own.left)
            self.keep(filler, filling)
        return filling

    def bettered(self, filler: Filler, filling: Filling, depth: Depth, purse: Purse) -> Filling:
        """Refit a few faces and renew more of them in turn, until work or patience is used up."""
        rng = random.Random(self.options.seed)
        idle = 0
        while purse.left > 0 and idle < PATIENCE and not self.enough():
            before = filler.rank(filling)[:3]
            turn = max(TURN_SECONDS, TURN_SHARE * purse.left)
            seed = rng.randrange(2**31)
            filling = self.refitted(filler, filling, min(turn, purse.left), seed, purse)
            renewing = Purse(min(turn, purse.left))
            given = renewing.left
            while renewing.left > 0 and not self.enough():
                group = kin(filler, filling, rng, rng.randint(*RENEWED_FACES))
                seed = rng.randrange(2**31)
                filling = renew(filler, filling, group, depth, seed, self.stop, renewing)
                self.keep(filler, filling)
            purse.spend(given - renewing.left)
            idle = 0 if filler.rank(filling)[:3] > before else idle + 1
        return filling

    def refitted(
        self, filler: Filler, filling: Filling, seconds: float, seed: int, purse: Purse
    ) -> Filling:
        """Refit a few faces at a time for about so long, s of a slow core."""
        return improve(
            filler,
            filling,
            seconds * EFFORT_PER_SECOND * self.options.workers,
            self.options.workers,
            seed,
            self.stop,
            self.goal(),
            lambda better: self.keep(filler, better),
            purse,
        )

    def later_stages(self, filler: Filler, filling: Filling, purse: Purse) -> Filling:
        """Better the second objective, then cost, as far as what came before keeps its worth."""
        names = filler.site.scenario.categories
        each = REFILL_SECONDS + REFILL_SECONDS_PER_CELL * len(filling.facings)
        spare = purse.left / (2 * len(names)) - each
        effort = min(0.1, max(0.01, spare * EFFORT_PER_SECOND))
        for stage in ("second", "cost"):
            for category in names:
                filling = filler.refill(
                    filling,
                    [category],
                    effort,
                    1,
                    self.options.seed,
                    self.stop,
                    fixed_widths=True,
                    stage=stage,
                )
        return filling
