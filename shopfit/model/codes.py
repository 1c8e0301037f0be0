"""Article numbers that end in a check digit."""

from __future__ import annotations

LENGTHS = (8, 12, 13, 14)


def check_digit(digits: str) -> int:
    """Give the digit that ends an article number.

    Parameters
    ----------
    digits
        The digits before it.

    Source
    ------
    GS1 General Specifications, standard check digit calculation: from the right, digits times 3
    and 1 in turn, filled up to the next ten. From memory.
    """
    weighed = sum(int(digit) * (1 if k % 2 else 3) for k, digit in enumerate(reversed(digits)))
    return -weighed % 10


def has_check_digit(code: str) -> bool:
    """Say whether a code is an article number of 8, 12, 13 or 14 digits with its check digit."""
    plain = code.isascii() and code.isdigit() and len(code) in LENGTHS
    return plain and check_digit(code[:-1]) == int(code[-1])
