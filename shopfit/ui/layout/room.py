"""The fitted shop in three dimensions, to be turned about on the page."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, Any

import numpy as np
import streamlit as st

from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario
from shopfit.solids import Solid, solids_of
from shopfit.solids.gltf import colour_of
from shopfit.solids.solid import joined
from shopfit.ui import session

if TYPE_CHECKING:
    from plotly.graph_objects import Figure

# More goods than these are left out, for a browser turns so many boxes slowly.
MOST_SOLIDS = 4000
_THROUGH = {"wall": 0.15, "window": 0.3, "glass": 0.25}


def show(scenario: Scenario, layout: Layout) -> None:
    """Show the shop in three dimensions once that is asked for."""
    if not st.toggle("In three dimensions", key="three-dimensions"):
        return
    drawn = session.once("solid figure", lambda: figure(scenario, layout), scenario, layout)
    st.plotly_chart(drawn, key=session.own("solid-shop"), config={"displayModeBar": False})
    st.caption("Drag to turn, scroll to come nearer. Walls are shown as if they were glass.")


def figure(scenario: Scenario, layout: Layout) -> Figure:
    """Draw the shop as bodies of a few colours.

    Parameters
    ----------
    scenario, layout
        Which; goods are left out of very large shops.
    """
    from plotly.graph_objects import Figure, Mesh3d

    solids = solids_of(scenario, layout)
    if len(solids) > MOST_SOLIDS:
        solids = solids_of(scenario, layout, goods=False)
    groups: dict[tuple[Any, ...], list[Solid]] = defaultdict(list)
    for solid in solids:
        name = solid.category or solid.kind
        groups[(name, colour_of(solid, scenario.categories), solid.kind)].append(solid)
    bodies = []
    for (name, colour, kind), parts in groups.items():
        points, faces = joined(parts)
        metres = np.round(points / 1000, 4)
        bodies.append(
            Mesh3d(
                x=metres[:, 0],
                y=metres[:, 1],
                z=metres[:, 2],
                i=faces[:, 0],
                j=faces[:, 1],
                k=faces[:, 2],
                name=name,
                color="rgb({},{},{})".format(*colour[:3]),
                opacity=_THROUGH.get(kind, 1.0),
                flatshading=True,
                hoverinfo="name",
                showlegend=True,
            )
        )
    made = Figure(bodies)
    made.update_layout(
        height=560,
        margin={"l": 0, "r": 0, "t": 0, "b": 0},
        scene={
            "aspectmode": "data",
            **{f"{axis}axis": {"visible": False} for axis in "xyz"},
            "camera": {"eye": {"x": -0.7, "y": -1.9, "z": 1.2}},
        },
    )
    return made
