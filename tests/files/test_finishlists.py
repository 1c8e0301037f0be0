"""Lists of finishes, as a spreadsheet reads them."""

from __future__ import annotations

import csv
import io

import pytest
from pydantic import ValidationError

from shopfit.files.finishlists import finish_csv
from shopfit.files.wording import refusals
from shopfit.model.finishes import Cover, FinishPart, FinishRow, FinishTakeOff
from tests.checks import build as b

TAKE_OFF = FinishTakeOff(
    rows=(
        FinishRow(
            item="baseboard",
            amount=57 * 0.3048,
            unit="m",
            waste=0.1,
            pack=8 * 0.3048,
            packs=8,
            price=7.0,
            total=56.0,
            note="4 inside and 0 outside corners",
        ),
    ),
    parts=(FinishPart(item="wainscot", where="N", formula="a − b", amount=2.97289728, unit="m2"),),
    total=56.0,
)


def _read(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def test_amounts_are_in_the_units_of_the_shop() -> None:
    """Feet beside inches, metres beside metres; money to the hundredth."""
    (row,) = _read(finish_csv(TAKE_OFF, b.scenario().shop)["finishes.csv"])
    assert (row["Measured"], row["Unit"], row["One piece or pack covers"]) == ("57", "ft", "8")
    assert (row["Pieces or packs to buy"], row["Total (USD)"]) == ("8", "56.00")
    assert row["Waste is"] == "your own; common practice, no source"
    (row,) = _read(finish_csv(TAKE_OFF, b.scenario(units="mm").shop)["finishes.csv"])
    assert (row["Measured"], row["Unit"]) == ("17.374", "m")


def test_parts_show_how_they_were_reckoned() -> None:
    """Formula, amount and unit of every wall."""
    (part,) = _read(finish_csv(TAKE_OFF, b.scenario().shop)["finishes-parts.csv"])
    assert (part["Where"], part["Reckoned as"], part["Amount"], part["Unit"]) == (
        "N",
        "a − b",
        "32",
        "sq ft",
    )


@pytest.mark.parametrize("given", ["32", 32, "2 1/2"])
def test_an_area_without_its_unit_is_mended_by_units_of_area(given: object) -> None:
    """Not by those of a length."""
    data = {"covers": given}
    with pytest.raises(ValidationError) as caught:
        Cover.model_validate(data)
    (told,) = refusals(caught.value, Cover, data)
    assert told.mend == f"Add the unit, such as {given} sq ft or {given} m2."
