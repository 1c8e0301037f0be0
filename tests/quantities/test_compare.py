"""Two layouts side by side: only true differences are told."""

from __future__ import annotations

import pytest

from shopfit.model.layout import Layout, Placement
from shopfit.model.scenario import Scenario
from shopfit.quantities.changelist import change_list
from shopfit.quantities.compare import compare


def test_a_layout_does_not_differ_from_itself(scenario: Scenario, layout: Layout) -> None:
    """Equal layouts with other tags have no difference; totals are recounted by hand."""
    renamed = layout.model_copy(
        update={
            "placements": tuple(
                p.model_copy(update={"id": f"F{9 - int(p.id[1:])}"}) for p in layout.placements
            ),
            "runs": tuple(run.model_copy(update={"over": ()}) for run in layout.runs),
            "blocks": layout.blocks[:2],
        }
    )
    plain = layout.model_copy(
        update={
            "runs": tuple(run.model_copy(update={"over": ()}) for run in layout.runs),
            "blocks": layout.blocks[:2],
        }
    )
    found = compare(scenario, plain, scenario, renamed)
    assert found.facings == (11, 11)
    assert found.units == (24, 24)
    assert found.value == (16.0, 16.0)  # 3 caps at 2, 1 oar at 3, 5 mugs and 2 jars at 1
    assert found.cost == (573.0, 573.0)
    assert (found.fixtures, found.shopping) == ((), ())
    assert [(c.category, c.before, c.after) for c in found.categories] == [
        ("Hats", 3, 3),
        ("Ware", 8, 8),
    ]


def test_added_removed_and_moved(scenario: Scenario, layout: Layout) -> None:
    """A cabinet moved 300 mm, one removed, a table added: fixtures and money say so."""
    first, second, third, _ = layout.placements
    moved = second.model_copy(update={"x_mm": second.x_mm + 300, "angle_deg": 350.0})
    table = Placement(id="T1", fixture="TAB", x_mm=2000, y_mm=1500, angle_deg=0)
    bare = layout.model_copy(update={"runs": (), "blocks": ()})
    other = bare.model_copy(update={"placements": (first, moved, third, table)})
    found = compare(scenario, bare, scenario, other)
    changes = {change.change: change for change in found.fixtures}
    assert changes["moved"].tag_before == changes["moved"].tag_after == "F2"
    assert changes["moved"].moved_mm == pytest.approx(300)
    assert changes["moved"].turned_deg == pytest.approx(-10)
    assert (changes["removed"].tag_before, changes["removed"].name) == ("F4", "Low cabinet")
    assert (changes["added"].tag_after, changes["added"].name) == ("T1", "TAB")
    assert [(c.item, c.packs_before, c.packs_after) for c in found.shopping] == [
        ("CAB", 3, 2),
        ("TAB", 0, 1),
    ]
    assert found.cost == (360.0, 440.0)
    rows = [(row.do, row.item, row.number, row.money) for row in change_list(found)]
    assert rows == [
        ("buy", "TAB", 1, 200.0),
        ("return", "CAB", 1, -120.0),
        ("take out", "CAB", 1, None),
        ("move", "CAB", 1, None),
        ("stand", "TAB", 1, None),
    ]


def test_prices_of_two_scenarios(scenario: Scenario, layout: Layout) -> None:
    """The same layout under a dearer price list differs in money only."""
    dear = scenario.catalogue.bracket("HOOK").model_copy(update={"price": 5.0})
    brackets = (dear, scenario.catalogue.bracket("CRAD"))
    catalogue = scenario.catalogue.model_copy(update={"brackets": brackets})
    other = scenario.model_copy(update={"catalogue": catalogue})
    found = compare(scenario, layout, other, layout)
    assert [(c.item, c.total_before, c.total_after) for c in found.shopping] == [
        ("HOOK", 9.0, 10.0)
    ]
    assert found.fixtures == ()


def test_layouts_alike_have_nothing_to_do(scenario: Scenario, layout: Layout) -> None:
    """A change list of a layout and itself is empty."""
    assert change_list(compare(scenario, layout, scenario, layout)) == ()
