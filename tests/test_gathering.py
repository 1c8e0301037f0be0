"""Findings have one number wherever they are listed, and those alike are told once."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from shopfit.gathering import entries, in_order, sentence
from shopfit.model.finding import Finding

SEVERITIES = ("violation", "barrier to review", "advice", "not checked")


def finding(code: str = "aisle", severity: str = "violation", **more: object) -> Finding:
    """Give a finding with little in it."""
    given = {"subject": "F1", "message": "The aisle before F1 is narrow.", **more}
    return Finding.model_validate({"code": code, "severity": severity, **given})


@given(st.lists(st.tuples(st.sampled_from("abc"), st.sampled_from(SEVERITIES)), max_size=30))
def test_every_finding_has_one_number(kinds: list[tuple[str, str]]) -> None:
    """Numbers go from 1 without a gap, worst severity first, kinds together, nothing lost."""
    given_ones = [
        finding(code, severity, subject=f"F{k}") for k, (code, severity) in enumerate(kinds)
    ]
    ordered = in_order(given_ones)
    assert sorted(one.subject for one in ordered) == sorted(one.subject for one in given_ones)
    ranks = [SEVERITIES.index(one.severity) for one in ordered]
    assert ranks == sorted(ranks)
    seen = [(one.severity, one.code) for one in ordered]
    assert len([k for k in range(len(seen)) if k == 0 or seen[k] != seen[k - 1]]) == len(set(seen))
    told = entries(given_ones)
    assert [one for entry in told for one in entry.findings] == list(ordered)
    assert [entry.first for entry in told] == [
        1 + sum(len(before.findings) for before in told[:k]) for k in range(len(told))
    ]


def test_three_alike_are_told_once_with_the_worst() -> None:
    """Two stay apart; three are one entry that tells the least margin and names the others."""
    ones = [finding(subject=f"case F{k}", message=f"F{k} is near.", margin=-k) for k in (1, 3)]
    assert [entry.numbers for entry in entries(ones)] == ["1", "2"]
    (entry,) = entries([*ones, finding(subject="case F2", message="F2 is near.", margin=-2)])
    assert entry.numbers == "1–3"
    assert entry.worst.margin == -3
    assert entry.others == "The same of F1 and F2."


def test_clauses_keep_apart_what_a_code_has_in_common() -> None:
    """Findings by different clauses are not told in one place."""
    ones = [finding(clause=clause, subject=f"F{k}") for k, clause in enumerate("aab")]
    assert len(entries(ones)) == 3


def test_long_lists_of_others_are_cut() -> None:
    """Forty alike name a dozen and count the rest."""
    (entry,) = entries([finding(subject=f"F{k}") for k in range(1, 41)])
    assert entry.others.endswith("F12, F13 and 27 more.")


def test_a_subject_is_said_only_where_the_message_lacks_it() -> None:
    """Neither twice nor not at all."""
    assert sentence(finding()) == "The aisle before F1 is narrow."
    both = finding(subject="F1, the aisle")
    assert sentence(both) == "The aisle before F1 is narrow."
    assert sentence(finding(subject="west outlet")).startswith("West outlet: The aisle")
    assert sentence(finding(subject="shop", message="Ask.")) == "Ask."
