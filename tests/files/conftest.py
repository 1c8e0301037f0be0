"""The small sound scenario that tests of files change."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopfit.files.scenario import load_scenario
from shopfit.files.template import write_template
from shopfit.model.scenario import Scenario


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Give a folder with the scenario to start from."""
    write_template(tmp_path / "shop")
    return tmp_path / "shop"


@pytest.fixture
def start(folder: Path) -> Scenario:
    """Give the scenario to start from."""
    return load_scenario(folder)
