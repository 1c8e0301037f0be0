"""Keeps slat-wall to the whole sheets that can be had."""

from __future__ import annotations

from collections.abc import Iterator

from shopfit.affording.trim import claims_anew, missing, without_hosts, worth
from shopfit.model.layout import Layout
from shopfit.model.progress import Change, Clash
from shopfit.model.scenario import Scenario
from shopfit.quantities.takeoff import complete
from shopfit.solver.spending import sheets_over


def trim_sheets(scenario: Scenario, layout: Layout) -> Layout | None:
    """Take out the runs that are worth least for their slat-wall until the sheets suffice.

    Parameters
    ----------
    scenario, layout
        What is trimmed, with its cuts and purchases.

    Returns
    -------
    The layout that is left, with cuts, purchases and claims of its own; none where every run more
    would give up a minimum.
    """
    while over := sheets_over(scenario, layout):
        before, known = sum(over.values()), worth(scenario, layout)
        found = list(_without_a_run(scenario, layout, frozenset(over)))
        if not found:
            return None
        # One that saves enough by itself first, and of those the one that loses least.
        layout = min(
            found,
            key=lambda less: (
                max(0, sum(sheets_over(scenario, less).values()) - before + 1),
                known - worth(scenario, less),
            ),
        )
    return layout


def _without_a_run(scenario: Scenario, layout: Layout, sheets: frozenset[str]) -> Iterator[Layout]:
    """Leave out one run of sheets that are short, where that gives up no minimum."""
    short = missing(scenario, layout)
    for run in layout.runs:
        if run.sheet not in sheets:
            continue
        less = claims_anew(scenario, without_hosts(layout, frozenset({run.id})))
        if missing(scenario, less) <= short:
            yield complete(scenario, less)


def too_few_sheets(scenario: Scenario, nearest: Layout) -> Clash:
    """Say that no layout with the sheets to be had was found, and how many more were needed."""
    over = sheets_over(scenario, nearest)
    have = {sheet.id: sheet.available for sheet in scenario.catalogue.sheets}
    wanted = [f"{have[n] + count} packs of {n} instead of {have[n]}" for n, count in over.items()]
    names, counts = " and ".join(over), " and ".join(f"{have[n] + over[n]}" for n in over)
    facings = None if missing(scenario, nearest) > 0 else nearest.claims.facings
    return Clash(
        reason=(
            f"The layout found needs {' and '.join(wanted)} when cut from whole sheets. "
            "No layout that misses no minimum and does with those to be had was found."
        ),
        wishes=tuple(f"{have[name]} packs of {name} to be had" for name in over),
        changes=(Change(wish=f"packs of {names} to be had", change=counts, facings=facings),),
        proved=False,
    )
