"""A finished shop measured by tape, against its layout: what drifted, and what may drift yet."""

from shopfit.asbuilt.judge import as_built
from shopfit.asbuilt.listing import what_to_measure
from shopfit.asbuilt.witness import stands

__all__ = ["as_built", "stands", "what_to_measure"]
