"""What can go wrong with what the user gave, said so that it can be mended."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Fault:
    """One fault in the input: where it is, what was given, what is allowed and the mend.

    Parameters
    ----------
    file
        The file's name inside the scenario folder.
    where
        Field path or row, in the user's names, such as ``doors > front > offset`` or
        ``row 7, min_facings``.
    given
        What was written there, shortened.
    allowed
        What may be written there.
    mend
        What to do about it.
    """

    file: str
    where: str
    given: str
    allowed: str
    mend: str

    def __str__(self) -> str:
        """Say the fault in one line."""
        return (
            f"{self.file}: {self.where}: given {self.given}; allowed: {self.allowed}. {self.mend}"
        )


class ShopfitError(Exception):
    """Root of every error that a user can mend."""


class InputFaults(ShopfitError):  # noqa: N818 - several faults, none of them an error of ours
    """All faults of a scenario, a layout or a file, found in one pass.

    Parameters
    ----------
    faults
        At least one fault.
    """

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(sorted(set(faults), key=_reading_order))
        super().__init__("\n".join(str(fault) for fault in self.faults))


def _reading_order(fault: Fault) -> tuple[str, list[str | int], Fault]:
    # Row 9 comes before row 10: every second piece is a number.
    pieces = re.split(r"([0-9]+)", fault.where)
    numbered = [int(piece) if k % 2 else piece for k, piece in enumerate(pieces)]
    return fault.file, numbered, fault
