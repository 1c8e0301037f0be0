"""How a shop is asked for again, so that its layout can be bought in whole sheets and packs."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, replace

from shopfit.affording.paid import Times, midway, reckoned, times_paid
from shopfit.affording.trim import shortfalls, shown
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from shopfit.solver.spending import sheets_over


@dataclass(frozen=True)
class Asked:
    """What is asked for otherwise than in the scenario itself.

    Parameters
    ----------
    kept_back
        Money kept back.
    sheets
        Packs of each kind of sheet kept back.
    times
        How many times the price of the pieces used each item is reckoned at.
    least
        Fewest facings of lines that missed their minimums before: more than they need, for in
        whole facings the room for so many was not enough.
    """

    kept_back: float = 0.0
    sheets: Counter[str] = field(default_factory=Counter[str])
    times: Times = field(default_factory=dict[str, float])
    least: dict[str, int] = field(default_factory=dict[str, int])

    def of(self, scenario: Scenario) -> Scenario:
        """Give the scenario that is searched."""
        brief, dear = scenario.brief, reckoned(scenario, self.times)
        if brief.budget is not None:
            brief = brief.model_copy(update={"budget": max(0.0, brief.budget - self.kept_back)})
        sheets = tuple(
            sheet.model_copy(
                update={"available": max(0, sheet.available - self.sheets.get(sheet.id, 0))}
            )
            for sheet in dear.catalogue.sheets
        )
        lines = tuple(
            line.model_copy(update={"min_facings": self.least.get(line.line, line.min_facings)})
            for line in scenario.lines
        )
        return dear.model_copy(
            update={
                "shop": scenario.shop.model_copy(update={"brief": brief}),
                "catalogue": dear.catalogue.model_copy(update={"sheets": sheets}),
                "lines": lines,
            }
        )

    def after(self, scenario: Scenario, layout: Layout) -> Asked:
        """Take in what a layout shows: what whole packs came to, and which minimums it misses.

        Parameters
        ----------
        scenario, layout
            As given, and the layout with its purchases.
        """
        facings, _ = shown(layout)
        missed, least = shortfalls(scenario, layout), dict(self.least)
        for line in scenario.lines:
            if missed[line.line]:
                known = max(least.get(line.line, line.min_facings), facings[line.line])
                least[line.line] = min(line.max_facings, known + 1)
        return replace(
            self,
            sheets=self.sheets + Counter(sheets_over(scenario, layout)),
            times=midway(self.times, times_paid(scenario, layout)),
            least=least,
        )

    @property
    def told(self) -> str:
        """What is told beside each step of the search."""
        if self.kept_back > 0:
            return f"keeping {self.kept_back:,.2f} for whole sheets and packs"
        if self.sheets:
            return "keeping some slat-wall for whole sheets and packs"
        return "at what whole sheets and packs come to"
