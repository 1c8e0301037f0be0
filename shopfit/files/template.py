"""Writes a small scenario to start from."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

from shopfit.errors import InputFaults
from shopfit.files.parts import FIXTURES, PINS, RANGE, SHOP, fault
from shopfit.files.writing import Bundle


def write_template(folder: str | Path) -> list[Path]:
    """Write a small, commented scenario that works as it stands.

    Parameters
    ----------
    folder
        A new or empty folder.

    Returns
    -------
    The files written.

    Raises
    ------
    InputFaults
        If the folder holds something already, or cannot be one.
    """
    folder = Path(folder)
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise InputFaults(
            [
                fault(
                    folder.name or str(folder),
                    "whole folder",
                    given="something that holds files already"
                    if folder.is_dir()
                    else "a file of this name",
                    allowed="a new or an empty folder",
                    mend="Choose another name; nothing was written.",
                )
            ]
        )
    source = resources.files("shopfit.files") / "start"
    names = (SHOP, RANGE, FIXTURES, PINS)
    with Bundle(folder) as bundle:
        for name in names:
            bundle.write_text(name, (source / name).read_text("utf-8"))
    return [folder / name for name in names]
