"""Scenario folders are read whole, or refused with everything that is wrong."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopfit.errors import Fault, InputFaults
from shopfit.files.parts import FIXTURES, PINS, RANGE, SHOP
from shopfit.files.scenario import load_scenario

SCENARIOS = Path(__file__).parents[2] / "scenarios"
DEMOS = sorted(path.parent for path in SCENARIOS.glob("*/shop.yaml"))
BROKEN = SCENARIOS / "broken"


def faults_of(folder: Path) -> tuple[Fault, ...]:
    """Give the faults of a folder that must have some."""
    with pytest.raises(InputFaults) as raised:
        load_scenario(folder)
    return raised.value.faults


def change(path: Path, old: str, new: str) -> None:
    """Replace a piece of a file that must be there."""
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")


@pytest.mark.parametrize("folder", DEMOS, ids=lambda folder: folder.name)
def test_demos_are_sound(folder: Path) -> None:
    """Every demo is read without a fault."""
    scenario = load_scenario(folder)
    assert scenario.lines
    assert scenario.folder == folder.name


def test_everything_written_is_read(folder: Path) -> None:
    """Fields of all files arrive, in millimetres and kilograms."""
    scenario = load_scenario(str(folder))
    assert scenario.shop.rooms[0].height == pytest.approx(2743.2)
    assert scenario.brief.aisle == pytest.approx(1066.8)
    assert scenario.line("Pocket knife").secured
    assert scenario.line("Apron").ways == ("face-out", "hook")
    assert scenario.line("Mug").weight == pytest.approx(0.8 * 0.45359237)
    assert scenario.catalogue.fixture("case-36").price == 420
    assert scenario.pins.keep == ()


def test_pins_are_optional(folder: Path) -> None:
    """A folder without pins.yaml pins nothing."""
    (folder / PINS).unlink()
    assert load_scenario(folder).pins.clear == ()


def test_a_missing_folder_is_said_in_one_fault(tmp_path: Path) -> None:
    """A wrong path is one fault and no list of missing files."""
    (fault,) = faults_of(tmp_path / "nowhere")
    assert fault.file == "nowhere"
    assert fault.given == "nothing"


def test_an_empty_folder_misses_all_three_files(tmp_path: Path) -> None:
    """Each missing file is named; nothing is said of what would be in it."""
    assert [fault.file for fault in faults_of(tmp_path)] == [FIXTURES, RANGE, SHOP]


def test_names_may_look_like_numbers_or_answers(folder: Path) -> None:
    """A wall called 1 and a door called no are names like any other."""
    change(folder / SHOP, "{id: west,", "{id: 1,")
    change(folder / SHOP, "wall: west", "wall: 1")
    change(folder / SHOP, "id: front door", "id: no")
    change(folder / SHOP, "door: front door", "door: no")
    shop = load_scenario(folder).shop
    assert shop.rooms[0].walls[0].id == "1"
    assert shop.doors[0].id == "no"


@pytest.mark.parametrize("units", ["mm", "m", "in", "ft-in"])
def test_lengths_are_said_in_the_users_units(folder: Path, units: str) -> None:
    """A fault found by measuring is told in the units of the shop."""
    change(folder / SHOP, "units: ft-in", f"units: {units}")
    change(folder / SHOP, "offset: 60 in", "offset: 150 in")
    (fault,) = faults_of(folder)
    said = {"mm": "4724 mm", "m": "4.724 m", "in": '186"', "ft-in": "15' 6\""}
    assert said[units] in fault.given


def test_a_faulty_item_does_not_hide_or_cause_others(folder: Path) -> None:
    """A wall that cannot be read leaves doors on it alone, but not faults elsewhere."""
    change(folder / SHOP, "{id: south, length: 14 ft}", "{id: south, length: 14}")
    change(folder / SHOP, "door: front door", "door: back door")
    assert [fault.where.split(" (")[0] for fault in faults_of(folder)] == [
        "approach > door",
        "rooms > shop > walls > south > length",
    ]


def test_a_lost_fixture_is_not_called_unknown(folder: Path) -> None:
    """Pins and wishes that name a fixture which is only misspelt inside say nothing."""
    change(folder / FIXTURES, "price: 450", "price: dear")
    change(folder / SHOP, "{kind: counter,", "{fixture: counter-60,")
    (fault,) = faults_of(folder)
    assert fault.where.startswith("fixtures > counter-60 > price")


@pytest.mark.parametrize(
    ("right", "sound"), [("168 in", True), ("168.0003 in", True), ("168.001 in", False)]
)
def test_a_door_may_end_where_its_wall_ends(folder: Path, right: str, sound: bool) -> None:
    """At the wall's end and within 0.01 mm of it is on the wall."""
    (folder / SHOP).write_text(
        (folder / SHOP)
        .read_text("utf-8")
        .replace("offset: 60 in ", "offset: 132 in ")
        .replace("width: 36 in\n", f"width: {float(right[:-3]) - 132:.4f} in\n")
        .replace("wall: south, offset: 106 in", "wall: south, offset: 10 in"),
        "utf-8",
    )
    if sound:
        load_scenario(folder)
    else:
        assert faults_of(folder)[0].where.startswith("doors > front door > offset")


@pytest.mark.parametrize(("length", "sound"), [("167 in", True), ("166.9 in", False)])
def test_a_walk_may_be_an_inch_open(folder: Path, length: str, sound: bool) -> None:
    """Tape measures stretch: 1 in is taken up by the last wall, more is a fault."""
    change(folder / SHOP, "{id: north, length: 14 ft}", f"{{id: north, length: {length}}}")
    change(
        folder / SHOP, "[168 in, 184 in], [168 in, 240 in]", "[160 in, 184 in], [160 in, 240 in]"
    )
    if sound:
        assert load_scenario(folder).shop.rooms[0].walls[1].length
    else:
        (fault,) = faults_of(folder)
        assert '1 1/8" west of where it began' in fault.given


@pytest.mark.parametrize("depth", ["3 in", "4 in", "5 in"])
def test_an_inner_door_meets_the_other_room_within_an_inch(tmp_path: Path, depth: str) -> None:
    """The depth of the wall passed may be an inch off either way."""
    source = BROKEN / "inner-door-wrong-depth"
    for name in (SHOP, RANGE, FIXTURES):
        (tmp_path / name).write_bytes((source / name).read_bytes())
    change(tmp_path / SHOP, "depth: 10 in", f"depth: {depth}")
    assert load_scenario(tmp_path).shop.doors[0].use == "inner"


def test_a_curve_is_named_by_its_chords(folder: Path) -> None:
    """A window on a curve is asked for the chord it is in."""
    change(
        folder / SHOP,
        "{id: north, length: 14 ft}",
        "{id: north, arc: {radius: 84 in, sweep: 180, chords: 4}, turn: 0}",
    )
    change(folder / SHOP, "{id: west, length: 20 ft}", "{id: west, length: 20 ft, turn: 0}")
    change(folder / SHOP, "wall: east, offset: 120 in", "wall: north, offset: 20 in")
    (fault,) = faults_of(folder)
    assert "north-1 to north-4" in fault.mend


def test_rows_that_nothing_holds_are_cut_to_a_readable_number(folder: Path) -> None:
    """A range of hooks without a hook on offer gives the first rows in order, and says more."""
    rows = [f"L{k},Kitchen,1 in,1 in,1 in,hook" for k in range(250)]
    header = "line,category,width,height,depth,ways"
    (folder / RANGE).write_text("\n".join([header, *rows]), "utf-8")
    change(folder / FIXTURES, "kind: hook", "kind: face-out")
    faults = faults_of(folder)
    assert [fault.where for fault in faults[:10]] == [f"row {k}, ways" for k in range(2, 12)]
    assert (faults[-1].where, len(faults)) == ("rows not shown", 201)


def test_a_wrong_type_is_said_once(folder: Path) -> None:
    """A list where one word belongs, and a word where a list belongs, are one fault each."""
    change(folder / SHOP, "currency: USD", "currency: [USD]")
    change(folder / SHOP, "columns: []", "columns: post")
    said = {fault.where.split(" (")[0]: fault for fault in faults_of(folder)}
    assert set(said) == {"currency", "columns"}
    assert said["columns"].mend.startswith("Write a list")


@pytest.mark.parametrize(
    "text",
    [
        "a: !!python/object/apply:os.system [ls]\n",
        "a: !local 1\n",
        "a: &x [1]\nb: *x\n",
        "? [a, b]\n: 1\n",
        "a: " + "[" * 40 + "]" * 40 + "\n",
        "[" * 3000,
        "a: 1\n---\nb: 2\n",
        "- a\n- b\n",
        "just words\n",
        "a: \x07\n",
        "a: 'open\n",
        "\ta: 1\n",
        "",
        "# only a comment\n",
        "<<: {a: 1}\n",
        "a: {b: 1\n",
    ],
)
def test_odd_yaml_is_refused(folder: Path, text: str) -> None:
    """Tags, anchors, bombs, deep nesting, second documents and broken syntax are faults."""
    (folder / PINS).write_text(text, "utf-8")
    assert {fault.file for fault in faults_of(folder)} == {PINS}


def test_an_alias_bomb_is_refused_at_once(folder: Path) -> None:
    """Nine lists of nine would be 10^9 items; the first anchor is as far as it gets."""
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{k}: &a{k} [{', '.join([f'*a{k - 1}'] * 9)}]" for k in range(1, 10)]
    (folder / PINS).write_text("\n".join(lines), "utf-8")
    (fault,) = faults_of(folder)
    assert "alias" in fault.given


def test_large_yaml_is_refused_unread(folder: Path) -> None:
    """A file over the limit is refused by its size."""
    with (folder / SHOP).open("ab") as stream:
        stream.truncate(2_000_001)
    (fault,) = faults_of(folder)
    assert fault.given == "2,000,001 bytes"


def test_a_folder_in_place_of_a_file_is_a_fault(folder: Path) -> None:
    """Whatever cannot be read is a fault and no crash."""
    (folder / FIXTURES).unlink()
    (folder / FIXTURES).mkdir()
    (fault,) = faults_of(folder)
    assert fault.file == FIXTURES


@given(st.integers(0, 2**32))
@settings(max_examples=120, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_damage_anywhere_is_told_as_faults(folder: Path, seed: int) -> None:
    """Whatever line is cut, doubled, emptied or filled with junk: a scenario or faults."""
    rng = random.Random(seed)
    path = folder / rng.choice([SHOP, RANGE, FIXTURES, PINS])
    whole = path.read_bytes()
    lines = whole.decode("utf-8").splitlines(keepends=True)
    spot = rng.randrange(len(lines))
    line = lines[spot]
    junk = ["-1 in", "nan", ".inf", "[]", "{}", "''", "1e9 in", "true", "~", "\x00", "é", "9" * 400]
    word = rng.choice(line.split() or [line])
    lines[spot] = rng.choice(
        ["", line * 2, line[: rng.randrange(len(line))], line.replace(word, rng.choice(junk))]
    )
    path.write_bytes("".join(lines).encode("utf-8"))
    faults: tuple[Fault, ...] | None = None
    try:
        load_scenario(folder)
    except InputFaults as error:
        faults = error.faults
    finally:
        path.write_bytes(whole)
    assert faults is None or faults
    for fault in faults or ():
        assert fault.where
        assert fault.given
        assert fault.allowed
        assert fault.mend
