"""Writes files to temporary names and renames them at the end, so that none is half written."""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterable, Mapping
from pathlib import Path
from types import TracebackType

from shopfit.errors import Fault, InputFaults


def require_folder(folder: str | Path) -> None:
    """Refuse a folder that cannot be made because a file has its name, before work is done for it.

    Raises
    ------
    InputFaults
        With the file that is in the way.
    """
    for place in (Path(folder), *Path(folder).parents):
        if place.is_dir():
            return
        if place.exists():
            allowed = "a folder, or a name that is free"
            mend = "Name another folder, or move the file."
            raise InputFaults([Fault(str(place), "output folder", "a file", allowed, mend)])


def write_text(path: str | Path, text: str) -> None:
    """Write a text file in UTF-8 with plain line ends, whole or not at all."""
    write_bytes(path, text.encode("utf-8"))


def write_bytes(path: str | Path, data: bytes) -> None:
    """Write a file, whole or not at all; its folder is made if need be."""
    path = Path(path)
    with Bundle(path.parent) as bundle:
        bundle.write_bytes(path.name, data)


def write_all(
    files: Mapping[str, bytes], folder: str | Path, stale: Iterable[str] = ()
) -> tuple[str, ...]:
    """Write files into a folder, all or none; gives their names.

    Parameters
    ----------
    files
        Contents by name.
    folder
        Made if need be.
    stale
        Patterns of names that an earlier writing may have left: what matches and is not written
        now is removed. All other files stay.
    """
    folder = Path(folder)
    with Bundle(folder) as bundle:
        for name, data in files.items():
            bundle.write_bytes(name, data)
    for pattern in stale:
        for old in folder.glob(pattern):
            if old.name not in files:
                old.unlink()
    return tuple(files)


class Bundle:
    """Several files of one folder that appear together.

    Inside ``with`` they are written to temporary names. At its end all are renamed; where anything
    fails before that, all are removed and what stood there stays as it was.

    Parameters
    ----------
    folder
        Where they go; made if need be.
    """

    def __init__(self, folder: str | Path) -> None:
        self.folder = Path(folder)
        self._token = secrets.token_hex(4)
        self._pending: dict[Path, Path] = {}

    def __enter__(self) -> Bundle:
        self.folder.mkdir(parents=True, exist_ok=True)
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        try:
            if kind is None:
                self._rename()
        finally:
            for temporary in self._pending.values():
                temporary.unlink(missing_ok=True)

    def path(self, name: str) -> Path:
        """Give the temporary path of a file, for whatever writes files by itself.

        Parameters
        ----------
        name
            Name or path below the folder.

        Raises
        ------
        ValueError
            If the name leads out of the folder.
        """
        target = self.folder / name
        if not target.resolve().is_relative_to(self.folder.resolve()):
            raise ValueError(f"{name!r} leads out of the folder")
        if target not in self._pending:
            target.parent.mkdir(parents=True, exist_ok=True)
            # The ending stays, because writers of pictures look at it.
            self._pending[target] = target.with_name(f".{self._token}.{target.name}")
        return self._pending[target]

    def write_text(self, name: str, text: str) -> None:
        """Write a text file in UTF-8 with plain line ends."""
        self.write_bytes(name, text.encode("utf-8"))

    def write_bytes(self, name: str, data: bytes) -> None:
        """Write a file."""
        with self.path(name).open("wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())

    def _rename(self) -> None:
        # Looked at first, so that a missing file or a folder in the way renames nothing.
        for target, temporary in self._pending.items():
            if target.is_dir():
                raise IsADirectoryError(f"{target} is a folder")
            if not temporary.exists():
                raise FileNotFoundError(f"{target} was never written")
        for target, temporary in self._pending.items():
            temporary.replace(target)
