"""What areas of each class of face are worth: the linear relaxation of blocks, rows and facings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from ortools.linear_solver import pywraplp

from shopfit.model.range import Line
from shopfit.solver.display import FaceClass, Showing, showing
from shopfit.solver.patterns import Group, Pattern, Span, patterns
from shopfit.solver.site import Site

# A facing or unit short of a minimum weighs as much as this many facings: more than any exchange
# of one wide facing for many narrow ones can bring.
SHORTFALL_WEIGHT = 1000.0


@dataclass(frozen=True)
class Cut:
    """A linear bound on what the faces are worth: constant + prices · widths + rate · money.

    Parameters
    ----------
    prices
        For each class of face, worth a millimetre of width.
    rate
        Worth a unit of money left for brackets and shelves.
    constant
        The rest.
    """

    prices: tuple[float, ...]
    rate: float
    constant: float

    def value(self, widths: Sequence[float], money: float | None) -> float:
        """Give the bound for given widths, mm, and money left."""
        worth = sum(price * width for price, width in zip(self.prices, widths, strict=True))
        return self.constant + worth + (self.rate * money if money is not None else 0.0)


@dataclass(frozen=True)
class FaceValue:
    """The relaxation solved for given widths.

    Parameters
    ----------
    value
        Worth, shortfalls taken off.
    cut
        The bound that it proves for all widths.
    blocks
        Width of each category's pattern on each class, mm: (category, class, pattern) to width.
    facings
        Facings of each line on each class.
    shortfalls
        Lines that stay short of a minimum or holding, by how much.
    """

    value: float
    cut: Cut
    blocks: dict[tuple[str, int, Pattern], float]
    facings: dict[tuple[str, int], float]
    shortfalls: dict[str, float] = field(default_factory=dict)


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


def display(site: Site, classes: Sequence[FaceClass]) -> Display:
    """Work out how every line can be shown on every class of face."""
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
                shown = showing(scenario, line, face)
                if shown is not None and line.max_facings > 0:
                    showings[line.line, k] = shown
                    needs.add(shown.levels)
            divided[category, k] = patterns(face, tuple(sorted(needs)), spans)
    return Display(tuple(classes), showings, divided, bands)


class FaceProgram:
    """The relaxation, built once and solved again for changing widths and money.

    Category blocks of any width stand on each class of face; a block's pattern gives row length,
    and for every height the lines that need at least that height fit in the rows that have it
    (Hall's condition for nested heights, so nothing is lost but whole numbers).

    Parameters
    ----------
    site
        The shop.
    shown
        How lines can be shown.
    weights
        Worth of a facing of each line.
    """

    def __init__(self, site: Site, shown: Display, weights: Mapping[str, float]) -> None:
        self._site = site
        self._display = shown
        self._weights = weights
        self._solver = pywraplp.Solver.CreateSolver("GLOP")
        self._objective = self._solver.Objective()
        self._objective.SetMaximization()
        self._capacity = [self._solver.Constraint(0.0, 0.0) for _ in shown.classes]
        infinity = self._solver.infinity()
        self._money = self._solver.Constraint(-infinity, infinity)
        self._blocks: dict[tuple[str, int, Pattern], pywraplp.Variable] = {}
        self._facings: dict[tuple[str, int, Group], pywraplp.Variable] = {}
        self._short: dict[str, list[pywraplp.Variable]] = {}
        for category in site.scenario.categories:
            for k in range(len(shown.classes)):
                self._add_blocks(category, k)
        self._add_totals()

    def _lines(self, category: str) -> list[Line]:
        return [line for line in self._site.scenario.lines if line.category == category]

    def _add_blocks(self, category: str, k: int) -> None:
        shown, infinity = self._display, self._solver.infinity()
        own = shown.patterns[category, k]
        if not own:
            return
        for pattern in own:
            block = self._solver.NumVar(0.0, infinity, "")
            self._blocks[category, k, pattern] = block
            self._capacity[k].SetCoefficient(block, 1.0)
        lines = [line for line in self._lines(category) if (line.line, k) in shown.showings]
        groups = sorted({group for pattern in own for group in pattern.groups}, key=sorted)
        for group in groups:
            inside = [line for line in lines if shown.allowed(line, group)]
            for line in inside:
                facing = self._solver.NumVar(0.0, float(line.max_facings), "")
                self._facings[line.line, k, group] = facing
                self._objective.SetCoefficient(facing, self._weights[line.line])
                self._money.SetCoefficient(facing, shown.showings[line.line, k].cost)
            for need in sorted({shown.showings[line.line, k].levels for line in inside}):
                rows = self._solver.Constraint(-infinity, 0.0)
                for line in inside:
                    if shown.showings[line.line, k].levels >= need:
                        rows.SetCoefficient(self._facings[line.line, k, group], line.width)
                for pattern in own:
                    count = pattern.count(group, need)
                    if count:
                        rows.SetCoefficient(self._blocks[category, k, pattern], -float(count))

    def _add_totals(self) -> None:
        infinity = self._solver.infinity()
        own: dict[str, list[tuple[int, pywraplp.Variable]]] = {}
        for (name, k, _), facing in self._facings.items():
            own.setdefault(name, []).append((k, facing))
        for line in self._site.scenario.lines:
            facings = own.get(line.line, [])
            total = self._solver.Constraint(float(line.min_facings), float(line.max_facings))
            short = self._solver.NumVar(0.0, float(line.min_facings), "")
            total.SetCoefficient(short, 1.0)
            self._short[line.line] = [short]
            self._objective.SetCoefficient(short, -SHORTFALL_WEIGHT)
            for _, facing in facings:
                total.SetCoefficient(facing, 1.0)
            if line.holding > 0:
                held = self._solver.Constraint(float(line.holding), infinity)
                empty = self._solver.NumVar(0.0, float(line.holding), "")
                held.SetCoefficient(empty, 1.0)
                self._short[line.line].append(empty)
                self._objective.SetCoefficient(empty, -SHORTFALL_WEIGHT)
                for k, facing in facings:
                    units = self._display.showings[line.line, k].units
                    held.SetCoefficient(facing, float(units))

    def solve(self, widths: Sequence[float], money: float | None = None) -> FaceValue:
        """Solve for given widths of each class, mm, and money left for brackets and shelves.

        Raises
        ------
        RuntimeError
            If the linear solver fails; the program is always feasible and bounded.
        """
        for row, width in zip(self._capacity, widths, strict=True):
            row.SetBounds(-self._solver.infinity(), max(0.0, float(width)))
        limit = self._solver.infinity() if money is None else max(0.0, money)
        self._money.SetBounds(-self._solver.infinity(), limit)
        if self._solver.Solve() != pywraplp.Solver.OPTIMAL:
            raise RuntimeError("the linear program of the faces could not be solved")
        return self._read(widths, money)

    def _read(self, widths: Sequence[float], money: float | None) -> FaceValue:
        value = self._objective.Value()
        prices = tuple(max(0.0, row.dual_value()) for row in self._capacity)
        rate = max(0.0, self._money.dual_value()) if money is not None else 0.0
        spent = rate * max(0.0, money) if money is not None else 0.0
        constant = value - spent - sum(p * max(0.0, w) for p, w in zip(prices, widths, strict=True))
        blocks = {
            key: block.solution_value()
            for key, block in self._blocks.items()
            if block.solution_value() > 1e-6
        }
        facings: dict[tuple[str, int], float] = {}
        for (name, k, _), facing in self._facings.items():
            if facing.solution_value() > 1e-9:
                facings[name, k] = facings.get((name, k), 0.0) + facing.solution_value()
        shortfalls = {
            name: sum(part.solution_value() for part in parts)
            for name, parts in self._short.items()
            if sum(part.solution_value() for part in parts) > 1e-6
        }
        return FaceValue(value, Cut(prices, rate, constant), blocks, facings, shortfalls)
