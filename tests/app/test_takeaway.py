"""Take away: every file, and a zip that opens again the same."""

from __future__ import annotations

import io
import time
import zipfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from shopfit.cases.bundle import case_files, zipped
from shopfit.cases.case import Case
from shopfit.files.drafts import judge
from shopfit.model.progress import Solution
from shopfit.planning import Plan, plan_files
from shopfit.ui.intake import Upload, gather
from shopfit.ui.takeaway import Files, file_name
from tests.app.conftest import said, work_of


def downloads(page) -> dict:
    """Give the downloads on the page by their keys."""
    return {button.key: button for button in page.get("download_button")}


def test_everything_that_a_solve_writes_is_there(opened, page, laid_out):
    """Each file of the plan has a button once they are asked for; the zip of all is there."""
    opened("Take away", laid_out)
    assert {"take-all", "take-shop.yaml"} <= set(downloads(page))
    page.button(key="make-files").click().run()
    assert not page.exception
    _, plan = page.session_state["made"]["plan"]
    keys = set(downloads(page))
    assert {f"take-{name}" for name in plan_files(plan)} < keys
    assert {"take-all", "take-shop.yaml", "take-range.csv", "take-fixtures.yaml"} <= keys
    assert "licensed" in said(page)


def test_files_are_made_when_they_are_wanted_and_once(opened, page, laid_out, monkeypatch):
    """Nothing is made by looking; a second visit makes nothing again, another layout does."""
    made = []
    monkeypatch.setattr(
        "shopfit.planning.plan_files", lambda plan: made.append(plan) or {"plan.svg": b"<svg/>"}
    )
    opened("Take away", laid_out)
    page.run()
    assert made == []
    page.button(key="make-files").click().run()
    for section in ("Measure", "Take away"):
        page.session_state["section"] = section
        page.run()
    assert "take-plan.svg" in downloads(page)
    assert len(made) == 1
    smaller = laid_out.layout.model_copy(update={"placements": laid_out.layout.placements[:-1]})
    work_of(page).do("x", layout=smaller)
    page.run()
    assert "take-plan.svg" not in downloads(page)


def test_a_zip_made_from_two_threads_makes_its_files_once(monkeypatch, kiosk):
    """Whoever comes second waits for what the first one makes."""
    made = []

    def slow(plan):
        made.append(plan)
        time.sleep(0.05)
        return {"a": b"b"}

    monkeypatch.setattr("shopfit.planning.plan_files", slow)
    files = Files(Plan(kiosk, Solution(outcome="layout")))
    with ThreadPoolExecutor(4) as pool:
        got = list(pool.map(lambda _: files.get(), range(4)))
    assert got == [{"a": b"b"}] * 4
    assert len(made) == 1


def test_without_a_layout_the_case_can_be_taken_away(opened, page):
    """Before anything is laid out the scenario itself is there."""
    opened("Take away")
    assert "no layout yet" in said(page)
    assert {"take-all", "take-shop.yaml"} <= set(downloads(page))


def test_a_faulty_case_can_be_taken_away(opened, page):
    """What is half done is not locked in."""
    opened("Take away", Case())
    assert "take-all" in downloads(page)


def test_the_zip_opens_again_the_same(page, laid_out, limits_file):
    """What was taken away and is opened again is the same scenario with the same layout."""
    packed = zipped("kiosk", case_files(laid_out))
    page.run()
    page.file_uploader(key="open-upload").set_value([("my kiosk.zip", packed, "application/zip")])
    page.button(key="open-read").click().run()
    assert not page.exception
    work = work_of(page)
    assert work.name == "my kiosk"
    assert judge(work.now.draft).scenario == judge(laid_out.draft).scenario
    assert [p.id for p in work.now.layout.placements] == [p.id for p in laid_out.layout.placements]
    assert case_files(work.now) == case_files(laid_out)


def test_names_in_the_zip_lead_nowhere_else(laid_out):
    """Every file lies in one folder, whose name any file system takes."""
    packed = zipped(file_name("../a b/ü?"), case_files(laid_out))
    with zipfile.ZipFile(io.BytesIO(packed)) as archive:
        folders = {Path(name).parent.as_posix() for name in archive.namelist()}
    assert len(folders) == 1
    assert not folders & {".", "..", "/"}
    assert gather([Upload("x.zip", packed)]).keys() == case_files(laid_out).keys()


@pytest.mark.parametrize(
    ("name", "file"), [("my shop", "my-shop"), ("../x", "x"), ("", "case"), ("a/b", "a-b")]
)
def test_file_names_hold_no_paths(name, file):
    """A case's name is a file name and nothing more."""
    assert file_name(name) == file
