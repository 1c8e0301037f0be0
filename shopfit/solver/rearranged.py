"""What was asked of a rearrangement, how far it got, and why it could not be had."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Change, Clash
from shopfit.model.proof import MISSED, Proof, Stage, Status, gap_between
from shopfit.model.scenario import Scenario
from shopfit.solver.filling import Score
from shopfit.solver.proving import NAMES, missed_stage
from shopfit.solver.resume import Dropped
from shopfit.solver.scope import RULES, grid_in_words
from shopfit.solver.site import Site
from shopfit.solver.spacing import Spacing
from shopfit.solver.worth import worth

# What the stage of a proof is called that counts blocks.
BLOCKS = "blocks changed, set up or cleared"
# Things that cannot stay that are named one by one.
_MOST_NAMED = 4


@dataclass(frozen=True)
class Asked:
    """What a rearrangement shall come to.

    Parameters
    ----------
    gain
        Worth more than what of today's goods can stay; none asks only for the minimums.
    most_moves
        Most moves allowed, or no limit. Given without a gain, as much worth as they bring.
    """

    gain: float | None = None
    most_moves: int | None = None

    @property
    def most_worth(self) -> bool:
        """Whether the most is wanted of so many moves, and not the fewest moves."""
        return self.most_moves is not None and self.gain is None


@dataclass(frozen=True)
class Reached:
    """How far a rearrangement got.

    Parameters
    ----------
    score, bound
        What the goods are worth, and what no layout with as few moves exceeds.
    moves, least_moves
        Moves it takes, and how many none takes less than; none where that was not asked.
    changes, least_changes
        Blocks changed, set up or cleared, and the fewest on this floor; none where not proved.
    base
        Worth of what of today's goods can stay.
    spacing
        How islands that were tried are spread.
    """

    score: Score
    bound: float
    moves: int
    least_moves: int | None
    changes: int
    least_changes: int | None
    base: float
    spacing: Spacing = field(default_factory=Spacing)


def standing_worth(scenario: Scenario, layout: Layout) -> float:
    """Count what of a layout's goods is still in the range, each line up to its most facings."""
    aim, bands = worth(scenario), scenario.brief.bands
    counted: dict[str, float] = {}
    facings: dict[str, int] = {}
    for row in (row for block in layout.blocks for row in block.rows):
        middle = (row.bottom_mm + row.top_mm) / 2
        own = [band.weight for band in bands if band.bottom <= middle <= band.top]
        for slot in row.slots:
            weighted = slot.facings * max(own, default=1.0)
            counted[slot.line] = counted.get(slot.line, 0.0) + weighted
            facings[slot.line] = facings.get(slot.line, 0) + slot.facings
    total = 0.0
    for line in scenario.lines:
        shown = facings.get(line.line, 0)
        if shown:
            share = min(1.0, line.max_facings / shown)
            total += aim.of(line.line, counted[line.line] * share)
    return total


def shows(scenario: Scenario, before: Layout, gain: float | None, after: Layout) -> bool:
    """Say whether a layout gains as much as was asked for over what of today's goods can stay."""
    if gain is None:
        return True
    return standing_worth(scenario, after) >= standing_worth(scenario, before) + gain - 1e-6


def many(count: int, what: str) -> str:
    """Write a count of things."""
    return f"{count:,} {what}{'' if count == 1 else 's'}"


def worth_words(scenario: Scenario, size: float) -> str:
    """Write worth the way the brief counts it: in facings, as value, or as expected sales."""
    if scenario.brief.objective != "facings":
        return f"{size:,.6g} of {NAMES[scenario.brief.objective][0]}"
    if abs(size - round(size)) < 1e-6:
        return many(round(size), "facing")
    return f"{size:,.6g} weighted facings"


def proof_of(
    site: Site, asked: Asked, options: SolveOptions, reached: Reached, stopped: bool
) -> Proof:
    """Say how good a rearrangement is, and how that is known.

    Parameters
    ----------
    site, asked, options
        The shop, what was asked, and how hard it was searched for.
    reached, stopped
        How far it got, and whether somebody asked for a stop.
    """
    shown, bound = reached.score.worth, reached.bound
    # The bound holds for layouts that miss no minimum.
    gap = gap_between(shown, bound) if reached.score.short <= 0 else None
    known = gap is not None
    gap = None if gap is None else round(gap, 6)
    status: Status = "proved" if gap == 0 and reached.score.short == 0 else "within gap"
    if stopped and gap != 0:
        status = "stopped"
    names = NAMES[site.brief.objective]
    most = reached.moves if asked.most_moves is None else asked.most_moves
    scope = f"grid and rules, {many(most, 'move')} at most"
    here = "the fixtures and slat-wall as placed"
    stages = (
        missed_stage(reached.score.short),
        Stage(
            objective=names[0],
            value=shown,
            bound=bound if known else None,
            gap=gap,
            scope=scope,
        ),
        _moves_stage(site.scenario, asked, reached),
        Stage(
            objective=BLOCKS,
            value=reached.changes,
            bound=reached.least_changes,
            gap=_over(reached.changes, reached.least_changes),
            scope=f"{here}, at least as much shown, one new block of a category on a face",
        ),
        Stage(
            objective=names[1],
            value=round(reached.score.second, 6),
            bound=None,
            gap=None,
            scope=f"{here}; not searched for",
        ),
    )
    return Proof(
        status=status,
        objective=shown,
        bound=bound if known else None,
        gap=gap,
        grid=f"{grid_in_words(site, reached.spacing)}; and wherever something stands already",
        rules=f"{RULES}; slat-wall that hangs kept as it hangs or taken down; "
        f"{many(most, 'move')} at most away from what stands",
        step_mm=site.step,
        candidates=0,
        stages=stages,
        seed=options.seed,
        workers=options.workers,
        effort=options.seconds,
    )


def untouched(scenario: Scenario, shown: float) -> Proof:
    """Say of a layout that does all that was asked that nothing has to be moved.

    Parameters
    ----------
    scenario, shown
        The shop, and what the layout's goods are worth.
    """
    scope = "this layout"
    return Proof(
        status="not measured",
        objective=shown,
        bound=None,
        gap=None,
        grid="as it stands",
        rules="what the checks measure",
        step_mm=scenario.brief.step,
        candidates=0,
        stages=(
            Stage(objective=MISSED, value=0.0, bound=0.0, gap=None, scope=scope),
            Stage(objective="moves", value=0.0, bound=0.0, gap=0.0, scope=scope),
            Stage(
                objective=BLOCKS,
                value=0.0,
                bound=0.0,
                gap=0.0,
                scope=scope,
            ),
        ),
    )


def _moves_stage(scenario: Scenario, asked: Asked, reached: Reached) -> Stage:
    scope = "grid and rules, layouts that miss no minimum"
    if asked.gain is not None:
        scope += f" and show at least {worth_words(scenario, reached.base + asked.gain)}"
    if asked.most_worth:
        scope = f"{many(asked.most_moves or 0, 'move')} allowed; fewer were not looked for"
    return Stage(
        objective="moves",
        value=reached.moves,
        bound=reached.least_moves,
        gap=_over(reached.moves, reached.least_moves),
        scope=scope,
    )


def _over(value: int, least: int | None) -> float | None:
    if least is None:
        return None
    return round((value - least) / value, 6) if value > least else 0.0


def too_few_moves(asked: Asked, least: int, lost: Sequence[Dropped]) -> Clash:
    """Say that fewer moves are allowed than anything takes.

    Parameters
    ----------
    asked, least
        What was asked, and the moves that are needed at least.
    lost
        What cannot stay where it is.
    """
    reason = f"At least {many(least, 'move')} must be made; {asked.most_moves or 0} may be."
    if lost:
        named = "; ".join(f"{each.tag} ({each.what}): {each.why}" for each in lost[:_MOST_NAMED])
        more = f"; and {len(lost) - _MOST_NAMED} more" if len(lost) > _MOST_NAMED else ""
        reason += f" What cannot stay: {named}{more}."
    wish = f"at most {many(asked.most_moves or 0, 'move')}"
    return Clash(reason=reason, wishes=(wish,), changes=(Change(wish=wish, change=f"{least}"),))


def too_much(scenario: Scenario, base: float, gain: float, most: float) -> Clash:
    """Say that no layout gains as much as was asked for.

    Parameters
    ----------
    scenario, base, gain
        The shop, what of today's goods can stay, and what was to be gained over it.
    most
        What no layout shows more than.
    """
    wanted, today = worth_words(scenario, base + gain), worth_words(scenario, base)
    if worth(scenario).whole and scenario.brief.objective == "facings":
        most = min(math.floor(most + 1e-6), math.ceil(base + gain) - 1)
    reason = f"No layout on the positions tried shows {wanted}, however much is moved"
    change = "less"
    if most < base + gain:
        reason += f"; at most {worth_words(scenario, most)}, where today's goods are {today}"
        change = f"at most {most - base:.6g}"
    wish = f"a gain of {worth_words(scenario, gain)}"
    return Clash(reason=f"{reason}.", wishes=(wish,), changes=(Change(wish=wish, change=change),))


def not_reached(
    scenario: Scenario, target: float, shown: float | None, short: Sequence[str]
) -> Clash:
    """Say that what was asked for was not found, nor proved out of reach.

    Parameters
    ----------
    scenario, target
        The shop, and what was to be shown.
    shown, short
        Of the nearest layout looked at, what it shows, and the lines it shows too little of.
    """
    reason = "No rearrangement that meets every minimum was found in the time given."
    if short:
        named = ", ".join(short[:_MOST_NAMED])
        more = f" and {len(short) - _MOST_NAMED} more" if len(short) > _MOST_NAMED else ""
        reason += f" The nearest is short of {named}{more}."
    elif shown is not None:
        reason = (
            f"The most found in the time given is {worth_words(scenario, shown)}; "
            f"{worth_words(scenario, target)} were asked for. More seconds may find more."
        )
    return Clash(reason=reason, proved=False)
