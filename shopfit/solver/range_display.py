"""How the lines of the range can be shown on the classes of face of a shop."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from shopfit.model.range import Line
from shopfit.solver.display import FaceClass, Holding, Showing, showing
from shopfit.solver.patterns import Group, Pattern, Span, patterns
from shopfit.solver.site import Site


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
        For each category, the bands its lines ask for.
    """

    classes: tuple[FaceClass, ...]
    showings: dict[tuple[str, int], Showing]
    patterns: dict[tuple[str, int], tuple[Pattern, ...]]
    bands: dict[str, tuple[str, ...]]

    def allowed(self, line: Line, group: Group) -> bool:
        """Say whether a line may stand in rows of a group."""
        return line.band is None or self.bands[line.category].index(line.band) in group


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
    showings: dict[tuple[str, int], Showing] = {}
    divided: dict[tuple[str, int], tuple[Pattern, ...]] = {}
    bands: dict[str, tuple[str, ...]] = {}
    by_category: dict[str, list[Line]] = {category: [] for category in scenario.categories}
    for line in scenario.lines:
        by_category[line.category].append(line)
    for category, lines in by_category.items():
        bands[category] = tuple(sorted({line.band for line in lines if line.band is not None}))
        spans: tuple[Span, ...] = tuple(
            (scenario.brief.band(band).bottom, scenario.brief.band(band).top)
            for band in bands[category]
        )
        for k, face in enumerate(classes):
            needs = set()
            for line in lines:
                shown = showing(scenario, line, face, (today or {}).get((line.line, face)))
                if shown is not None and line.max_facings > 0:
                    showings[line.line, k] = shown
                    needs.add(shown.levels)
            divided[category, k] = patterns(face, tuple(sorted(needs)), spans)
    return Display(tuple(classes), showings, divided, bands)
