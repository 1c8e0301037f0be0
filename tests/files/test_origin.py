"""A layout made for another shop is told as that, before or instead of what comes of it."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from shopfit.cli import main
from shopfit.files.layouts import fingerprint, write_layout
from shopfit.files.origin import in_units, origin, stranger
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario

KIOSK, CHANDLERY = "scenarios/market-kiosk", "scenarios/towpath-chandlery"
OLD = "0" * 64


@pytest.fixture
def file(tmp_path: Path, kiosk: Scenario, kiosk_layout: Layout) -> Path:
    """Write a layout of the kiosk as it was once."""
    told = {"scenario": kiosk.folder, "fingerprint": OLD}
    write_layout(tmp_path / "layout.json", kiosk_layout.model_copy(update=told))
    return tmp_path


@pytest.mark.parametrize("command", ["check", "quantities", "draw", "limits"])
def test_a_layout_of_another_shop_is_one_fault(command: str, file: Path) -> None:
    """Not fifty of names, nor violations of a shop that it never was for."""
    done = CliRunner().invoke(main, [command, CHANDLERY, str(file)])
    assert done.exit_code == 2
    assert "1 fault in what was given" in done.stderr
    assert "a layout made for 'market-kiosk'; none of its" in done.stderr
    assert "Name the folder of 'market-kiosk'" in done.stderr


def test_a_layout_of_a_shop_much_alike_is_taken_with_a_note(
    kiosk: Scenario, kiosk_layout: Layout, file: Path, tmp_path: Path
) -> None:
    """A copy of the folder under another name: the sentence names both, before the faults."""
    copy = tmp_path / "spring"
    copy.mkdir()
    for name in ("shop.yaml", "fixtures.yaml", "range.csv"):
        (copy / name).write_bytes((Path(KIOSK) / name).read_bytes())
    note = "Note: this layout was made for 'market-kiosk' and is taken as one of 'spring'"
    assert CliRunner().invoke(main, ["check", str(copy), str(file)]).stderr.startswith(note)
    first = kiosk_layout.blocks[0].rows[0].slots[0].line
    sold = (copy / "range.csv").read_text()
    (copy / "range.csv").write_text(sold.replace(first, "Something else"))
    done = CliRunner().invoke(main, ["limits", str(copy), str(file)])
    assert done.exit_code == 2
    assert done.stderr.startswith(note)
    assert first in done.stderr


def test_a_layout_says_what_it_was_made_for(kiosk: Scenario, kiosk_layout: Layout) -> None:
    """Nothing where it is this, or does not tell; else another shop, or this before a change."""
    now = {"scenario": kiosk.folder, "fingerprint": fingerprint(kiosk)}
    assert origin(kiosk, kiosk_layout.model_copy(update=now)) == ""
    assert origin(kiosk, kiosk_layout.model_copy(update={**now, "fingerprint": ""})) == ""
    changed = kiosk_layout.model_copy(update={**now, "fingerprint": OLD})
    assert origin(kiosk, changed) == "the scenario has changed since this layout was made."
    other = changed.model_copy(update={"scenario": "stall"})
    assert "made for 'stall' and is taken as one of 'market-kiosk'" in origin(kiosk, other)


def test_new_goods_in_the_same_shop_can_still_be_measured(
    kiosk: Scenario, kiosk_layout: Layout
) -> None:
    """Checks take what stands at walls that are there; lists of goods that are not sold fail."""
    lines = tuple(
        line.model_copy(update={"line": f"New {k}"}) for k, line in enumerate(kiosk.lines)
    )
    spring = kiosk.model_copy(update={"lines": lines})
    layout = kiosk_layout.model_copy(update={"scenario": kiosk.folder})
    assert stranger("layout.json", spring, layout, walls_too=True) is None
    told = stranger("layout.json", spring, layout, walls_too=False)
    assert told is not None
    assert "`shopfit rearrange`" in told.mend
    assert "walls" not in told.given
    empty = layout.model_copy(update={"placements": (), "runs": (), "blocks": ()})
    assert stranger("layout.json", spring, empty, walls_too=False) is None


def test_units_of_lengths_are_no_change(kiosk: Scenario, kiosk_layout: Layout) -> None:
    """What was laid out in feet is what is read in metres; another price is another scenario."""
    layout = kiosk_layout.model_copy(update={"fingerprint": fingerprint(kiosk)})
    assert origin(in_units(kiosk, "m"), layout) == ""
    dearer = kiosk.shop.model_copy(update={"currency": "XTS"})
    assert origin(kiosk.model_copy(update={"shop": dearer}), layout)
