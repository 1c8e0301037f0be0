"""The independent witness: measures any layout afresh and says what it finds."""

from shopfit.checks.registry import check, measured_routes, measured_totals
from shopfit.checks.totals import Totals

__all__ = ["Totals", "check", "measured_routes", "measured_totals"]
