"""The checks, asked again and again while a measure is let drift."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable

from shopfit import standards
from shopfit.checks import check
from shopfit.checks.references import look_through
from shopfit.checks.registry import FAMILIES
from shopfit.checks.scene import Scene
from shopfit.geometry.built import OWN_SIZE, Built
from shopfit.model.finding import Finding

# What no tape changes: counts, money, cutting, claims.
_NOT_BY_TAPE = ("available", "wanted", "purchase", "claim", "cut-", "budget", "cost", "units-")
# Modules of checks that look at goods and money alone, and so are not asked while a fixture drifts.
_OF_GOODS = frozenset(
    ("facings", "merchandising", "cuts", "money", "totals", "floorload", "tipping", "advice")
)
# Modules of checks that walk the whole floor, which takes longest.
_OF_WAYS = frozenset(("routes", "egress", "turns", "passing", "turnspaces", "staffareas"))
_OWN_SIZE = re.compile(rf"{OWN_SIZE}[\w.-]*\w")
CLASHES = frozenset(("overlap", "outside-room", "beyond-wall", "run-beyond-wall", "run-overlap"))
# Exactness of the drawing: what these measure is seen at once and passes no limit.
AS_DRAWN = frozenset(
    (
        "back-off-wall",
        "offset",
        "pin-missing",
        "pin-unknown",
        "run-gap-below",
        "run-below",
        "divider-edge",
        "row-off-level",
        "row-grooves",
        "row-beyond-face",
        "first-groove",
        "no-face",
    )
)
_LIMITS = ("violation", "barrier to review")
Key = tuple[str, str, str]


def whole(built: Built) -> tuple[Finding, ...]:
    """Ask every check."""
    return tuple(map(_plainly, check(built.scenario, built.layout)))


def near(built: Built) -> tuple[Finding, ...]:
    """Ask the checks that look at things and what is beside them, for limits missed."""
    return _asked(built, lambda module: module not in _OF_GOODS | _OF_WAYS)


def far(built: Built) -> tuple[Finding, ...]:
    """Ask the checks that look at ways through the whole shop, for limits missed."""
    return _asked(built, _OF_WAYS.__contains__)


def _asked(built: Built, wanted: Callable[[str], bool]) -> tuple[Finding, ...]:
    shell = built.shell
    clean, _ = look_through(built.scenario, shell, built.layout)
    scene = Scene(built.scenario, clean, standards.of(built.scenario), shell)
    families = [f for f in FAMILIES if wanted(f.__module__.rpartition(".")[2])]
    found = [_plainly(finding) for family in families for finding in family(scene)]
    return tuple(one for one in found if counts(one) and one.code not in AS_DRAWN)


def _plainly(finding: Finding) -> Finding:
    """Name a fixture that was made otherwise than its kind as it is named in the list."""
    told = {
        name: _OWN_SIZE.sub("", getattr(finding, name)) for name in ("subject", "message", "mend")
    }
    if all(getattr(finding, name) == text for name, text in told.items()):
        return finding
    return finding.model_copy(update=told)


def counts(finding: Finding) -> bool:
    """Say whether a finding is a missed limit that a tape can have to do with."""
    return finding.severity in _LIMITS and not finding.code.startswith(_NOT_BY_TAPE)


def stands(findings: Iterable[Finding]) -> bool:
    """Say whether no violation is among findings but what is only not as drawn, or no tape's."""
    return not any(
        one.severity == "violation" and counts(one) and one.code not in AS_DRAWN for one in findings
    )


def new_ones(found: Iterable[Finding], before: Iterable[Finding]) -> tuple[Finding, ...]:
    """Give the findings that were not there before: by check, thing and clause, whatever measured.

    Parameters
    ----------
    found, before
        Findings of two shops.
    """
    left = Counter(_key(finding) for finding in before)
    fresh = []
    for finding in found:
        key = _key(finding)
        if left[key] > 0:
            left[key] -= 1
        else:
            fresh.append(finding)
    return tuple(fresh)


def _key(finding: Finding) -> Key:
    return finding.code, finding.subject, finding.clause
