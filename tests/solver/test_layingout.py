"""Shares laid along stretches: faces full, categories in one piece, pairs side by side."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from shopfit.model.brief import Merchandising
from shopfit.solver.alike import FaceSort, Sort
from shopfit.solver.layingout import laid_out
from shopfit.solver.sharing import Shares

WIDE, SLIM = FaceSort(0, 1000.0, True, ()), FaceSort(1, 400.0, True, ())
NO_RULES = Merchandising()


@st.composite
def shares(draw: st.DrawFn) -> Shares:
    """Draw shares of a few sorts of stretches, with no more width than there is."""
    sorts, counts, widths, first = [], {}, {}, 0
    for t in range(draw(st.integers(1, 3))):
        faces = tuple(draw(st.lists(st.sampled_from([WIDE, SLIM]), min_size=1, max_size=4)))
        many = draw(st.integers(1, 3))
        stretches = tuple(
            tuple(range(first + k * len(faces), first + (k + 1) * len(faces))) for k in range(many)
        )
        first += many * len(faces)
        sorts.append(Sort(faces, stretches))
        names = draw(st.lists(st.sampled_from("ABCDE"), unique=True, max_size=4))
        for name in names:
            part = draw(st.floats(0.05, 1.0)) / len(names)
            counts[name, t] = draw(st.integers(1, many))
            room = {face: face.width * faces.count(face) * many for face in set(faces)}
            widths[name, t] = {face: part * length for face, length in room.items()}
    return Shares(tuple(sorts), counts, widths, ())


@given(shares())
def test_every_face_with_goods_is_full_and_no_category_has_more_places_than_its_share(made: Shares):
    """Parts of a face make it up; what a category has of a stretch is in one piece."""
    spots = laid_out(made, NO_RULES)
    total: dict[int, float] = {}
    for spot in spots:
        assert spot.width > 0
        total[spot.face] = total.get(spot.face, 0.0) + spot.width
    for t, sort in enumerate(made.sorts):
        places: dict[str, int] = {}
        for stretch in sort.stretches:
            for n, face in zip(stretch, sort.faces, strict=True):
                if n in total:
                    assert abs(total[n] - face.width) < 1e-6
            for name in "ABCDE":
                at = [k for k, n in enumerate(stretch) if (n, name) in _pairs(spots)]
                if at:
                    assert at == list(range(at[0], at[-1] + 1))
                    places[name] = places.get(name, 0) + 1
            for left, right in pairwise(stretch):
                over = [name for name in "ABCDE" if {(left, name), (right, name)} <= _pairs(spots)]
                assert len(over) <= 1
        for name, count in places.items():
            assert count <= made.counts[name, t]
        for (name, number), _ in made.counts.items():
            assert number != t or places.get(name, 0) > 0


def _pairs(spots: list) -> set[tuple[int, str]]:
    return {(spot.face, name) for spot in spots for name in spot.names}


def test_pairs_stand_side_by_side():
    """Pieces that are to touch come one after the other on one stretch, others around them."""
    sort = Sort((WIDE,) * 3, ((0, 1, 2), (3, 4, 5)))
    names = "ABCD"
    made = Shares(
        (sort,),
        {(name, 0): 1 for name in names},
        {(name, 0): {WIDE: 1000.0} for name in names},
        ((frozenset("AD"), 0),),
    )
    faces = {name: _faces(made, name) for name in names}
    assert min(faces["A"] | faces["D"]) // 3 == max(faces["A"] | faces["D"]) // 3
    assert any(abs(a - d) <= 1 for a in faces["A"] for d in faces["D"])


def test_one_piece_can_touch_two_others():
    """Where a category of two pairs has a single place, both others come to it."""
    sort = Sort((WIDE,), ((0,), (1,), (2,)))
    made = Shares(
        (sort,),
        {("A", 0): 2, ("B", 0): 2, ("D", 0): 1},
        {("A", 0): {WIDE: 900.0}, ("B", 0): {WIDE: 900.0}, ("D", 0): {WIDE: 300.0}},
        ((frozenset("AD"), 0), (frozenset("BD"), 0)),
    )
    (at,) = _faces(made, "D")
    assert at in _faces(made, "A") & _faces(made, "B")


def test_what_is_to_be_apart_goes_to_other_stretches():
    """As long as there is another stretch."""
    sort = Sort((WIDE,), ((0,), (1,)))
    made = Shares(
        (sort,),
        {("A", 0): 1, ("B", 0): 1},
        {("A", 0): {WIDE: 300.0}, ("B", 0): {WIDE: 300.0}},
        (),
    )
    apart = Merchandising.model_validate({"apart": [["A", "B"]]})
    assert _faces(made, "A", apart) != _faces(made, "B", apart)
    assert _faces(made, "A") == _faces(made, "B")


def test_categories_without_wishes_share_what_is_left():
    """They have no places that are counted, and stand together in the rest of each stretch."""
    sort = Sort((WIDE,), ((0,), (1,)))
    widths = {("A", 0): {WIDE: 1000.0}, ("X", 0): {WIDE: 600.0}, ("Y", 0): {WIDE: 300.0}}
    made = Shares((sort,), {("A", 0): 1}, widths, ())
    spots = laid_out(made, NO_RULES)
    assert {(spot.names, spot.width) for spot in spots} == {
        (frozenset("A"), 1000.0),
        (frozenset("XY"), 1000.0),
    }


def _faces(made: Shares, name: str, rules: Merchandising = NO_RULES) -> set[int]:
    return {spot.face for spot in laid_out(made, rules) if name in spot.names}
