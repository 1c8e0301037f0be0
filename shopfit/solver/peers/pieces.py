"""Every face of every position by itself, and which of them join into one face."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shopfit.model.layout import Placement, Run
from shopfit.solver.filling import PER_MM
from shopfit.solver.fixing import Fixed
from shopfit.solver.floor import FloorProblem
from shopfit.units import TOLERANCE_MM

# Ends of slat-wall this near to one another join, hundredths of a millimetre.
_JOIN = 1


@dataclass(frozen=True)
class Piece:
    """A face that stands if its position stands.

    Parameters
    ----------
    candidate, slat
        Whose it is, and whether it is slat-wall above it.
    number
        Its place among the candidate's own faces, or among its pieces of slat-wall.
    kind, width
        Number of its class; length, counted as in fillings.
    """

    candidate: int
    slat: bool
    number: int
    kind: int
    width: int


def pieces_of(problem: FloorProblem) -> list[Piece]:
    """List the faces of every candidate that may stand."""
    found = []
    for i in range(len(problem.candidates)):
        for slat, parts in ((False, problem.widths[i]), (True, problem.slat_widths[i])):
            found += [
                Piece(i, slat, n, kind, int(width * PER_MM + 1e-6))
                for n, (kind, width) in enumerate(parts)
            ]
    return found


def joints(problem: FloorProblem, pieces: Sequence[Piece]) -> list[tuple[int, int]]:
    """List pairs of slat-wall pieces, left and right, that hang as one run where both hang."""
    starts: dict[tuple[object, ...], list[int]] = {}
    ends: list[tuple[int, tuple[object, ...], int]] = []
    for n, piece in enumerate(pieces):
        if not piece.slat:
            continue
        candidate = problem.candidates[piece.candidate]
        part = candidate.slat[piece.number]
        assert part.wall_span is not None
        left, right, *heights = part.wall_span
        like = (candidate.placement.wall, piece.kind, *heights, candidate.fixture is None)
        starts.setdefault((*like, round(left * 100)), []).append(n)
        ends.append((n, like, round(right * 100)))
    return [
        (n, other)
        for n, like, right in ends
        for nudge in range(-_JOIN, _JOIN + 1)
        for other in starts.get((*like, right + nudge), ())
        if pieces[other].candidate != pieces[n].candidate
    ]


def reaches(pieces: Sequence[Piece], joined: Sequence[tuple[int, int]]) -> list[int]:
    """Give for every piece how long the face can be that begins with it, counted as in fillings."""
    after: dict[int, list[int]] = {}
    for left, right in joined:
        after.setdefault(left, []).append(right)
    reach = [piece.width for piece in pieces]
    done: set[int] = set()

    for start in after:
        stack = [start]
        while stack:
            n = stack[-1]
            waiting = [m for m in after.get(n, ()) if m not in done]
            if waiting and n not in done:
                stack += waiting
                continue
            stack.pop()
            if n not in done:
                reach[n] += max((reach[m] for m in after.get(n, ())), default=0)
                done.add(n)
    return reach


class FaceFinder:
    """Finds the faces of a chosen floor that pieces became, or became part of.

    Parameters
    ----------
    problem, fixed
        The floor, and what was chosen of it.
    """

    def __init__(self, problem: FloorProblem, fixed: Fixed) -> None:
        self._problem = problem
        self._placements = [placement.id for placement in fixed.placements]
        self._tags = {_where(placement): n for n, placement in enumerate(fixed.placements)}
        self._runs: dict[str, list[Run]] = {}
        for run in fixed.runs:
            self._runs.setdefault(run.wall, []).append(run)
        self._faces = {(face.host, face.side): n for n, face in enumerate(fixed.faces)}

    def find(self, piece: Piece) -> int | None:
        """Give the number of a piece's face, or none where it does not hang."""
        candidate = self._problem.candidates[piece.candidate]
        if not piece.slat:
            # Fixtures of a row are tagged one after the other.
            each = len(candidate.faces) // candidate.row
            first = self._tags[_where(candidate.placement)]
            tag = self._placements[first + piece.number // each]
            return self._faces[tag, candidate.faces[piece.number].side]
        span = candidate.slat[piece.number].wall_span
        assert span is not None
        left, right, bottom, _ = span
        for run in self._runs.get(candidate.placement.wall or "", ()):
            beside = run.from_mm > left + TOLERANCE_MM or run.to_mm < right - TOLERANCE_MM
            if not beside and abs(run.bottom_mm - bottom) <= TOLERANCE_MM:
                return self._faces[run.id, "front"]
        return None


def _where(placement: Placement) -> tuple[object, ...]:
    return (placement.fixture, placement.x_mm, placement.y_mm, placement.angle_deg)
