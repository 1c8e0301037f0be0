"""What stands on some faces, and on all others."""

from __future__ import annotations

from shopfit.solver.counted import counted
from shopfit.solver.filling import BlockPlan, Filling
from tests.solver import build as b


def test_inside_and_outside_add_up_to_all():
    """Facings, units, weighted facings and money of one face and of the others are all there is."""
    line = b.line(width=b.mm(100.0), min_facings=9, max_facings=50)
    filler = b.filler(b.scenario([line]), [500.0, 500.0])
    (category,) = filler.categories
    (pattern, *_) = filler.display.patterns[category, 0]
    plans = [BlockPlan(0, category, pattern), BlockPlan(1, category, pattern)]
    filling = Filling(plans, [40_000, 40_000], {(0, 0, "jar"): 3, (1, 0, "jar"): 4})
    inside = counted(filler, filling, {0}, inside=True)
    outside = counted(filler, filling, {0}, inside=False)
    assert (inside.facings, outside.facings) == ({"jar": 3}, {"jar": 4})
    units = filler.display.showings["jar", 0].units
    assert inside.units["jar"] + outside.units["jar"] == 7 * units
    assert inside.weight("jar") + outside.weight("jar") == 7.0
    assert inside.weight("tin") == 0.0
    own = filler.site.scenario.lines[0]
    assert inside.missing(own, outside) == outside.missing(own, inside) == 9 - 7
