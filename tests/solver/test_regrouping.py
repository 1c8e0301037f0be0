"""Groups given up and faces given away: no more groups than wished, minimums first."""

from __future__ import annotations

import random

import pytest

from shopfit.solver.fill import Filler
from shopfit.solver.filling import BlockPlan, Filling, grains
from shopfit.solver.regrouping import Regrouping

from . import build as b
from .test_merchandise import shelved, strewn


def standing(filler: Filler, *blocks: tuple[int, str, int]) -> Filling:
    """Set up blocks of one row each: face, line and facings."""
    filling = Filling([], [])
    for face, name, count in blocks:
        if not count:
            continue
        line = filler.site.scenario.line(name)
        pattern = filler.display.patterns[line.category, filler.faces[face].kind][0]
        filling.facings[len(filling.plans), 0, name] = count
        filling.plans.append(BlockPlan(face, line.category, pattern))
        filling.widths.append(grains(count * line.width))
    return filling


def crowded(filler: Filler, *blocks: tuple[int, str, int]) -> Filling:
    """Set up blocks, and fill all other faces with D, so that none is free."""
    own = {face for face, _, _ in blocks}
    wide = filler.lines("D")[0].width
    rest = [(n, "D", int(face.width / wide)) for n, face in enumerate(filler.faces) if n not in own]
    return standing(filler, *blocks, *rest)


def alone(filler: Filler) -> list[int]:
    """List cabinets that no other face adjoins on the same wall, and one more far from them."""
    near = filler.neighbours
    assert near is not None
    beside = {n for link in near.links for n in (link.left, link.right)}
    cabinets = [n for n, face in enumerate(filler.faces) if face.place and not face.place.hung]
    return [n for n in cabinets if n not in beside] + [n for n in cabinets if n in beside][:1]


def open_to(filler: Filler, name: str) -> set[int]:
    """Give the faces on which a category may stand."""
    return {n for n, face in enumerate(filler.faces) if name not in face.barred}


def moved(filler: Filler, filling: Filling, seed: int = 0) -> Filler:
    """Give what may stand where next."""
    near = filler.neighbours
    assert near is not None
    return Regrouping(filler, near).next(filler, filling, random.Random(seed))


@pytest.mark.parametrize("seed", range(8))
def test_categories_with_groups_enough_may_not_stand_everywhere(seed: int):
    """Whatever stands, one with as many groups as wished, or more, keeps to those or fewer."""
    *_, filler = shelved(blocks=dict.fromkeys("ABCD", 2))
    near, filling = filler.neighbours, strewn(filler, random.Random(seed))
    assert near is not None
    own, every = moved(filler, filling, seed), set(range(len(filler.faces)))
    assert [face.place for face in own.faces] == [face.place for face in filler.faces]
    groups = near.clusters(filling)
    for name in "ABCD":
        if len(groups.get(name, ())) >= 2:
            assert open_to(own, name) < every


def test_the_group_that_shows_least_is_given_up():
    """Of three groups where two are wished the two worth most stay."""
    *_, filler = shelved(blocks={"A": 2})
    one, other, third = alone(filler)
    filling = crowded(filler, (one, "A", 9), (other, "A", 6), (third, "A", 8))
    faces = open_to(moved(filler, filling), "A")
    assert {one, third} <= faces
    assert other not in faces


def test_what_a_minimum_needs_is_not_given_up():
    """A group worth less stays where without it a line would miss its minimum."""
    scarce = b.line("A2", category="A", width=b.mm(90.0), min_facings=2)
    *_, filler = shelved(more=[scarce], blocks={"A": 1})
    one, other, _ = alone(filler)
    for small in ("A", "A2"):
        filling = crowded(filler, (one, "A", 9), (other, small, 6))
        kept, gone = (other, one) if small == "A2" else (one, other)
        faces = open_to(moved(filler, filling), "A")
        assert kept in faces
        assert gone not in faces


def test_a_free_face_goes_to_a_category_beside_it():
    """What adjoins a group may grow over the joint without one group more."""
    *_, filler = shelved(blocks={"A": 1})
    near = filler.neighbours
    assert near is not None
    link = near.links[0]
    filling = crowded(filler, (link.left, "A", 9), (link.right, "A", 0))
    faces = open_to(moved(filler, filling), "A")
    assert {link.left, link.right} <= faces
    assert len(faces) < len(filler.faces)


def test_a_category_with_groups_to_spare_may_stand_anywhere():
    """Nothing bars it until it has as many groups as wished."""
    *_, filler = shelved(blocks={"A": 9})
    filling = standing(filler, (0, "A", 3))
    assert open_to(moved(filler, filling), "A") == set(range(len(filler.faces)))


def test_what_is_barred_from_other_categories_stays_so():
    """Only categories with a limit on their groups move."""
    *_, filler = shelved(blocks={"A": 1}, touch=[("B", "C")])
    own = filler.restricted({0: ["B"]})
    near = own.neighbours
    assert near is filler.neighbours
    assert near is not None
    found = Regrouping(filler, near).next(own, standing(filler, (1, "A", 2)), random.Random(0))
    assert "B" in found.faces[0].barred
    assert "B" not in found.faces[1].barred
