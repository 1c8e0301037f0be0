"""How much the page may take on: from a file, for a server that several people share."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Annotated, Any

from pydantic import Field, ValidationError

from shopfit.errors import Fault, InputFaults
from shopfit.model.base import Frozen

FILE = "shopfit-page.toml"
NAMED_BY = "SHOPFIT_PAGE"


class Limits(Frozen):
    """What `shopfit-page.toml` holds.

    Parameters
    ----------
    workers
        Threads of one search.
    seconds
        Longest search that may be asked for.
    session_seconds
        Seconds of searching for one visit in all; no limit if left out.
    searches
        Searches at once, of all visitors; others wait for their turn.
    upload_megabytes
        Largest file that may be given.
    keep
        Whether cases are kept on the machine that serves the page. On a shared server everybody
        who opens the page sees what is kept.
    folder
        Where they are kept; ``.shopfit`` in the home folder if left out.
    """

    workers: Annotated[int, Field(ge=1, le=64)] = 2
    seconds: Annotated[int, Field(ge=1, le=86_400)] = 600
    session_seconds: Annotated[int, Field(ge=1)] | None = None
    searches: Annotated[int, Field(ge=1, le=64)] = 1
    upload_megabytes: Annotated[int, Field(ge=1, le=200)] = 20
    keep: bool = True
    folder: str | None = None

    @property
    def store(self) -> Path:
        """The file that cases are kept in."""
        folder = Path.home() / ".shopfit" if self.folder is None else Path(self.folder)
        return folder.expanduser() / "cases.sqlite3"


def limits() -> Limits:
    """Give the limits that hold here: of the file named, or else of the one in this folder.

    Raises
    ------
    InputFaults
        With every fault of the file.
    """
    named = os.environ.get(NAMED_BY)
    path = Path(named) if named else Path.cwd() / FILE
    if not named and not path.is_file():
        return Limits()
    return read_limits(path)


@lru_cache(maxsize=4)
def _read(path: Path, changed_ns: int) -> Limits:
    try:
        data = tomllib.loads(path.read_text("utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        mend = "Write one `name = number` a line."
        raise InputFaults([Fault(path.name, "whole file", str(error), "TOML", mend)]) from None
    try:
        return Limits.model_validate(data)
    except ValidationError as error:
        raise InputFaults(_faults(path, error)) from None


def read_limits(path: Path) -> Limits:
    """Read a file of limits; see `limits`."""
    try:
        changed = path.stat().st_mtime_ns
    except OSError:
        mend = f"Write it, or unset {NAMED_BY}."
        fault = Fault(path.name, "whole file", "nothing", "a file of limits", mend)
        raise InputFaults([fault]) from None
    return _read(path, changed)


def _faults(path: Path, error: ValidationError) -> list[Fault]:
    fields: Mapping[str, Any] = Limits.model_fields
    return [
        Fault(
            path.name,
            " > ".join(map(str, each["loc"])) or "whole file",
            repr(each["input"])[:60],
            f"one of {', '.join(fields)}"
            if each["type"] == "extra_forbidden"
            else each["msg"].lower(),
            "Correct it or take it out.",
        )
        for each in error.errors()
    ]
