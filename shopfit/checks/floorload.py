"""Checks what fixtures and goods weigh on the floor against what it was designed for.

What a floor carries is for its drawings and an engineer to say.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shopfit.checks.clauses import drawn
from shopfit.checks.masses import goods, unweighed
from shopfit.checks.notes import SHELL, Source, middle, published
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene, Stood
from shopfit.model.finding import Finding, Severity
from shopfit.standards import loads
from shopfit.units import format_mass, format_pressure

ASK = "Ask an engineer before anything heavy is set down."
# A load over less than this is as good as none more, kPa.
_SLACK_KPA = 1e-6


@dataclass(frozen=True)
class _Heavy:
    """A fixture with its goods.

    Parameters
    ----------
    one
        Which.
    kg
        Mass with its goods, kg.
    """

    one: Stood
    kg: float

    @property
    def area(self) -> float:
        """Its footprint, m2."""
        return float(self.one.shape.area) / 1e6

    @property
    def kpa(self) -> float:
        """What it weighs on its footprint, kPa."""
        return loads.pressure(self.kg, self.area)


def check(scene: Scene) -> Iterator[Finding]:
    """Find fixtures heavier than the floor was designed for, or say that nobody said for what."""
    yield from unweighed(scene)
    heavy = _heavy(scene)
    if not heavy:
        return
    floor = scene.scenario.shop.building.floor
    yield from _spots(scene, heavy)
    if floor.live_load is None:
        yield _not_checked(scene, heavy)
        return
    yield from _usual(scene, floor.live_load)
    yield from _footprints(scene, heavy, floor.live_load)
    yield from _whole(scene, heavy, floor.live_load)


def _heavy(scene: Scene) -> list[_Heavy]:
    stock = goods(scene)
    return [
        _Heavy(one, one.fixture.weight + sum(mass.kg for mass in stock.get(one.tag, ())))
        for one in scene.stood
        if one.shape.area > 0
    ]


def _on_all(scene: Scene, heavy: list[_Heavy]) -> tuple[float, float]:
    """Give the mass of all that stands or hangs, kg, and what it weighs on all floor, kPa."""
    kg = sum(one.kg for one in heavy) + sum(one.sheet.weight for one in scene.hung)
    hung = {one.run.id for one in scene.hung}
    kg += sum(mass.kg for tag, masses in goods(scene).items() if tag in hung for mass in masses)
    area = sum(room.area for room in scene.shell.rooms.values()) / 1e6
    return kg, loads.pressure(kg, area)


def _severity(scene: Scene) -> Severity:
    # A slab lies on the ground; what matters there is what the ground bears.
    return "advice" if scene.scenario.shop.building.floor.under == "slab" else "violation"


def _given(scene: Scene) -> Source:
    limit = scene.rulebook.requirement(loads.floor_key(scene.scenario.shop.building.floor.storey))
    return Source(SHELL.source, limit.clause, "own")


def _footprints(scene: Scene, heavy: list[_Heavy], limit: float) -> Iterator[Finding]:
    style = scene.words.style
    for one in heavy:
        if one.kpa <= limit + _SLACK_KPA:
            continue
        over = one.kg * (1 - limit / one.kpa)
        yield say(
            "floor-load",
            _severity(scene),
            one.one.name,
            f"{one.one.name} weighs {format_mass(one.kg, style)} with its goods, "
            f"{format_pressure(one.kpa, style)} on what it covers; the floor was designed for "
            f"{format_pressure(limit, style)}.",
            f"Take {format_mass(over, style)} off {one.one.tag}, spread its goods, or have an "
            f"engineer look. {ASK}",
            _given(scene),
            required=limit,
            measured=one.kpa,
            margin=limit - one.kpa,
            unit="kPa",
            at_mm=middle(one.one.shape),
            drawn_mm=drawn(one.one.shape),
        )


def _whole(scene: Scene, heavy: list[_Heavy], limit: float) -> Iterator[Finding]:
    kg, kpa = _on_all(scene, heavy)
    style = scene.words.style
    if kpa <= limit + _SLACK_KPA:
        return
    yield say(
        "floor-load-whole",
        _severity(scene),
        "floor",
        f"All fixtures and goods weigh {format_mass(kg, style)}, {format_pressure(kpa, style)} on "
        f"the whole floor; it was designed for {format_pressure(limit, style)}, people included.",
        f"Show less, or have an engineer look. {ASK}",
        _given(scene),
        required=limit,
        measured=kpa,
        margin=limit - kpa,
        unit="kPa",
    )


def _usual(scene: Scene, given: float) -> Iterator[Finding]:
    limit = scene.rulebook.requirement(loads.floor_key(scene.scenario.shop.building.floor.storey))
    style = scene.words.style
    if limit.holds(given):
        return
    yield say(
        "floor-live-load",
        "advice",
        "floor",
        f"The floor was designed for {format_pressure(given, style)}, less than the "
        f"{format_pressure(limit.value, style)} that floors of shops are: {limit.quantity}.",
        f"{ASK} The building department may want another use of the floor.",
        published(limit),
        required=limit.value,
        measured=given,
        margin=given - limit.value,
        unit="kPa",
    )


def _spots(scene: Scene, heavy: list[_Heavy]) -> Iterator[Finding]:
    limit = scene.rulebook.requirement("floor-load-point")
    style = scene.words.style
    for one in heavy:
        spot = loads.on_one_spot(one.kg, one.area)
        if loads.within_point_load(scene.rulebook, spot):
            continue
        yield say(
            "floor-load-spot",
            "advice",
            one.one.name,
            f"{one.one.name} puts {format_mass(spot, style)} on 30 in square of floor, or on its "
            f"own footprint where that is less; {format_mass(limit.value, style)} is usual.",
            f"Take goods out of {one.one.tag}, or spread them. {ASK}",
            published(limit),
            required=limit.value,
            measured=spot,
            margin=limit.value - spot,
            unit="kg",
            at_mm=middle(one.one.shape),
            drawn_mm=drawn(one.one.shape),
        )


def _not_checked(scene: Scene, heavy: list[_Heavy]) -> Finding:
    limit = scene.rulebook.requirement(loads.floor_key(scene.scenario.shop.building.floor.storey))
    style = scene.words.style
    most = max(heavy, key=lambda one: one.kpa)
    _, kpa = _on_all(scene, heavy)
    over = "over" if most.kpa > limit.value else "under"
    return say(
        "floor-load-not-checked",
        "not checked",
        "floor",
        f"What the floor was designed to carry is not given, so its load was not checked: most is "
        f"{format_pressure(most.kpa, style)}, under {most.one.name}, and "
        f"{format_pressure(kpa, style)} on the whole floor. That is {over} the "
        f"{format_pressure(limit.value, style)} usual for it.",
        "Look in the drawings of the building or ask its owner, and fill in building: floor: "
        f"live_load in shop.yaml, and under: slab or raised. {ASK}",
        published(limit),
        required=limit.value,
        measured=most.kpa,
        unit="kPa",
        at_mm=middle(most.one.shape),
        drawn_mm=drawn(most.one.shape),
    )
