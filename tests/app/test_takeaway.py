"""Take away: every file, and a zip that opens again the same."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest

from shopfit.cases.bundle import case_files, zipped
from shopfit.cases.case import Case
from shopfit.files.drafts import judge
from shopfit.planning import plan_files
from shopfit.ui.intake import Upload, gather
from shopfit.ui.takeaway import file_name
from tests.app.conftest import said, work_of


def downloads(page) -> dict:
    """Give the downloads on the page by their keys."""
    return {button.key: button for button in page.get("download_button")}


def test_everything_that_a_solve_writes_is_there(opened, page, laid_out):
    """Each file of the plan has a button, and so has the zip of all."""
    opened("Take away", laid_out)
    plan = page.session_state["plan"][1]
    keys = set(downloads(page))
    assert {f"take-{name}" for name in plan_files(plan)} < keys
    assert {"take-all", "take-shop.yaml", "take-range.csv", "take-fixtures.yaml"} <= keys
    assert "licensed" in said(page)


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
