"""Keeps a layout within the budget where whole sheets and packs cost more than the pieces used."""

from shopfit.affording.budget import Again, afford

__all__ = ["Again", "afford"]
