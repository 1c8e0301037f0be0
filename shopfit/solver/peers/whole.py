"""The whole shop as one integer program, and the faces of a chosen floor as another."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from shopfit.solver.filling import PER_MM, BlockKey
from shopfit.solver.floor import FloorAnswer
from shopfit.solver.peers.answers import Care, Course, Values
from shopfit.solver.peers.blocks import BlockKind, BlockKinds, BlockProgram
from shopfit.solver.peers.pieces import FaceFinder, Piece, joints, pieces_of, reaches
from shopfit.solver.peers.program import FloorProgram, GoodsProgram, Row


def size_of(course: Course, exact: bool) -> int:
    """Count the variables of blocks and facings that the whole program would have.

    Parameters
    ----------
    course, exact
        As for `WholeProgram`.
    """
    kinds = BlockKinds(course, exact)
    sizes = [
        sum(block.size for block in kinds.of_class(k)) for k in range(len(course.problem.classes))
    ]
    return sum(sizes[piece.kind] for piece in pieces_of(course.problem))


class WholeProgram(FloorProgram):
    """The floor with every facing on every row of every face of every position.

    Slat-wall that joins into one run lends its width to its left, so that rows may pass the joint.

    Parameters
    ----------
    course
        What is given.
    exact
        Whether every pattern has a block of its own on every face; then the bound holds for every
        layout. Else the program is smaller, and its bound holds for one block a face and
        category.
    care
        How far islands keep off; the rules alone for a bound.
    """

    def __init__(self, course: Course, exact: bool, care: Care = Care.RULES) -> None:
        super().__init__(course, care)
        self._pieces = pieces_of(self.problem)
        self._by_candidate: dict[int, list[int]] = {}
        for n, piece in enumerate(self._pieces):
            self._by_candidate.setdefault(piece.candidate, []).append(n)
        self._blocks = BlockProgram(self)
        kinds = BlockKinds(course, exact)
        joined = joints(self.problem, self._pieces)
        reach = reaches(self._pieces, joined)
        room = self._room(joined, reach)
        for n, piece in enumerate(self._pieces):
            widths = [
                self._blocks.add(n, piece.kind, block, reach[n])
                for block in kinds.of_class(piece.kind)
            ]
            columns, sizes = room[n]
            self.row([*widths, *columns], [1.0] * len(widths) + sizes, high=0.0)
        self.finish(self._blocks.facings)

    def _stands_by(self, piece: Piece) -> int:
        column = self.slat[piece.candidate] if piece.slat else self.stands[piece.candidate]
        assert column is not None
        return column

    def _room(
        self, joined: Sequence[tuple[int, int]], reach: Sequence[int]
    ) -> list[tuple[list[int], list[float]]]:
        """Give what limits the blocks of each piece: its own width, and widths lent and lent on."""
        room = [([self._stands_by(piece)], [-float(piece.width)]) for piece in self._pieces]
        for left, right in joined:
            lent = self.column(reach[right])
            for piece, sign in ((left, -1.0), (right, 1.0)):
                stands = self._stands_by(self._pieces[piece])
                self.row([lent, stands], [1.0, -float(reach[right])], high=0.0)
                room[piece][0].append(lent)
                room[piece][1].append(sign)
        return room

    def offer(self, floor: FloorAnswer, value: Values) -> bool:
        """Read the facings of an answer onto the faces of its floor."""
        if not self.course.reachable(floor.chosen):
            return False
        fixed, _ = self.course.fixed(floor)
        faces = FaceFinder(self.problem, fixed)
        places = [
            (n, face)
            for i in floor.chosen
            for n in self._by_candidate.get(i, ())
            if (face := faces.find(self._pieces[n])) is not None
        ]
        return self.course.keep(floor, self._blocks.filling(places, value))


class FacesProgram(GoodsProgram):
    """The faces of a chosen floor with every whole facing.

    Parameters
    ----------
    course, chosen
        What is given, and the floor.
    blocks
        The blocks laid along the faces, where no others may be there; else any block may be on
        any face.
    """

    def __init__(
        self, course: Course, chosen: FloorAnswer, blocks: Mapping[BlockKey, float] | None = None
    ) -> None:
        super().__init__(course)
        self._chosen = chosen
        self._fixed, self._filler = course.fixed(chosen)
        self._blocks = BlockProgram(self)
        for face, own in self._wanted(blocks).items():
            reach = int(self._fixed.faces[face].width * PER_MM + 1e-6)
            kind = self._fixed.faces[face].kind
            self.row([self._blocks.add(face, kind, block, reach) for block in own], high=reach)
        money = self.problem.money_left(chosen.chosen, chosen.slat)
        self.add_totals(self._blocks.facings, (), None if money is None else max(0.0, money))

    def _wanted(self, blocks: Mapping[BlockKey, float] | None) -> dict[int, list[BlockKind]]:
        kinds = BlockKinds(self.course, exact=True)
        if blocks is None:
            return {n: kinds.of_class(f.kind) for n, f in enumerate(self._fixed.faces)}
        found: dict[int, list[BlockKind]] = {}
        for plan in dict.fromkeys(self._filler.start(blocks).plans):
            kind = self._fixed.faces[plan.face].kind
            block = kinds.block(plan.category, (plan.pattern,), kind)
            found.setdefault(plan.face, []).append(block)
        return found

    def floor(self, value: Values) -> FloorAnswer:
        """Give the floor, which is chosen already."""
        return self._chosen

    def offer(self, floor: FloorAnswer, value: Values) -> bool:
        """Read the facings of an answer."""
        places = ((n, n) for n in range(len(self._fixed.faces)))
        return self.course.keep(floor, self._blocks.filling(places, value))

    def forbidding(self, together: Iterable[int]) -> Row:
        """Give none: all ways of the chosen floor are open."""
        raise ValueError("the floor is chosen already")


def faces_size(course: Course, chosen: FloorAnswer) -> int:
    """Count the variables of blocks and facings of a chosen floor with any block on any face."""
    kinds = BlockKinds(course, exact=True)
    fixed, _ = course.fixed(chosen)
    return sum(block.size for face in fixed.faces for block in kinds.of_class(face.kind))
