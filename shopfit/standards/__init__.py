"""Rulebooks as data: value, unit, clause, edition, source and how far its text is known."""
