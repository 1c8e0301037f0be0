"""Whole runs of demos: solved, completed, measured afresh, kept on file, and spoilt on purpose."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopfit import planning
from shopfit.checks import check, measured_totals
from shopfit.files.layouts import layout_text
from shopfit.geometry.shell import survey
from shopfit.model.finding import Finding
from shopfit.model.layout import Layout, Placement
from shopfit.model.options import SolveOptions
from shopfit.planning import Plan

SCENARIOS = Path(__file__).parent.parent / "scenarios"
SECONDS = {"market-kiosk": 2.0, "towpath-chandlery": 2.5, "market-kiosk-impossible": 2.0}
SOLVED = ("market-kiosk", "towpath-chandlery")
# Findings that tell how far something goes too far.
BY_AS_MUCH = (
    "back-off-wall",
    "divider-edge",
    "in-zone",
    "outside-room",
    "overlap",
    "run-over-thing",
    "run-overlap",
    "under-run",
)
# Moves longer than the kiosk leave it.
FAR_MM = 4000.0


@pytest.fixture(scope="session")
def plans() -> dict[str, Plan]:
    """Solve each demo once, when a test first asks for it."""
    return {}


@pytest.fixture
def plan(request: pytest.FixtureRequest, plans: dict[str, Plan]) -> Plan:
    """Give the plan of the demo that the test names; the kiosk's if it names none."""
    name = getattr(request, "param", "market-kiosk")
    if name not in plans:
        scenario = planning.load_scenario(SCENARIOS / name)
        plans[name] = planning.solve(scenario, SolveOptions(seconds=SECONDS[name]))
    return plans[name]


every = pytest.mark.parametrize("plan", SOLVED, indirect=True)


def laid_out(plan: Plan) -> Layout:
    assert plan.layout is not None
    return plan.layout


def faults(plan: Plan, layout: Layout, *, ways: bool = True) -> list[Finding]:
    """Measure a layout afresh and keep what is wrong with it."""
    found = check(plan.scenario, layout, ways=ways)
    return [one for one in found if one.severity in ("violation", "barrier to review")]


@every
def test_layouts_meet_the_values_checked(plan: Plan):
    """The witness, who knows nothing of the solver, finds nothing wrong."""
    assert plan.solution.outcome == "layout"
    assert faults(plan, laid_out(plan)) == []
    assert plan.violations == ()


@every
def test_claims_are_those_recounted(plan: Plan):
    """Facings, units, value and cost are what the witness counts."""
    layout = laid_out(plan)
    counted = measured_totals(plan.scenario, layout)
    claims = layout.claims
    assert (claims.facings, claims.units) == (counted.facings, counted.units)
    assert claims.value == pytest.approx(counted.value, abs=0.005)
    assert claims.cost == pytest.approx(counted.cost, abs=0.005)
    budget = plan.scenario.brief.budget
    assert budget is None or claims.cost <= budget + 0.005
    assert claims.facings > 0


@every
def test_proof_fits_the_claims(plan: Plan):
    """No more is shown than the bound allows, and the gap is the distance of the two."""
    layout = laid_out(plan)
    proof = layout.proof
    assert proof is not None
    assert proof.bound is not None
    assert proof.gap is not None
    assert layout.claims.facings == proof.objective <= proof.bound + 1e-6
    assert proof.gap == pytest.approx(1 - proof.objective / proof.bound, abs=1e-5)


@every
def test_layouts_come_back_from_their_file(plan: Plan, tmp_path: Path):
    """What is read back is written down and judged the same, and made for its scenario.

    Files hold ten-thousandths of a millimetre, so that they can be read by people.
    """
    layout, path = laid_out(plan), tmp_path / "layout.json"
    path.write_text(layout_text(layout), encoding="utf-8")
    again = planning.read_layout(path, plan.scenario)
    assert layout_text(again) == layout_text(layout)
    assert again.claims == layout.claims
    assert again.purchases == layout.purchases
    assert planning.check(plan.scenario, again) == plan.findings
    assert planning.made_for(plan.scenario, again)
    assert faults(plan, again) == []


@pytest.mark.parametrize("plan", ["market-kiosk-impossible"], indirect=True)
def test_impossible_wishes_end_in_a_clash(plan: Plan):
    """No layout, no findings, and the three wishes that the demo's comment derives by hand."""
    assert plan.layout is None
    assert plan.findings == ()
    clash = plan.solution.clash
    assert clash is not None
    assert clash.proved
    assert len(clash.wishes) == len(clash.changes) == 3
    with pytest.raises(ValueError, match="no files"):
        planning.plan_files(plan)


def replaced(layout: Layout, place: Placement) -> Layout:
    return layout.model_copy(
        update={"placements": tuple(place if p.id == place.id else p for p in layout.placements)}
    )


def moved(plan: Plan, tag: str, direction: int, by: float) -> Layout:
    """Move a fixture by mm: to its right, to its front, to its left or to its back.

    Along a wall its offset goes with it, and so does slat-wall that hangs over it alone.
    """
    layout = laid_out(plan)
    place = layout.placement(tag)
    angle = math.radians(place.angle_deg - 90.0 * direction)
    x, y = place.x_mm + by * math.cos(angle), place.y_mm + by * math.sin(angle)
    update: dict[str, float] = {"x_mm": x, "y_mm": y}
    along = {0: by, 2: -by}.get(direction, 0.0)
    if place.wall is not None and place.offset_mm is not None:
        update["offset_mm"] = place.offset_mm + along
    runs = tuple(
        run.model_copy(update={"from_mm": run.from_mm + along, "to_mm": run.to_mm + along})
        if run.over == (tag,)
        else run
        for run in layout.runs
    )
    return replaced(layout, place.model_copy(update=update)).model_copy(update={"runs": runs})


def spoilt(plan: Plan, layout: Layout) -> bool:
    """Say whether anything is wrong; ways, which take longest, are only measured in the end."""
    return bool(faults(plan, layout, ways=False) or faults(plan, layout))


LIMITS: dict[tuple[str, int], float] = {}


def limit(plan: Plan, tag: str, direction: int) -> float:
    """Give the longest move that the witness has nothing against, mm, by halving.

    Each is found once: every test that asks moves the fixtures of one plan, the kiosk's.
    """
    if (tag, direction) not in LIMITS:
        low, high = 0.0, FAR_MM
        while high - low > 0.02:
            middle = (low + high) / 2
            if spoilt(plan, moved(plan, tag, direction, middle)):
                high = middle
            else:
                low = middle
        LIMITS[tag, direction] = low
    return LIMITS[tag, direction]


tags = st.integers(0, 99)
some = settings(max_examples=24, suppress_health_check=[HealthCheck.function_scoped_fixture])


@settings(some, max_examples=16)
@given(number=tags, direction=st.integers(0, 3), past=st.floats(1.0, 3.0))
def test_a_fixture_moved_past_its_limit_is_found(
    plan: Plan, number: int, direction: int, past: float
):
    """Just past the first limit there is a finding, and it is by as much as the move is."""
    placements = laid_out(plan).placements
    tag = placements[number % len(placements)].id
    free = limit(plan, tag, direction)
    assert free < FAR_MM - 1
    assert faults(plan, moved(plan, tag, direction, free)) == []
    found = faults(plan, moved(plan, tag, direction, free + past))
    assert found
    for one in found:
        if one.code in BY_AS_MUCH and one.measured is not None:
            assert 0.0 < abs(one.measured) <= past + 0.05, one


def test_some_fixtures_have_room_to_move(plan: Plan):
    """If every first limit were nought, the test above would never bisect."""
    limits = [
        max(limit(plan, place.id, direction) for direction in (0, 2))
        for place in laid_out(plan).placements[:3]
    ]
    assert max(limits) > 10.0


def test_fixtures_off_their_wall_are_found(plan: Plan):
    """A millimetre off the wall is too far, and so is a millimetre into it."""
    for place in laid_out(plan).placements:
        if place.wall is not None:
            for direction in (1, 3):
                assert spoilt(plan, moved(plan, place.id, direction, 1.0)), (place, direction)


def slots(layout: Layout) -> list[tuple[int, int, int]]:
    """List block, row and slot numbers."""
    return [
        (b, r, s)
        for b, block in enumerate(layout.blocks)
        for r, row in enumerate(block.rows)
        for s in range(len(row.slots))
    ]


def changed(layout: Layout, where: tuple[int, int, int], **more: int) -> Layout:
    """Add to numbers of one slot."""
    b, r, s = where
    block = layout.blocks[b]
    slot = block.rows[r].slots[s]
    update = {name: getattr(slot, name) + extra for name, extra in more.items()}
    row_slots = list(block.rows[r].slots)
    row_slots[s] = slot.model_copy(update=update)
    rows = list(block.rows)
    rows[r] = rows[r].model_copy(update={"slots": tuple(row_slots)})
    blocks = list(layout.blocks)
    blocks[b] = block.model_copy(update={"rows": tuple(rows)})
    return layout.model_copy(update={"blocks": tuple(blocks)})


@some
@given(
    number=tags,
    name=st.sampled_from(["facings", "units", "brackets"]),
    extra=st.sampled_from([-1, 1]),
)
def test_a_slot_changed_by_one_is_found(plan: Plan, number: int, name: str, extra: int):
    """A facing, a unit or a bracket more or less anywhere is noticed."""
    layout = laid_out(plan)
    places = slots(layout)
    if name == "brackets":
        places = [(b, r, s) for b, r, s in places if layout.blocks[b].rows[r].slots[s].brackets > 0]
    where = places[number % len(places)]
    assert spoilt(plan, changed(layout, where, **{name: extra}))


@some
@given(number=tags, what=st.sampled_from(["left out", "a pack more", "a pack less", "cheaper"]))
def test_a_purchase_changed_is_found(plan: Plan, number: int, what: str):
    """A purchase left out, a pack more or less, or a price that is not the list's."""
    layout = laid_out(plan)
    at = number % len(layout.purchases)
    buy = layout.purchases[at]
    packs = buy.packs + {"a pack more": 1, "a pack less": -1}.get(what, 0)
    price = buy.price - (0.01 if what == "cheaper" else 0.0)
    other = buy.model_copy(update={"packs": packs, "price": price, "total": packs * price})
    kept = list(layout.purchases)
    kept[at : at + 1] = [] if what == "left out" else [other]
    if what == "a pack less" and buy.packs == 0:
        return
    assert spoilt(plan, layout.model_copy(update={"purchases": tuple(kept)}))


@some
@given(number=tags, kind=st.sampled_from(["placements", "runs", "blocks", "cuts"]))
def test_anything_left_out_is_found(plan: Plan, number: int, kind: str):
    """A fixture, a run, a block or a cut piece missing is noticed."""
    layout = laid_out(plan)
    items = list(getattr(layout, kind))
    items.pop(number % len(items))
    assert spoilt(plan, layout.model_copy(update={kind: tuple(items)}))


def test_walls_of_the_demo_are_those_named(plan: Plan):
    """Every wall that the layout names is one of the shell."""
    walls = {wall.id for wall in survey(plan.scenario.shop).walls}
    layout = laid_out(plan)
    named = {p.wall for p in layout.placements if p.wall} | {run.wall for run in layout.runs}
    assert named <= walls
