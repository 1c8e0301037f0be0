"""Findings are written with their numbers, and nothing of them is lost on the way."""

from __future__ import annotations

import csv
import io
import json

from shopfit.files.findings import findings_csv, findings_data, findings_json
from shopfit.model.finding import Finding
from shopfit.model.scenario import Scenario


def _read(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_lengths_in_the_users_style_and_as_numbers() -> None:
    """Other units are named, blanks stay blank, and no cell is taken for a formula."""
    aisle = Finding(
        code="aisle-width",
        severity="violation",
        subject="F1",
        message="=too narrow",
        required=1066.8,
        measured=1041.4,
        margin=-25.4,
        clause="403.5.1",
        at_mm=(100.0, 200.0),
    )
    load = Finding(
        code="groove-load", severity="advice", subject="R1", message="m", required=9.5, unit="kg"
    )
    first, second = _read(findings_csv([load, aisle], "ft-in"))
    assert (first["No."], second["No."]) == ("1", "2"), "the violation comes first"
    assert (first["Required"], first["Measured"]) == ("3' 6\"", "3' 5\"")
    assert (first["Margin"], first["Margin, as a number"]) == ('−1"', "-25.4")
    assert (first["Required, as a number"], first["Unit of the numbers"]) == ("1066.8", "mm")
    assert first["Found"] == "'=too narrow"
    assert (first["Place, east (mm)"], first["Place, north (mm)"]) == ("100", "200")
    told = (second["Required"], second["Measured"], second["Margin"], second["Place, east (mm)"])
    assert told == ("20.9 lb", "", "", "")
    assert _read(findings_csv([load], "mm"))[0]["Required"] == "9.50 kg"
    rail = load.model_copy(update={"required": 44.6449, "unit": "kg/m"})
    assert _read(findings_csv([rail], "in"))[0]["Required"] == "30.0 lb/ft"
    assert _read(findings_csv([rail], "m"))[0]["Required"] == "44.64 kg/m"


def test_data_holds_counts_rulebook_and_cautions(kiosk: Scenario) -> None:
    """The editions of the standards stand in the data, and every caution with its subject."""
    found = [
        Finding(code="glass", severity="advice", subject="F1", message="Glass."),
        Finding(code="aisle", severity="violation", subject="F2", message="Narrow.", margin=-3.0),
    ]
    data = json.loads(findings_json(findings_data(kiosk, found)))
    assert data["counts"] == {
        "violation": 1,
        "barrier to review": 0,
        "advice": 1,
        "not checked": 0,
    }
    assert [(one["number"], one["code"]) for one in data["findings"]] == [
        (1, "aisle"),
        (2, "glass"),
    ]
    assert data["findings"][0]["margin"] == -3.0
    assert data["rulebook"]["name"] == "us"
    editions = {one["standard"]: one["edition"] for one in data["rulebook"]["editions"]}
    assert "2010 ADA Standards for Accessible Design" in editions
    assert all(editions.values())
    assert {one["about"] for one in data["cautions"]} >= {"Loads", "Electricity", "Egress", "Glass"}
    assert data["verdict"] == "Does not meet 1 of the values checked."
