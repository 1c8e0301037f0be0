"""Makes candidates of single positions, and the floor taken at many places at once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from shopfit.geometry.footprint import against_wall, rectangles, shapes, side_span
from shopfit.geometry.shell import WallLine
from shopfit.model.fixtures import Fixture, Side
from shopfit.model.layout import Placement
from shopfit.solver.candidate import Candidate, Corners
from shopfit.solver.parts import FacePart, SlatWall, fixture_parts, slat_area
from shopfit.solver.site import Site
from shopfit.solver.tightends import room_before

_EPS = 1e-6
# Outward direction of each side from that of a fixture's width, degrees.
_DIRECTIONS: dict[Side, float] = {"front": -90.0, "back": 90.0, "left": 180.0, "right": 0.0}

# Rectangles at many places, an array of shape (places, 4, 2), mm.
Many = NDArray[np.float64]
# Bands at many places: outward direction, rectangles, depth.
Bands = tuple[tuple[float, Many, float], ...]


def allowed(site: Site, found: Sequence[Candidate]) -> Iterator[Candidate]:
    """Keep candidates whose bodies and bands lie on floor that they may take."""
    for candidate in found:
        bands = tuple((way, at[None], depth) for way, at, depth in candidate.bands_at)
        if free_at(site, candidate.body_at[None], bands, candidate.staff)[0]:
            yield candidate


def free_at(site: Site, body: Many, bands: Bands, staff: int | None) -> NDArray[np.bool_]:
    """Say of many places whether body and bands lie on floor that they may take.

    Parameters
    ----------
    site, body, bands
        The shop and the places.
    staff
        Of dividers: which of the bands is the one behind them.
    """
    # A divider stands on staff floor, everything else on sales floor.
    ground = site.customer_floor if staff is None else site.staff_floor
    free = ground.covers_each(shapes(body))
    for k, (_, band, _) in enumerate(bands):
        ground = site.staff_band_floor if k == staff else site.band_floor
        left = np.flatnonzero(free)
        free[left] = ground.covers_each(shapes(band[left]))
    return free


@dataclass(frozen=True)
class Spots:
    """Many places of one fixture that all look one way.

    Parameters
    ----------
    fixture, frame, staff, faces
        As in the candidates that are made of them.
    body, bands
        What it takes and keeps clear at each place.
    """

    fixture: Fixture
    frame: float
    body: Many
    bands: Bands
    staff: int | None
    faces: tuple[FacePart, ...]

    def candidate(
        self,
        k: int,
        placement: Placement,
        slat: tuple[FacePart, ...] = (),
        slat_cost: float = 0.0,
        around: Corners | None = None,
        hemmed_in: bool = False,
    ) -> Candidate:
        """Make the candidate at one of the places."""
        return Candidate(
            self.fixture.id,
            placement,
            self.body[k],
            tuple([(way, band[k], depth) for way, band, depth in self.bands]),
            self.faces,
            slat,
            self.fixture.price,
            slat_cost,
            self.frame,
            placement.pinned,
            self.staff,
            around,
            hemmed_in,
        )


def spots(
    site: Site,
    fixture: Fixture,
    x: Sequence[float],
    y: Sequence[float],
    angle: float,
    divider: bool = False,
) -> Spots:
    """Lay out what a fixture takes with its back left corner at many places.

    Parameters
    ----------
    site, fixture
        What, and in which shop.
    x, y
        The places, mm.
    angle
        Direction of its width at all of them, degrees.
    divider
        Whether staff keep a band clear behind it.
    """
    aisle, staff_aisle = site.brief.aisle, site.brief.staff_aisle
    wanted = [(side, aisle) for side in fixture.customer_sides]
    staff = len(wanted) if divider else None
    if divider:
        wanted.append(("back", staff_aisle))
    bands = tuple(
        (
            (angle + _DIRECTIONS[side]) % 360.0,
            rectangles(x, y, angle, *side_span(fixture, side, depth)),
            depth,
        )
        for side, depth in wanted
    )
    body = rectangles(x, y, angle, 0.0, fixture.width, 0.0, fixture.depth)
    return Spots(fixture, _frame(angle), body, bands, staff, fixture_parts(fixture))


def _frame(angle: float) -> float:
    return round(angle % 90.0, 3) % 90.0


def fits_under(site: Site, wall: WallLine, fixture: Fixture, offset: float) -> bool:
    """Say whether a fixture may stand before what is on the wall there."""
    left, right = offset, offset + fixture.width
    if fixture.height > wall.lowest(left, right) + _EPS:
        return False
    for thing in site.things_on(wall):
        beside = thing.left >= right - _EPS or thing.right <= left + _EPS
        if beside or thing.kind in ("outlet", "other"):
            continue
        if thing.kind == "door" or thing.bottom < fixture.height - _EPS:
            return False
    return True


def slat_over(site: Site, fixture: Fixture, hung: SlatWall, offset: float) -> tuple[FacePart, ...]:
    """Give the slat-wall that may hang over a fixture at an offset, mm."""
    if not fixture.slat_above:
        return ()
    bottom = fixture.height + site.brief.run_gap
    return hung.parts(offset, offset + fixture.width, bottom, fixture.depth)


def wall_candidate(
    site: Site, wall: WallLine, fixture: Fixture, offset: float, pinned: bool = False
) -> Candidate:
    """Make the candidate of a fixture against a wall at an offset, mm."""
    placement = against_wall("", fixture, wall, offset, pinned)
    slat = slat_over(site, fixture, SlatWall(site, wall), offset)
    return plain_candidate(site, fixture, placement, slat)


def plain_candidate(
    site: Site, fixture: Fixture, placement: Placement, slat: tuple[FacePart, ...] = ()
) -> Candidate:
    """Make the candidate of a fixture anywhere, with the slat-wall that may hang above it."""
    made = spots(site, fixture, [placement.x_mm], [placement.y_mm], placement.angle_deg)
    return made.candidate(0, placement, slat, site.slat_cost(slat_area(slat)))


def divider_candidate(site: Site, fixture: Fixture, placement: Placement) -> Candidate:
    """Make the candidate of a fixture on the edge of a staff zone."""
    x, y = [placement.x_mm], [placement.y_mm]
    return spots(site, fixture, x, y, placement.angle_deg, divider=True).candidate(0, placement)


def bare_candidate(
    site: Site, wall: WallLine, offset: float, slat: tuple[FacePart, ...]
) -> Candidate:
    """Make the candidate of slat-wall with nothing below it, from an offset on, mm."""
    width = slat[0].width
    x, y = wall.point(offset)
    placement = Placement(
        id="", fixture="", x_mm=x, y_mm=y, angle_deg=wall.angle_deg, wall=wall.id, offset_mm=offset
    )
    out, aisle = site.protrusion, site.brief.aisle
    band = _before(wall, offset, offset + width, out, out + aisle)
    return Candidate(
        fixture=None,
        placement=placement,
        body_at=_before(wall, offset, offset + width, 0.0, out),
        bands_at=(((wall.angle_deg - 90.0) % 360.0, band, aisle),),
        faces=(),
        slat=slat,
        slat_cost=site.slat_cost(slat_area(slat)),
        frame=_frame(wall.angle_deg),
    )


def _before(wall: WallLine, left: float, right: float, near: float, far: float) -> Corners:
    spans = ((left, near), (right, near), (right, far), (left, far))
    return np.array([wall.point(offset, out) for offset, out in spans])


def round_about(site: Site, fixture: Fixture) -> tuple[tuple[float, float, float, float], ...]:
    """Give the near half and the whole of the ways round an island, in its own measures.

    Along it that is an aisle; before an end that is narrow, room to turn back round it.
    """
    w, d = fixture.width, fixture.depth
    beside, before = room_before(site, d), room_before(site, w)
    half, whole = (
        (-share * beside, w + share * beside, -share * before, d + share * before)
        for share in (0.5, 1.0)
    )
    return half, whole


def with_room(site: Site, fixture: Fixture, island: Candidate) -> Candidate:
    """Add the near half of the ways all round an island."""
    p = island.placement
    around, whole = (
        rectangles([p.x_mm], [p.y_mm], p.angle_deg, *span) for span in round_about(site, fixture)
    )
    clear = bool(site.passable.covers_each(shapes(whole))[0])
    return replace(island, around_at=around[0], hemmed_in=not clear)
