"""What every drawing of one layout needs at hand."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from shapely import Polygon

from shopfit import standards
from shopfit.drawing.labels import Labels
from shopfit.geometry.footprint import footprint
from shopfit.geometry.shell import ShellPlan, survey
from shopfit.model.fixtures import Fixture
from shopfit.model.layout import Layout, Placement
from shopfit.model.scenario import Scenario, Shop
from shopfit.standards.rulebook import Rulebook
from shopfit.units import format_length


@dataclass(frozen=True)
class Desk:
    """A layout on the drawing desk.

    Parameters
    ----------
    scenario, layout, shell, rulebook
        What is drawn, the surveyed shell, and the rulebook of its clear spaces.
    scale
        How many times smaller the drawing prints.
    labels
        Places taken by lettering.
    """

    scenario: Scenario
    layout: Layout
    shell: ShellPlan
    rulebook: Rulebook
    scale: float = 1.0
    labels: Labels = field(default_factory=lambda: Labels(1.0))

    @classmethod
    def of(cls, scenario: Scenario, layout: Layout) -> Desk:
        """Lay a scenario and a layout ready; raises KeyError for an unknown rulebook."""
        return cls(scenario, layout, survey(scenario.shop), standards.of(scenario))

    def at(self, scale: float) -> Desk:
        """Give the same desk for a scale, with no lettering set."""
        return replace(self, scale=scale, labels=Labels(scale))

    @property
    def shop(self) -> Shop:
        """The shop."""
        return self.scenario.shop

    def fixture(self, placement: Placement) -> Fixture:
        """Give the catalogue's fixture of a placement."""
        return self.scenario.catalogue.fixture(placement.fixture)

    def footprint(self, placement: Placement) -> Polygon:
        """Give the floor that a placement covers, mm."""
        return footprint(self.fixture(placement), placement)

    def length(self, size: float) -> str:
        """Write a length in the shop's units."""
        return format_length(size, self.shop.units)


def fixture_title(desk: Desk, placement: Placement) -> str:
    """Say in one line what stands at a placement."""
    fixture = desk.fixture(placement)
    sizes = " × ".join(desk.length(s) for s in (fixture.width, fixture.depth, fixture.height))
    words = f"{placement.id}: {fixture.name or fixture.id}, {sizes} (width, depth, height)"
    return f"{words}, pinned" if placement.pinned else words
