"""How the lines of the range can be shown on the classes of face of a shop."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from shopfit.model.range import Line
from shopfit.model.scenario import Scenario
from shopfit.solver.display import FaceClass, Holding, Showing, showing
from shopfit.solver.patterns import Group, Pattern, Span, patterns
from shopfit.solver.site import Site

# Stands for the heights of heavy goods among the bands; no band can have an empty name.
LOW = ""


@dataclass(frozen=True)
class Display:
    """How the lines of the range can be shown on the classes of face.

    Parameters
    ----------
    classes
        The classes of face.
    showings
        For (line, class number), how it is shown there.
    patterns
        For (category, class number), the divisions of the height.
    bands
        For each category, the bands that matter: those its lines ask for, those with a weight, and
        the heights of heavy goods.
    weights
        Weight of a row in each band.
    heavy
        Lines that must stand or hang low.
    """

    classes: tuple[FaceClass, ...]
    showings: dict[tuple[str, int], Showing]
    patterns: dict[tuple[str, int], tuple[Pattern, ...]]
    bands: dict[str, tuple[str, ...]]
    weights: Mapping[str, float] = field(default_factory=dict[str, float])
    heavy: frozenset[str] = frozenset()

    def allowed(self, line: Line, group: Group) -> bool:
        """Say whether a line may stand in rows of a group."""
        own = self.bands[line.category]
        if line.line in self.heavy and own.index(LOW) not in group:
            return False
        return line.band is None or own.index(line.band) in group

    def weight(self, category: str, group: Group) -> float:
        """Give what a facing in rows of a group counts."""
        if not self.weights:
            return 1.0
        own = self.bands[category]
        return max((self.weights[own[k]] for k in group if own[k] in self.weights), default=1.0)


def display(
    site: Site,
    classes: Sequence[FaceClass],
    today: Mapping[tuple[str, FaceClass], Holding] | None = None,
) -> Display:
    """Work out how every line can be shown on every class of face.

    Parameters
    ----------
    site, classes
        The shop and the classes of face.
    today
        How lines are held today, which is kept wherever no more units are wanted.
    """
    scenario = site.scenario
    heavy, weights = _heavy(scenario), _weights(scenario)
    showings: dict[tuple[str, int], Showing] = {}
    divided: dict[tuple[str, int], tuple[Pattern, ...]] = {}
    bands: dict[str, tuple[str, ...]] = {}
    by_category: dict[str, list[Line]] = {category: [] for category in scenario.categories}
    for line in scenario.lines:
        by_category[line.category].append(line)
    for category, lines in by_category.items():
        bands[category] = _bands(lines, weights, heavy)
        spans = tuple(band_span(scenario, band) for band in bands[category])
        for k, face in enumerate(classes):
            needs = set()
            for line in lines:
                shown = showing(scenario, line, face, (today or {}).get((line.line, face)))
                if shown is not None and line.max_facings > 0:
                    showings[line.line, k] = shown
                    needs.add(shown.levels)
            divided[category, k] = patterns(face, tuple(sorted(needs)), spans)
    return Display(tuple(classes), showings, divided, bands, weights, heavy)


def _heavy(scenario: Scenario) -> frozenset[str]:
    over = scenario.brief.merchandising.heavy_over
    if over is None:
        return frozenset()
    return frozenset(line.line for line in scenario.lines if line.weight > over)


def _weights(scenario: Scenario) -> dict[str, float]:
    """Give the weights of bands, all of them if any differs from 1: the greatest one counts."""
    found = {band.id: band.weight for band in scenario.brief.bands}
    return found if any(weight != 1.0 for weight in found.values()) else {}


def _bands(
    lines: Sequence[Line], weights: Mapping[str, float], heavy: frozenset[str]
) -> tuple[str, ...]:
    asked = {line.band for line in lines if line.band is not None}
    low = {LOW} if any(line.line in heavy for line in lines) else set()
    return tuple(sorted(asked | set(weights) | low))


def band_span(scenario: Scenario, band: str) -> Span:
    """Give the heights of a band of the brief, or those of heavy goods."""
    brief = scenario.brief
    if band == LOW:
        return Span(0.0, brief.merchandising.heavy_top or 0.0, whole=True)
    own = brief.band(band)
    return Span(own.bottom, own.top)
