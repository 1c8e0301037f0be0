"""The range: what is sold, one line a row."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, ValidationInfo, field_validator

from shopfit.model.base import Count, Frozen, Mass, Name, PositiveLength
from shopfit.model.codes import check_digit, has_check_digit

Way = Literal["hook", "face-out", "cradle", "shelf", "case", "table"]
WAYS: tuple[Way, ...] = ("hook", "face-out", "cradle", "shelf", "case", "table")


class Line(Frozen):
    """One line: one size and way of display.

    Parameters
    ----------
    line, category
        Its name and the category it stands with.
    width, height, depth
        Face as the customer sees it, and how deep one unit is.
    weight
        Of one unit.
    min_facings, max_facings
        Fewest and most product fronts wanted.
    holding
        Fewest units to be held, facings and behind.
    value
        Weight of one facing when value is counted.
    ways
        Ways of display allowed.
    band
        Height band wanted, by its name in the brief, or none.
    secured
        Whether it must be locked in a glass case.
    new
        Whether it is new in the range, for which the brief may ask a place near the entrance.
    code
        Article number or code for the bars of its label, if it has one. A number of 12 to 14
        digits ends in its check digit.
    """

    line: Name
    category: Name
    width: PositiveLength
    height: PositiveLength
    depth: PositiveLength
    weight: Mass = 0.0
    min_facings: Count = 1
    max_facings: Annotated[Count, Field(validate_default=True)] = 4
    holding: Count = 0
    value: Annotated[float, Field(ge=0, le=1e6)] = 1.0
    ways: Annotated[tuple[Way, ...], Field(min_length=1)]
    band: Name | None = None
    secured: bool = False
    new: bool = False
    code: Annotated[str, Field(max_length=40, pattern=r"^[ -~]*$")] = ""

    # One rule a field, so that all that are broken are told together.
    @field_validator("max_facings")
    @classmethod
    def _not_under_the_fewest(cls, most: int, info: ValidationInfo) -> int:
        fewest = info.data.get("min_facings", 0)
        if fewest > most:
            raise ValueError(f"min_facings {fewest} is over max_facings {most}")
        return most

    @field_validator("secured")
    @classmethod
    def _in_a_case(cls, secured: bool, info: ValidationInfo) -> bool:
        if secured and "case" not in info.data.get("ways", ("case",)):
            raise ValueError("a secured line needs 'case' among its ways")
        return secured

    @field_validator("code")
    @classmethod
    def _ends_in_its_check_digit(cls, code: str) -> str:
        if code.isdigit() and 12 <= len(code) <= 14 and not has_check_digit(code):
            raise ValueError(f"a code that ends in its check digit, {check_digit(code[:-1])} here")
        return code
