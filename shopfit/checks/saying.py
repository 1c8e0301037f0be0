"""Makes findings: one short call with the source of the requirement."""

from __future__ import annotations

from typing import Any

from shopfit.checks.notes import TRADE, Source
from shopfit.model.finding import Finding, Severity


def say(
    code: str,
    severity: Severity,
    subject: str,
    message: str,
    mend: str,
    source: Source = TRADE,
    **more: Any,
) -> Finding:
    """Make a finding.

    Parameters
    ----------
    code, severity, subject, message, mend
        As in a finding.
    source
        Where the requirement comes from.
    more
        Further fields of a finding.
    """
    return Finding(
        code=code,
        severity=severity,
        subject=subject,
        message=message,
        mend=mend,
        clause=source.clause,
        source=source.source,
        confidence=source.confidence,
        **more,
    )
