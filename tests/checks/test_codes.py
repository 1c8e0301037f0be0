"""What the documents say is checked is what is checked, code by code."""

from __future__ import annotations

import ast
import re

import pytest

from shopfit import wording
from shopfit.checks import check
from shopfit.checks.registry import FAMILIES
from shopfit.model.layout import Layout
from shopfit.model.scenario import Scenario

from .codes import ANY, DEVELOPERS, ROOT, codes, listed, rows, trees, written

README = (ROOT / "README.md").read_text("utf-8")


def test_the_table_of_codes_is_as_the_source_has_it() -> None:
    """A new finding goes into DEVELOPERS.md by `python -m tests.checks.codes --write`."""
    told = [line for line in listed(DEVELOPERS.read_text("utf-8")).splitlines() if "`" in line]
    assert told == rows(), "run: python -m tests.checks.codes --write"


def test_every_family_of_checks_is_in_the_table() -> None:
    """No check is left out because its codes cannot be read."""
    families = {family.__module__.rpartition(".")[2] for family in FAMILIES}
    assert families <= set(codes())


def test_codes_found_by_running_are_among_those_read(kiosk: Scenario, kiosk_layout: Layout) -> None:
    """The reading of the source misses no code that a spoilt layout brings."""
    known = {code for found in codes().values() for code in found}
    patterns = [re.compile(re.escape(code).replace(re.escape(ANY), ".+") + "$") for code in known]
    odd = kiosk_layout.model_copy(
        update={
            "placements": tuple(
                one.model_copy(update={"x_mm": one.x_mm + 400, "y_mm": one.y_mm - 250})
                for one in kiosk_layout.placements
            ),
            "purchases": kiosk_layout.purchases[1:],
        }
    )
    shop = kiosk.shop.model_copy(update={"rulebook": "atlantis"})
    told = {finding.code for finding in check(kiosk.model_copy(update={"shop": shop}), odd)}
    assert len(told) > 12
    assert not [code for code in told if not any(pattern.match(code) for pattern in patterns)]


@pytest.mark.parametrize(
    ("source", "wanted"),
    [
        ('Finding(code="one-thing", severity="advice")', {"one-thing"}),
        ('def f(scene, code): ...\nf(scene, "by-place")', {"by-place"}),
        ('Finding(code=f"claim-{what}")', {f"claim-{ANY}"}),
        ('Finding(code="a-b" if x else "c-d")', {"a-b", "c-d"}),
        ('T = (("key", "in-table"),)\nfor key, code in T:\n    f(code)', {"in-table"}),
        ('Finding.model_validate({"code": "by-name"})', {"by-name"}),
    ],
)
def test_codes_are_read_however_they_are_written(source: str, wanted: set[str]) -> None:
    """By name, by place, out of tables, put together."""
    from .codes import _of_module, _takers

    tree = ast.parse(source)
    assert _of_module(tree, _takers(tree) | {"Finding": 0}) == wanted


def test_writing_the_table_keeps_the_rest() -> None:
    """Only what stands between the marks is replaced."""
    text = "before\n<!-- codes -->\nold\n<!-- /codes -->\nafter\n"
    made = written(text)
    assert made.startswith("before\n<!-- codes -->\n| module")
    assert made.endswith("\n<!-- /codes -->\nafter\n")
    assert "\nold\n" not in made
    assert len(trees()) > 10


def test_the_readme_holds_every_caution() -> None:
    """What reports and files say about danger stands in the README word for word."""
    words = " ".join(README.split())
    for about, text in wording.CAUTIONS:
        assert f"**{about}.** {text}" in words, about


def test_nothing_is_called_what_only_a_court_can_say() -> None:
    """People read that values are met, never that something is lawful."""
    section = README.partition("## What is checked, and what is not")[2].partition("\n## ")[0]
    assert section
    assert "meets the values checked" in README
    assert not re.search(r"\b(legal|lawful|compliant|compliance)\b", section, re.IGNORECASE)
