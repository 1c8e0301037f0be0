"""What a check found, in the user's names."""

from __future__ import annotations

from typing import Literal

from shopfit.model.base import Frozen

Severity = Literal["violation", "barrier to review", "advice", "not checked"]


class Finding(Frozen):
    """One thing that a check found.

    Parameters
    ----------
    code
        Short name of the check, such as ``aisle-width``.
    severity
        ``violation``; ``barrier to review`` where only movable fixtures are in the way and a
        published clearance is missed; ``advice``; ``not checked`` where something is missing.
    subject
        What it is about: tags and names of the user.
    message
        One sentence.
    mend
        What to do about it.
    required, measured
        Numbers compared, in the unit given; none where the check is not about a number.
    unit
        ``mm``, ``kg``, ``kg/m``, ``facings``, ``money`` and so on.
    clause, source, confidence
        Where the requirement comes from: clause, published source or ``brief``, and how far its
        text is known (``read``, ``second-hand``, ``memory``, ``common practice, no source``).
    at_mm
        Where on the plan, or none.
    wall, height_mm
        Where on a wall, or none.
    margin
        How far the measure is on the right side of what is required, in the unit; negative where
        it is missed, none where the check is not about a number.
    drawn_mm
        Lines on the plan that show it: routes, gaps, outlines; closed where the last point is
        the first.
    """

    code: str
    severity: Severity
    subject: str
    message: str
    mend: str = ""
    required: float | None = None
    measured: float | None = None
    unit: str = "mm"
    clause: str = ""
    source: str = "brief"
    confidence: str = ""
    at_mm: tuple[float, float] | None = None
    wall: str | None = None
    height_mm: float | None = None
    margin: float | None = None
    drawn_mm: tuple[tuple[tuple[float, float], ...], ...] = ()
