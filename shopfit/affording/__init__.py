"""Keeps a layout to what is bought in whole sheets and packs, and to what the floor carries."""

from shopfit.affording.budget import Again, afford
from shopfit.affording.lightening import carried

__all__ = ["Again", "afford", "carried"]
