"""Turns chosen positions into tagged fixtures, slat-wall runs and the faces they give."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from shopfit.geometry.faceplace import FacePlace, fixture_face, run_face
from shopfit.model.fixtures import Side
from shopfit.model.layout import Placement, Run
from shopfit.solver.candidate import Candidate
from shopfit.solver.floor import FloorAnswer, FloorProblem
from shopfit.solver.nearness import near, side_by_side
from shopfit.solver.parts import FacePart
from shopfit.solver.site import Site

_JOIN_MM = 0.01


@dataclass(frozen=True)
class Face:
    """A face of the chosen floor.

    Parameters
    ----------
    host, side
        Tag of the fixture or run, and the side of it.
    kind
        Number of its class.
    width
        mm.
    near
        Whether new goods may stand there.
    place
        Where it is in the shop, or none where that does not matter.
    barred
        Categories that may not stand there, in order.
    """

    host: str
    side: Side
    kind: int
    width: float
    near: bool = True
    place: FacePlace | None = field(default=None, repr=False)
    barred: tuple[str, ...] = ()


@dataclass(frozen=True)
class Fixed:
    """A chosen floor with its walls.

    Parameters
    ----------
    placements, runs
        With tags.
    faces
        Every face, fixtures first.
    """

    placements: tuple[Placement, ...]
    runs: tuple[Run, ...]
    faces: tuple[Face, ...]


def fix(problem: FloorProblem, answer: FloorAnswer) -> Fixed:
    """Tag fixtures wall by wall and left to right, islands last, and join slat-wall into runs."""
    number = {kind: k for k, kind in enumerate(problem.classes)}
    walls = [wall.id for wall in problem.site.shell.walls]

    def place(i: int) -> tuple[object, ...]:
        p = problem.candidates[i].placement
        if p.wall is None:
            return (len(walls), p.x_mm, p.y_mm, p.angle_deg)
        return (walls.index(p.wall), p.offset_mm or 0.0, 0.0, 0.0)

    ordered = sorted(answer.chosen, key=place)
    placements: list[Placement] = []
    faces: list[Face] = []
    pieces: list[tuple[Candidate, FacePart, str | None]] = []
    slat = set(answer.slat)
    for i in ordered:
        candidate = problem.candidates[i]
        tag = None
        if candidate.fixture is not None:
            each = len(candidate.faces) // candidate.row
            for k, placement in enumerate(side_by_side(problem.site, candidate)):
                tag = f"F{len(placements) + 1}"
                placements.append(placement.model_copy(update={"id": tag}))
                faces += [
                    fixture_side(problem.site, placements[-1], part, number[part.kind])
                    for part in candidate.faces[k * each : (k + 1) * each]
                ]
        if i in slat:
            pieces += [(candidate, part, tag) for part in candidate.slat]
    runs: list[Run] = []
    for members in joined(pieces):
        run = run_of(f"R{len(runs) + 1}", members)
        runs.append(run)
        faces.append(run_front(problem.site, run, number[members[0][1].kind]))
    return Fixed(tuple(placements), tuple(runs), tuple(faces))


def fixture_side(site: Site, placement: Placement, part: FacePart, kind: int) -> Face:
    """Give a display side of a fixture that stands as a face.

    Parameters
    ----------
    site, placement
        The shop, and where the fixture stands, with its tag.
    part, kind
        Which side, and the number of its class.
    """
    place = fixture_face(site.scenario.catalogue.fixture(placement.fixture), placement, part.side)
    return Face(placement.id, part.side, kind, part.width, near(site, place), place)


def run_front(site: Site, run: Run, kind: int) -> Face:
    """Give a slat-wall run that hangs as a face.

    Parameters
    ----------
    site, run
        The shop, and the run with its tag.
    kind
        Number of its class.
    """
    wall = site.shell.wall(run.wall)
    place = run_face(run.id, wall, run.from_mm, run.to_mm, run.first_groove_mm, run.top_mm)
    return Face(run.id, "front", kind, run.to_mm - run.from_mm, near(site, place), place)


Piece = tuple[Candidate, FacePart, "str | None"]


def joined(pieces: Sequence[Piece]) -> list[list[Piece]]:
    """Group neighbouring pieces of one class and height on one wall."""
    groups: list[list[Piece]] = []
    for piece in pieces:
        candidate, part, tag = piece
        assert part.wall_span is not None
        if groups:
            last, last_part, last_tag = groups[-1][-1]
            assert last_part.wall_span is not None
            same = (
                last.placement.wall == candidate.placement.wall
                and last_part.kind == part.kind
                and last_part.wall_span[2:] == part.wall_span[2:]
                and (last_tag is None) == (tag is None)
                and abs(last_part.wall_span[1] - part.wall_span[0]) <= _JOIN_MM
            )
            if same:
                groups[-1].append(piece)
                continue
        groups.append([piece])
    return groups


def run_of(tag: str, members: Sequence[Piece]) -> Run:
    """Make a run of neighbouring pieces, from left to right."""
    (candidate, first, _), (_, last, _) = members[0], members[-1]
    assert first.wall_span is not None
    assert last.wall_span is not None
    assert first.sheet is not None
    return Run(
        id=tag,
        wall=candidate.placement.wall or "",
        from_mm=round(first.wall_span[0], 4),
        to_mm=round(last.wall_span[1], 4),
        bottom_mm=first.wall_span[2],
        top_mm=first.wall_span[3],
        sheet=first.sheet,
        first_groove_mm=round(first.kind.bottom, 4),
        over=tuple(dict.fromkeys(tag for _, _, tag in members if tag is not None)),
    )
