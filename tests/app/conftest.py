"""What tests of the page share: a page with cases in a folder of its own, and ways to read it."""

from __future__ import annotations

from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from shopfit.cases.bundle import start_draft
from shopfit.cases.case import Case, Work
from shopfit.files.drafts import draft_from_folder
from shopfit.quantities.takeoff import complete
from shopfit.ui.limits import NAMED_BY

SCRIPT = Path(__file__).parents[2] / "streamlit_app.py"
PATIENCE = 180  # for busy machines; nothing here takes seconds by itself


@pytest.fixture
def limits_file(tmp_path, monkeypatch) -> Path:
    """Give the file of limits that the page reads; cases go into a folder beside it."""
    path = tmp_path / "page.toml"
    path.write_text(f'folder = "{(tmp_path / "kept").as_posix()}"\n')
    monkeypatch.setenv(NAMED_BY, str(path))
    return path


@pytest.fixture
def page(limits_file, monkeypatch) -> AppTest:
    """Give the page as first opened; no process for the solver is made ready."""
    monkeypatch.setattr("shopfit.ui.layout.searching.prepare", lambda: None)
    return AppTest.from_file(str(SCRIPT), default_timeout=PATIENCE)


@pytest.fixture
def opened(page, kiosk_folder):
    """Give a function that opens a case in a section and runs the page."""

    def open_case(section: str, case: Case | None = None, name: str = "kiosk") -> AppTest:
        given = case if case is not None else Case(draft_from_folder(kiosk_folder))
        page.session_state["work"] = Work(name, given)
        page.session_state["section"] = section
        page.run()
        assert not page.exception
        return page

    return open_case


@pytest.fixture
def laid_out(kiosk, kiosk_folder, kiosk_layout) -> Case:
    """Give the kiosk with the layout set out by hand."""
    return Case(draft_from_folder(kiosk_folder), complete(kiosk, kiosk_layout))


@pytest.fixture
def start_case() -> Case:
    """Give the case to start from."""
    return Case(start_draft())


def said(page: AppTest) -> str:
    """Give everything that the page says, in one text without escapes."""
    kinds = ("markdown", "caption", "error", "warning", "success", "info", "header", "subheader")
    texts = [str(each.value) for kind in kinds for each in getattr(page, kind)]
    return "\n".join(texts).replace("\\", "")


def table_with(page: AppTest, *columns: str):
    """Give the first table that has these columns, without escapes."""
    for each in [*page.dataframe, *page.table]:
        if set(columns) <= set(each.value.columns):
            return each.value.map(
                lambda cell: cell.replace("\\", "") if isinstance(cell, str) else cell
            )
    raise AssertionError(f"no table has the columns {columns}")


def work_of(page: AppTest) -> Work:
    """Give the case that the page works on."""
    return page.session_state["work"]
