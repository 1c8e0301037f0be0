"""Studies: what their cases are, how they are called, and how faults are told."""

from __future__ import annotations

from pathlib import Path

import jsonschema
import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from shopfit.errors import Fault, InputFaults
from shopfit.files.schemas import schema
from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.sweep.cases import read_study
from shopfit.sweep.fields import Refused, changed
from shopfit.sweep.naming import folder_name

from . import build

PLAIN = SolveOptions(workers=1)


def faults(folder: Path, text: str) -> list[Fault]:
    """Give the faults of a study beside the small shop."""
    with pytest.raises(InputFaults) as caught:
        read_study(build.write_study(folder, text))
    return list(caught.value.faults)


def wants(scenario: Scenario) -> tuple[int, int | None] | None:
    """Give the numbers of the only fixture wanted."""
    found = [(each.at_least, each.at_most) for each in scenario.brief.wanted]
    return found[0] if len(found) == 1 else None


def test_every_combination_is_a_case(tmp_path: Path) -> None:
    """Two fields of two values make four cases; the later field changes first."""
    text = """
    scenarios: [nook]
    set: {seconds: 3, gap: 0.01}
    vary:
      brief.aisle: [950 mm, 1.1 m]
      brief.budget: [300, none]
    """
    _, cases = read_study(build.write_study(tmp_path, text))
    assert [case.name for case in cases] == [
        "aisle 950 mm, budget 300",
        "aisle 950 mm, budget none",
        "aisle 1.1 m, budget 300",
        "aisle 1.1 m, budget none",
    ]
    assert [case.folder for case in cases][2] == "aisle-1.1-m-budget-300"
    briefs = [(case.scenario.brief.aisle, case.scenario.brief.budget) for case in cases]
    assert briefs == [(950.0, 300.0), (950.0, None), (1100.0, 300.0), (1100.0, None)]
    assert {case.options for case in cases} == {SolveOptions(seconds=3, workers=1, gap=0.01)}
    assert cases[0].changes == {
        "seconds": "3",
        "gap": "0.01",
        "brief.aisle": "950 mm",
        "brief.budget": "300",
    }


def test_named_cases_and_scenarios_side_by_side(tmp_path: Path) -> None:
    """A named case is for every scenario or for one; names say which scenario where it matters."""
    build.write_shop(tmp_path / "annexe")
    text = """
    scenarios: [nook, annexe]
    cases:
      - {name: as it is}
      - {name: two cabinets, scenario: annexe, set: {catalogue.cab.available: 2, seed: 7}}
    """
    _, cases = read_study(build.write_study(tmp_path, text))
    assert [(case.name, case.source) for case in cases] == [
        ("nook, as it is", "nook"),
        ("annexe, as it is", "annexe"),
        ("two cabinets", "annexe"),
    ]
    assert cases[2].scenario.catalogue.fixture("cab").available == 2
    assert cases[2].options.seed == 7


def test_a_study_of_nothing_but_scenarios_solves_each_once(tmp_path: Path) -> None:
    """Without changes the scenarios themselves are the cases."""
    _, cases = read_study(build.write_study(tmp_path, "scenarios: [nook]"))
    assert [(case.name, dict(case.changes)) for case in cases] == [("nook", {})]


@pytest.mark.parametrize(
    ("path", "value", "read"),
    [
        ("brief.aisle", "3' 6\"", lambda s, o: s.brief.aisle == 1066.8),
        ("brief.budget", None, lambda s, o: s.brief.budget is None),
        ("brief.budget", "none", lambda s, o: s.brief.budget is None),
        ("brief.objective", "value", lambda s, o: s.brief.objective == "value"),
        (
            "brief.wanted.cab.at_least",
            "2",
            lambda s, o: wants(s) == (2, None),
        ),
        (
            "brief.wanted.table.at_most",
            1,
            lambda s, o: wants(s) == (0, 1),
        ),
        ("catalogue.cab.price", "12.5", lambda s, o: s.catalogue.fixture("cab").price == 12.5),
        ("catalogue.cab.slat_above", "yes", lambda s, o: s.catalogue.fixture("cab").slat_above),
        ("range.jar.max_facings", "3", lambda s, o: s.line("jar").max_facings == 3),
        ("rulebook", "england", lambda s, o: s.shop.rulebook == "england"),
        ("seconds", "2.5", lambda s, o: o.seconds == 2.5),
        ("workers", 3, lambda s, o: o.workers == 3),
    ],
)
def test_one_field_is_changed_and_no_other(path, value, read) -> None:
    """Each kind of field takes a value as the files write it, and all else stays as it was."""
    before = build.nook(budget=500), PLAIN
    after = changed(before, path, value)
    assert read(*after)
    assert not read(*before)
    same = [before[0].shop.rooms == after[0].shop.rooms, before[0].lines == after[0].lines]
    assert same == [True, not path.startswith("range")]


@pytest.mark.parametrize(
    ("path", "value", "given", "allowed", "mend"),
    [
        ("brief.isle", "1 m", "unknown name 'isle'", "aisle", "Did you mean 'aisle'?"),
        ("brief.aisle", "42", "'42'", "a length with its unit", "Add the unit, such as 42 in"),
        ("brief.aisle", "0", "'0'", "over 0", "larger"),
        ("brief.bands", "low", "unknown name 'bands'", "objective", "Known"),
        ("brief.budget", "-1", "'-1'", "at least 0", "larger"),
        ("brief.step", "none", "'none'", "at least 25 mm", "a number and its unit"),
        ("catalogue.cap.price", "1", "'cap'", "an id of fixtures.yaml", "Known: cab."),
        ("catalogue.cab.id", "x", "unknown name 'id'", "price", "Known"),
        ("catalogue.cab", "x", "unknown name", "an id of fixtures.yaml", "cab"),
        ("range.jam.value", "1", "'jam'", "a line of range.csv", "Known: jar."),
        ("range.jar.min_facings", "21", "min_facings 21", "max_facings", "Lower min_facings"),
        ("brief.wanted.throne.at_least", "1", "'throne'", "the id of a fixture", "Known"),
        ("rulebook", "mars", "'mars'", "the name of a rulebook", "Known"),
        ("second", "1", "'second'", "seconds", "Did you mean 'seconds'?"),
        ("workers", "0", "'0'", "at least 1", "larger"),
    ],
)
def test_what_cannot_be_changed_is_said(path, value, given, allowed, mend) -> None:
    """A wrong field or value is told with what was given, what is allowed, and the mend."""
    with pytest.raises(Refused) as caught:
        changed((build.nook(), PLAIN), path, value)
    refused = caught.value
    assert given in refused.given
    assert allowed in refused.allowed
    assert mend in refused.mend


def test_every_fault_of_a_study_is_told_at_once(tmp_path: Path) -> None:
    """Faults of scenarios, lists, values and names come together, each with its line."""
    broken = build.write_shop(tmp_path / "broken")
    shop = broken / "shop.yaml"
    shop.write_text(shop.read_text().replace("aisle: 950 mm", "aisle: wide"))
    text = """
scenarios: [nook, broken, nowhere, nook]
set: {brief.budget: lots}
vary:
  brief.aisle: [1 m, 1 m]
  brief.step: 100 mm
  brief.run_gap: []
cases:
  - {name: one, scenario: noon}
  - {name: one, set: {catalogue.cab.price: dear}}
colour: red
"""
    found = {(each.file, each.where): each for each in faults(tmp_path, text)}
    assert set(found) == {
        ("broken/shop.yaml", "brief > aisle (line 9)"),
        ("study.yaml", "scenarios > item 3 (line 2)"),
        ("study.yaml", "scenarios > item 4 (line 2)"),
        ("study.yaml", "set > brief.budget (line 3)"),
        ("study.yaml", "vary > brief.aisle (line 5)"),
        ("study.yaml", "vary > brief.step (line 6)"),
        ("study.yaml", "vary > brief.run_gap (line 7)"),
        ("study.yaml", "cases (line 8)"),
        ("study.yaml", "cases > one > scenario (line 9)"),
        ("study.yaml", "cases > one > set > catalogue.cab.price (line 10)"),
        ("study.yaml", "colour (line 11)"),
    }
    assert found["study.yaml", "vary > brief.step (line 6)"].allowed.startswith("a list of values")
    assert found["study.yaml", "cases > one > scenario (line 9)"].mend == "Did you mean 'nook'?"


def test_changes_that_clash_only_together_are_told(tmp_path: Path) -> None:
    """More wanted than can be had is no fault of either field alone; the first case is named."""
    text = """
    scenarios: [nook]
    vary:
      catalogue.cab.available: [4, 1]
      brief.wanted.cab.at_least: [1, 2, 3]
    """
    (fault,) = [each for each in faults(tmp_path, text) if "at least 2" in each.given]
    assert fault.file == "study.yaml"
    assert "case 'cab available 1, cab at least 2'" in fault.where
    assert "at most 1" in fault.allowed


def test_a_study_that_is_too_large_is_refused(tmp_path: Path) -> None:
    """Ten thousand cases are allowed, and one more is not."""
    seeds = ", ".join(str(seed) for seed in range(10_001))
    (fault,) = faults(tmp_path, f"scenarios: [nook]\nvary:\n  seed: [{seeds}]\n")
    assert fault.given == "10,001 cases"
    assert fault.allowed == "at most 10,000 cases"


def test_a_study_that_is_not_there_is_told(tmp_path: Path) -> None:
    """The missing file is named."""
    with pytest.raises(InputFaults, match=r"lost\.yaml"):
        read_study(tmp_path / "lost.yaml")


@given(st.lists(st.text(max_size=120), max_size=8))
def test_folder_names_are_plain_and_never_twice(names: list[str]) -> None:
    """Whatever cases are called, their folders are of plain letters and differ."""
    taken: set[str] = set()
    found = [folder_name(name, taken) for name in names]
    assert len(set(found)) == len(found)
    for each in found:
        assert each.strip("-.") == each
        assert each.isascii()
        assert not set(each) - set("abcdefghijklmnopqrstuvwxyz0123456789-.")
        assert 0 < len(each) <= 90


def test_the_study_to_copy_is_sound(kiosk_folder: Path) -> None:
    """The study among the demos has the cases that its comments promise, and fits its schema."""
    path = kiosk_folder.parent / "studies" / "kiosk.yaml"
    _, cases = read_study(path)
    assert len(cases) == 8
    assert cases[-1].scenario.catalogue.fixture("case-24").available == 1
    assert cases[-2].scenario.brief.budget is None
    checker = jsonschema.Draft202012Validator(schema("study"))
    assert list(checker.iter_errors(yaml.safe_load(path.read_text("utf-8")))) == []
    assert list(checker.iter_errors({"scenarios": [], "vary": {"brief.aisle": "36 in"}}))
