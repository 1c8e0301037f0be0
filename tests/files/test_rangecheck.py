"""Lines that nothing can show are told with the length that is missing."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopfit.errors import InputFaults
from shopfit.files.scenario import load_scenario


@pytest.mark.parametrize(
    ("depth", "said"),
    [
        ("152.405 mm", None),
        ("152.42 mm", 'needs 6" or 152.42 mm, has 6" or 152.40 mm'),
        ("152.6 mm", 'needs 6" or 152.6 mm, has 6" or 152.4 mm'),
        ("6 1/8 in", 'needs 6 1/8", has 6"'),
    ],
)
def test_lengths_that_round_alike_are_told_in_millimetres_too(
    folder: Path, depth: str, said: str | None
) -> None:
    """A hook 6 in (152.4 mm) deep is too short by less than a sixteenth, and that can be read."""
    path = folder / "range.csv"
    row = "Wooden spoon,Kitchen,3 in,13 in,1 in,0.2 lb,3,12,30,"
    text = path.read_text("utf-8")
    assert row in text
    deeper = f"Wooden spoon,Kitchen,3 in,13 in,{depth},0.2 lb,3,12,12,"
    path.write_text(text.replace(row, deeper), "utf-8")
    if said is None:
        assert load_scenario(folder).lines
        return
    with pytest.raises(InputFaults) as raised:
        load_scenario(folder)
    (fault,) = [each for each in raised.value.faults if "ways" in each.where]
    assert said in fault.mend
