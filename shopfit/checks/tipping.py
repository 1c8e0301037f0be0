"""Cautions on fixtures that may be pulled over, empty or stocked, and on glass."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from shopfit.checks.masses import Mass, goods
from shopfit.checks.notes import join, middle, published
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene, Stood
from shopfit.model.finding import Finding
from shopfit.standards.loads import push_to_tip, tipping
from shopfit.units import format_force

FASTEN = "Fasten it to the wall or floor as its maker says, and put heavy goods low."


@dataclass(frozen=True)
class _Stocked:
    """How a fixture stands with its goods.

    Parameters
    ----------
    one
        Which.
    kg
        Mass with its goods, kg.
    height
        Of the middle of that mass above the floor, mm.
    base
        From under the middle of the mass to the nearest edge, mm.
    """

    one: Stood
    kg: float
    height: float
    base: float


def check(scene: Scene) -> Iterator[Finding]:
    """Give cautions on loose fixtures that are slender or top-heavy, and on glass cases."""
    stock = goods(scene)
    loose = [_stocked(one, stock.get(one.tag, [])) for one in scene.stood if not one.fixture.fixed]
    slender = [one for one in loose if not _slender_met(scene, one)]
    yield from _tipping(scene, slender)
    yield from _top_heavy(scene, [one for one in loose if one not in slender])
    yield from _glass(scene)


def _shallow(one: Stood) -> float:
    return min(one.fixture.depth, one.fixture.width)


def _slender_met(scene: Scene, stocked: _Stocked) -> bool:
    one = stocked.one
    return tipping(scene.rulebook, one.fixture.height, _shallow(one)).met


def _stocked(one: Stood, stock: list[Mass]) -> _Stocked:
    fixture = one.fixture
    # From the middle of the footprint: along the width, and towards the front.
    kg, across, out, height = fixture.weight, 0.0, 0.0, fixture.weight * fixture.height / 2
    for mass in stock:
        half_width, half_depth = fixture.width / 2 - mass.out, fixture.depth / 2 - mass.out
        kg += mass.kg
        height += mass.kg * mass.height
        across += mass.kg * {"left": -half_width, "right": half_width}.get(mass.side, 0.0)
        out += mass.kg * {"front": half_depth, "back": -half_depth}.get(mass.side, 0.0)
    if kg <= 0:
        return _Stocked(one, 0.0, fixture.height / 2, _shallow(one) / 2)
    base = min(fixture.width / 2 - abs(across / kg), fixture.depth / 2 - abs(out / kg))
    return _Stocked(one, kg, height / kg, base)


def _push(scene: Scene, some: list[_Stocked]) -> str:
    known = [one for one in some if one.kg > 0]
    if not known:
        return ""
    least = min(push_to_tip(one.kg, one.base, one.one.fixture.height) for one in known)
    return f" As stocked, a push of {format_force(least, scene.words.style)} at its top does it."


def _tipping(scene: Scene, slender: list[_Stocked]) -> Iterator[Finding]:
    limit = scene.rulebook.requirement("tipping")
    groups: dict[str, list[_Stocked]] = defaultdict(list)
    for one in slender:
        groups[one.one.fixture.id].append(one)
    for fixture_id, some in groups.items():
        fixture = scene.fixtures[fixture_id]
        ratio = fixture.height / min(fixture.depth, fixture.width)
        yield say(
            "tipping",
            "advice",
            join(f"{one.one.tag} ({fixture_id})" for one in some),
            f"{fixture_id} is loose and {ratio:.1f} times as high as it is deep; it can be pulled "
            f"over.{_push(scene, some)}",
            FASTEN,
            published(limit),
            required=limit.value,
            measured=ratio,
            margin=limit.value - ratio,
            unit="height / depth",
            at_mm=middle(some[0].one.shape),
        )


def _top_heavy(scene: Scene, loose: list[_Stocked]) -> Iterator[Finding]:
    limit = scene.rulebook.requirement("tipping")
    for one in loose:
        # A box filled evenly has its middle at half its height over half its depth.
        judged = tipping(scene.rulebook, one.height, max(one.base, 1e-3))
        if judged.met:
            continue
        yield say(
            "tipping-stocked",
            "advice",
            one.one.name,
            f"{one.one.name} is loose and top-heavy as stocked: the middle of its mass is "
            f"{scene.words.say(one.height)} up and {scene.words.say(max(one.base, 0.0))} inside "
            f"its edge, as in something {min(judged.measured, 99.0):.1f} times as high as deep."
            f"{_push(scene, [one])}",
            f"Put heavy goods of {one.one.tag} low and on both sides. {FASTEN}",
            published(limit),
            required=limit.value,
            measured=min(judged.measured, 99.0),
            margin=limit.value - min(judged.measured, 99.0),
            unit="height / depth",
            at_mm=middle(one.one.shape),
        )


def _glass(scene: Scene) -> Iterator[Finding]:
    cases = [one.tag for one in scene.stood if one.fixture.kind == "glass-case"]
    if cases:
        yield say(
            "glass",
            "advice",
            join(cases),
            "Glass cases stand where people may fall against them or children may climb.",
            "Ask the maker for safety glass and its shelf loads; local code may want more.",
        )
