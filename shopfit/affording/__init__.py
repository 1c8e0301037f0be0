"""Keeps a layout to what is bought in whole sheets and packs, and to what the floor carries."""

from shopfit.affording.budget import Again, afford, carried, within_budget

__all__ = ["Again", "afford", "carried", "within_budget"]
