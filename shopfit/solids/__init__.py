"""The fitted shop as solids, for viewers of three dimensions and for building models."""

from shopfit.solids.build import solids_of
from shopfit.solids.solid import Kind, Solid

__all__ = ["Kind", "Solid", "solids_of"]
