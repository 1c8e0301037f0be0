"""Writes down each answer as soon as it is there, and finds it again when a study goes on."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable
from pathlib import Path

from pydantic import ValidationError

from shopfit.errors import InputFaults
from shopfit.files.layouts import digest, read_layout, write_layout
from shopfit.files.writing import require_folder
from shopfit.model.base import plain
from shopfit.model.study import CaseRow
from shopfit.sweep.work import Answer, Task

RESULTS = "results.jsonl"
LAYOUT = "layout.json"


class Store:
    """A folder with one line a finished case, and one folder with its layout.

    Parameters
    ----------
    folder
        Made if need be.

    Raises
    ------
    InputFaults
        If a file has its name.
    """

    def __init__(self, folder: Path | str) -> None:
        require_folder(folder)
        self.folder = Path(folder)
        self._file = self.folder / RESULTS
        self._rows: dict[str, CaseRow] = {}
        # Two studies may name a case alike: its folder then holds the layout of the later one.
        self._owner: dict[str, str] = {}
        for row in self._read():
            self._note(row)

    def find(self, task: Task) -> tuple[CaseRow, Answer] | None:
        """Give the answer that an earlier search came to and its row, or none.

        An answer counts if scenario, options, start and versions are the same, whatever its case
        was called then. One that failed or was stopped does not, nor one whose layout was changed
        since, or has no digest that would tell.

        Parameters
        ----------
        task
            What would be solved.
        """
        row = self._rows.get(task.key)
        if row is None or row.status not in ("layout", "no layout"):
            return None
        layout = None
        if row.status == "layout":
            if self._owner[row.folder] != row.key:
                return None
            file = self.folder / row.folder / LAYOUT
            try:
                if digest(file.read_text(encoding="utf-8")) != row.digest:
                    return None
                layout = read_layout(file, task.scenario)
            except (InputFaults, OSError, UnicodeDecodeError):
                return None
        count = row.violations or 0
        return row, Answer(task.name, task.key, row.status, layout, count, row.seconds, row.message)

    def add(self, row: CaseRow, answer: Answer) -> None:
        """Write down an answer: first its layout, then its line."""
        if answer.layout is not None:
            write_layout(self.folder / row.folder / LAYOUT, answer.layout)
        self.folder.mkdir(parents=True, exist_ok=True)
        text = json.dumps(plain(row), ensure_ascii=False, allow_nan=False) + "\n"
        with self._file.open("ab+") as stream:
            # A line torn by a power cut is closed off, so that it spoils no other.
            if stream.tell() > 0:
                stream.seek(-1, os.SEEK_END)
                if stream.read(1) != b"\n":
                    text = "\n" + text
            stream.write(text.encode("utf-8"))
            stream.flush()
            os.fsync(stream.fileno())
        self._note(row)

    def _note(self, row: CaseRow) -> None:
        self._rows[row.key] = row
        self._owner[row.folder] = row.key

    def _read(self) -> Iterable[CaseRow]:
        if not self._file.is_file():
            return
        for line in self._file.read_bytes().splitlines():
            try:
                yield CaseRow.model_validate_json(line)
            except ValidationError:
                continue
