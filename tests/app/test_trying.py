"""Try, Clearances and Compare: empty, ordinary and failing, without a browser."""

from __future__ import annotations

import threading
import time
from dataclasses import replace
from types import SimpleNamespace

import pytest

from shopfit import gathering, trying
from shopfit.cases.case import Case
from shopfit.files.drafts import draft_from_folder, judge
from shopfit.geometry.shell import survey
from shopfit.jobs import TurnGivenUp, Turns
from shopfit.model.fixtures import Fixture
from shopfit.quantities.takeoff import complete
from shopfit.stopping import StopFlag
from shopfit.trying import Glance, Pose
from shopfit.ui.layout.studies import Study
from shopfit.ui.trying.facepicture import face_picture
from shopfit.ui.trying.floor import CLEAR, CLEAR_HERE, floor_data, version_of
from tests.app.conftest import said, table_with, work_of


@pytest.fixture
def layout(kiosk, kiosk_layout):
    """Give the hand layout, complete."""
    return complete(kiosk, kiosk_layout)


@pytest.mark.parametrize("section", ["Try", "Compare"])
def test_without_a_layout_it_says_what_to_do_first(opened, page, section):
    """An empty state is told in words."""
    opened(section)
    assert "Lay the shop out first" in said(page)


def test_a_fixture_near_a_wall_stands_against_it(kiosk, layout):
    """Half a millimetre off and nearly along it is against it; the smallest step by hand is not."""
    first = next(each for each in layout.placements if each.wall is not None)
    inward = survey(kiosk.shop).wall(first.wall).inward
    for out, wall in ((0.0, first.wall), (0.49, first.wall), (0.51, None), (1.0, None)):
        x, y = first.x_mm + out * inward[0], first.y_mm + out * inward[1]
        moved = trying.put(kiosk, layout, Pose(first.id, x, y, first.angle_deg))
        assert moved.placement(first.id).wall == wall
    at = Pose(first.id, first.x_mm, first.y_mm, first.angle_deg + 0.4)
    assert trying.put(kiosk, layout, at).placement(first.id).wall == first.wall
    turned = Pose(first.id, first.x_mm, first.y_mm, first.angle_deg + 0.6)
    assert trying.put(kiosk, layout, turned).placement(first.id).wall is None
    off = Pose(first.id, first.x_mm + 700, first.y_mm + 700, first.angle_deg)
    moved = trying.put(kiosk, layout, off)
    assert moved.placement(first.id).wall is None
    assert moved.proof is None


def test_a_glance_finds_what_a_move_broke(kiosk, layout):
    """A fixture in the middle of the shop is in somebody's way."""
    one, other = layout.placements[:2]
    on_top = Pose(one.id, other.x_mm, other.y_mm, other.angle_deg)
    found = trying.glance(kiosk, trying.put(kiosk, layout, on_top))
    assert found.violations > trying.glance(kiosk, layout).violations
    assert any(finding.code == "overlap" for finding in found.findings)


def test_in_the_hand_all_but_the_ways_is_told(kiosk, layout):
    """A fixture across the shop closes ways, which are told when it rests; an overlap at once."""
    one, other = layout.placements[:2]
    on_top = trying.put(kiosk, layout, Pose(one.id, other.x_mm, other.y_mm, other.angle_deg))
    before, whole = trying.glance(kiosk, layout), trying.glance(kiosk, on_top)
    at_once = trying.glance_at_move(kiosk, on_top, before, ways=False)
    assert any(finding.code == "overlap" for finding in at_once.findings)
    assert set(at_once.findings) < set(whole.findings)
    assert trying.glance_at_move(kiosk, on_top, before, ways=True) == whole
    bare = Glance((), 0, 0, 0.0)
    assert floor_data(kiosk, layout, bare)["clear"] == CLEAR
    assert floor_data(kiosk, layout, replace(bare, ways=False))["clear"] == CLEAR_HERE


def test_what_is_in_the_hand_is_looked_at_where_it_is_held(opened, page, laid_out, monkeypatch):
    """A place that is tried is answered by its number, and without ways until it rests."""
    seen = []
    monkeypatch.setattr("shopfit.ui.trying.floor.show", lambda *given, **_: seen.append(given))
    first, second = laid_out.layout.placements[:2]
    place = {"tag": first.id, "x": second.x_mm, "y": second.y_mm, "angle": second.angle_deg}
    for asked in ({"question": 7, "rests": False}, {"question": 8, "rests": True}, {"tag": None}):
        held = SimpleNamespace(trial={**place, **asked})
        monkeypatch.setattr("shopfit.ui.trying.section._event", lambda name, h=held: h.trial)
        opened("Try", laid_out)
    (_, _, moving, _, _, seventh), (_, _, resting, _, _, eighth), (_, _, free, _, _, none) = seen
    assert (seventh, eighth, none) == (7, 8, 0)
    assert not moving.ways
    assert resting.ways
    assert {finding.code for finding in moving.findings} >= {"overlap"}
    assert "overlap" not in {finding.code for finding in free.findings}


def test_taking_out_takes_what_it_shows_and_its_price(kiosk, layout):
    """Facings, goods and money go with it; the rest stays content."""
    host = next(block.host for block in layout.blocks if not block.host.startswith("R"))
    left = trying.remove(kiosk, layout, host)
    gone = sum(
        slot.facings
        for block in layout.blocks
        if block.host == host
        for row in block.rows
        for slot in row.slots
    )
    assert gone > 0
    assert left.claims.facings <= layout.claims.facings - gone
    assert left.claims.cost < layout.claims.cost
    assert all(host not in run.over for run in left.runs)
    codes = {finding.code for finding in trying.glance(kiosk, left).findings}
    assert not codes & {"unknown-name", "claim-facings", "claim-cost", "purchase-extra"}


def test_pins_are_written_as_the_file_holds_them(kiosk, layout):
    """A pin reads back to the same place."""
    tag = layout.placements[0].id
    pinned = trying.pinned(layout, tag, True)
    (keep,) = trying.kept(pinned)
    placement = pinned.placement(tag)
    assert keep.fixture == placement.fixture
    assert (keep.wall, keep.offset) == (placement.wall, pytest.approx(placement.offset_mm))
    assert trying.kept(trying.pinned(pinned, tag, False)) == ()


def test_what_the_floor_is_given_is_escaped_nowhere_and_complete(kiosk, layout):
    """Every fixture, wall, room and finding is in the data; names are plain text."""
    evil = kiosk.catalogue.fixtures[0].model_copy(update={"name": "<img src=x onerror=1>"})
    fixtures: tuple[Fixture, ...] = (evil, *kiosk.catalogue.fixtures[1:])
    catalogue = kiosk.catalogue.model_copy(update={"fixtures": fixtures})
    scenario = kiosk.model_copy(update={"catalogue": catalogue})
    data = floor_data(scenario, layout, trying.glance(scenario, layout))
    assert [thing["tag"] for thing in data["things"]] == [p.id for p in layout.placements]
    assert {wall["id"] for wall in data["walls"]} >= {p.wall for p in layout.placements if p.wall}
    assert len(data["rooms"]) == len(scenario.shop.rooms)


def test_the_floor_tells_what_stands_in_the_way_alone(kiosk, layout):
    """Violations and barriers are marked by the numbers of the list; advice is not."""
    one, other = layout.placements[:2]
    moved = trying.put(kiosk, layout, Pose(one.id, other.x_mm, other.y_mm, other.angle_deg))
    glance = trying.glance(kiosk, moved)
    ordered = gathering.in_order(glance.findings)
    grave = [f for f in ordered if f.severity in ("violation", "barrier to review")]
    assert 0 < len(grave) < len(ordered)
    told = floor_data(kiosk, moved, glance)["findings"]
    assert [each["number"] for each in told] == [str(ordered.index(f) + 1) for f in grave]


def test_the_floor_is_drawn_anew_when_anything_but_the_findings_changes(kiosk, layout):
    """Another aisle, another layout, and whatever was put down; not what is found meanwhile."""
    glance = trying.glance(kiosk, layout)
    before = version_of(floor_data(kiosk, layout, glance), 0)
    assert version_of(floor_data(kiosk, layout, Glance((), 0, 0, 0.0)), 0) == before
    assert version_of(floor_data(kiosk, layout, glance), 1) != before
    brief = kiosk.brief.model_copy(update={"aisle": kiosk.brief.aisle + 10})
    wider = kiosk.model_copy(update={"shop": kiosk.shop.model_copy(update={"brief": brief})})
    assert version_of(floor_data(wider, layout, glance), 0) != before
    pinned = trying.pinned(layout, layout.placements[0].id, True)
    assert version_of(floor_data(kiosk, pinned, glance), 0) != before


def test_a_glance_at_a_narrow_shell_is_quick(kiosk, layout):
    """Far under the third of a second in which a person wants an answer."""
    trying.glance(kiosk, layout)
    start = time.process_time()
    trying.glance(kiosk, layout)
    assert time.process_time() - start < 0.5


def test_buttons_do_what_the_keys_do(opened, page, laid_out):
    """Pin and take out work without a pointer, and can be undone."""
    opened("Try", laid_out)
    tag = page.selectbox(key="hand-tag").value
    page.button(key="hand-pin").click().run()
    assert work_of(page).now.layout.placement(tag).pinned
    assert not page.button(key="round-pins").disabled
    page.button(key="hand-out").click().run()
    assert all(each.id != tag for each in work_of(page).now.layout.placements)
    page.button(key="undo").click().run()
    assert any(each.id == tag for each in work_of(page).now.layout.placements)


def test_round_the_pins_writes_them_down_and_starts(opened, page, laid_out, monkeypatch):
    """The pins are in the case, and a search is asked for."""
    started = []
    monkeypatch.setattr(
        "shopfit.ui.layout.section.begin", lambda scenario, seconds: started.append(scenario)
    )
    opened("Try", laid_out)
    page.button(key="hand-pin").click().run()
    page.button(key="round-pins").click().run()
    (scenario,) = started
    assert len(scenario.pins.keep) == 1
    assert page.session_state["section"] == "Lay out"


def test_clearances_show_findings_and_ways(opened, page, laid_out):
    """Picture, findings by severity, and how wide every way is."""
    opened("Clearances", laid_out)
    assert "Ways through the shop" in said(page)
    ways = table_with(page, "to", "widest way", "wanted")
    assert len(ways) >= 1


def test_the_ramp_calculator_answers_and_says_what_is_wrong(opened, page):
    """6 in up on 20 by 12 ft is possible; a length without a unit is a fault in words."""
    opened("Clearances")
    values = {"rise": "6 in", "along": "20 ft", "away": "12 ft", "offset": "4 ft", "door": "36 in"}
    for name, value in values.items():
        page.text_input(key=f"ramp-{name}").input(value)
    page.button(key="find-ramps").click().run()
    assert not page.exception
    found = table_with(page, "ramp", "form", "slope")
    assert "smallest" in " ".join(found["is"])
    page.text_input(key="ramp-rise").input("6")
    page.button(key="find-ramps").click().run()
    assert "unit" in said(page) + table_with(page, "given", "mend").to_string()


def test_the_aisle_calculator_answers(opened, page):
    """10 ft less two cabinets of 18 in leaves one aisle and no island."""
    opened("Clearances")
    for name, value in {"room": "10 ft", "left": "18 in", "right": "18 in"}.items():
        page.text_input(key=f"aisle-{name}").input(value)
    page.button(key="reckon-aisles").click().run()
    assert not page.exception
    rows = table_with(page, "across the room", "needed", "fits")
    assert rows["fits"].iloc[0] == "yes"


def test_cases_side_by_side(opened, page, laid_out, kiosk, kiosk_folder):
    """Another case that is kept stands beside this one, with what has to be done."""
    from shopfit.cases.store import Store
    from shopfit.ui.limits import limits

    opened("Compare", laid_out)
    layout = laid_out.layout
    assert layout is not None
    host = next(block.host for block in layout.blocks if not block.host.startswith("R"))
    other = Case(draft_from_folder(kiosk_folder), trying.remove(kiosk, layout, host))
    Store(limits().store).keep("smaller", other, 0)
    page.run()
    page.multiselect(key="beside").select("smaller").run()
    assert not page.exception
    numbers = table_with(page, "kiosk", "smaller")
    assert len(numbers) > 3
    assert "take out" in table_with(page, "do", "item").to_string()


def test_a_curve_is_drawn_and_a_point_opened(opened, page, laid_out, tmp_path, monkeypatch):
    """A short curve over the budget ends, and a point becomes a sound case with that budget.

    What is written while it is searched for is gone by then.
    """
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    page.session_state["curve-over"] = "budget"
    opened("Compare", laid_out)
    page.text_input(key="curve-from-budget").input("1500")
    page.text_input(key="curve-to-budget").input("2000")
    page.number_input(key="curve-steps").set_value(1)
    page.number_input(key="curve-seconds").set_value(1)
    page.button(key="draw-curve").click().run()
    study = ended(page, "curve")
    assert study.failure is None, study.failure
    assert list(tmp_path.glob("shopfit-curve-*")) == []
    page.run()
    assert not page.exception
    assert len(table_with(page, "budget", "facings")) == 2
    label = page.selectbox(key=f"point-{study.result[0].points[0].label}").value
    page.button(key="open-case").click().run()
    assert work_of(page).name == f"kiosk, budget {label}"
    assert judge(work_of(page).now.draft).scenario.brief.budget == 1500
    assert work_of(page).now.layout is not None
    assert "has changed" not in said(page)


def test_a_broken_curve_is_said(opened, page, laid_out):
    """Ends that are no money are faults in the words of the page."""
    page.session_state["curve-over"] = "budget"
    opened("Compare", laid_out)
    page.text_input(key="curve-from-budget").input("much")
    page.button(key="draw-curve").click().run()
    assert not page.exception
    told = table_with(page, "where", "given", "mend")
    assert "much" in told.to_string()
    assert list(told["where"]) == ["From"]


def test_what_more_would_bring_is_told(opened, page, kiosk_folder, kiosk_layout):
    """Each limit moved a little is a row with what it gains and what that proves."""
    shown = {slot.line for block in kiosk_layout.blocks for row in block.rows for slot in row.slots}
    draft = draft_from_folder(kiosk_folder)
    draft = draft.changed(rows=tuple(row for row in draft.rows if row["line"] in shown))
    scenario = judge(draft, "kiosk").scenario
    opened("Compare", Case(draft, complete(scenario, kiosk_layout)))
    page.number_input(key="limits-seconds").set_value(1)
    page.button(key="see-limits").click().run()
    study = ended(page, "limits")
    assert study.failure is None, study.failure
    page.run()
    assert not page.exception
    assert len(table_with(page, "change", "found", "which is")) > 3
    assert "no advice" in said(page)


def test_a_study_that_fails_is_said_and_the_page_lives(opened, page, laid_out):
    """A fault of the program in a study is told, and another can be asked for."""
    study = Study(judge(laid_out.draft, "kiosk").scenario, "limits")
    study.failure = ZeroDivisionError("by nought")
    page.session_state["studies"] = {("kiosk", "limits"): study}
    opened("Compare", laid_out)
    assert "by nought" in said(page)
    assert not page.button(key="see-limits").disabled


def test_a_study_waits_for_its_turn_with_a_word(opened, page, laid_out, monkeypatch):
    """While somebody else's search goes the study says so, and can be given up."""
    go, began = threading.Event(), threading.Event()

    def other(*, listener, stop):
        began.set()
        go.wait(60)

    turns = Turns(1)
    monkeypatch.setattr("shopfit.ui.layout.searching.turns", lambda at_once: turns)
    search = {"listener": lambda progress: None, "stop": StopFlag()}
    threading.Thread(target=turns.in_turn(other), kwargs=search, daemon=True).start()
    assert began.wait(60)
    try:
        opened("Compare", laid_out)
        page.button(key="see-limits").click().run()
        study = page.session_state["studies"]["kiosk", "limits"]
        end = time.monotonic() + 30
        while not study.waiting and time.monotonic() < end:
            time.sleep(0.05)
        page.run()
        assert "one search goes before this one" in said(page).lower()
        page.button(key="study-stop").click().run()
        assert isinstance(ended(page, "limits").failure, TurnGivenUp)
    finally:
        go.set()


def ended(page, what: str) -> Study:
    """Wait for a study of the kiosk, and give it."""
    study = page.session_state["studies"]["kiosk", what]
    end = time.monotonic() + 120
    while not study.over and time.monotonic() < end:
        time.sleep(0.1)
    assert study.over
    return study


def test_slat_wall_goes_up_by_whole_grooves_with_all_on_it(kiosk, layout):
    """Run, grooves and rows keep to one another; a groove lower it stands in what is below."""
    before = layout.runs[0]
    higher = trying.raised(kiosk, layout, "R1", 1)
    pitch = kiosk.catalogue.sheet(before.sheet).groove_pitch
    after = higher.runs[0]
    for name in ("bottom_mm", "first_groove_mm", "top_mm"):
        assert getattr(after, name) == pytest.approx(getattr(before, name) + pitch)
    codes = {finding.code for finding in trying.glance(kiosk, higher).findings}
    assert not codes & {"row-grooves", "row-off-level", "row-beyond-face", "claim-cost"}
    lower = trying.glance(kiosk, trying.raised(kiosk, layout, "R1", -1))
    assert "run-too-low" in {finding.code for finding in lower.findings}
    back = trying.raised(kiosk, higher, "R1", -1)
    assert back.runs[0].bottom_mm == pytest.approx(before.bottom_mm)


def test_a_row_goes_up_by_whole_grooves_or_levels(kiosk, layout):
    """Brackets stay on grooves and shelves on levels; past the top is told by the checks."""
    for block in layout.blocks:
        face = trying.faces_of(kiosk, layout)[block.host, block.side]
        moved = trying.shifted(kiosk, layout, block.id, 0, 1)
        rows = next(each for each in moved.blocks if each.id == block.id).rows
        assert pytest.approx(block.rows[0].bottom_mm + face.pitch) in [r.bottom_mm for r in rows]
        codes = {finding.code for finding in trying.glance(kiosk, moved).findings}
        assert not codes & {"row-grooves", "row-off-level"}
        far = trying.shifted(kiosk, layout, block.id, 0, face.levels)
        codes = {finding.code for finding in trying.glance(kiosk, far).findings}
        assert "row-beyond-face" in codes


def test_heights_are_moved_on_the_page_and_back(opened, page, laid_out):
    """A step of the control is a groove; clearances follow it, and undo takes it back."""
    opened("Try", laid_out)
    run = laid_out.layout.runs[0]
    page.selectbox(key="height-of").select("R1-front").run()
    now = page.number_input(key="height-R1-front").value
    assert "Nothing stands in the way here" in said(page)
    page.number_input(key="height-R1-front").set_value(now - 1).run()
    assert not page.exception
    assert work_of(page).now.layout.runs[0].bottom_mm < run.bottom_mm
    told = table_with(page, "finding", "required", "measured").to_string()
    assert "R1" in told
    page.button(key="undo").click().run()
    assert work_of(page).now.layout.runs[0] == run
    assert page.number_input(key="height-R1-front").value == now
    (block,) = (each for each in laid_out.layout.blocks if each.host == "R1")
    page.selectbox(key="height-of").select(f"R1-front-{block.id}-0").run()
    control = page.number_input(key=f"height-R1-front-{block.id}-0")
    assert control.value == block.rows[0].low_groove
    control.increment().run()
    assert work_of(page).undoes == f"Move a row of {block.id} up or down"
    moved = next(each for each in work_of(page).now.layout.blocks if each.id == block.id)
    assert moved.rows[0].low_groove == block.rows[0].low_groove + 1


def test_names_in_the_picture_of_a_face_are_escaped(kiosk, layout):
    """A category with marks in its name is text in the picture and nothing else."""
    evil = layout.blocks[0].model_copy(update={"category": "<script>x</script>", "to_mm": 900.0})
    odd = layout.model_copy(update={"blocks": (evil, *layout.blocks[1:])})
    face = trying.faces_of(kiosk, layout)[evil.host, evil.side]
    picture = face_picture(kiosk, odd, face, evil.rows[0], None)
    assert "<script" not in picture
    assert "&lt;script" in picture
