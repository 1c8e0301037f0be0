"""Lays the shares that categories have of stretches along them, face by face."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from shopfit.model.brief import Merchandising
from shopfit.solver.alike import FaceSort, Sort
from shopfit.solver.sharing import Shares

# The part of a face that a category which goes on over a joint has of it at least.
_LEAST_PART = 0.2
_EPS = 1e-6


@dataclass(frozen=True)
class Spot:
    """A part of a face for some categories.

    Parameters
    ----------
    face
        Its number.
    names
        The categories, or the one.
    width
        mm.
    """

    face: int
    names: frozenset[str]
    width: float


@dataclass(frozen=True)
class _Piece:
    """What some categories have of one stretch: width on each sort of face, mm."""

    names: frozenset[str]
    widths: Mapping[FaceSort, float]

    @property
    def length(self) -> float:
        return sum(self.widths.values())


@dataclass
class _Shelf:
    """A stretch while it is shared: its faces, the pieces on it, and what is left, mm."""

    faces: tuple[int, ...]
    left: float
    pieces: list[_Piece] = field(default_factory=list)

    def put(self, piece: _Piece) -> None:
        self.pieces.append(piece)
        self.left -= piece.length

    def shows(self, names: Collection[str]) -> bool:
        return any(piece.names & set(names) for piece in self.pieces)


def laid_out(shares: Shares, rules: Merchandising) -> list[Spot]:
    """Give each category its parts of faces, so that it goes on over joints as planned.

    Parameters
    ----------
    shares
        What each has of every sort of stretches.
    rules
        The wishes, of which those keep categories off one stretch that are to be apart.
    """
    spots: list[Spot] = []
    for t, sort in enumerate(shares.sorts):
        pairs = [pair for pair, number in shares.joined if number == t]
        for shelf in _packed(shares, rules, t, sort):
            if shelf.pieces:
                spots += _along(sort, shelf, pairs)
    return _stretched(shares.sorts, spots)


def _packed(shares: Shares, rules: Merchandising, t: int, sort: Sort) -> list[_Shelf]:
    """Put the pieces of a sort on its stretches: pairs first, then long ones, then all others."""
    shelves = [_Shelf(stretch, sort.length) for stretch in sort.stretches]
    named, others = dict[str, list[_Piece]](), dict[FaceSort, float]()
    loose: set[str] = set()
    for (name, number), widths in shares.widths.items():
        if number != t:
            continue
        count = shares.counts.get((name, t), 0)
        if count:
            each = {face: width / count for face, width in widths.items()}
            named[name] = [_Piece(frozenset((name,)), each)] * count
        elif sum(widths.values()) > _EPS:
            loose.add(name)
            for face, width in widths.items():
                others[face] = others.get(face, 0.0) + width
    for pair, number in shares.joined:
        if number == t:
            own = [named[name].pop() for name in sorted(pair) if named.get(name)]
            _put_pair(pair, own, shelves)
    pieces = sorted((one for own in named.values() for one in own), key=lambda one: -one.length)
    for piece in pieces:
        _put(piece, shelves, rules)
    room = sum(max(0.0, shelf.left) for shelf in shelves)
    for shelf in shelves if loose and room > _EPS else ():
        part = max(0.0, shelf.left) / room
        if part > 0:
            widths = {face: width * part for face, width in others.items()}
            shelf.put(_Piece(frozenset(loose), widths))
    return shelves


def _put_pair(pair: frozenset[str], pieces: Sequence[_Piece], shelves: Sequence[_Shelf]) -> None:
    """Put pieces of a pair on one stretch: that of one of them where all of its pieces are put."""
    shelf = max(shelves, key=lambda each: (each.shows(pair), each.left))
    for piece in pieces:
        if not shelf.shows(piece.names):
            shelf.put(piece)


def _put(piece: _Piece, shelves: Sequence[_Shelf], rules: Merchandising) -> None:
    """Put a piece where it leaves least, or where most is left, off what it is to be apart from."""
    shunned = {b for a, b in rules.apart if a in piece.names}
    shunned |= {a for a, b in rules.apart if b in piece.names}
    open_to = [shelf for shelf in shelves if not shelf.shows(piece.names)]
    able = [shelf for shelf in open_to if not shelf.shows(shunned)] or open_to
    fitting = [shelf for shelf in able if shelf.left >= piece.length - _EPS]
    if fitting:
        min(fitting, key=lambda shelf: shelf.left).put(piece)
    elif able:
        max(able, key=lambda shelf: shelf.left).put(piece)


def _along(sort: Sort, shelf: _Shelf, pairs: Sequence[frozenset[str]]) -> Iterable[Spot]:
    """Lay pieces along a stretch one after the other, each about where its sorts of face are."""
    ends, at = list[float](), 0.0
    middles: dict[FaceSort, list[float]] = {}
    for face in sort.faces:
        middles.setdefault(face, []).append(at + face.width / 2)
        at += face.width
        ends.append(at)
    pieces = sorted(shelf.pieces, key=lambda piece: _middle(piece, middles))
    scale, left = at / max(_EPS, sum(piece.length for piece in pieces)), 0.0
    for piece in _side_by_side(pieces, pairs):
        right = left + piece.length * scale
        laps = [
            (min(right, end) - max(left, end - face.width), n)
            for n, (face, end) in enumerate(zip(sort.faces, ends, strict=True))
        ]
        kept = [(lap, n) for lap, n in laps if lap > _LEAST_PART * sort.faces[n].width]
        for lap, n in kept or [max(laps)]:
            yield Spot(shelf.faces[n], piece.names, max(_EPS, lap))
        left = right


def _middle(piece: _Piece, middles: Mapping[FaceSort, Sequence[float]]) -> float:
    total = sum(
        width * sum(middles[face]) / len(middles[face]) for face, width in piece.widths.items()
    )
    return total / max(_EPS, piece.length)


def _side_by_side(pieces: Sequence[_Piece], pairs: Sequence[frozenset[str]]) -> Iterable[_Piece]:
    """Move pieces next to those that they are to touch."""
    order = list(pieces)
    for pair in pairs:
        own = [piece for piece in order if piece.names <= pair]
        if len(own) == len(pair) > 1:
            order.remove(own[1])
            order.insert(order.index(own[0]) + 1, own[1])
    return order


def _stretched(sorts: Sequence[Sort], spots: Sequence[Spot]) -> list[Spot]:
    """Make the spots of each face as wide as it is, in all."""
    width = {
        n: face.width
        for sort in sorts
        for own in sort.stretches
        for n, face in zip(own, sort.faces, strict=True)
    }
    total: dict[int, float] = {}
    for spot in spots:
        total[spot.face] = total.get(spot.face, 0.0) + spot.width
    return [
        Spot(spot.face, spot.names, spot.width * width[spot.face] / total[spot.face])
        for spot in spots
    ]
