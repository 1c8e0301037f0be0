"""Numbers findings, and gathers those alike, the same way wherever they are listed."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import get_args

from shopfit.model.finding import Finding, Severity

ALIKE = 3  # so many of one kind are told in one place
_SEVERITIES: tuple[Severity, ...] = get_args(Severity)
_TAG = re.compile(r"\b[FRB]\d+\b")


@dataclass(frozen=True)
class Entry:
    """What is told in one place of a list: one finding, or several alike.

    Parameters
    ----------
    first
        Number of the first; the others follow.
    findings
        In the order of their numbers.
    """

    first: int
    findings: tuple[Finding, ...]

    @property
    def numbers(self) -> str:
        """Their numbers, such as ``3`` or ``3–7``."""
        last = self.first + len(self.findings) - 1
        return f"{self.first}" if last == self.first else f"{self.first}–{last}"

    @property
    def worst(self) -> Finding:
        """The finding with the least margin, the first where none has one."""
        return min(self.findings, key=_margin)

    @property
    def others(self) -> str:
        """What the others are about, in few words; nothing where there is one finding only."""
        if len(self.findings) == 1:
            return ""
        rest = [finding for finding in self.findings if finding is not self.worst]
        return f"The same of {_listed(list(dict.fromkeys(map(_about, rest))))}."


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Put findings in the order of their numbers: worst first, those of one kind together.

    Within a severity, kinds come in the order in which they were first found.
    """
    kinds: dict[tuple[str, str, str], list[Finding]] = {}
    for finding in findings:
        kinds.setdefault(_kind(finding), []).append(finding)
    ranked = sorted(kinds, key=lambda kind: _SEVERITIES.index(_severity(kind[0])))
    return tuple(finding for kind in ranked for finding in kinds[kind])


def entries(findings: Iterable[Finding], alike: int = ALIKE) -> tuple[Entry, ...]:
    """Give findings their numbers and gather those alike.

    Parameters
    ----------
    findings
        In any order.
    alike
        From how many of one kind on they are told in one place.
    """
    found: list[Entry] = []
    ordered = in_order(findings)
    start = 0
    while start < len(ordered):
        end = start
        while end < len(ordered) and _kind(ordered[end]) == _kind(ordered[start]):
            end += 1
        if end - start >= alike:
            found.append(Entry(start + 1, ordered[start:end]))
        else:
            found += [Entry(k + 1, ordered[k : k + 1]) for k in range(start, end)]
        start = end
    return tuple(found)


def among(some: Iterable[Finding], whole: Iterable[Finding]) -> tuple[Entry, ...]:
    """Gather some findings under the numbers that they have among all of them.

    Parameters
    ----------
    some
        A part of the whole.
    whole
        All that were found.
    """
    numbers = {finding: number for number, finding in enumerate(in_order(whole), start=1)}
    found: list[Entry] = []
    for entry in entries(some):
        run: list[Finding] = []
        for finding in entry.findings:
            if run and numbers[finding] != numbers[run[-1]] + 1:
                found.append(Entry(numbers[run[0]], tuple(run)))
                run = []
            run.append(finding)
        found.append(Entry(numbers[run[0]], tuple(run)))
    return tuple(found)


def sentence(finding: Finding) -> str:
    """Say what was found, with what it is about where the message does not name it."""
    about, message = finding.subject, finding.message.lower()
    if about in ("shop", "layout") or all(
        part in message for part in re.split(r", | and ", about.lower())
    ):
        return finding.message
    return f"{about[:1].upper()}{about[1:]}: {finding.message}"


def standing(finding: Finding) -> str:
    """Say by which clause, and how far its text is known."""
    known = f", {finding.confidence}" if finding.clause and finding.confidence else ""
    return f"{finding.clause or finding.source}{known}"


def _kind(finding: Finding) -> tuple[str, str, str]:
    return finding.severity, finding.code, finding.clause


def _severity(text: str) -> Severity:
    return next(each for each in _SEVERITIES if each == text)


def _margin(finding: Finding) -> float:
    return math.inf if finding.margin is None else finding.margin


def _about(finding: Finding) -> str:
    found = _TAG.search(finding.subject)
    return found.group() if found else finding.subject


def _listed(names: Sequence[str], most: int = 12) -> str:
    if len(names) > most + 1:
        return f"{', '.join(names[:most])} and {len(names) - most} more"
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
