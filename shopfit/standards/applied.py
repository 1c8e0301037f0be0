"""The rulebook of a scenario: the published one, with the user's own values on top."""

from __future__ import annotations

from functools import lru_cache

from shopfit.model.ownvalues import OwnValues
from shopfit.model.scenario import Scenario
from shopfit.standards.rulebook import Requirement, Rulebook, load, own_value

FILE = "values.yaml"


def of(scenario: Scenario) -> Rulebook:
    """Give the rulebook that a scenario is measured by.

    Parameters
    ----------
    scenario
        Its own values count where its rulebook has a value of that name and they ask for as much
        or for more; where its rulebook was changed afterwards the others are left out.

    Raises
    ------
    KeyError
        If there is no rulebook of that name.
    """
    return with_own(scenario.shop.rulebook, scenario.own)


@lru_cache(maxsize=64)
def with_own(name: str, own: OwnValues, file: str = FILE) -> Rulebook:
    """Give a rulebook with own values on top.

    Parameters
    ----------
    name
        Of the published rulebook.
    own
        Values by its keys.
    file
        Where they come from, for their source.
    """
    base = load(name)
    mine: list[Requirement] = []
    for one in own.values:
        published = base.requirement(one.key) if one.key in base else None
        if published is not None and published.as_strict(one.value):
            mine.append(own_value(published, one.value, one.written, one.why, file))
    if not mine:
        return base
    return base.with_own(name, own.title or f"{base.title}, with own values", mine)
