"""Changes a layout by hand: moves, turns, pins and removes, and says at once what comes of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from shopfit.geometry.footprint import against_wall
from shopfit.geometry.shell import WallLine, survey
from shopfit.geometry.wallface import FaceShape, faces
from shopfit.model.finding import Finding
from shopfit.model.layout import Layout, Placement, Row
from shopfit.model.scenario import Keep, Scenario

# A fixture put down so near to a wall, and so nearly along it, stands against it; nearer than the
# smallest step by hand, so that one step takes it off the wall.
NEAR_MM, ALONG_DEG = 0.5, 0.5


@dataclass(frozen=True)
class Pose:
    """Where a fixture is put.

    Parameters
    ----------
    tag
        Which.
    x_mm, y_mm
        Its back left corner, in the shop's frame.
    angle_deg
        Direction of its width, degrees anticlockwise from east.
    """

    tag: str
    x_mm: float
    y_mm: float
    angle_deg: float


@dataclass(frozen=True)
class Glance:
    """What a layout comes to, as far as it is known at once.

    Parameters
    ----------
    findings
        What the checks found.
    facings, units
        Counted afresh.
    cost
        Money for all that is bought.
    ways
        Whether ways through the shop were measured.
    """

    findings: tuple[Finding, ...]
    facings: int
    units: int
    cost: float
    ways: bool = True

    @property
    def violations(self) -> int:
        """How many findings are violations."""
        return sum(finding.severity == "violation" for finding in self.findings)


def put(scenario: Scenario, layout: Layout, pose: Pose) -> Layout:
    """Put a fixture somewhere else, with everything that it shows.

    Parameters
    ----------
    scenario, layout
        What is changed.
    pose
        Where it is put; near a wall and along it, it stands against that wall.

    Returns
    -------
    The layout, without the proof that held for what the solver found.

    Raises
    ------
    KeyError
        If the layout has no such fixture.
    """
    old = layout.placement(pose.tag)
    new = _placed(scenario, old, pose)
    placements = tuple(new if each.id == old.id else each for each in layout.placements)
    return layout.model_copy(update={"placements": placements, "proof": None})


def _placed(scenario: Scenario, old: Placement, pose: Pose) -> Placement:
    fixture = scenario.catalogue.fixture(old.fixture)
    for wall in survey(scenario.shop).walls:
        offset = _offset(wall, pose, fixture.width)
        if offset is not None:
            return against_wall(old.id, fixture, wall, offset, old.pinned)
    return Placement(
        id=old.id,
        fixture=old.fixture,
        x_mm=round(pose.x_mm, 4),
        y_mm=round(pose.y_mm, 4),
        angle_deg=round(pose.angle_deg, 6),
        pinned=old.pinned,
    )


def _offset(wall: WallLine, pose: Pose, width: float) -> float | None:
    """Give where along a wall a fixture stands, mm, or none where it does not stand against it."""
    turn = (pose.angle_deg - wall.angle_deg + 180.0) % 360.0 - 180.0
    dx, dy = pose.x_mm - wall.start[0], pose.y_mm - wall.start[1]
    along = dx * wall.along[0] + dy * wall.along[1]
    out = dx * wall.inward[0] + dy * wall.inward[1]
    if abs(turn) > ALONG_DEG or abs(out) > NEAR_MM:
        return None
    if along < -NEAR_MM or along + width > wall.length + NEAR_MM:
        return None
    return min(max(along, 0.0), max(wall.length - width, 0.0))


def remove(scenario: Scenario, layout: Layout, tag: str) -> Layout:
    """Take a fixture out, with what it shows and the slat-wall that it carries.

    Raises
    ------
    KeyError
        If the layout has no such fixture.
    """
    gone = {layout.placement(tag).id}
    gone |= {run.id for run in layout.runs if tag in run.over}
    left = layout.model_copy(
        update={
            "placements": tuple(each for each in layout.placements if each.id not in gone),
            "runs": tuple(run for run in layout.runs if run.id not in gone),
            "blocks": tuple(block for block in layout.blocks if block.host not in gone),
            "cuts": tuple(cut for cut in layout.cuts if cut.run not in gone),
            "proof": None,
        }
    )
    return recounted(scenario, left)


def recounted(scenario: Scenario, layout: Layout) -> Layout:
    """Cut, buy and count afresh what a layout holds."""
    from shopfit.checks import measured_totals
    from shopfit.quantities.takeoff import complete

    done = complete(scenario, layout)
    totals = measured_totals(scenario, done)
    claims = done.claims.model_copy(
        update={
            "facings": totals.facings,
            "units": totals.units,
            "value": totals.value,
            "sales": totals.sales if done.claims.sales is not None else None,
            "objective": totals.objective if done.claims.objective is not None else None,
        }
    )
    return done.model_copy(update={"claims": claims})


def faces_of(scenario: Scenario, layout: Layout) -> dict[tuple[str, str], FaceShape]:
    """Give the faces of a layout by tag and side."""
    # How far goods stand out is no matter of heights.
    return {(face.host, face.side): face for face in faces(scenario, layout, 0.0)}


def raised(scenario: Scenario, layout: Layout, tag: str, grooves: int) -> Layout:
    """Hang a slat-wall run higher or lower by whole grooves, with all that hangs on it.

    Parameters
    ----------
    scenario, layout
        What is changed.
    tag
        Which run.
    grooves
        How many grooves higher; negative for lower.

    Raises
    ------
    KeyError
        If the layout has no such run.
    """
    old = {run.id: run for run in layout.runs}[tag]
    by = grooves * scenario.catalogue.sheet(old.sheet).groove_pitch
    heights = ("bottom_mm", "top_mm", "first_groove_mm")
    new = old.model_copy(update={name: round(getattr(old, name) + by, 6) for name in heights})
    blocks = [
        block.model_copy(update={"rows": tuple(_row_at(row, by, 0) for row in block.rows)})
        if block.host == tag
        else block
        for block in layout.blocks
    ]
    runs = tuple(new if run.id == tag else run for run in layout.runs)
    update = {"runs": runs, "blocks": tuple(blocks), "proof": None}
    return recounted(scenario, layout.model_copy(update=update))


def shifted(scenario: Scenario, layout: Layout, tag: str, number: int, levels: int) -> Layout:
    """Put a row of goods higher or lower on its face by whole grooves, or levels of a fixture.

    Parameters
    ----------
    scenario, layout
        What is changed.
    tag, number
        The block, and which of its rows; 0 is the lowest.
    levels
        How many grooves or levels higher; negative for lower.

    Raises
    ------
    KeyError, IndexError
        If the layout has no such block or row.
    """
    block = {each.id: each for each in layout.blocks}[tag]
    pitch = faces_of(scenario, layout)[block.host, block.side].pitch
    rows = list(block.rows)
    rows[number] = _row_at(rows[number], levels * pitch, levels)
    # Rows are told from the lowest up.
    rows.sort(key=lambda row: row.bottom_mm)
    new = block.model_copy(update={"rows": tuple(rows)})
    blocks = tuple(new if each.id == tag else each for each in layout.blocks)
    return recounted(scenario, layout.model_copy(update={"blocks": blocks, "proof": None}))


def _row_at(row: Row, by: float, grooves: int) -> Row:
    update: dict[str, float | int] = {
        "bottom_mm": round(row.bottom_mm + by, 6),
        "top_mm": round(row.top_mm + by, 6),
    }
    if row.low_groove is not None and row.high_groove is not None:
        update |= {
            "low_groove": row.low_groove + grooves,
            "high_groove": row.high_groove + grooves,
        }
    return row.model_copy(update=update)


def pinned(layout: Layout, tag: str, on: bool) -> Layout:
    """Pin a fixture where it stands, or let it go; raises KeyError."""
    new = layout.placement(tag).model_copy(update={"pinned": on})
    placements = tuple(new if each.id == tag else each for each in layout.placements)
    return layout.model_copy(update={"placements": placements})


def kept(layout: Layout) -> tuple[Keep, ...]:
    """Give the pins of a layout, as ``pins.yaml`` holds them."""
    return tuple(_keep(each) for each in layout.placements if each.pinned)


def _keep(placement: Placement) -> Keep:
    if placement.wall is not None and placement.offset_mm is not None:
        return Keep.model_validate(
            {
                "fixture": placement.fixture,
                "wall": placement.wall,
                "offset": f"{placement.offset_mm:.4f} mm",
            }
        )
    return Keep.model_validate(
        {
            "fixture": placement.fixture,
            "at": [f"{placement.x_mm:.4f} mm", f"{placement.y_mm:.4f} mm"],
            "angle": placement.angle_deg,
        }
    )


def glance(scenario: Scenario, layout: Layout) -> Glance:
    """Say what a layout comes to: findings, facings, units and money."""
    from shopfit.checks import check

    return glance_with(scenario, layout, check(scenario, layout))


def glance_with(scenario: Scenario, layout: Layout, found: tuple[Finding, ...]) -> Glance:
    """Say what a layout comes to on which the findings are known already."""
    from shopfit.checks import measured_totals

    totals = measured_totals(scenario, layout)
    return Glance(found, totals.facings, totals.units, totals.cost)


def glance_at_move(scenario: Scenario, moved: Layout, before: Glance, *, ways: bool) -> Glance:
    """Say what a layout comes to in which something only stands elsewhere.

    Parameters
    ----------
    scenario, moved
        What is looked at.
    before
        What it came to before: by a move nothing that is shown, held or bought changes.
    ways
        Whether ways through the shop are measured, which takes longest where they are closed.
    """
    from shopfit.checks import check

    return replace(before, findings=check(scenario, moved, ways=ways), ways=ways)
