"""What holds a shop back: the layout now, each limit moved a little and solved again, ranked."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from shopfit.files.columns import PlainColumn
from shopfit.files.layouts import fingerprint
from shopfit.files.tables import plain_csv
from shopfit.files.writing import Bundle
from shopfit.geometry.shell import survey
from shopfit.limits.easings import Easing, Kind, easings
from shopfit.limits.gains import Gain, Known, gain, known, ranked, shared
from shopfit.model.base import plain
from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.proof import Proof
from shopfit.model.scenario import Scenario
from shopfit.stopping import StopFlag
from shopfit.sweep.cases import Case
from shopfit.sweep.holding import held
from shopfit.sweep.naming import folder_name
from shopfit.sweep.settle import Runner, Settled, runner, settle
from shopfit.sweep.store import Store
from shopfit.sweep.work import Answer, claimed, meets

NOW = "now"
CAUTION = (
    "What a change gains is what the search found and proved for this shop, in the same time as "
    "before, and no advice to make it. Moving a panelboard, a wall or an exit, and a narrower "
    "aisle, are for licensed people and local code to decide."
)


@dataclass(frozen=True)
class Report:
    """What holds a shop back.

    Parameters
    ----------
    scenario, now
        What was given, and what it comes to as it is.
    gains
        One a change, those that gain most first.
    undone
        Changes that a stop left out.
    fixed_walls
        Walls for which no line was found at which the shell could be drawn apart.
    fixed_panels
        Panelboards for which no other place was found.
    """

    scenario: Scenario
    now: Answer
    gains: tuple[Gain, ...] = ()
    undone: tuple[str, ...] = ()
    fixed_walls: tuple[str, ...] = ()
    fixed_panels: tuple[str, ...] = ()

    @property
    def full(self) -> bool:
        """Whether every line has as many facings as the range allows it."""
        if self.now.layout is None:
            return False
        most = sum(line.max_facings for line in self.scenario.lines)
        return self.now.layout.claims.facings >= most


def run_limits(
    scenario: Scenario,
    options: SolveOptions,
    layout: Layout | None = None,
    *,
    out: Path | str | None = None,
    only: Sequence[Kind] = (),
    processes: int | None = None,
    address: str | None = None,
    stop: StopFlag | None = None,
    told: Callable[[Settled, int], None] | None = None,
    look: Callable[[], None] | None = None,
    noted: Callable[[str], None] | None = None,
) -> Report:
    """Solve a shop as it is, and again with each limit moved a little, and rank the gains.

    Parameters
    ----------
    scenario, options
        What is given, and how hard each search is.
    layout
        A layout of it to start from; one that is proved already is not solved again.
    out
        Folder for layouts, ``gains.csv`` and ``gains.json``; nothing is written if left out.
    only
        Kinds of limits; all of them if left out.
    processes, address
        Where searches run; see `shopfit.sweep.settle.runner`.
    stop
        Raised to end early; with a folder, the same call goes on another time.
    told
        Hears of each search that ended, with the number of all; 0 while that is not known.
    look
        Called several times a second.
    noted
        Hears what is worth knowing before the first search.
    """
    stop = stop if stop is not None else StopFlag()
    store = None if out is None else Store(out)
    with held(out, noted), runner(processes, address, stop, look, options.workers) as by:
        now = _now(scenario, options, layout, by, store, told)
        if now is None or not now.sound or now.layout is None:
            missing = Answer(NOW, "", "stopped")
            return Report(scenario, now or missing)
        chosen = [each for each in easings(scenario, now.layout) if not only or each.kind in only]
        cases = _cases(chosen, options)
        hear = None if told is None else lambda settled: told(settled, len(cases))
        settled = {each.case.name: each.answer for each in settle(cases, by, store, hear)}
    report = _judged(scenario, now, chosen, cases, settled)
    if not only or "wall" in only:
        report = replace(report, fixed_walls=_fixed_walls(scenario, chosen))
    if not only or "panelboard" in only:
        report = replace(report, fixed_panels=_fixed_panels(scenario, chosen))
    if out is not None:
        with Bundle(out) as bundle:
            bundle.write_text("gains.csv", gains_csv(report.gains))
            text = json.dumps(report_data(report), indent=2, ensure_ascii=False, allow_nan=False)
            bundle.write_text("gains.json", text + "\n")
    return report


def report_data(report: Report) -> dict[str, Any]:
    """Give a report as plain data, for scripts."""
    return {
        "scenario": report.scenario.folder,
        "objective": report.scenario.brief.objective,
        "now": {"worth": report.now.worth, "bound": report.now.bound},
        "gains": [plain(each) for each in report.gains],
        "undone": list(report.undone),
        "walls not drawn apart": list(report.fixed_walls),
        "panelboards not moved": list(report.fixed_panels),
        "every line has its most facings": report.full,
        "caution": CAUTION,
    }


def gains_csv(gains: Sequence[Gain]) -> str:
    """Write gains as comma-separated text."""
    columns = (
        PlainColumn("Limit", lambda one: one.kind, "text"),
        PlainColumn("Change", lambda one: one.change, "text"),
        PlainColumn("Gain found", lambda one: one.found, "count"),
        PlainColumn("Gain at least", lambda one: one.least, "count"),
        PlainColumn("Gain at most", lambda one: one.most, "count"),
        PlainColumn("What that proves", lambda one: one.verdict, "text"),
        PlainColumn("Now", lambda one: one.now, "count"),
        PlainColumn("Bound now", lambda one: one.now_most, "count"),
        PlainColumn("Then", lambda one: one.then, "count"),
        PlainColumn("Bound then", lambda one: one.then_most, "count"),
        PlainColumn("Cost then", lambda one: one.cost, "money"),
        PlainColumn("Ended with", lambda one: one.status, "text"),
        PlainColumn("Values checked that are not met", lambda one: one.violations, "count"),
        PlainColumn("Seconds", lambda one: one.seconds, "count"),
        PlainColumn("Message", lambda one: one.message, "text"),
    )
    return plain_csv(columns, gains)


def _now(
    scenario: Scenario,
    options: SolveOptions,
    layout: Layout | None,
    by: Runner,
    store: Store | None,
    told: Callable[[Settled, int], None] | None,
) -> Answer | None:
    """Give what the shop comes to as it is: as given where that is proved, else solved."""
    given = None if layout is None else _given(scenario, layout)
    if given is not None and given.proved:
        return given
    start = None if given is None else given.layout
    case = Case(NOW, NOW, scenario.folder, {}, scenario, options, start)
    hear = None if told is None else lambda settled: told(settled, 0)
    found = settle([case], by, store, hear)
    if not found:
        return None
    answer = found[0].answer
    if given is None or (answer.sound and (answer.worth or 0.0) >= (given.worth or 0.0)):
        return answer
    # The layout given is better; the bound of the search is the one that was proved here.
    return replace(given, layout=_bounded(given, answer.bound))


def _given(scenario: Scenario, layout: Layout) -> Answer | None:
    """Give a layout as an answer, or none where it is not one for this scenario."""
    worth = claimed(scenario, layout)
    if worth is None or not meets(scenario, layout):
        return None
    if layout.fingerprint != fingerprint(scenario) or layout.proof is None:
        # Whatever it was proved for is another scenario.
        proof = Proof(
            status="not measured",
            objective=worth,
            bound=None,
            gap=None,
            grid="as given",
            rules="as given",
            step_mm=scenario.brief.step,
            candidates=0,
        )
        layout = layout.model_copy(update={"proof": proof})
    return Answer(NOW, "", "layout", layout)


def _bounded(given: Answer, bound: float | None) -> Layout | None:
    layout = given.layout
    if layout is None or layout.proof is None:
        return layout
    proof = layout.proof.model_copy(update={"bound": bound, "gap": None})
    return layout.model_copy(update={"proof": proof})


def _cases(chosen: Sequence[Easing], options: SolveOptions) -> list[Case]:
    taken, names = {NOW}, Counter[str]()
    cases = []
    for each in chosen:
        names[each.words] += 1
        number = names[each.words]
        name = each.words if number == 1 else f"{each.words} ({number})"
        start = each.start if each.start and meets(each.scenario, each.start) else None
        folder = folder_name(each.words, taken)
        source = each.scenario.folder
        cases.append(Case(name, folder, source, {}, each.scenario, options, start))
    return cases


def _fixed_walls(scenario: Scenario, chosen: Sequence[Easing]) -> tuple[str, ...]:
    grown = {wall for each in chosen for wall in each.walls}
    return tuple(wall.id for wall in survey(scenario.shop).walls if wall.id not in grown)


def _fixed_panels(scenario: Scenario, chosen: Sequence[Easing]) -> tuple[str, ...]:
    moved = {each.one_of for each in chosen if each.kind == "panelboard"}
    panels = [each.id for each in scenario.shop.obstructions if each.kind == "panelboard"]
    return tuple(each for each in panels if each not in moved)


def _judged(
    scenario: Scenario,
    now: Answer,
    chosen: Sequence[Easing],
    cases: Sequence[Case],
    answers: dict[str, Answer],
) -> Report:
    before = known(now)
    done = [
        (easing, case, answers[case.name])
        for easing, case in zip(chosen, cases, strict=True)
        if case.name in answers and answers[case.name].status != "stopped"
    ]
    tried = [(easing, _then(case, answer, before)) for easing, case, answer in done]
    now = _bettered(scenario, now, [answer for _, _, answer in done])
    before, after = shared(known(now), tried)
    gains = _best_of_several(
        (easing, gain(easing, before, then, answer))
        for (easing, _, answer), then in zip(done, after, strict=True)
    )
    named = {case.name for _, case, _ in done}
    undone = tuple(case.name for case in cases if case.name not in named)
    return Report(scenario, now, tuple(ranked(gains)), undone)


def _best_of_several(tried: Iterable[tuple[Easing, Gain]]) -> list[Gain]:
    """Give the gains, of several ways of one thing the best alone."""
    found: list[Gain] = []
    ways: dict[str, list[Gain]] = {}
    for easing, one in tried:
        (ways.setdefault(easing.one_of, []) if easing.one_of else found).append(one)
    for several in ways.values():
        best = ranked(several)[0]
        if len(several) > 1:
            words = f"{best.change}, the best of {len(several)} places tried"
            best = best.model_copy(update={"change": words})
        found.append(best)
    return found


def _bettered(scenario: Scenario, now: Answer, others: Sequence[Answer]) -> Answer:
    """Give the layout now, or a better one of a change that meets the rules without it as well.

    What a longer search could have found anyway is then no gain of the change.
    """
    sound = [each for each in others if each.sound and each.worth is not None]
    for each in sorted(sound, key=lambda each: -(each.worth or 0.0)):
        if (each.worth or 0.0) <= (now.worth or 0.0):
            break
        if each.layout is not None and meets(scenario, each.layout):
            return replace(now, layout=_bounded(each, now.bound))
    return now


def _then(case: Case, answer: Answer, before: Known) -> Known:
    """Give what is known after a change; the layout now counts where it meets the rules then."""
    then = known(answer)
    if case.start is None or before.least is None:
        return then
    return replace(then, least=max(before.least, then.least or before.least))
