"""Shares of stretches: as few places as wished, room for minimums, pairs and lists."""

from __future__ import annotations

from itertools import pairwise

import pytest

from shopfit.solver.fill import Filler
from shopfit.solver.sharing import Needs, Shares, share
from shopfit.stopping import StopFlag

from .test_merchandise import shelved

SECONDS = 20.0


def shared(filler: Filler, needs: Needs | None = None) -> Shares:
    """Share the stretches of a floor on which nothing stands yet."""
    near = filler.neighbours
    assert near is not None
    answer = share(filler, near, needs or Needs(), SECONDS, 0, StopFlag())
    assert answer.finished
    assert answer.worked > 0
    assert answer.plan is not None
    return answer.plan


def sorts_of(shares: Shares, name: str) -> set[int]:
    """Give the sorts of stretches that a category has a share of."""
    return {t for category, t in shares.counts if category == name}


def length(shares: Shares, name: str) -> float:
    """Give all the width that a category has, mm."""
    return sum(sum(own.values()) for (one, _), own in shares.widths.items() if one == name)


@pytest.mark.parametrize("most", [1, 2, 3])
def test_categories_have_as_few_places_as_wished_and_no_more_room_than_there_is(most: int):
    """Places are counted stretch by stretch, widths face sort by face sort."""
    *_, filler = shelved(2, blocks=dict.fromkeys("ABCD", most))
    shares = shared(filler)
    for name in "ABCD":
        assert 0 < sum(n for (one, _), n in shares.counts.items() if one == name) <= most
    for t, sort in enumerate(shares.sorts):
        for face in set(sort.faces):
            room = face.width * sort.faces.count(face) * len(sort.stretches)
            own = [w.get(face, 0.0) for (_, number), w in shares.widths.items() if number == t]
            assert sum(own) <= room + 1e-6
        for (name, number), count in shares.counts.items():
            if number == t:
                assert count <= len(sort.stretches)
                assert sum(shares.widths[name, t].values()) <= count * sort.length + 1e-6


def test_minimums_come_before_wishes():
    """A category that needs more than the widest place gets two, one more than it may have."""
    *_, filler = shelved(20, blocks={"A": 1})
    for factor, more in ((1.0, False), (12.0, True)):
        shares = shared(filler, Needs({"A": factor}))
        assert (sum(n for (one, _), n in shares.counts.items() if one == "A") > 1) is more


def test_categories_apart_share_no_stretch():
    """Nor does one have a stretch that hangs over one of the other."""
    *_, filler = shelved(2, apart=[("A", "B")])
    shares, near = shared(filler), filler.neighbours
    assert near is not None
    a, b = sorts_of(shares, "A"), sorts_of(shares, "B")
    assert a
    assert b
    crowded = [t for t in a & b if len(shares.sorts[t].stretches) == 1]
    assert not crowded
    number = {n: t for t, sort in enumerate(shares.sorts) for own in sort.stretches for n in own}
    for over in near.overs:
        pair = number[over.upper], number[over.lower]
        if all(len(shares.sorts[t].stretches) == 1 for t in pair):
            assert not (pair[0] in a and pair[1] in b)
            assert not (pair[0] in b and pair[1] in a)


def test_categories_that_are_to_touch_share_a_stretch():
    """The stretch is named, and both have a part of it."""
    *_, filler = shelved(2, touch=[("A", "D")])
    shares = shared(filler)
    assert [pair for pair, _ in shares.joined] == [frozenset("AD")]
    ((_, t),) = shares.joined
    assert t in sorts_of(shares, "A") & sorts_of(shares, "D")


def test_a_list_is_kept_along_the_way():
    """No stretch of an earlier category is as far along as one of a later."""
    *_, filler = shelved(2, order=[("D", "C", "A")])
    shares = shared(filler)
    ranks = [[shares.sorts[t].rank for t in sorts_of(shares, name)] for name in "DCA"]
    assert all(ranks)
    for earlier, later in pairwise(ranks):
        assert max(earlier) < min(later)


def test_what_had_too_little_room_gets_more():
    """A greater need widens a share, and a line that found no place gets one as wide as it is."""
    *_, filler = shelved(6, blocks=dict.fromkeys("ABCD", 1))
    near = filler.neighbours
    assert near is not None
    plain = length(shared(filler), "D")
    more = shared(filler, Needs({"D": 4.0}))
    assert length(more, "D") > plain
    whole = shared(filler, Needs(whole={"D"}))
    widest = max(max(own.values()) for (one, _), own in whole.widths.items() if one == "D")
    assert widest >= filler.lines("D")[0].width


def test_a_person_ends_sharing():
    """With the stop flag raised there is no answer, and it is said that it was ended."""
    *_, filler = shelved(2, blocks={"A": 1})
    near, stop = filler.neighbours, StopFlag()
    assert near is not None
    stop.request()
    answer = share(filler, near, Needs(), SECONDS, 0, stop)
    assert answer.plan is None
    assert not answer.finished
