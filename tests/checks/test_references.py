"""Layouts that name what is not there, or hold numbers that are none."""

from __future__ import annotations

import math

import pytest

from shopfit.checks import check, measured_totals
from shopfit.model.layout import Layout

from . import build as b


def _broken() -> list[tuple[str, Layout]]:
    good = b.layout()
    return [
        ("unknown-name", b.moved(good, "F1", fixture="throne")),
        ("unknown-name", b.moved(good, "F1", wall="Z")),
        ("unknown-name", b.rehung(good, "R1", wall="Z")),
        ("unknown-name", b.rehung(good, "R1", sheet="Z")),
        ("unknown-name", b.rehung(good, "R1", over=("F1", "F99"))),
        ("unknown-name", b.reblocked(good, "B1", host="R9")),
        ("unknown-name", b.reblocked(good, "B1", category="toys")),
        ("unknown-name", b.reslotted(good, "B1", line="ghost")),
        ("unknown-name", b.reslotted(good, "B1", holder="nail")),
        ("unknown-name", b.recut(good, 0, run="R9")),
        ("no-number", b.moved(good, "F1", x_mm=math.nan)),
        ("no-number", b.moved(good, "F1", angle_deg=math.inf)),
        ("no-number", b.moved(good, "F1", x_mm=1e300)),
        ("no-number", b.rehung(good, "R1", from_mm=math.nan)),
        ("no-number", b.reblocked(good, "B1", to_mm=math.nan)),
        ("no-number", b.rerowed(good, "B1", top_mm=math.inf)),
        ("no-number", b.reslotted(good, "B1", from_mm=math.nan)),
        ("no-number", b.reslotted(good, "B1", units=10**400)),
        ("no-number", b.recut(good, 0, width_mm=math.nan)),
        ("tag-twice", b.moved(good, "F2", id="F1")),
        ("tag-twice", b.rehung(good, "R2", id="F1")),
        ("tag-twice", b.reblocked(good, "B2", id="B1")),
        (
            "claim-units",
            good.model_copy(update={"claims": good.claims.model_copy(update={"units": 10**400})}),
        ),
    ]


@pytest.mark.parametrize(("code", "layout"), _broken(), ids=[code for code, _ in _broken()])
def test_a_broken_layout_gives_findings_and_no_exception(code: str, layout: Layout) -> None:
    """Whatever is wrong is said; the rest is still measured."""
    findings = check(b.scenario(), layout)
    assert code in b.codes(findings)
    assert measured_totals(b.scenario(), layout).facings <= 26


@pytest.mark.parametrize("field", ["needed", "packs", "price", "total"])
@pytest.mark.parametrize("number", [math.nan, math.inf, 10**400], ids=["nan", "inf", "huge"])
def test_purchases_may_hold_anything(field: str, number: float) -> None:
    """A purchase with no number is wrong, not the end."""
    layout = b.rebought(b.layout(), "till", **{field: number})
    assert "purchase-wrong" in b.codes(check(b.scenario(), layout))


def test_an_empty_layout_is_measured() -> None:
    """Nothing stands, so that only what is wanted is missed."""
    empty = Layout(scenario="", claims=b.layout().claims)
    codes = set(b.codes(check(b.scenario(), empty)))
    assert {"wanted", "facings-few", "holding", "claim-cost"} <= codes


def test_an_unknown_rulebook_is_said_and_the_rest_is_checked() -> None:
    """The finding lists the rulebooks there are."""
    findings = check(b.scenario(rulebook="atlantis"), b.layout())
    assert b.codes(findings) == ["rulebook"]
    assert "us" in b.faults(findings)[0].mend


def test_names_in_findings_are_the_users_own() -> None:
    """An unknown line is named with its block."""
    finding = next(
        f
        for f in check(b.scenario(), b.reslotted(b.layout(), "B1", line="ghost"))
        if f.code == "unknown-name"
    )
    assert "'ghost'" in finding.message
    assert "B1" in finding.subject
    assert "card" in finding.mend
