"""Rulebooks as data: value, unit, clause, edition, source and how far its text is known."""

from shopfit.standards.applied import of, with_own
from shopfit.standards.rulebook import Requirement, Rulebook, load, names

__all__ = ["Requirement", "Rulebook", "load", "names", "of", "with_own"]
