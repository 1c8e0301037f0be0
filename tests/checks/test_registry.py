"""The whole witness: planted faults are found, harmless changes are not, and it is quick."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.checks import check, crowd, turnspaces, ways
from shopfit.model.layout import Block, Claims, Layout, Placement, Purchase, Row, Slot
from shopfit.model.scenario import Scenario

from . import build as b

SCENARIO = b.scenario()
# From one millimetre to half a metre past a limit.
PAST = st.floats(1.0, 500.0).map(lambda past: round(past, 2))
COUNT = st.integers(1, 50)

Fault = tuple[set[str], Layout, Scenario]


def _fault(codes: set[str], layout: Layout, scenario: Scenario = SCENARIO) -> Fault:
    return codes, layout, scenario


def _claims(**more: float) -> Layout:
    claims = b.layout().claims
    update = {name: getattr(claims, name) + change for name, change in more.items()}
    return b.layout().model_copy(update={"claims": claims.model_copy(update=update)})


def _shift_slot(block: str, row: int, slot: int, by: float) -> Layout:
    one = next(x for x in b.layout().blocks if x.id == block).rows[row].slots[slot]
    return b.reslotted(b.layout(), block, row, slot, from_mm=one.from_mm + by, to_mm=one.to_mm + by)


PLANTED: tuple[st.SearchStrategy[Fault], ...] = (
    # Past the limits of the floor: the table's front aisle to the cabinets, and its walls.
    PAST.map(lambda d: _fault({"aisle"}, b.moved(b.layout(), "F4", y_mm=3123.6 + d))),
    PAST.map(lambda d: _fault({"back-off-wall"}, b.moved(b.layout(), "F1", y_mm=4800 - d))),
    PAST.map(lambda d: _fault({"offset"}, b.moved(b.layout(), "F3", offset_mm=300 + d))),
    PAST.map(
        lambda d: _fault(
            {"overlap"}, b.moved(b.layout(), "F2", x_mm=2219.2 - d, offset_mm=2219.2 - d)
        )
    ),
    PAST.map(
        lambda d: _fault(
            {"run-gap-below"}, b.moved(b.layout(), "F2", x_mm=2219.2 + d, offset_mm=2219.2 + d)
        )
    ),
    PAST.map(lambda d: _fault({"divider-edge"}, b.moved(b.layout(), "F5", y_mm=1400 - d))),
    PAST.map(lambda d: _fault({"outside-room"}, b.moved(b.layout(), "F5", x_mm=6000 + d))),
    # Walls.
    PAST.map(
        lambda d: _fault(
            {"run-too-low"},
            b.rehung(b.layout(), "R1", bottom_mm=812.8 - d, first_groove_mm=850.9 - d),
        )
    ),
    PAST.map(
        lambda d: _fault({"first-groove"}, b.rehung(b.layout(), "R2", first_groove_mm=342.9 + d))
    ),
    PAST.map(
        lambda d: _fault({"run-over-display-top"}, b.rehung(b.layout(), "R1", top_mm=2032 + d))
    ),
    PAST.map(lambda d: _fault({"cut-tiling"}, b.rehung(b.layout(), "R2", to_mm=2219.2 - d))),
    # Brackets deeper than 4 in with nothing below, and deeper than the cabinets below.
    PAST.map(
        lambda d: _fault(
            {"protrusion"}, b.layout(), b.rebracketed(SCENARIO, "arm-4", depth=101.6 + d)
        )
    ),
    PAST.map(
        lambda d: _fault(
            {"protrusion"}, b.layout(), b.rebracketed(SCENARIO, "cradle", depth=609.6 + d)
        )
    ),
    # Faces.
    PAST.map(
        lambda d: _fault({"block-beyond-face"}, b.reblocked(b.layout(), "B4", to_mm=1219.2 + d))
    ),
    PAST.map(lambda d: _fault({"slot-beyond-block"}, _shift_slot("B3", 0, 0, -d))),
    PAST.map(lambda d: _fault({"slots-overlap", "slot-beyond-block"}, _shift_slot("B2", 0, 1, -d))),
    COUNT.map(lambda n: _fault({"slot-width"}, b.reslotted(b.layout(), "B5", facings=3 + n))),
    COUNT.map(lambda n: _fault({"units"}, b.reslotted(b.layout(), "B6", units=4 + n))),
    COUNT.map(lambda n: _fault({"brackets"}, b.reslotted(b.layout(), "B2", 1, brackets=6 + n))),
    COUNT.map(
        lambda n: _fault(
            {"row-grooves"}, b.rerowed(b.layout(), "B1", low_groove=1 + n, high_groove=4 + n)
        )
    ),
    # A facing over the most that the range asks for, with room and claims to match.
    st.integers(1, 8).map(
        lambda n: _fault(
            {"facings-many"},
            b.reslotted(b.layout(), "B4", facings=4 + n, to_mm=(4 + n) * 90.0, units=20),
        )
    ),
    # Money and claims.
    st.sampled_from(b.layout().purchases).map(
        lambda p: _fault(
            {"purchase-missing"},
            b.layout().model_copy(
                update={"purchases": tuple(x for x in b.layout().purchases if x.item != p.item)}
            ),
        )
    ),
    COUNT.map(lambda n: _fault({"purchase-wrong"}, b.rebought(b.layout(), "sheet", packs=2 + n))),
    COUNT.map(lambda n: _fault({"claim-facings"}, _claims(facings=n))),
    COUNT.map(lambda n: _fault({"claim-units"}, _claims(units=-n))),
    PAST.map(lambda d: _fault({"claim-value"}, _claims(value=d))),
    PAST.map(lambda d: _fault({"claim-cost"}, _claims(cost=-d))),
    PAST.map(lambda d: _fault({"budget"}, b.layout(), b.briefed(SCENARIO, budget=1664 - d))),
)


@given(st.one_of(*PLANTED))
@settings(max_examples=150)
def test_every_planted_fault_is_found(fault: Fault) -> None:
    """A fault of a millimetre or a piece past a limit never passes."""
    wanted, layout, scenario = fault
    assert wanted & set(b.codes(check(scenario, layout)))


def test_each_kind_of_fault_is_planted_at_its_smallest() -> None:
    """The least fault of every kind is found, whatever examples are drawn above."""
    smallest: list[Callable[[], Fault]] = [
        lambda: _fault({"aisle"}, b.moved(b.layout(), "F4", y_mm=3123.6 + 1)),
        lambda: _fault({"back-off-wall"}, b.moved(b.layout(), "F1", y_mm=4799)),
        lambda: _fault({"run-too-low"}, b.rehung(b.layout(), "R1", bottom_mm=811.8)),
        lambda: _fault({"slot-beyond-block"}, _shift_slot("B3", 0, 0, -1)),
        lambda: _fault({"slots-overlap"}, _shift_slot("B2", 0, 1, -1)),
        lambda: _fault({"claim-facings"}, _claims(facings=1)),
    ]
    for plant in smallest:
        wanted, layout, scenario = plant()
        assert wanted <= set(b.codes(check(scenario, layout)))


@st.composite
def _harmless(draw: st.DrawFn) -> Layout:
    """Move things about inside their margins."""
    layout = b.layout()
    layout = b.moved(
        layout, "F4", x_mm=draw(st.floats(1800.0, 2160.0)), y_mm=draw(st.floats(2400.0, 3123.6))
    )
    layout = _moved_case(layout, draw(st.floats(0.0, 500.0)))
    start = draw(st.floats(0.0, 819.2))
    layout = b.reslotted(layout, "B1", from_mm=start, to_mm=start + 400.0)
    start = draw(st.floats(0.0, 360.0))
    layout = b.reslotted(layout, "B3", from_mm=start, to_mm=start + 240.0)
    low = draw(st.integers(1, 12))
    bottom = 850.9 + (low - 1) * 76.2
    layout = b.rerowed(
        layout,
        "B1",
        bottom_mm=bottom,
        top_mm=bottom + 4 * 76.2,
        low_groove=low,
        high_groove=low + 3,
    )
    gap = draw(st.floats(-0.004, 0.004))
    return b.moved(layout, "F2", x_mm=2219.2 + gap, offset_mm=2219.2 + gap)


def _moved_case(layout: Layout, offset: float) -> Layout:
    return b.moved(layout, "F3", y_mm=4800.0 - offset, offset_mm=offset)


@given(_harmless())
@settings(max_examples=60)
def test_harmless_changes_give_no_fault(layout: Layout) -> None:
    """What stays inside its margins is never called a fault."""
    assert b.codes(check(SCENARIO, layout)) == []


def test_another_rulebook_is_taken_at_its_word() -> None:
    """England wants public doors of 1000 mm and ramps of 1500 mm; the shop has 36 in of each."""
    findings = check(b.scenario(rulebook="england"), b.layout())
    assert b.codes(findings) == ["door-width", "ramp-width"]
    assert all("Approved Document M" in f.clause for f in b.faults(findings))


def test_the_same_layout_gives_the_same_findings_in_the_same_order() -> None:
    """Findings are repeatable."""
    layout = b.moved(b.layout(), "F4", y_mm=3300.0)
    assert check(b.scenario(), layout) == check(b.scenario(), layout)


def test_what_is_remembered_of_a_floor_changes_no_finding() -> None:
    """Ways over a floor measured before are told as afresh, whatever was measured in between."""
    layouts = [b.moved(b.layout(), "F4", y_mm=y) for y in (3123.6, 3300.0)]
    # Without the case the farthest corner is another one.
    others = tuple(one for one in b.layout().placements if one.id != "F3")
    layouts.append(b.layout().model_copy(update={"placements": others}))
    afresh = []
    for layout in layouts:
        for kept in (ways._floors, ways._widest, crowd._floor, turnspaces._dead_ends):
            kept.cache_clear()
        afresh.append(check(SCENARIO, layout))
    assert afresh[0] != afresh[1] != afresh[2]
    for _ in range(2):
        assert [check(SCENARIO, layout) for layout in layouts] == afresh
    assert ways._floors.cache_info().hits > 0


def test_every_finding_is_complete() -> None:
    """A fault carries a code, a subject, a sentence and a mend."""
    layout = b.rehung(b.moved(b.layout(), "F4", y_mm=3500.0), "R1", bottom_mm=700.0, over=("F1",))
    findings = check(SCENARIO, layout)
    assert len(b.faults(findings)) > 5
    for finding in findings:
        assert finding.code
        assert finding.subject
        assert finding.message.endswith(".")
        assert finding.message[0].isupper()
        assert finding.mend.endswith(".")
        assert finding.source
        assert "legal" not in finding.message + finding.mend
        assert "compliant" not in finding.message + finding.mend


def test_a_users_own_name_keeps_its_letters() -> None:
    """A message that begins with an id of the catalogue is left as it is."""
    layout = b.moved(b.layout(), "F4", fixture="base-48")
    findings = check(b.refitted(SCENARIO, "base-48", available=0), layout)
    assert any(f.message.startswith("3 of base-48") for f in findings)
    tipping = check(b.refitted(SCENARIO, "case-48", height=1600.0), b.layout())
    assert any(f.message.startswith("case-48 is loose") for f in tipping)


def test_a_layout_read_back_from_json_gives_the_same_findings() -> None:
    """Rounding on the way through a file moves nothing past the tolerance."""
    again = Layout.model_validate_json(b.layout().model_dump_json())
    assert check(SCENARIO, again) == check(SCENARIO, b.layout())


def _large(across: int, along: int) -> tuple[Scenario, Layout]:
    east, north = across * 2600.0 + 2200.0, along * 3000.0 + 4000.0
    room: dict[str, Any] = {**b.SHOP["rooms"][0]}
    room["corners"] = [b.mm(0.0, 0.0), b.mm(0.0, north), b.mm(east, north), b.mm(east, 0.0)]
    scenario = b.briefed(
        b.scenario(rooms=[room], columns=[], windows=[], obstructions=[], zones=[]),
        wanted=(),
        budget=None,
    )
    count = across * along
    tables = tuple(
        Placement(
            id=f"F{i * along + j}",
            fixture="table-4",
            x_mm=1400.0 + i * 2600.0,
            y_mm=2800.0 + j * 3000.0,
            angle_deg=0,
        )
        for i in range(across)
        for j in range(along)
    )
    row = Row(
        bottom_mm=760,
        top_mm=1160,
        slots=tuple(
            Slot(
                line="bowl",
                facings=1,
                from_mm=150.0 * k,
                to_mm=150.0 * k + 150.0,
                way="table",
                units=2,
            )
            for k in range(8)
        ),
    )
    blocks = tuple(
        Block(
            id=f"{table.id}-{side}",
            host=table.id,
            side=side,
            category="clay",
            from_mm=0,
            to_mm=1200,
            rows=(row,),
        )
        for table in tables
        for side in ("front", "back")
    )
    bowls = b.relined(scenario, "bowl", width=150.0, max_facings=100_000)
    lines = tuple(line for line in bowls.lines if line.line == "bowl")
    bought = Purchase(
        item="table-4", kind="fixture", needed=count, packs=count, price=150, total=150 * count
    )
    layout = Layout(
        scenario="large",
        placements=tables,
        blocks=blocks,
        purchases=(bought,),
        claims=Claims(facings=16 * count, units=32 * count, value=16 * count, cost=150 * count),
    )
    return bowls.model_copy(update={"lines": lines}), layout


def test_a_large_shop_is_measured_in_seconds() -> None:
    """300 tables and 4800 slots, all content; the limit leaves room for a busy machine."""
    scenario, layout = _large(20, 15)
    start = time.process_time()
    findings = check(scenario, layout)
    assert time.process_time() - start < 8.0
    # So much floor wants more doors than the one it has.
    assert [code for code in b.codes(findings) if not code.startswith("egress")] == []
