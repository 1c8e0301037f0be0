"""Facts of the shell that could be altered where no wish given up makes room."""

from __future__ import annotations

from collections.abc import Iterator

from shopfit.model.progress import Change
from shopfit.model.scenario import Scenario

# Things on walls that are not worth moving for a layout, or keep no floor.
_SLIGHT = ("outlet", "switch", "thermostat")


def alterations(scenario: Scenario) -> Iterator[tuple[Scenario, Change]]:
    """Give the scenario with one door hung or one thing on a wall put otherwise, each in turn.

    Parameters
    ----------
    scenario
        What was given.
    """
    shop = scenario.shop
    for k, door in enumerate(shop.doors):
        if door.swing == "in" and door.use != "inner":
            turned = door.model_copy(update={"swing": "out"})
            doors = (*shop.doors[:k], turned, *shop.doors[k + 1 :])
            yield (
                scenario.model_copy(update={"shop": shop.model_copy(update={"doors": doors})}),
                Change(
                    wish=f"door {door.id} opening inward",
                    change="let it open outward, where the building code and the ground allow it",
                ),
            )
    for k, thing in enumerate(shop.obstructions):
        if thing.kind not in _SLIGHT:
            rest = (*shop.obstructions[:k], *shop.obstructions[k + 1 :])
            yield (
                scenario.model_copy(
                    update={"shop": shop.model_copy(update={"obstructions": rest})}
                ),
                Change(
                    wish=f"{thing.kind} {thing.id} on wall {thing.wall}",
                    change="have it elsewhere, where a licensed person says it may go",
                ),
            )
