"""Every measure of a shop by the thing it is of."""

from __future__ import annotations

from shopfit.geometry.built import Built, Handle, fixture_measures
from shopfit.geometry.builtruns import run_measures
from shopfit.geometry.builtshell import shell_measures


def measures(built: Built) -> dict[tuple[str, str], Handle]:
    """List every measure of a shop by thing and measure, gaps left out."""
    found = [
        *shell_measures(built),
        *fixture_measures(built),
        *run_measures(built),
    ]
    return {(one.what, one.measure): one for one in found}


def things(built: Built) -> tuple[str, ...]:
    """List the names of all things that have a measure, and of columns and zones beside them."""
    columns = [f"column {column.id}" for column in built.scenario.shop.columns]
    names = [what for what, _ in measures(built)]
    return tuple(dict.fromkeys([*names, *columns]))
