"""Laying out, and what came of it."""
