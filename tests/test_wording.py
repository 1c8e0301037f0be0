"""Sentences on outcomes: each ending has its own, and none promises more than was shown."""

from __future__ import annotations

import pytest

from shopfit import wording
from shopfit.model.finding import Finding
from shopfit.model.layout import Claims
from shopfit.model.moves import BlockMove, FixtureMove, Moves
from shopfit.model.progress import Change, Clash, Progress, Solution
from shopfit.model.proof import AFTER_FIRST, FIRST, MISSED, Proof, Stage


def finding(severity: str) -> Finding:
    return Finding(code="x", severity=severity, subject="F1", message="Look.")


@pytest.fixture
def solution(kiosk_layout):
    """Give an ended search whose proof a test can change."""

    def make(stopped: bool = False, **proof: object) -> Solution:
        changed = kiosk_layout.proof.model_copy(update=proof)
        layout = kiosk_layout.model_copy(update={"proof": changed})
        return Solution(outcome="layout", layout=layout, stopped=stopped)

    return make


@pytest.mark.parametrize(
    ("stopped", "proof", "told"),
    [
        (False, {"status": "proved", "gap": 0.0}, "Proved"),
        (False, {}, "at most 25.0 % under the proved bound"),
        (False, {"bound": None, "gap": None}, "not measured"),
        (True, {}, "Stopped on request; this is the best layout so far; at most 25.0 %"),
        (True, {"bound": None, "gap": None}, "Stopped on request"),
    ],
)
def test_every_layout_has_its_sentence(solution, stopped, proof, told):
    """Proved, within a gap, not measured and stopped are told apart."""
    assert told in wording.outcome(solution(stopped, **proof))


@pytest.mark.parametrize("stopped", [False, True])
@pytest.mark.parametrize(
    ("missed", "much"), [(1.0, "one facing or unit"), (3.0, "3 facings and units in all")]
)
def test_missed_minimums_come_first(solution, stopped, missed, much):
    """A layout that misses minimums is never told as good, whatever bound there is."""
    stages = (Stage(objective=MISSED, value=missed, bound=0.0, gap=None, scope="shop"),)
    told = wording.outcome(solution(stopped, stages=stages, bound=None, gap=None))
    assert f"misses minimums, by {much}" in told
    assert "no layout is better" not in told


@pytest.mark.parametrize(
    ("clash", "stopped", "told"),
    [
        (Clash(reason="r"), False, "No layout meets every wish."),
        (Clash(reason="r", proved=False), False, "none is proved impossible"),
        (None, True, "before a first layout"),
    ],
)
def test_every_ending_without_a_layout_has_its_sentence(clash, stopped, told):
    """A proved clash, none found, and a stop before the first layout are told apart."""
    ended = Solution(outcome="no layout", clash=clash, stopped=stopped)
    assert told in wording.outcome(ended)


@pytest.mark.parametrize(
    ("proved", "stopped", "told"),
    [(True, False, "r"), (True, True, "r"), (False, False, "r"), (False, True, "")],
)
def test_a_stop_is_reason_enough(proved, stopped, told):
    """After a stop an unproved reason, such as too little time, is not told as well."""
    assert wording.reason(Clash(reason="r", proved=proved), stopped) == told
    assert wording.reason(None, stopped) == ""


@pytest.mark.parametrize(
    ("wishes", "more", "told"),
    [
        (("a",), {}, "This wish cannot be had:"),
        (("a", "b"), {}, "without any one of them the rest of these can:"),
        (("a", "b"), {"smallest": False}, "it is not settled that they are the fewest:"),
        (("a", "b"), {"proved": False}, "These wishes are the ones in the way:"),
    ],
)
def test_a_list_of_wishes_says_what_it_is(wishes, more, told):
    """One wish, the fewest, not yet the fewest and an unproved set are told apart."""
    assert wording.clashing(Clash(reason="r", wishes=wishes, **more)).endswith(told)


@pytest.mark.parametrize(
    ("not_alone", "changed", "told"),
    [
        ((), ("a", "b", "c"), ""),
        (("b",), ("a", "c"), "To give up b alone is not enough"),
        (("b", "c"), ("a",), "To give up any of the others alone is not enough"),
        (("b", "c"), (), "To give up b or c alone is not enough"),
        (("a", "b", "c"), (), ""),
    ],
)
def test_wishes_that_are_not_enough_alone_are_marked(not_alone, changed, told):
    """None and all are not told here, one is named, and so are more if others are open."""
    changes = tuple(Change(wish=wish, change="none") for wish in changed)
    clash = Clash(reason="r", wishes=("a", "b", "c"), changes=changes, not_alone=not_alone)
    assert wording.not_alone(clash).startswith(told)
    assert bool(wording.not_alone(clash)) is bool(told)


@pytest.mark.parametrize(
    ("facings", "head", "last"),
    [
        ((96, 1), "Any one of these changes is enough", "1 facing or more"),
        ((96, None), "Any one of these changes helps; where facings are told", "not in the time"),
    ],
)
def test_only_changes_with_which_a_layout_was_found_are_called_enough(facings, head, last):
    """A change without a layout is told as one that helps."""
    changes = tuple(Change(wish="a", change="b", facings=each) for each in facings)
    assert wording.helping(Clash(reason="r", changes=changes)).startswith(head)
    assert [wording.found_with(change) for change in changes] == ["96 facings or more", last]


def test_layout_without_a_proof_claims_nothing(kiosk_layout):
    """A layout set out by hand has no proof, and is not called good."""
    bare = Solution(outcome="layout", layout=kiosk_layout.model_copy(update={"proof": None}))
    assert "not measured" in wording.outcome(bare)


@pytest.mark.parametrize(
    ("severities", "told"),
    [
        ((), "Meets the values checked."),
        (("violation",), "Does not meet 1 of the values checked."),
        (("violation", "advice", "violation"), "Does not meet 2 of the values checked."),
        (
            ("advice", "advice", "not checked", "barrier to review"),
            "Meets the values checked; 1 barrier to review, 2 pieces of advice, "
            "1 value not checked.",
        ),
    ],
)
def test_verdict_counts_what_was_found(severities, told):
    """Only violations make a layout fail; the rest is counted."""
    assert wording.verdict(finding(severity) for severity in severities) == told


@pytest.mark.parametrize(
    ("part", "told"),
    [
        (None, "not known"),
        (0.0, "0 %"),
        (0.0004, "under 0.1 %"),
        (0.001, "0.1 %"),
        (1.0, "100.0 %"),
    ],
)
def test_a_small_gap_is_not_rounded_to_nought(part, told):
    """Only a gap of nought is called nought."""
    assert wording.percent(part) == told


@pytest.mark.parametrize(
    ("size", "unit", "told"),
    [
        (None, "mm", ""),
        (914.4, "mm", "3' 0\""),
        (4.5359237, "kg", "10.0 lb"),
        (12.5, "money", "USD 12.50"),
        (3.0, "facings", "3 facings"),
        (1.0, "studs", "1 stud"),
        (-1.0, "pairs of blocks", "-1 pair of blocks"),
        (0.0, "people", "0 people"),
        (1.0, "count", "1"),
    ],
)
def test_amounts_are_written_as_the_shop_writes_them(size, unit, told):
    """Lengths and masses follow the shop's units, money its currency."""
    assert wording.amount(size, unit, "ft-in", "USD") == told


@pytest.mark.parametrize(
    ("measured", "told"),
    [
        (914.0, ("914.40 mm", "914.00 mm")),
        (914.4, ("3' 0\"", "3' 0\"")),
        (912.0, ("3' 0\"", "2' 11 7/8\"")),
    ],
)
def test_rounding_never_hides_a_difference(measured, told):
    """What is short by less than the tape shows is told to the hundredth of a millimetre."""
    short = finding("violation").model_copy(update={"required": 914.4, "measured": measured})
    assert wording.compared(short, "ft-in", "USD") == told


def test_bound_of_value_is_not_taken_for_facings():
    """Where value is made largest, the bound says that it is one of value."""
    told = wording.progress_parts(Progress("filling", 1.0, 40, 900.0, 0.1), "value")
    assert told == ("40", "900 of value", "10.0 %", "filling")


def test_bound_of_sales_is_named_so():
    """Expected sales are neither facings nor value."""
    told = wording.progress_parts(Progress("filling", 1.0, 40, 900.0, 0.1), "sales")
    assert told[1] == "900 of expected sales"


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ({}, [("value of the facings", "1,234.5")]),
        (
            {"sales": 345.678, "objective": 400.0},
            [
                ("value of the facings", "1,234.5"),
                ("expected sales", "345.678"),
                ("expected sales, weighted by height bands", "400"),
            ],
        ),
    ],
)
def test_sums_are_told_where_the_layout_tells_them(more, told):
    """Value always, expected sales and the weighted aim where they were asked for."""
    claims = Claims(facings=3, units=4, value=1234.5, cost=0.0, **more)
    assert wording.sums(claims, "sales") == told


def _moved(count: int, blocks: int) -> Moves:
    fixtures = tuple(
        FixtureMove(step="moved", fixture="cab", name="cab", moves=1) for _ in range(count)
    )
    changed = tuple(BlockMove(step="changed", category="goods") for _ in range(blocks))
    return Moves(fixtures=fixtures, blocks=changed)


@pytest.mark.parametrize(
    ("count", "blocks", "least", "told"),
    [
        (0, 0, 0.0, "Nothing has to be moved."),
        (0, 1, 0.0, "0 moves, and 1 block changed, set up or cleared."),
        (1, 2, None, "1 move, and 2 blocks changed, set up or cleared."),
        (3, 0, 3.0, "no fewer moves do."),
        (3, 0, 1.0, "At least 1 move is needed."),
        (3, 0, 2.0, "At least 2 moves are needed."),
    ],
)
def test_moves_have_their_sentence(count, blocks, least, told):
    """Moves and changed blocks are counted, and what is proved of fewer is said, or nothing."""
    stage = Stage(objective="moves", value=count, bound=least, gap=None, scope="grid")
    proof = Proof(
        status="within gap",
        objective=1.0,
        bound=None,
        gap=None,
        grid="",
        rules="",
        step_mm=100.0,
        candidates=1,
        stages=(stage,),
    )
    assert wording.moved(_moved(count, blocks), proof).endswith(told)
    assert "needed" not in wording.moved(_moved(count, blocks), None)


def test_bounds_of_later_stages_are_told_in_their_units():
    """Those that hold for layouts showing as much are told, money as money; others are not."""
    stages = (
        Stage(objective="facings", value=9.0, bound=9.0, gap=0.0, scope=FIRST),
        Stage(objective="value", value=12.0, bound=12.5, gap=0.04, scope=AFTER_FIRST),
        Stage(objective="cost", value=90.0, bound=81.5, gap=0.1, scope=AFTER_FIRST),
    )
    proof = Proof(
        status="proved",
        objective=9.0,
        bound=9.0,
        gap=0.0,
        grid="",
        rules="",
        step_mm=100.0,
        candidates=1,
        stages=stages,
    )
    assert wording.later_bounds(proof, "USD") == [
        ("value of as much at most", "12.5"),
        ("as much costs at least", "USD 81.50, sheets and packs by the piece"),
    ]
    unknown = [stage.model_copy(update={"bound": None}) for stage in stages]
    assert wording.later_bounds(proof.model_copy(update={"stages": unknown}), "USD") == []
    assert wording.later_bounds(None, "USD") == []


def test_a_wall_called_a_wall_is_not_called_so_twice():
    """Names as people give them: low wall, north."""
    assert wording.the_wall("low wall") == "low wall"
    assert wording.the_wall("north") == "north wall"


def test_loads_and_areas_are_not_told_finer_than_anyone_knows_them():
    """In metres as in feet: what was reckoned in pounds is no figure of six places."""
    assert wording.amount(4.788026, "kPa", "mm", "USD") == "4.79 kPa"
    assert wording.amount(22.2411, "N", "m", "USD") == "22.24 N"
    assert wording.amount(1234.5678, "m2", "mm", "USD") == "1,234.57 m2"
    assert wording.amount(4.788026, "kPa", "ft-in", "USD") == "100.0 psf"
