"""Where solving, checking, measuring, drawing and files meet: the package's public functions."""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from shopfit.model.base import plain
from shopfit.model.finding import Finding
from shopfit.model.layout import Layout
from shopfit.model.moves import Moves
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Listener, Solution, unheard
from shopfit.model.proof import Timing
from shopfit.model.scenario import Scenario
from shopfit.stopping import StopFlag

if TYPE_CHECKING:
    from shopfit.drawing import Drawings
    from shopfit.model.route import MeasuredRoutes
    from shopfit.model.schedule import Comparison, TakeOff
    from shopfit.standards import Rulebook


@dataclass(frozen=True)
class Plan:
    """What a solve led to, with everything needed to judge it, draw it and order from it.

    Parameters
    ----------
    scenario
        What was given.
    solution
        How the solve ended.
    layout
        The layout with its cuts and purchases, or none where there is a clash.
    findings
        What the checks found on that layout.
    moves
        Of a rearrangement: what has to be done to what stands today.
    """

    scenario: Scenario
    solution: Solution
    layout: Layout | None = None
    findings: tuple[Finding, ...] = ()
    moves: Moves | None = None

    @property
    def violations(self) -> tuple[Finding, ...]:
        """The findings that are violations."""
        return tuple(finding for finding in self.findings if finding.severity == "violation")


def load_scenario(folder: Path | str, pins: Path | str | None = None) -> Scenario:
    """Read a scenario folder.

    Parameters
    ----------
    folder
        Holds ``shop.yaml``, ``range.csv``, ``fixtures.yaml`` and perhaps ``pins.yaml`` and
        ``values.yaml``.
    pins
        Another file to be read in place of the folder's ``pins.yaml``.

    Raises
    ------
    InputFaults
        With every fault of every file.
    """
    from shopfit.files.scenario import load_scenario as load

    folder = Path(folder)
    if pins is None or not folder.is_dir():
        return load(folder)
    # Pins are judged together with the walls and fixtures they name, so they are read in place.
    with tempfile.TemporaryDirectory(prefix="shopfit-") as place:
        copy = Path(place) / folder.resolve().name
        copy.mkdir()
        for name in ("shop.yaml", "range.csv", "fixtures.yaml", "values.yaml"):
            if (folder / name).is_file():
                shutil.copyfile(folder / name, copy / name)
        shutil.copyfile(pins, copy / "pins.yaml")
        return load(copy)


def read_layout(path: Path | str, scenario: Scenario | None = None) -> Layout:
    """Read a layout file, or the ``layout.json`` of an output folder.

    Parameters
    ----------
    path
        A file or a folder.
    scenario
        If given, every name of the layout must be known to it.

    Raises
    ------
    InputFaults
        With every fault of the file.
    """
    from shopfit.files.layouts import read_layout as read

    path = Path(path)
    return read(path / "layout.json" if path.is_dir() else path, scenario)


def rulebook(which: Path | str) -> Rulebook:
    """Give a rulebook by its name, or read a user's own values on top of one, or a scenario's.

    Parameters
    ----------
    which
        A name, such as ``us``, a YAML file, or a scenario folder.

    Raises
    ------
    InputFaults
        With every fault of the file.
    """
    from shopfit import standards
    from shopfit.files.ownvalues import read_own_values

    if str(which) in standards.names():
        return standards.load(str(which))
    if Path(which).is_dir():
        return standards.of(load_scenario(which))
    return read_own_values(Path(which))


def made_for(scenario: Scenario, layout: Layout) -> bool:
    """Say whether a layout was made for exactly this scenario, or does not tell."""
    from shopfit.files import origin

    return origin.made_for(scenario, layout)


def solve(
    scenario: Scenario,
    options: SolveOptions | None = None,
    *,
    listener: Listener = unheard,
    stop: StopFlag | None = None,
    start: Layout | None = None,
) -> Plan:
    """Lay a shop out, complete the layout with cuts and purchases, and check it afresh.

    The solver prices sheets and packs by the piece. Where whole sheets and packs cost more than
    the budget, it is asked again with that much money kept back, a few times, each with a sixth of
    the time. The bound of the first answer, for the whole budget, stays the bound that is told. At
    last goods are taken out of what a raised floor was not designed to carry.

    Parameters
    ----------
    scenario, options
        What is given, and how hard to search.
    listener
        Hears of progress, on the thread of the solve.
    stop
        Raised to stop early; the best layout so far is kept.
    start
        A layout to start from; kept if its fixtures may still stand where they do and nothing
        better is found.
    """
    from shopfit.affording import Again, afford, carried, within_budget
    from shopfit.files.signing import signed
    from shopfit.quantities.takeoff import complete
    from shopfit.solver.run import solve as find
    from shopfit.solver.run import solve_again

    options = options if options is not None else SolveOptions()
    stop = stop if stop is not None else StopFlag()
    search = partial(find, bought=complete, within=within_budget)
    solution = search(scenario, options, listener=listener, stop=stop, start=start)
    if solution.layout is None:
        return Plan(scenario, solution)
    first = complete(scenario, solution.layout)
    again = Again(scenario, options, listener, stop, solve_again, first)
    solution = carried(again, afford(again, solution))
    if solution.layout is None:
        return Plan(scenario, solution)
    layout = signed(scenario, solution.layout)
    solution = solution.model_copy(update={"layout": layout})
    return Plan(scenario, solution, layout, check(scenario, layout))


def rearrange(
    scenario: Scenario,
    layout: Layout,
    options: SolveOptions | None = None,
    *,
    gain: float | None = None,
    most_moves: int | None = None,
    listener: Listener = unheard,
    stop: StopFlag | None = None,
) -> Plan:
    """Rearrange a layout that stands with the fewest moves, and list the moves.

    A layout that meets all that is asked for already is left as it is. Given only ``most_moves``,
    the most is shown that so many moves allow.

    Parameters
    ----------
    scenario, layout
        What is given now, and what stands today, made for this scenario or for another.
    options
        How hard to search.
    gain
        Facings to be gained, or value where the brief asks for value, over what of today's goods
        is still in the range; left out, only the minimums have to be met.
    most_moves
        Most moves of fixtures and slat-wall; goods do not count.
    listener, stop
        As for `solve`.
    """
    from shopfit.affording.keeping import counted, rearrange_within
    from shopfit.files.signing import signed
    from shopfit.quantities.moves import list_moves
    from shopfit.quantities.takeoff import complete
    from shopfit.solver.rearrange import rearrange as search
    from shopfit.solver.rearranged import shows

    options = options if options is not None else SolveOptions()
    stop = stop if stop is not None else StopFlag()

    def ask(given: Scenario) -> Solution:
        return search(
            given,
            layout,
            options,
            gain=gain,
            most_moves=most_moves,
            listener=listener,
            stop=stop,
            bought=complete,
        )

    most_wanted = gain is None and most_moves is not None
    solution = None if most_wanted or (gain or 0.0) > 0.0 else _as_it_stands(scenario, layout)
    if solution is None:
        solution = rearrange_within(scenario, ask, partial(shows, scenario, layout, gain))
    if solution.layout is None:
        return Plan(scenario, solution)
    moves = list_moves(scenario, layout, solution.layout)
    proof = counted(solution.layout.proof, moves)
    after = signed(scenario, solution.layout.model_copy(update={"proof": proof}))
    solution = solution.model_copy(update={"layout": after})
    return Plan(scenario, solution, after, check(scenario, after), moves)


def _as_it_stands(scenario: Scenario, layout: Layout) -> Solution | None:
    """Give a layout back as it is where the checks have nothing against it, or none."""
    from shopfit.checks import measured_totals
    from shopfit.solver.rearranged import untouched

    # Its old proof may be of another objective.
    bare = layout.model_copy(update={"proof": None})
    if any(finding.severity == "violation" for finding in check(scenario, bare)):
        return None
    proof = untouched(scenario, measured_totals(scenario, layout).objective)
    timing = Timing(seconds=0.0)
    same = layout.model_copy(update={"proof": proof, "timing": timing, "scenario": scenario.folder})
    return Solution(outcome="layout", layout=same)


def check(scenario: Scenario, layout: Layout) -> tuple[Finding, ...]:
    """Measure a layout, whoever made it, against the rulebook and the brief."""
    from shopfit.checks import check as measure

    return measure(scenario, layout)


def measured_routes(scenario: Scenario, layout: Layout) -> MeasuredRoutes:
    """Measure the ways of a layout: routes, narrow places, turning spaces and dead ends."""
    from shopfit.checks import measured_routes as measure

    return measure(scenario, layout)


def quantities(scenario: Scenario, layout: Layout) -> TakeOff:
    """Take off fixtures, sheets, brackets and shelves, with prices and set-out."""
    from shopfit.quantities.takeoff import take_off

    return take_off(scenario, layout)


def compare(
    before_scenario: Scenario, before: Layout, after_scenario: Scenario, after: Layout
) -> Comparison:
    """Put two layouts, of one scenario or of two, side by side."""
    from shopfit.quantities.compare import compare as set_side_by_side

    return set_side_by_side(before_scenario, before, after_scenario, after)


def draw(
    scenario: Scenario,
    layout: Layout,
    findings: tuple[Finding, ...] | None = None,
    *,
    date: str = "",
) -> Drawings:
    """Draw the whole set: plan, ways, walls, islands, way in, cutting and findings.

    Parameters
    ----------
    scenario, layout
        What is drawn.
    findings
        Marked on the plan where they have a place, and listed on the last sheets; none where
        nothing was checked.
    date
        For title blocks.
    """
    from shopfit.outputs import drawings

    return drawings(scenario, layout, findings, date)


def findings_data(scenario: Scenario, findings: tuple[Finding, ...]) -> dict[str, Any]:
    """Give findings as plain data: counts, rulebook, every finding by number, cautions."""
    from shopfit.files.findings import findings_data as listed

    return listed(scenario, findings)


def write_findings(
    scenario: Scenario,
    layout: Layout,
    findings: tuple[Finding, ...],
    folder: Path | str,
    date: str | None = None,
) -> tuple[str, ...]:
    """Write findings as lists and as a plan with every one marked; gives the files' names.

    Parameters
    ----------
    scenario, layout, findings
        What is written down.
    folder
        Made if need be; all files are written, or none.
    date
        For title blocks; the day the layout was made if left out.
    """
    from shopfit.outputs import findings_files, write_findings_files

    return write_findings_files(findings_files(scenario, layout, findings, date), folder)


def plan_files(plan: Plan, date: str | None = None) -> dict[str, bytes]:
    """Make every file of a plan that has a layout; contents by file name.

    Parameters
    ----------
    plan
        Its layout, drawings, lists and findings are written down.
    date
        For title blocks; the day the layout was made if left out.
    """
    from shopfit.outputs import moves_file, output_files

    if plan.layout is None:
        raise ValueError("a plan without a layout has no files")
    files = output_files(plan.scenario, plan.layout, plan.findings, date)
    return files if plan.moves is None else files | moves_file(plan.scenario, plan.moves)


def write_outputs(plan: Plan, folder: Path | str, date: str | None = None) -> tuple[str, ...]:
    """Write every file of a plan into a folder, all or none; gives their names."""
    from shopfit.outputs import write_files

    return write_files(plan_files(plan, date), folder)


def plan_data(plan: Plan, files: tuple[str, ...] = ()) -> dict[str, Any]:
    """Give what a plan comes to as plain data, for scripts."""
    solution, layout = plan.solution, plan.layout
    clash = solution.clash
    return {
        "scenario": plan.scenario.folder,
        "outcome": solution.outcome,
        "stopped": solution.stopped,
        "claims": None if layout is None else plain(layout.claims),
        "proof": None if layout is None or layout.proof is None else plain(layout.proof),
        "timing": None if layout is None else plain(layout.timing),
        "clash": None if clash is None else plain(clash),
        "violations": len(plan.violations),
        "findings": [plain(finding) for finding in plan.findings],
        "files": list(files),
        **({} if plan.moves is None else {"moves": moves_data(plan.moves)}),
    }


def moves_data(moves: Moves) -> dict[str, Any]:
    """Give moves as plain data, with what they count."""
    return {"count": moves.count, "blocks_changed": moves.blocks_changed, **plain(moves)}
