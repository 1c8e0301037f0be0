"""Takes uploads in: only what a case is made of, of modest size, and nothing onto the disk."""

from __future__ import annotations

import io
import zipfile
import zlib
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import PurePosixPath

from shopfit.errors import Fault, InputFaults

NAMES = (
    *("shop.yaml", "range.csv", "fixtures.yaml", "pins.yaml", "values.yaml"),
    *("layout.json", "columns.json"),
)
MAX_BYTES = 20_000_000
MAX_ENTRIES = 200
_ZIP_FAULTS = (
    zipfile.BadZipFile,
    zlib.error,
    NotImplementedError,
    RuntimeError,
    EOFError,
    OSError,
    ValueError,
)


@dataclass(frozen=True)
class Upload:
    """One uploaded file.

    Parameters
    ----------
    name, data
        The name it came with, and its bytes.
    """

    name: str
    data: bytes


def gather(uploads: Iterable[Upload], max_bytes: int = MAX_BYTES) -> dict[str, bytes]:
    """Give a case's files from uploads, zipped or not, by their own names.

    Only the last part of a name counts, and nothing is written anywhere.

    Parameters
    ----------
    uploads
        What was given.
    max_bytes
        Most that one file may hold, unpacked.

    Raises
    ------
    InputFaults
        For files that are too large, broken, unknown or given twice.
    """
    faults: list[Fault] = []
    found: dict[str, bytes] = {}
    for upload in uploads:
        if upload.name.lower().endswith(".zip"):
            inside, more = _from_zip(upload, max_bytes)
            faults += more
        else:
            inside = [upload]
        for each in inside:
            faults += _take(each, found, max_bytes)
    if not found and not faults:
        faults.append(_fault("upload", "nothing", "Choose the files of a scenario, or a zip."))
    if faults:
        raise InputFaults(faults)
    return found


def base_name(name: str) -> str:
    """Give the last part of a name, whichever way its folders are written."""
    return PurePosixPath(name.replace("\\", "/")).name


def _take(upload: Upload, found: dict[str, bytes], max_bytes: int) -> list[Fault]:
    name = base_name(upload.name)
    if name not in NAMES:
        return [_fault(name, "a file of this name", f"Rename it, or leave it out: {_listed()}.")]
    if name in found:
        return [_fault(name, "two files of this name", "Give one scenario at a time.")]
    if len(upload.data) > max_bytes:
        return [_too_large(name, max_bytes)]
    found[name] = upload.data
    return []


def _from_zip(upload: Upload, max_bytes: int) -> tuple[list[Upload], list[Fault]]:
    name = base_name(upload.name)
    if len(upload.data) > max_bytes:
        return [], [_too_large(name, max_bytes)]
    try:
        with zipfile.ZipFile(io.BytesIO(upload.data)) as archive:
            entries = [entry for entry in archive.infolist() if not entry.is_dir()]
            if len(entries) > MAX_ENTRIES:
                mend = "Zip the scenario folder alone."
                return [], [_fault(name, f"{len(entries)} files in one zip", mend)]
            return _read_entries(archive, entries, max_bytes)
    except _ZIP_FAULTS:
        # Broken, encrypted, or packed in a way that is not read here.
        mend = "Zip the scenario folder again, without a password."
        return [], [_fault(name, "a zip that cannot be read", mend)]


def _read_entries(
    archive: zipfile.ZipFile, entries: list[zipfile.ZipInfo], max_bytes: int
) -> tuple[list[Upload], list[Fault]]:
    found, faults = [], []
    for entry in entries:
        name = base_name(entry.filename)
        if name not in NAMES:
            continue  # a zip of a whole folder brings notes and hidden files along
        with archive.open(entry) as stream:
            # The size that a zip tells of itself is not to be trusted.
            data = stream.read(max_bytes + 1)
        if len(data) > max_bytes:
            faults.append(_too_large(name, max_bytes))
        else:
            found.append(Upload(name, data))
    if not found and not faults:
        faults.append(_fault(base_name(archive.filename or "zip"), "no scenario file", _listed()))
    return found, faults


def _too_large(name: str, max_bytes: int) -> Fault:
    return _fault(name, f"more than {max_bytes // 1_000_000} MB", "Give a smaller file.")


def _fault(name: str, given: str, mend: str) -> Fault:
    return Fault(name, "upload", given, f"{_listed()}, or a zip of them", mend)


def _listed() -> str:
    return ", ".join(NAMES)
