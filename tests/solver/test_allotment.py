"""Plans of where categories may stand: groups, pairs, lists and minimums as far as they go."""

from __future__ import annotations

from itertools import pairwise

import pytest

from shopfit.solver.allotment import Allotment, Learnt, allot
from shopfit.solver.fill import Filler
from shopfit.solver.filling import Filling
from shopfit.stopping import StopFlag

from .test_merchandise import shelved

EMPTY = Filling([], [])
SECONDS = 20.0


def plan(filler: Filler, learnt: Learnt | None = None) -> Allotment:
    """Give the plan for faces on which nothing stands yet."""
    answer = allot(filler, EMPTY, learnt or Learnt(), SECONDS, 0, StopFlag())
    assert answer.finished
    assert answer.worked > 0
    assert answer.plan is not None
    return answer.plan


def faces_of(made: Allotment, name: str) -> set[int]:
    """Give the faces on which a category is to stand."""
    return {face for category, face in made.meant if category == name}


def pieces(filler: Filler, faces: set[int]) -> int:
    """Count the parts that some faces fall into where those beside or above one another count."""
    near = filler.neighbours
    assert near is not None
    ends = [(k.left, k.right) for k in near.links] + [(o.upper, o.lower) for o in near.overs]
    part = {n: n for n in faces}
    for one, other in ends:
        if one in part and other in part:
            a, b = part[one], part[other]
            part = {n: a if own == b else own for n, own in part.items()}
    return len(set(part.values()))


@pytest.mark.parametrize("most", [1, 2])
def test_categories_stand_in_as_few_groups_as_wished(most: int):
    """Faces of a category hang together in so many parts at most."""
    *_, filler = shelved(2, blocks=dict.fromkeys("ABCD", most))
    made = plan(filler)
    for name in "ABCD":
        assert 0 < pieces(filler, faces_of(made, name)) <= most


def test_what_does_not_stand_somewhere_may_not():
    """A category is barred just from the faces on which it is not meant to stand, or not alone."""
    *_, filler = shelved(2, blocks=dict.fromkeys("ABCD", 1))
    made = plan(filler)
    for n in range(len(filler.faces)):
        there = {name for name, face in made.meant if face == n}
        able = {name for name in "ABCD" if any(filler.can_show(ln, n) for ln in filler.lines(name))}
        assert not there & made.barred[n]
        assert there | made.barred[n] == able


def test_categories_apart_share_no_face():
    """Nor faces that adjoin, where there is room elsewhere."""
    *_, filler = shelved(2, apart=[("A", "B")])
    made = plan(filler)
    near = filler.neighbours
    assert near is not None
    a, b = faces_of(made, "A"), faces_of(made, "B")
    assert a
    assert b
    assert not a & b
    for link in near.links:
        assert not (link.left in a and link.right in b)
        assert not (link.left in b and link.right in a)


def test_categories_that_are_to_touch_share_a_face_or_a_joint():
    """Where a pair did not touch on a face before, another face or a joint is taken."""
    *_, filler = shelved(2, touch=[("A", "D")])
    made = plan(filler)
    near = filler.neighbours
    assert near is not None

    def meeting(made: Allotment) -> set[int]:
        return faces_of(made, "A") & faces_of(made, "D")

    def meet_at_a_joint(made: Allotment) -> bool:
        a, d = faces_of(made, "A"), faces_of(made, "D")
        return any(
            (k.left in a and k.right in d) or (k.left in d and k.right in a) for k in near.links
        )

    assert meeting(made) or meet_at_a_joint(made)
    parted = {(frozenset("AD"), n) for n in meeting(made)}
    other = plan(filler, Learnt(parted=parted))
    assert not {n for pair, n in other.joined} & {n for _, n in parted}
    assert meeting(other) - meeting(made) or meet_at_a_joint(other)


def test_a_list_is_kept_along_the_way():
    """No face with an earlier category is farther from the door than one with a later."""
    *_, filler = shelved(2, order=[("D", "C", "B", "A")])
    made, near = plan(filler), filler.neighbours
    assert near is not None
    spans = []
    for name in "DCBA":
        stations = [near.stations[n] for n in faces_of(made, name)]
        spans.append((min(stations), max(stations)))
    for (_, last), (first, _) in pairwise(spans):
        assert last <= first + 1e-6


@pytest.mark.parametrize("most", [1, 2])
def test_fewer_faces_where_more_were_too_many(most: int):
    """What was scattered over too many faces is given fewer."""
    *_, filler = shelved(2, blocks={"A": 1})
    made = plan(filler, Learnt(most={"A": most}))
    assert 0 < len(faces_of(made, "A")) <= most


def test_a_stop_leaves_no_plan():
    """After a stop nothing is planned, and that is said."""
    stop = StopFlag()
    stop.request()
    *_, filler = shelved(2, blocks={"A": 1})
    answer = allot(filler, EMPTY, Learnt(), SECONDS, 0, stop)
    assert (answer.plan, answer.finished) == (None, False)
