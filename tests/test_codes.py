"""Check digits of article numbers."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from shopfit.model.codes import check_digit, has_check_digit
from shopfit.model.range import Line


@pytest.mark.parametrize(
    ("digits", "last"),
    [
        # 6 2 9 1 0 4 1 5 0 0 2 1 weighed 1 and 3 in turn: 57, so 3. The worked example of GS1 for
        # 13 digits, from memory.
        ("629104150021", 3),
        ("0000000", 0),
        # 2 x 3 + 1 x 3 = 9, so 1.
        ("2000001", 1),
    ],
)
def test_worked_check_digits(digits: str, last: int) -> None:
    """The digit is what reckoning by hand gives."""
    assert check_digit(digits) == last


@given(st.text("0123456789", min_size=7, max_size=13), st.integers(1, 9))
def test_one_wrong_digit_is_always_noticed(digits: str, wrong: int) -> None:
    """Any single digit mistaken makes another check digit."""
    code = digits + str(check_digit(digits))
    for place in range(len(code)):
        other = code[:place] + str((int(code[place]) + wrong) % 10) + code[place + 1 :]
        assert not has_check_digit(other)
    assert has_check_digit(code) == (len(code) in (8, 12, 13, 14))


def test_a_range_says_what_digit_is_wanted() -> None:
    """A mistyped number is refused with the digit it should end in; other codes are free."""
    line = {
        "line": "a",
        "category": "b",
        "width": "1 in",
        "height": "1 in",
        "depth": "1 in",
        "ways": ["hook"],
    }
    with pytest.raises(ValidationError, match="check digit, 5 here"):
        Line.model_validate({**line, "code": "2000000000014"})
    for code in ("", "A-17", "12345", "12345678", "2000000000015"):
        assert Line.model_validate({**line, "code": code}).code == code
