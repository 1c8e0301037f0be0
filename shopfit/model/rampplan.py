"""What was found for a ramp: arrangements with every part, and how far they are proved best."""

from __future__ import annotations

from typing import Literal

from shopfit.model.base import Frozen
from shopfit.model.rampsite import RampTask

PlanPlace = tuple[float, float]
PartKind = Literal["head", "run", "between", "turn", "foot", "steps", "steps foot"]
Form = Literal["straight", "L", "switchback", "U", "Z", "mixed"]


class Part(Frozen):
    """A run, a landing or a flight of steps where it lies.

    Parameters
    ----------
    id, kind
        Its name, such as ``run 1``, and what it is.
    clear, whole
        Corners of its clear surface, and with what stands beside it, in the plan, mm.
    heading_deg
        The way one walks down over it, degrees anticlockwise from east.
    length_mm, width_mm
        Of the clear surface along and across that way.
    top_mm, bottom_mm
        Height of its upper and lower end above the ground at the foot.
    """

    id: str
    kind: PartKind
    clear: tuple[PlanPlace, ...]
    whole: tuple[PlanPlace, ...]
    heading_deg: float
    length_mm: float
    width_mm: float
    top_mm: float
    bottom_mm: float


class Rail(Frozen):
    """A handrail from end to end.

    Parameters
    ----------
    id
        Such as ``left handrail``, as one walks down.
    points
        Its course: x, y in the plan and the height of the walking surface below it, mm.
    length_mm
        Along its course, slopes and extensions included.
    extension_mm
        What of it are level extensions beyond the ends of the runs or steps.
    bends
        Corners in plan.
    posts
        At the spacing asked for, ends included.
    """

    id: str
    points: tuple[tuple[float, float, float], ...]
    length_mm: float
    extension_mm: float
    bends: int
    posts: int


class StepsPlan(Frozen):
    """The steps beside a ramp.

    Parameters
    ----------
    count, riser_mm, tread_mm, width_mm
        Risers, height and going of each, and clear width.
    """

    count: int
    riser_mm: float
    tread_mm: float
    width_mm: float


class QuantityRow(Frozen):
    """One row of the list of quantities.

    Parameters
    ----------
    item, part
        What, and for which part.
    count
        How many.
    length_mm, width_mm
        Of each, where it has them.
    area_m2
        Of all of them, where it is an area.
    cost
        By the user's prices, or none where there are none.
    """

    item: str
    part: str
    count: int
    length_mm: float | None = None
    width_mm: float | None = None
    area_m2: float | None = None
    cost: float | None = None


class Arrangement(Frozen):
    """A ramp that fits.

    Parameters
    ----------
    id
        Its number in the answer, such as ``R1``.
    form, way
        Its form, and the way down in words.
    ratio
        The number behind 1: of its slope.
    existing_site
        Whether it leans on the exception for existing sites.
    width_mm
        Clear width.
    handrails
        Whether it has them.
    runs_mm, rises_mm
        Level length and rise of each run, from the door down.
    parts, rails, steps
        Every part, every handrail, and the steps if there are any.
    door_floor
        Corners of the floor that the door wants outside, in the plan, mm.
    handrail_mm, edge_mm, guard_mm
        Lengths of handrail, of edge protection, and of edges with a drop that asks for a guard.
    ramp_m2, deck_m2, foot_m2
        Sloping surface, landings above the ground, and landing at the foot.
    footprint_m2
        Ground covered by runs and landings.
    along_mm, out_mm
        Sides of the least rectangle, square to the wall, round them.
    quantities, cost
        The list, and what it comes to by the user's prices.
    splits
        How many ways of sharing out the rise fit for this form, way and slope.
    """

    id: str
    form: Form
    way: str
    ratio: float
    existing_site: bool
    width_mm: float
    handrails: bool
    runs_mm: tuple[float, ...]
    rises_mm: tuple[float, ...]
    parts: tuple[Part, ...]
    rails: tuple[Rail, ...]
    steps: StepsPlan | None
    door_floor: tuple[PlanPlace, ...]
    handrail_mm: float
    edge_mm: float
    guard_mm: float
    ramp_m2: float
    deck_m2: float
    foot_m2: float
    footprint_m2: float
    along_mm: float
    out_mm: float
    quantities: tuple[QuantityRow, ...]
    cost: float | None
    splits: int


class Lacking(Frozen):
    """Where nothing fits: the least change of each kind that lets something fit.

    Parameters
    ----------
    left_mm, right_mm, out_mm
        How much more ground helps on each side, facing the door from outside, or none.
    along_mm, away_mm
        What a rectangle of ground would then measure along the wall (the lesser of left and
        right) and out from it.
    rise_mm
        The greatest rise that fits the ground as it is, or none.
    """

    left_mm: float | None = None
    right_mm: float | None = None
    out_mm: float | None = None
    along_mm: float | None = None
    away_mm: float | None = None
    rise_mm: float | None = None


class RampAnswer(Frozen):
    """What was found.

    Parameters
    ----------
    task
        What was asked.
    needed
        Whether the rise wants a ramp at all.
    arrangements
        Those that fit, one for each form, way and slope, the smallest first.
    smallest, cheapest
        Ids of the one with the least footprint and of the cheapest.
    tried, fitted
        How many were tried, and how many of them fit.
    family, grid
        Of which arrangements, and on which grid, this is proved by trying all.
    notes, cautions
        What else to know.
    lacking
        Where nothing fits: what would help.
    """

    task: RampTask
    needed: bool = True
    arrangements: tuple[Arrangement, ...] = ()
    smallest: str | None = None
    cheapest: str | None = None
    tried: int = 0
    fitted: int = 0
    family: tuple[str, ...] = ()
    grid: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    lacking: Lacking | None = None
