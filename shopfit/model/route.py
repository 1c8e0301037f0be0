"""Ways through the shop as measured: routes, their narrow places, turning spaces, dead ends."""

from __future__ import annotations

from typing import Literal

from shopfit.model.base import Frozen

PlanLine = tuple[tuple[float, float], ...]
TargetKind = Literal["front", "counter", "staff", "exit"]


class NarrowPlace(Frozen):
    """A narrow place of a route.

    Parameters
    ----------
    width_mm
        Clear width there.
    length_mm
        How long the route stays narrower than a route has to be; 0 where it is that wide.
    from_mm
        How far from the door it begins, along the route.
    across_mm
        The nearest points of its two sides.
    between
        What stands on the two sides, or what one comes close to, in the user's names.
    allowed
        Whether the rulebook allows it, by itself, as a pinch or because it is wide enough.
    """

    width_mm: float
    length_mm: float
    from_mm: float
    across_mm: PlanLine
    between: str
    allowed: bool


class MeasuredRoute(Frozen):
    """The route from a door to one target.

    Parameters
    ----------
    target, kind
        What it leads to, in the user's names, and what that is.
    widest_mm
        Diameter of the largest round traveller that gets there by any way; 0 where none does.
    wanted_mm
        Width that is wanted.
    line_mm
        The shortest of the ways that are as wide as wanted, or as wide as can be had.
    length_mm
        Length of that line, from the door on.
    narrowest
        Where it is narrowest; none where nothing on it is narrow and nothing stands beside it.
    pinches
        Where it is narrower than a route has to be, in order.
    """

    target: str
    kind: TargetKind
    widest_mm: float
    wanted_mm: float
    line_mm: PlanLine = ()
    length_mm: float = 0.0
    narrowest: NarrowPlace | None = None
    pinches: tuple[NarrowPlace, ...] = ()


class TurningSpace(Frozen):
    """Floor on which a wheelchair turns.

    Parameters
    ----------
    shape
        ``circle`` or ``T``.
    at_mm, angle_deg
        Middle of the circle, or of the bar of the T, and how the T is turned.
    size_mm
        Diameter of the largest circle there, or side of the square about the T.
    outline_mm
        Its outline.
    """

    shape: Literal["circle", "T"]
    at_mm: tuple[float, float]
    angle_deg: float = 0.0
    size_mm: float
    outline_mm: PlanLine


class WayEnd(Frozen):
    """A way that leads no farther.

    Parameters
    ----------
    line_mm
        Along its middle, to where it ends.
    length_mm
        How long it is beyond the last turning circle.
    turning
        A T-shaped turning space near its end, or none.
    """

    line_mm: PlanLine
    length_mm: float
    turning: TurningSpace | None = None


class MeasuredRoutes(Frozen):
    """The ways of a layout.

    Parameters
    ----------
    routes
        To every customer front, counter, staff zone and exit.
    turning_spaces
        One for each part of the customers' floor on which a turning circle fits.
    dead_ends
        Ways that lead no farther and are longer than a wheelchair.
    """

    routes: tuple[MeasuredRoute, ...] = ()
    turning_spaces: tuple[TurningSpace, ...] = ()
    dead_ends: tuple[WayEnd, ...] = ()
