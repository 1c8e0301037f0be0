"""Drafts: as written, judged at any time, and the same again after being written."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopfit.errors import InputFaults
from shopfit.files.documents import parse_yaml
from shopfit.files.drafts import Draft, draft_files, draft_from_folder, judge, read_draft, yaml_text
from shopfit.files.scenario import load_scenario

SCENARIOS = Path(__file__).parents[2] / "scenarios"
DEMOS = sorted(path.parent for path in SCENARIOS.glob("*/shop.yaml"))
BROKEN = sorted((SCENARIOS / "broken").glob("*"))
TEXTS = st.one_of(
    st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=12),
    st.sampled_from(
        ["no", "~", "null", "=1+1", "- a", "#x", "&a", "*b", "!c", "1", "a: b", "[", "'"]
    ),
)
NAMES = TEXTS.filter(bool)
VALUES = st.recursive(
    st.none() | TEXTS,
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(TEXTS.filter(bool), inner, max_size=3)
    ),
    max_leaves=8,
)


@pytest.mark.parametrize("folder", DEMOS, ids=lambda folder: folder.name)
def test_a_demo_as_a_draft_is_the_demo(folder: Path) -> None:
    """What is judged from a draft is the scenario of the folder, also after writing it anew."""
    draft = draft_from_folder(folder)
    given_scenario = load_scenario(folder)
    assert judge(draft, folder.name).scenario == given_scenario
    again = read_draft(draft_files(draft))
    assert judge(again, folder.name).scenario == given_scenario


@pytest.mark.parametrize("folder", BROKEN, ids=lambda folder: folder.name)
def test_broken_folders_open_with_their_faults_or_are_refused(folder: Path) -> None:
    """A draft says what reading the folder says, though without lines of files."""
    try:
        draft = draft_from_folder(folder)
    except InputFaults:
        return
    judged = judge(draft)
    # A draft reads any separator.
    assert (judged.scenario is None) == (folder.name != "range-semicolons")
    assert bool(judged.faults) == (judged.scenario is None)


def test_own_values_are_part_of_a_draft(kiosk_folder: Path) -> None:
    """Values on top of the rulebook are read, judged and written like the rest."""
    values = {"values": [{"key": "route-width", "length": "36.5 in", "why": "our cart"}]}
    shop = draft_from_folder(kiosk_folder).shop
    brief = {**shop["brief"], "aisle": "40 in"}
    draft = draft_from_folder(kiosk_folder).changed(values=values, shop={**shop, "brief": brief})
    again = read_draft(draft_files(draft))
    assert again.values == values
    assert judge(again).faults == ()
    assert judge(again).scenario.own.values[0].why == "our cart"


def test_an_empty_draft_wants_everything() -> None:
    """From nothing every file is told to be wanting, and nothing fails."""
    judged = judge(Draft())
    assert judged.scenario is None
    assert {fault.file for fault in judged.faults} >= {"shop.yaml", "range.csv"}


def test_faults_of_rows_name_their_row_and_column(kiosk_folder: Path) -> None:
    """The second row of the range is row 3 of its file, for the header is row 1."""
    draft = draft_from_folder(kiosk_folder)
    rows = [dict(row) for row in draft.rows]
    rows[1]["width"] = "4 parsecs"
    judged = judge(draft.changed(rows=tuple(rows)))
    assert [fault.where for fault in judged.faults] == ["row 3, width"]


def test_cells_that_look_like_formulas_are_marked_and_read_back(kiosk_folder: Path) -> None:
    """A cell that a spreadsheet would run is written harmless, and is the same again once read."""
    draft = draft_from_folder(kiosk_folder)
    rows = [dict(row) for row in draft.rows]
    for place, evil in enumerate(("=1+1", "+1", "-1", "@x")):
        rows[place]["line"] = evil
    draft = draft.changed(rows=tuple(rows))
    written = draft_files(draft)["range.csv"].decode()
    assert "\n'=1+1," in written
    assert read_draft(draft_files(draft)).rows[:4] == draft.rows[:4]


def test_files_that_are_no_text_are_refused_together() -> None:
    """Every file that cannot be read is told in one pass."""
    with pytest.raises(InputFaults) as caught:
        read_draft(
            {"shop.yaml": b"\xff\xfe\x00", "fixtures.yaml": b"a: [", "range.csv": b"\x00\x01"}
        )
    assert {fault.file for fault in caught.value.faults} == {
        "shop.yaml",
        "fixtures.yaml",
        "range.csv",
    }


@settings(max_examples=40)
@given(st.dictionaries(NAMES, VALUES, max_size=4))
def test_plain_data_is_the_same_after_writing(data) -> None:
    """Whatever is written, signs of YAML too, is read back as it was."""
    document, faults = parse_yaml("x.yaml", yaml_text({"top": "x", **data}))
    assert not faults
    assert document.data == {"top": "x", **data}


def test_one_object_in_two_places_is_written_twice() -> None:
    """Anchors are not read, so none may be written."""
    shared = ["0 in", "1 in"]
    document, faults = parse_yaml("x.yaml", yaml_text({"a": shared, "b": shared}))
    assert not faults
    assert document.data == {"a": shared, "b": shared}
