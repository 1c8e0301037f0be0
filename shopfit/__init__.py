"""shopfit plans, checks, draws and prices the fitting-out of a small shop."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"

if TYPE_CHECKING:
    from shopfit.planning import check, draw, load_scenario, quantities, solve

__all__ = ["__version__", "check", "draw", "load_scenario", "quantities", "solve"]


def __getattr__(name: str) -> Any:
    """Load the public functions on first use, so that `shopfit --help` stays quick."""
    if name in {"check", "draw", "load_scenario", "quantities", "solve"}:
        from shopfit import planning

        return getattr(planning, name)
    raise AttributeError(f"module 'shopfit' has no attribute {name!r}")
