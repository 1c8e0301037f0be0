"""Builds the whole fitted shop of solids."""

from __future__ import annotations

from shopfit.geometry.shell import survey
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from shopfit.solids.fixtureparts import fixture_parts
from shopfit.solids.goodsparts import goods_parts, slat_wall_parts
from shopfit.solids.shellparts import shell_parts
from shopfit.solids.solid import Solid


def solids_of(scenario: Scenario, layout: Layout, goods: bool = True) -> tuple[Solid, ...]:
    """Give the fitted shop as solids.

    Parameters
    ----------
    scenario, layout
        What is built; every name of the layout is known.
    goods
        Whether the goods, and what holds them on slat-wall, are there as well.

    Returns
    -------
    Shell, fixtures, slat-wall and goods, in a fixed order.
    """
    shell = survey(scenario.shop)
    return (
        *shell_parts(scenario, shell),
        *fixture_parts(scenario, layout),
        *slat_wall_parts(scenario, layout, shell),
        *(goods_parts(scenario, layout, shell) if goods else ()),
    )
