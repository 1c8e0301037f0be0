"""Which faces lie near enough to the entrance for new goods."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from shopfit.geometry.faceplace import FacePlace, entrances, fixture_face, run_face, station
from shopfit.model.layout import Placement
from shopfit.solver.candidate import Candidate
from shopfit.solver.parts import FacePart
from shopfit.solver.site import Site
from shopfit.units import TOLERANCE_MM


def near(site: Site, place: FacePlace) -> bool:
    """Say whether new goods may stand on a face; where stations are unknown nothing is far."""
    rules = site.brief.merchandising
    if rules.new_within is None:
        return True
    at = station(place.middle, rules.way, entrances(site.scenario.shop, site.shell))
    return at is None or at <= rules.new_within + TOLERANCE_MM


def marked(site: Site, found: Sequence[Candidate]) -> list[Candidate]:
    """Give positions with their faces that are too far for new goods in classes of their own.

    So the programs know what new goods cannot be shown on; where none are new nothing changes.

    Parameters
    ----------
    site, found
        The shop and its positions.
    """
    if site.brief.merchandising.new_within is None or not any(
        line.new for line in site.scenario.lines
    ):
        return list(found)
    # Positions share their faces, and go on sharing them.
    known: dict[tuple[int, tuple[bool, ...]], tuple[FacePart, ...]] = {}

    def parted(parts: tuple[FacePart, ...], places: Iterator[FacePlace]) -> tuple[FacePart, ...]:
        far = tuple(not near(site, place) for place in places)
        key = (id(parts), far)
        if key not in known:
            known[key] = tuple(
                replace(part, kind=replace(part.kind, far=True)) if beyond else part
                for part, beyond in zip(parts, far, strict=True)
            )
        return known[key]

    return [
        replace(
            one,
            faces=parted(one.faces, _fixture_places(site, one)),
            slat=parted(one.slat, _slat_places(site, one)),
        )
        for one in found
    ]


def _fixture_places(site: Site, one: Candidate) -> Iterator[FacePlace]:
    if one.fixture is None:
        return
    fixture, each = site.scenario.catalogue.fixture(one.fixture), len(one.faces) // one.row
    for k, placement in enumerate(side_by_side(site, one)):
        for part in one.faces[k * each : (k + 1) * each]:
            yield fixture_face(fixture, placement, part.side)


def _slat_places(site: Site, one: Candidate) -> Iterator[FacePlace]:
    for part in one.slat:
        assert part.wall_span is not None
        left, right, _, top = part.wall_span
        wall = site.shell.wall(one.placement.wall or "")
        yield run_face("", wall, left, right, part.kind.bottom, top)


def side_by_side(site: Site, candidate: Candidate) -> list[Placement]:
    """Give the place of every fixture of a row, from the left."""
    first = candidate.placement
    if candidate.row == 1:
        return [first]
    width = site.scenario.catalogue.fixture(first.fixture).width
    angle = math.radians(first.angle_deg)
    return [
        first.model_copy(
            update={
                "x_mm": round(first.x_mm + k * width * math.cos(angle), 4),
                "y_mm": round(first.y_mm + k * width * math.sin(angle), 4),
            }
        )
        for k in range(candidate.row)
    ]
