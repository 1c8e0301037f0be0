"""Why there is no layout: the smallest clash of wishes and the least change that helps."""

from __future__ import annotations

from collections.abc import Sequence

from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Clash
from shopfit.model.scenario import Scenario
from shopfit.solver.easing import Eased, Easer
from shopfit.solver.inway import in_the_way
from shopfit.solver.judging import Judge
from shopfit.solver.leavingout import FEW, LeavingOut
from shopfit.solver.showing import Shower
from shopfit.solver.wish import Wish
from shopfit.solver.wishes import wishes
from shopfit.stopping import StopFlag

# The part of a budget that is as good as nothing, and what rounds to one.
_LITTLE_LEFT = 0.03
_A_WHOLE = 0.5


def explain(
    scenario: Scenario, options: SolveOptions, stop: StopFlag, shower: Shower | None = None
) -> Clash:
    """Find the smallest clash of wishes by leaving out one after the other, and what would help.

    Parameters
    ----------
    scenario
        A scenario for which no layout was found.
    options, stop
        Time, seed and the stop flag.
    shower
        Who lays out what a change should make possible; none to leave open whether it can be done.

    Returns
    -------
    The clash; not proved where time ran out or only whole facings do not fit.
    """
    judge = Judge(options, stop, shower)
    verdict = judge.possible(scenario)
    if verdict is not False:
        return Clash(
            reason=(
                "Floor and face widths suffice, but no way was found to hold every minimum in "
                "whole facings. More seconds may find one; so may fewer or narrower minimums."
                if verdict
                else "No layout was found in the time given, nor a proof that there is none."
            ),
            proved=False,
        )
    return _clash(judge, scenario)


def _clash(judge: Judge, scenario: Scenario) -> Clash:
    """Find what clashes in a scenario that is impossible, and what would help."""
    every, easer = wishes(scenario), Easer(judge, scenario)
    # Where more money is enough, money is a part of every clash, and all that clashes is worth
    # less time than layouts that more money buys.
    money = [wish for wish in every if wish.money and easer.ease(wish).helps]
    leaving = LeavingOut(judge, scenario, hasty=bool(money))
    kept = leaving.needed([wish for wish in every if wish not in money])
    if not kept and not money:
        return Clash(
            reason="Even with every wish given up, the shell itself leaves no layout: "
            "look at the walls, doors and zones."
        )
    poor = bool(money) and not leaving.smallest and len(kept) >= FEW
    kept = sorted([*kept, *money], key=every.index)
    kept = money if poor else [part for wish in kept for part in leaving.split(wish)]
    known = easer.eased(kept)
    told = _poor(scenario, money) if poor else _reason(scenario, kept, known, leaving.smallest)
    return Clash(
        reason=told + _open(known),
        wishes=tuple(wish.words for wish in kept),
        changes=tuple(known.changes),
        not_alone=tuple(known.not_alone),
        smallest=leaving.smallest,
        tried=known.tried,
    )


def unmet(scenario: Scenario, layout: Layout) -> Clash:
    """Say what may help where a layout misses minimums and nothing is known to clash.

    Parameters
    ----------
    scenario, layout
        The shop, and the best layout that was found, with its proof.
    """
    text = "It is not proved that there is none: more seconds may find one; so may fewer or "
    text += "narrower minimums"
    budget, proof = scenario.brief.budget, layout.proof
    spent = proof.stages[-1].value if proof is not None else 0.0
    if budget is not None and budget - spent <= _LITTLE_LEFT * budget:
        left, currency = budget - spent, scenario.shop.currency
        told = f"{left:,.0f} {currency}" if left >= _A_WHOLE else "hardly anything"
        text += f", or more money: {told} of {budget:,.0f} {currency} is left"
    return Clash(reason=f"{text}.", proved=False)


def _reason(scenario: Scenario, kept: Sequence[Wish], known: Eased, smallest: bool) -> str:
    one = len(kept) == 1
    together = _listed([wish.words for wish in kept])
    text = f"In {scenario.shop.name}, {together} cannot {'' if one else 'all '}be had: "
    pin = kept[0].pin if one else None
    met = [] if pin is None else in_the_way(scenario, pin)
    text += f"in its way {'is' if len(met) == 1 else 'are'} {_listed(met)}." if met else _NO_PLACE
    if not smallest:
        text += " In the time given it was not settled whether each of them is needed for that."
    if len(known.not_alone) == len(kept):
        text += f" Giving {'it up' if one else 'up one of them alone'} is not enough; "
        text += "other wishes clash as well."
    return text


def _poor(scenario: Scenario, money: Sequence[Wish]) -> str:
    """Say that money is what lacks where the wishes that it clashes with are many and not known."""
    together = _listed([wish.words for wish in money])
    return (
        f"In {scenario.shop.name}, {together} is too little for all else that is asked for. In the "
        "time given it was not settled which parts of that cannot be paid for."
    )


def _open(known: Eased) -> str:
    """Say what stayed open about changes."""
    text = ""
    if not known.tried:
        text += " In the time given not every change was tried to the end."
    dearer = [change for change in known.changes if change.change.startswith("raise it")]
    if dearer and all(change.facings is None for change in dearer):
        text += " Sheets and packs are bought whole, so more money than named may be needed."
    return text


_NO_PLACE = "no positions of the grid fit."


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1]
