"""shopfit plans, checks, draws and prices the fitting-out of a small shop."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"

if TYPE_CHECKING:
    from shopfit.finished import as_built, measuring_list
    from shopfit.model.options import SolveOptions
    from shopfit.planning import (
        Plan,
        check,
        compare,
        draw,
        load_scenario,
        quantities,
        read_layout,
        rearrange,
        solve,
        write_findings,
        write_outputs,
    )

__all__ = [
    "Plan",
    "SolveOptions",
    "__version__",
    "as_built",
    "check",
    "compare",
    "draw",
    "load_scenario",
    "measuring_list",
    "quantities",
    "read_layout",
    "rearrange",
    "solve",
    "write_findings",
    "write_outputs",
]


def __getattr__(name: str) -> Any:
    """Load the public names on first use, so that `shopfit --help` stays quick."""
    if name == "SolveOptions":
        from shopfit.model.options import SolveOptions

        return SolveOptions
    if name in ("as_built", "measuring_list"):
        from shopfit import finished

        return getattr(finished, name)
    if name in __all__:
        from shopfit import planning

        return getattr(planning, name)
    raise AttributeError(f"module 'shopfit' has no attribute {name!r}")
