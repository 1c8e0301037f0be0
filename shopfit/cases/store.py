"""Keeps cases in one file on this machine, so that two windows never overwrite each other."""

from __future__ import annotations

import json
import sqlite3
import zlib
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from pathlib import Path

from shopfit.cases.case import Case
from shopfit.errors import ShopfitError
from shopfit.files.drafts import Draft
from shopfit.model.base import plain
from shopfit.model.layout import Layout

FORM = 1
WAIT_SECONDS = 5.0
NAME_SIGNS = 60
_TABLE = """
CREATE TABLE IF NOT EXISTS cases (
    name TEXT PRIMARY KEY,
    revision INTEGER NOT NULL,
    saved TEXT NOT NULL,
    form INTEGER NOT NULL,
    body BLOB NOT NULL
) STRICT
"""


class StoreError(ShopfitError):
    """Something that cannot be kept or read; the message says what to do."""


class SavedElsewhere(StoreError):  # noqa: N818 - says what happened
    """Somebody else has kept a newer version of the case since it was opened."""


@dataclass(frozen=True)
class Kept:
    """One case as listed.

    Parameters
    ----------
    name, revision
        Its name, and how often it was kept.
    saved
        When last, ISO 8601, UTC.
    """

    name: str
    revision: int
    saved: str


class Store:
    """Cases in an SQLite file.

    Parameters
    ----------
    path
        The file; it and its folder are made when first needed.
    """

    def __init__(self, path: Path) -> None:
        self.path = path

    def names(self) -> tuple[Kept, ...]:
        """List all cases, the newest first."""
        with self._open() as base:
            rows = base.execute("SELECT name, revision, saved FROM cases ORDER BY saved DESC, name")
            return tuple(Kept(*row) for row in rows)

    def read(self, name: str) -> tuple[Case, int]:
        """Give a case and its revision.

        Raises
        ------
        StoreError
            If there is none of that name, or it was kept by a newer version of shopfit.
        """
        with self._open() as base:
            found = base.execute(
                "SELECT revision, form, body FROM cases WHERE name = ?", (name,)
            ).fetchone()
        if found is None:
            raise StoreError(f"There is no case '{name}' in {self.path}.")
        revision, form, body = found
        if form > FORM:
            raise StoreError(f"'{name}' was kept by a newer shopfit; open it with that.")
        return _case(body), revision

    def revision(self, name: str) -> int:
        """Give the revision of a case, 0 where there is none."""
        with self._open() as base:
            found = base.execute("SELECT revision FROM cases WHERE name = ?", (name,)).fetchone()
        return 0 if found is None else int(found[0])

    def keep(self, name: str, case: Case, revision: int) -> int:
        """Keep a case.

        Parameters
        ----------
        name
            What it is kept under.
        case
            The case.
        revision
            The version that it goes on from; 0 for a new one.

        Returns
        -------
        The new revision.

        Raises
        ------
        SavedElsewhere
            If another version was kept under that name since.
        StoreError
            If the name is empty or too long, or the file cannot be written.
        """
        if not name.strip() or len(name) > NAME_SIGNS:
            raise StoreError(f"Give the case a name of 1 to {NAME_SIGNS} signs.")
        body, moment = _body(case), datetime.now(UTC).isoformat(timespec="milliseconds")
        with self._open() as base:
            base.execute("BEGIN IMMEDIATE")
            found = base.execute("SELECT revision FROM cases WHERE name = ?", (name,)).fetchone()
            if (0 if found is None else found[0]) != revision:
                raise SavedElsewhere(_elsewhere(name, found is not None))
            base.execute(
                "INSERT OR REPLACE INTO cases VALUES (?, ?, ?, ?, ?)",
                (name, revision + 1, moment, FORM, body),
            )
        return revision + 1

    def forget(self, name: str) -> None:
        """Remove a case; nothing happens where there is none."""
        with self._open() as base:
            base.execute("DELETE FROM cases WHERE name = ?", (name,))

    @contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            with closing(sqlite3.connect(self.path, timeout=WAIT_SECONDS)) as base, base:
                base.execute(_TABLE)
                yield base
        except (sqlite3.Error, OSError) as error:
            raise StoreError(f"{self.path} cannot be used: {error}.") from error


def _elsewhere(name: str, there: bool) -> str:
    if there:
        return f"'{name}' was kept from another window since it was opened here."
    return f"'{name}' was removed in another window since it was opened here."


def _body(case: Case) -> bytes:
    layout = None if case.layout is None else plain(case.layout)
    text = json.dumps({"draft": asdict(case.draft), "layout": layout}, ensure_ascii=False)
    return zlib.compress(text.encode("utf-8"), 6)


def _case(body: bytes) -> Case:
    try:
        data = json.loads(zlib.decompress(body))
        draft = Draft(**{**data["draft"], "rows": tuple(data["draft"]["rows"])})
        layout = data["layout"]
        return Case(draft, None if layout is None else Layout.model_validate(layout))
    except (zlib.error, ValueError, KeyError, TypeError) as error:
        raise StoreError(f"The case cannot be read: {error}.") from error
