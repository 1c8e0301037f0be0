"""Large floors settled anew: wishes met, minimums kept, never worse, the same each time."""

from __future__ import annotations

import random
from threading import Timer
from typing import Any

import pytest

from shopfit.solver import merchandise
from shopfit.solver.effort import Purse
from shopfit.solver.fill import Filler
from shopfit.solver.filling import Filling
from shopfit.solver.settling import Settler
from shopfit.stopping import StopFlag

from .test_merchandise import WAY, broken_wishes, faults, shelved, solved, strewn, wishing

SECONDS = 2.0


def settled(
    filler: Filler, filling: Filling, seconds: float = SECONDS, stop: StopFlag | None = None
) -> tuple[Filler, Filling]:
    """Settle a floor."""
    near = filler.neighbours
    assert near is not None
    settler = Settler(1, 0, stop or StopFlag())
    own, found, finished = settler.settled(filler, near, filling, Purse(seconds))
    assert finished or stop is not None
    return own, found


@pytest.mark.parametrize("most", [1, 2])
@pytest.mark.parametrize("seed", range(3))
def test_categories_settle_in_as_few_groups_as_wished(most: int, seed: int):
    """From whatever stands, all minimums and wishes on groups are met where there is room."""
    *_, filler = shelved(4, blocks=dict.fromkeys("ABCD", most))
    own, found = settled(filler, strewn(filler, random.Random(seed)))
    assert own.score(found).complete
    assert own.allowed(found)
    for plan in found.plans:
        assert plan.category not in own.faces[plan.face].barred
    near = filler.neighbours
    assert near is not None
    assert all(count <= most for count in near.groups(found).values())


def test_settling_is_repeatable():
    """Equal work gives equal fillings."""
    *_, filler = shelved(4, blocks=dict.fromkeys("ABCD", 1))
    start = strewn(filler, random.Random(1))
    one, other = (settled(filler, start)[1] for _ in range(2))
    assert (one.plans, one.widths, one.facings) == (other.plans, other.widths, other.facings)


def test_what_is_given_back_is_never_farther_from_what_is_wanted():
    """Not with hardly any work either, nor where not all can be met."""
    *_, filler = shelved(40, blocks=dict.fromkeys("ABCD", 1), apart=[("A", "B"), ("C", "D")])
    for seed in range(4):
        start = strewn(filler, random.Random(seed))
        own, found = settled(filler, start, 0.01)
        assert own.score(found).lack <= filler.score(start).lack


def test_groups_are_moved_without_missing_minimums():
    """What stands already is bettered by moves alone; nothing it shows enough of gets short."""
    *_, filler = shelved(1, blocks=dict.fromkeys("ABCD", 1))
    near = filler.neighbours
    assert near is not None
    for seed in range(4):
        start = strewn(filler, random.Random(seed))
        own, found = Settler(1, 0, StopFlag()).moved(filler, near, start, Purse(SECONDS))
        assert own.score(found).key() >= filler.score(start).key()


def test_moves_end_where_there_is_no_face_to_fill():
    """A floor on which nothing could be bought has no work that could be counted, and ends."""
    *_, filler = shelved(4, blocks=dict.fromkeys("ABCD", 1))
    bare, stop = filler.on([]), StopFlag()
    near, guard = bare.neighbours, Timer(10.0, stop.request)
    assert near is not None
    guard.start()
    found = Settler(1, 0, stop).moved(bare, near, Filling([], []), Purse(0.5))[1]
    guard.cancel()
    assert not stop.requested
    assert not found.plans


def test_a_person_ends_settling():
    """With the stop flag raised what stands is given back as it is."""
    *_, filler = shelved(4, blocks=dict.fromkeys("ABCD", 1))
    start, stop = strewn(filler, random.Random(0)), StopFlag()
    stop.request()
    own, found = settled(filler, start, stop=stop)
    assert own is filler
    assert found is start


@pytest.mark.parametrize(
    "wishes",
    [
        {"blocks": {"A": 1, "B": 1, "C": 1, "D": 1}},
        {"touch": [("A", "D"), ("B", "D")]},
        {"apart": [("A", "B"), ("C", "D")]},
        {"order": [("D", "C", "B", "A")], "way": WAY},
        {"blocks": {"A": 1}, "touch": [("A", "D")], "apart": [("A", "B")]},
    ],
    ids=["blocks", "touch", "apart", "order along the way", "all but order"],
)
def test_each_wish_is_met_where_floors_are_shared(
    wishes: dict[str, Any], monkeypatch: pytest.MonkeyPatch
):
    """A shop taken for a large one meets each rule as a small one does, and the witness agrees."""
    monkeypatch.setattr(merchandise, "MOST_CELLS", 0)
    given = wishing(**wishes)
    layout = solved(given)
    assert faults(given, layout) == []
    assert broken_wishes(layout) == 0
