"""A user's own values on top of a rulebook."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopfit import planning, standards
from shopfit.errors import InputFaults
from shopfit.files.layouts import fingerprint
from shopfit.files.ownvalues import read_own_values
from shopfit.files.scenario import load_scenario
from shopfit.files.template import write_template
from shopfit.standards import load
from shopfit.standards.rulebook import Rulebook
from shopfit.units import INCH_MM


def _read(folder: Path, text: str) -> Rulebook:
    path = folder / "ours.yaml"
    path.write_text(text, encoding="utf-8")
    return read_own_values(path)


def _faults(folder: Path, text: str) -> list[str]:
    with pytest.raises(InputFaults) as caught:
        _read(folder, text)
    return [f"{fault.where}: {fault.allowed}. {fault.mend}" for fault in caught.value.faults]


def _row(key: str, value: str) -> str:
    return f"based_on: us\nvalues:\n  - {{key: {key}, {value}}}\n"


def test_own_values_stand_in_place_of_published_ones(tmp_path: Path) -> None:
    """The rest stays, and the clause says what was replaced and why."""
    ours = _read(tmp_path, _row("route-width", "length: 44 in, why: two trolleys pass"))
    found = ours.requirement("route-width")
    assert found.value == pytest.approx(44 * INCH_MM)
    assert found.confidence == "own"
    assert found.source == "ours.yaml"
    assert "two trolleys pass" in found.clause
    assert "36 in, 2010 ADA Standards for Accessible Design, 403.5.1" in found.clause
    assert found.comparator == "min"
    assert (ours.name, ours.title) == ("ours", "United States, with own values")
    assert ours.mm("turn-width") == load("us").mm("turn-width")
    assert load("us").mm("route-width") == pytest.approx(36 * INCH_MM)


def test_own_values_on_england_keep_its_gaps(tmp_path: Path) -> None:
    """What the rulebook below does without, the one on top does without as well."""
    text = _row("ramp-width", "length: 1600 mm").replace("us", "england", 1)
    ours = _read(tmp_path, f"title: Our hall\n{text}")
    assert ours.title == "Our hall"
    assert ours.mm("ramp-width") == 1600.0
    assert "England" in ours.why_without("turn-width")


@pytest.mark.parametrize(
    ("key", "stricter", "same", "looser"),
    [
        # A least, a most, and where rules begin and end.
        ("route-width", "length: 36.1 in", "length: 36 in", "length: 35.9 in"),
        ("counter-height", "length: 35 in", "length: 3 ft", "length: 37 in"),
        ("turn-element", "length: 50 in", "length: 48 in", "length: 47 in"),
        ("ramp-handrail-rise", "length: 5 in", "length: 6 in", "length: 7 in"),
        ("protrusion-to", "length: 84 in", "length: 80 in", "length: 79 in"),
        ("ramp-slope", 'ratio: "1:15"', 'ratio: "1:12"', 'ratio: "1:10"'),
        ("floor-load", "value: 125, unit: psf", "value: 100, unit: psf", "value: 99, unit: psf"),
        (
            "one-exit-people",
            "value: 30, unit: count",
            "value: 49, unit: count",
            "value: 50, unit: count",
        ),
    ],
)
def test_own_values_may_ask_for_more_and_never_for_less(
    tmp_path: Path, key: str, stricter: str, same: str, looser: str
) -> None:
    """What is stricter depends on the comparator."""
    for value in (stricter, same):
        assert _read(tmp_path, _row(key, value)).requirement(key).confidence == "own"
    (fault,) = _faults(tmp_path, _row(key, looser))
    assert fault.startswith(f"values > {key} (line 3)")
    assert "never for less" in fault
    assert load("us").requirement(key).written in fault


@pytest.mark.parametrize(
    ("key", "value", "said"),
    [
        ("route-widht", "length: 44 in", "Did you mean 'route-width'?"),
        ("route-width", "length: 44", "length: a length with its unit"),
        ("route-width", 'ratio: "1:12"', "length: a length with its unit"),
        ("route-width", "length: 44 in, unit: count", "length: a length with its unit"),
        ("route-width", "why: because", "length: a length with its unit"),
        ("route-width", "length: [1, 2]", "length: a length with its unit"),
        ("ramp-slope", "length: 44 in", "ratio: a slope"),
        ("ramp-slope", 'ratio: "1:0"', "ratio: a slope"),
        ("floor-load", "value: 5, unit: kg", "unit: psf"),
        ("floor-load", "value: nan, unit: psf", "unit: psf"),
        ("floor-load", "value: [1], unit: [2]", "unit: psf"),
        ("route-width", "length: 44 in, widht: 3", "the fields key, length"),
    ],
)
def test_values_that_cannot_be_read_are_told(
    tmp_path: Path, key: str, value: str, said: str
) -> None:
    """The fault says what kind of value it is and what is published."""
    assert any(said in fault for fault in _faults(tmp_path, _row(key, value)))


def test_every_fault_is_told_in_one_pass(tmp_path: Path) -> None:
    """Fields, base and values are all looked through."""
    text = (
        "titel: Ours\nbased_on: uk\nvalues:\n"
        "  - {key: route-width, length: 30 in}\n"
        "  - {key: route-width, length: 40 in}\n"
        "  - {key: route-width, length: 41 in}\n"
        "  - wide\n"
    )
    found = _faults(tmp_path, text)
    assert len(found) == 5
    assert any(fault.startswith("based_on (line 2)") for fault in found)
    assert any(fault.startswith("titel (line 1)") for fault in found)
    assert any("each key once" in fault for fault in found)
    assert any(fault.startswith("values > item 4 (line 7)") for fault in found)


@pytest.mark.parametrize("text", ["", "based_on: us\n", "based_on: us\nvalues: 3\n", "values: ["])
def test_a_file_without_values_is_told(tmp_path: Path, text: str) -> None:
    """An empty file, one without values and one that is no YAML."""
    assert _faults(tmp_path, text)


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    """The mend names the rulebooks."""
    with pytest.raises(InputFaults, match="england, us"):
        read_own_values(tmp_path / "nothing.yaml")


def _scenario(folder: Path, text: str) -> Path:
    made = folder / "shop"
    write_template(made)
    (made / "values.yaml").write_text(text, encoding="utf-8")
    return made


def test_a_scenario_carries_its_own_values(tmp_path: Path) -> None:
    """Read with the folder, kept in the fingerprint, and not there where there is no file."""
    made = _scenario(tmp_path, "values:\n  - {key: headroom, length: 84 in, why: tall friends}\n")
    scenario = load_scenario(made)
    (value,) = scenario.own.values
    assert (value.key, value.written, value.why) == ("headroom", "84 in", "tall friends")
    assert standards.of(scenario).mm("headroom") == pytest.approx(84 * INCH_MM)
    told = fingerprint(scenario)
    (made / "values.yaml").unlink()
    plain = load_scenario(made)
    assert plain.own.values == ()
    assert fingerprint(plain) != told


def test_own_values_come_along_where_other_pins_are_given(tmp_path: Path) -> None:
    """With --pins the scenario is read in another place, with all its files."""
    made = _scenario(tmp_path, "values:\n  - {key: headroom, length: 84 in}\n")
    pins = tmp_path / "others.yaml"
    pins.write_text("clear: []\n", encoding="utf-8")
    assert planning.load_scenario(made, pins).own.values


@pytest.mark.parametrize(("inches", "refused"), [(42.0, False), (42.1, True)])
def test_a_way_wider_than_the_aisle_of_the_brief_is_refused(
    tmp_path: Path, inches: float, refused: bool
) -> None:
    """Fixtures are placed by the brief: at its aisle a value of one's own is taken, over it not."""
    text = f"values:\n  - {{key: route-width, length: {inches} in}}\n"
    made = _scenario(tmp_path, text)
    shop = (made / "shop.yaml").read_text("utf-8")
    (made / "shop.yaml").write_text(_with_aisle(shop, "42 in"), encoding="utf-8")
    if refused:
        with pytest.raises(InputFaults, match="the aisle of the brief"):
            load_scenario(made)
    else:
        assert load_scenario(made).own.values[0].value == pytest.approx(42 * INCH_MM)


def _with_aisle(text: str, aisle: str) -> str:
    lines = [line for line in text.splitlines() if not line.strip().startswith("aisle:")]
    at = next(k for k, line in enumerate(lines) if line.startswith("brief:"))
    return "\n".join([*lines[: at + 1], f"  aisle: {aisle}", *lines[at + 1 :]]) + "\n"


def test_a_lost_rulebook_leaves_the_values_to_be_looked_through(tmp_path: Path) -> None:
    """Faults of shop.yaml and of values.yaml are told in one pass."""
    made = _scenario(tmp_path, "values:\n  - {key: headroom, length: 84}\n")
    (made / "shop.yaml").write_text("rulebook: atlantis\n", encoding="utf-8")
    with pytest.raises(InputFaults) as caught:
        load_scenario(made)
    files = {fault.file for fault in caught.value.faults}
    assert {"shop.yaml", "values.yaml"} <= files
