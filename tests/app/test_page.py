"""The frame of the page: opening, keeping, undo, units, and what it says when something fails."""

from __future__ import annotations

import pytest

from shopfit.cases.case import Case
from shopfit.cases.store import NAME_SIGNS, Store
from shopfit.files.drafts import draft_from_folder
from shopfit.ui import session
from shopfit.ui.limits import limits
from shopfit.ui.opening import EMPTY, EXAMPLE, demo_folders
from shopfit.ui.page import SECTIONS as ALL
from shopfit.ui.session import own
from tests.app.conftest import said, table_with, work_of

SECTIONS = [section.label for section in ALL]


def test_a_first_visit_offers_ways_to_start(page):
    """Opened for the first time the page asks what to start from and has nothing to show yet."""
    page.run()
    assert not page.exception
    assert {EMPTY, EXAMPLE} < set(page.selectbox(key="open-source").options)
    assert "Local code" in said(page)


@pytest.mark.parametrize("name", demo_folders())
def test_every_demo_can_be_started_from(page, name):
    """Each demo in the checkout opens without a fault, under its name."""
    page.run()
    page.selectbox(key="open-source").select(name).run()
    page.button(key="open-start").click().run()
    assert not page.exception
    assert not page.error
    assert work_of(page).name == name


def test_files_of_ones_own_open_as_a_case(page, kiosk_folder):
    """The files of a scenario, given loose, are the case; its shop names it."""
    page.run()
    files = [(path.name, path.read_bytes(), "") for path in sorted(kiosk_folder.glob("*.*"))]
    page.file_uploader(key="open-upload").set_value(files)
    page.button(key="open-read").click().run()
    assert not page.exception
    assert work_of(page).name == "Market kiosk"
    assert work_of(page).now.draft == draft_from_folder(kiosk_folder)


@pytest.mark.parametrize(
    ("files", "word"),
    [
        ([], "nothing"),
        ([("shop.yaml", b"a: [", "")], "brackets"),
        ([("x.zip", b"PK no zip", "")], "cannot be read"),
        ([("range.csv", b"\x00\x01", "")], "no text"),
    ],
)
def test_files_that_cannot_be_opened_are_told(page, files, word):
    """Nothing is opened, and the fault is in a table."""
    page.run()
    page.file_uploader(key="open-upload").set_value(files)
    page.button(key="open-read").click().run()
    assert not page.exception
    assert word in table_with(page, "given", "mend").to_string()
    assert "work" not in page.session_state


def test_a_case_is_kept_and_opens_again(opened, page):
    """What is worked on is kept under its name, said with the place, and read after a reload."""
    opened("Measure")
    place = Store(limits().store)
    assert [kept.name for kept in place.names()] == ["kiosk"]
    assert str(place.path) in said(page)
    draft = work_of(page).now.draft
    del page.session_state["work"]
    page.query_params["case"] = "kiosk"
    page.run()
    assert work_of(page).now.draft == draft
    assert work_of(page).revision == 1


def test_a_second_window_is_told_and_keeps_its_own_copy(opened, page):
    """Where another window kept a newer version nothing is overwritten, and a copy can be kept."""
    opened("Measure")
    place = Store(limits().store)
    other = Case(work_of(page).now.draft.changed(shop={"name": "Other"}))
    place.keep("kiosk", other, 1)
    page.selectbox(key="units-0").select("mm").run()
    page.run()
    assert "another window" in said(page)
    assert place.read("kiosk")[0] == other
    page.button(key="keep-mine").click().run()
    assert not page.error
    assert {kept.name for kept in place.names()} == {"kiosk", "kiosk 2"}
    assert place.read("kiosk 2")[0].draft.shop["units"] == "mm"


def test_the_other_version_can_be_taken(opened, page):
    """Whoever prefers what the other window kept gets it."""
    opened("Measure")
    place = Store(limits().store)
    other = Case(
        work_of(page).now.draft.changed(shop={**work_of(page).now.draft.shop, "name": "Other"})
    )
    place.keep("kiosk", other, 1)
    work_of(page).write("x", shop={"name": "Mine"})
    page.run()
    page.run()
    page.button(key="take-other").click().run()
    assert work_of(page).now == other
    assert not page.error


def test_nothing_is_kept_on_a_shared_server(limits_file, opened, page):
    """Where the limits say so no file is written, and the page says how to keep a case."""
    limits_file.write_text(limits_file.read_text() + "keep = false\n")
    opened("Measure")
    assert not Store(limits().store).path.exists()
    assert "take the case away" in said(page).lower()


def test_a_store_that_cannot_be_used_is_told(opened, page):
    """A broken file is told with its path; the case can still be worked on."""
    limits().store.parent.mkdir(parents=True)
    limits().store.write_bytes(b"no database" * 100)
    opened("Measure")
    page.run()
    assert "cannot be used" in said(page)
    assert work_of(page).now.draft.rows


def test_faults_of_the_limits_are_listed(limits_file, page):
    """A wrong file of limits is told whole; nothing runs with limits that nobody meant."""
    limits_file.write_text('searches = 0\nseconds = "long"\nodd = 1\n')
    page.run()
    assert not page.exception
    told = table_with(page, "where", "mend").to_string()
    assert "searches" in told
    assert "seconds" in told
    assert "odd" in told


def test_units_change_everywhere_and_back(opened, page):
    """The switch changes what is read and typed, and nothing of what was measured."""
    opened("Measure")
    before = work_of(page).now.draft
    page.selectbox(key="units-0").select("mm").run()
    assert work_of(page).now.draft.shop["units"] == "mm"
    assert work_of(page).now.draft.shop["rooms"] == before.shop["rooms"]
    page.button(key="undo").click().run()
    assert work_of(page).now.draft == before
    page.button(key="redo").click().run()
    assert work_of(page).now.draft.shop["units"] == "mm"


def test_a_section_that_breaks_leaves_the_page_alive(opened, page, monkeypatch):
    """A fault of the program in one section is said; case, bar and other sections live on."""

    def broken() -> None:
        raise ZeroDivisionError("by nought")

    monkeypatch.setattr("shopfit.ui.measure.section.show", broken)
    opened("Measure")
    assert "fault of the program" in said(page)
    assert "by nought" in said(page)
    page.session_state["section"] = "Take away"
    page.run()
    assert not page.error


@pytest.mark.parametrize("section", SECTIONS)
def test_sections_open_with_an_ordinary_case(opened, page, section):
    """Every section opens with a sound case without a fault."""
    opened(section)
    assert not page.error
    assert section in [header.value for header in page.header]


@pytest.mark.parametrize("section", SECTIONS)
def test_sections_open_with_an_empty_case(opened, page, section):
    """From nothing every section says what it wants and none fails."""
    opened(section, Case())
    assert "fault of the program" not in said(page)


def test_names_of_users_are_no_marks(opened, page, kiosk_folder):
    """A name with marks in it is shown as written and never as a picture or a link."""
    odd = "![x](http://h/i.png) <script>"
    draft = draft_from_folder(kiosk_folder)
    opened("Measure", Case(draft.changed(shop={**draft.shop, "name": odd})), name=odd)
    texts = [str(each.value) for kind in ("markdown", "caption") for each in getattr(page, kind)]
    assert "![x](" not in "".join(texts)


def test_another_case_shows_nothing_of_the_one_before(opened, page, laid_out):
    """What was chosen, typed, made and searched for a case goes with it, and its search stops."""
    opened("Clearances", laid_out, name="first")
    state = page.session_state
    state["chosen tag"], state["row chosen"], state["ramp asked"] = "F1", 0, ({}, False)
    state["job"] = stopped = Stoppable()
    state["beside"] = ["first"]
    state["seconds"] = 17
    assert {"routes", "findings drawn", "plan"} <= set(state["made"])
    page.selectbox(key="other-source").select(EXAMPLE).run()
    page.button(key="other-start").click().run()
    assert not page.exception
    assert work_of(page).name == "my shop"
    assert stopped.asked
    left = ("chosen tag", "row chosen", "ramp asked", "job", "beside")
    assert [name for name in left if name in state] == []
    assert not {"routes", "findings drawn", "plan"} & set(state["made"])
    assert state["seconds"] == 17
    assert state["section"] == "Clearances"


@pytest.mark.parametrize(("opened_so_far", "key"), [(1, "floor"), (2, "floor-2"), (3, "floor-3")])
def test_what_is_typed_has_another_key_for_every_case(monkeypatch, opened_so_far, key):
    """A browser keeps what stands in a field under its key, so that no two cases share one."""
    monkeypatch.setattr("streamlit.session_state", {"opened": opened_so_far})
    assert own("floor") == key


class Stoppable:
    """Stands for a search that runs."""

    over, asked = False, False

    def stop(self) -> None:
        """Note that a stop was asked for."""
        self.asked = True


def test_a_free_name_is_one_that_can_be_kept(limits_file):
    """A number after a name of the most signs takes the place of its last ones: nothing is lost."""
    long = "x" * NAME_SIGNS
    place = Store(limits().store)
    assert session.free_name(long + "y") == long
    place.keep(long, Case(), 0)
    second = session.free_name(long)
    assert second == f"{'x' * (NAME_SIGNS - 2)} 2"
    assert place.keep(second, Case(), 0)


def test_the_menu_of_the_case_is_called_by_its_name(opened, page):
    """A screen reader says the label as it stands, without escapes."""
    opened("Range", name="two - three")
    assert page.get("popover")[0].proto.popover.label == "Case: two - three"
