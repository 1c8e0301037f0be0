"""Every broken scenario is refused with the sentences that mend it."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopfit.errors import InputFaults
from shopfit.files.scenario import load_scenario

BROKEN = Path(__file__).parents[2] / "scenarios" / "broken"
FOLDERS = sorted(path for path in BROKEN.iterdir() if path.is_dir())


def test_there_are_broken_scenarios() -> None:
    """Keeps the walk over the folders from passing because it found none."""
    assert len(FOLDERS) >= 28


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_is_refused_with_exactly_the_faults_expected(folder: Path) -> None:
    """A fault is said once, with file, place, value, what is allowed and the mend."""
    wanted = [
        line.split(" | ") for line in (folder / "expected.txt").read_text("utf-8").splitlines()
    ]
    assert wanted
    with pytest.raises(InputFaults) as raised:
        load_scenario(folder)
    faults = raised.value.faults
    assert len(faults) == len(wanted), str(raised.value)
    for fault, parts in zip(faults, wanted, strict=True):
        said = (fault.file, fault.where, fault.given, fault.allowed, fault.mend)
        for part, text in zip(parts, said, strict=True):
            assert part.strip() in text


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_speaks_no_jargon(folder: Path) -> None:
    """Nothing of the libraries' own wording reaches the user."""
    with pytest.raises(InputFaults) as raised:
        load_scenario(folder)
    words = str(raised.value).lower()
    for jargon in ("input should", "value error", "pydantic", "traceback", "nonetype", "tuple"):
        assert jargon not in words
