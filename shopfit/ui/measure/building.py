"""What is known of the building, and what hangs, stands and lies in it beside the walls."""

from __future__ import annotations

import streamlit as st

from shopfit.files.parts import SHOP
from shopfit.model.building import Building, Sprinkler
from shopfit.model.shell import FittingRoom, Overhead
from shopfit.ui.tables import parts
from shopfit.ui.tables.fromschema import fields_of
from shopfit.ui.tables.parts import Part
from shopfit.ui.tables.records import Records


def overheads() -> Records:
    """Describe what hangs over the floor."""
    return Records("overheads", "beam or duct", fields_of(Overhead))


def fitting_rooms() -> Records:
    """Describe rooms to try clothes on."""
    return Records("fitting_rooms", "fitting room", fields_of(FittingRoom))


def building() -> Records:
    """Describe the building, without its sprinklers."""
    return Records("building", "building", fields_of(Building))


def sprinklers() -> Records:
    """Describe sprinklers."""
    return Records("sprinklers", "sprinkler", fields_of(Sprinkler))


def show() -> None:
    """Show what is known of the building."""
    st.caption("What is left out is told as not checked. Loads are an engineer's to say.")
    parts.single(building(), Part(SHOP, ("building",)))
    st.subheader("Sprinklers, one by one", anchor=False)
    parts.listed(sprinklers(), Part(SHOP, ("building", "sprinklers")))
