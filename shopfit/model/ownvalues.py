"""The user's own values on top of a rulebook."""

from __future__ import annotations

from pydantic import Field

from shopfit.model.base import Frozen


class OwnValue(Frozen):
    """One value that the user sets higher than a published one.

    Parameters
    ----------
    key
        Name of the value in the rulebook, such as ``route-width``.
    value
        The value, in the unit of the published one.
    written
        As the user wrote it.
    why
        The user's reason, or nothing.
    """

    key: str = Field(min_length=1)
    value: float
    written: str
    why: str = ""


class OwnValues(Frozen):
    """What ``values.yaml`` comes to.

    Parameters
    ----------
    title
        What the rulebook is called with these values; made up from its title if left out.
    values
        By keys of the shop's rulebook.
    """

    title: str = ""
    values: tuple[OwnValue, ...] = ()
