"""Cautions and the list of what is not checked."""

from __future__ import annotations

from shopfit.checks import check

from . import build as b


def _advice(scenario: object, code: str) -> list[str]:
    findings = check(scenario, b.layout())  # type: ignore[arg-type]
    return [f.subject for f in findings if f.code == code]


def test_goods_out_of_reach_are_counted() -> None:
    """2010 ADA Standards, 308: 48 in; the upper cradles' row starts at 42 in, a raised one over."""
    assert _advice(b.scenario(), "reach") == []
    layout = b.rerowed(
        b.layout(),
        "B2",
        row=1,
        bottom_mm=850.9 + 5 * 76.2,
        top_mm=850.9 + 8 * 76.2,
        low_groove=6,
        high_groove=8,
    )
    findings = [f for f in check(b.scenario(), layout) if f.code == "reach"]
    assert len(findings) == 1
    assert findings[0].message.startswith("3 facings")


def test_what_is_not_checked_is_said() -> None:
    """The list is always there, with its clauses."""
    findings = check(b.scenario(), b.layout())
    missing = [f for f in findings if f.severity == "not checked"]
    assert "loose-things-not-checked" in {f.code for f in missing}
    assert all(f.mend for f in missing)
