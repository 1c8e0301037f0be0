"""Cases: steps back and forward, kept without overwriting, and the same again from a zip."""

from __future__ import annotations

import io
import sqlite3
import zipfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopfit.cases.bundle import case_files, read_case, start_draft, zipped
from shopfit.cases.case import MOST_STEPS, Case, Work
from shopfit.cases.store import SavedElsewhere, Store, StoreError
from shopfit.files.drafts import Draft, draft_from_folder, judge
from shopfit.files.layouts import layout_text


@pytest.fixture
def store(tmp_path: Path) -> Store:
    """Give a store in a folder that is not there yet."""
    return Store(tmp_path / "deep" / "cases.sqlite3")


@pytest.fixture
def case(kiosk_folder, kiosk_layout) -> Case:
    """Give the kiosk with a layout."""
    return Case(draft_from_folder(kiosk_folder), kiosk_layout)


def named(name: str) -> Case:
    """Give a case that differs from others by its shop's name."""
    return Case(Draft(shop={"name": name}))


@given(st.lists(st.sampled_from(["a", "b", "undo", "redo"]), max_size=30))
def test_undo_and_redo_walk_one_line_of_steps(steps):
    """Whatever is done, the case is what a plain list of states with a finger on it says."""
    work, states, at = Work("x", named("0")), [named("0")], 0
    for number, step in enumerate(steps):
        if step == "undo":
            work.undo()
            at = max(at - 1, 0)
        elif step == "redo":
            work.redo()
            at = min(at + 1, len(states) - 1)
        else:
            work.write(step, shop={"name": f"{step}{number}"})
            states[at + 1 :] = [named(f"{step}{number}")]
            at += 1
        assert work.now == states[at]
        assert bool(work.undoes) == (at > 0)
        assert bool(work.redoes) == (at < len(states) - 1)


def test_a_change_that_changes_nothing_is_no_step():
    """Writing what is there already leaves undo, redo and the saved state alone."""
    work = Work("x", named("a"), dirty=False)
    work.write("same", shop={"name": "a"})
    assert not work.undoes
    assert not work.dirty


def test_steps_are_limited():
    """The oldest steps are forgotten, so that a long day does not fill the memory."""
    work = Work("x", named("a"))
    for number in range(MOST_STEPS + 1):
        work.write("step", shop={"name": str(number)})
    for _ in range(MOST_STEPS):
        work.undo()
    assert not work.undoes
    assert work.now == named("0")


def test_a_kept_case_is_read_the_same(store, case):
    """Draft and layout are the same after they were kept."""
    assert store.keep("kiosk", case, 0) == 1
    read, revision = store.read("kiosk")
    assert revision == 1
    assert read == case
    assert [kept.name for kept in store.names()] == ["kiosk"]


def test_the_second_saver_is_told_and_overwrites_nothing(store):
    """Two windows go on from one version: the first is kept, the second told."""
    store.keep("shop", named("a"), 0)
    store.keep("shop", named("b"), 1)
    with pytest.raises(SavedElsewhere, match="another window"):
        store.keep("shop", named("c"), 1)
    assert store.read("shop")[0] == named("b")
    assert store.keep("shop of mine", named("c"), 0) == 1


def test_two_new_cases_of_one_name_do_not_overwrite(store):
    """A name that another window has just taken is taken."""
    store.keep("shop", named("a"), 0)
    with pytest.raises(SavedElsewhere):
        store.keep("shop", named("b"), 0)


def test_a_case_removed_elsewhere_is_told(store):
    """Going on with what another window removed is told, and may be kept as a new one."""
    store.keep("shop", named("a"), 0)
    store.forget("shop")
    with pytest.raises(SavedElsewhere, match="removed"):
        store.keep("shop", named("b"), 1)
    assert store.revision("shop") == 0
    assert store.keep("shop", named("b"), 0) == 1


@pytest.mark.parametrize("name", ["", "   ", "x" * 61])
def test_names_have_limits(store, name):
    """No name, or one too long, is told."""
    with pytest.raises(StoreError, match="name"):
        store.keep(name, named("a"), 0)


def test_a_file_that_is_no_store_is_told(tmp_path):
    """Something else under that path is told with it, and left alone."""
    path = tmp_path / "cases.sqlite3"
    path.write_bytes(b"my diary" * 200)
    with pytest.raises(StoreError, match="cannot be used"):
        Store(path).names()
    assert path.read_bytes() == b"my diary" * 200


def test_missing_newer_and_damaged_cases_are_told(store):
    """Each of them is told in words, none is a crash."""
    with pytest.raises(StoreError, match="no case"):
        store.read("none")
    store.keep("a", named("a"), 0)
    with sqlite3.connect(store.path) as base:
        base.execute("UPDATE cases SET form = 99")
    with pytest.raises(StoreError, match="newer"):
        store.read("a")
    with sqlite3.connect(store.path) as base:
        base.execute("UPDATE cases SET form = 1, body = x'00'")
    with pytest.raises(StoreError, match="cannot be read"):
        store.read("a")


def test_a_case_opens_again_the_same_from_its_zip(case):
    """Scenario, layout and how the range was read survive the way out and back."""
    case = Case(case.draft.changed(columns={"line": "Article"}), case.layout)
    with zipfile.ZipFile(io.BytesIO(zipped("kiosk", case_files(case)))) as archive:
        files = {Path(name).name: archive.read(name) for name in archive.namelist()}
    again, notes = read_case(files)
    assert not notes
    assert layout_text(again.layout) == layout_text(case.layout)
    assert again.draft.columns == case.draft.columns
    assert judge(again.draft).scenario == judge(case.draft).scenario


def test_a_layout_of_another_shop_is_left_out_with_a_word(case):
    """Names that the scenario does not know would fail everywhere after."""
    files = case_files(Case(start_draft())) | {"layout.json": case_files(case)["layout.json"]}
    again, notes = read_case(files)
    assert again.layout is None
    assert "left out" in notes[0]


@pytest.mark.parametrize("raw", [b"", b"[1]", b"{", b"\xff"])
def test_odd_columns_are_passed_over(case, raw):
    """How a list was read is a convenience; damage to it is none to the case."""
    again, _ = read_case({**case_files(case), "columns.json": raw})
    assert again.draft.columns == {}


def test_the_start_is_sound():
    """What one starts from has no fault."""
    assert judge(start_draft()).scenario is not None
