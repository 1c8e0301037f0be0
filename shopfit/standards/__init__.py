"""Rulebooks as data: value, unit, clause, edition, source and how far its text is known."""

from shopfit.standards.rulebook import Requirement, Rulebook, load, names

__all__ = ["Requirement", "Rulebook", "load", "names"]
