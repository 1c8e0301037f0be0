"""A whole case as one zip that opens again the same."""

from __future__ import annotations

import io
import json
import tempfile
import zipfile
from collections.abc import Mapping
from pathlib import Path

from shopfit.cases.case import Case
from shopfit.errors import InputFaults
from shopfit.files.drafts import Draft, draft_files, judge, read_draft
from shopfit.files.layouts import layout_text, read_layout

LAYOUT = "layout.json"
COLUMNS = "columns.json"


def case_files(case: Case) -> dict[str, bytes]:
    """Give the files of a case: the scenario, its layout, and how its range was read."""
    files = draft_files(case.draft)
    if case.layout is not None:
        files[LAYOUT] = layout_text(case.layout).encode("utf-8")
    if case.draft.columns:
        text = json.dumps(dict(case.draft.columns), ensure_ascii=False, indent=2)
        files[COLUMNS] = text.encode("utf-8")
    return files


def read_case(files: Mapping[str, bytes]) -> tuple[Case, tuple[str, ...]]:
    """Read a case from its files.

    Parameters
    ----------
    files
        Contents by name, without folders.

    Returns
    -------
    The case, and what had to be left out, in words.

    Raises
    ------
    InputFaults
        Where a file of the scenario is no YAML or no table at all.
    """
    draft = read_draft(files).changed(columns=_columns(files.get(COLUMNS, b"{}")))
    if LAYOUT not in files:
        return Case(draft), ()
    with tempfile.TemporaryDirectory(prefix="shopfit-") as place:
        path = Path(place) / LAYOUT
        path.write_bytes(files[LAYOUT])
        try:
            return Case(draft, read_layout(path, judge(draft).scenario)), ()
        except InputFaults as caught:
            first = caught.faults[0]
            return Case(draft), (f"The layout was left out: {first.where}: {first.given}.",)


def zipped(folder: str, files: Mapping[str, bytes]) -> bytes:
    """Pack files into one zip under a folder; equal files give equal bytes."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in sorted(files.items()):
            archive.writestr(zipfile.ZipInfo(f"{folder}/{name}"), data, zipfile.ZIP_DEFLATED)
    return packed.getvalue()


def start_draft() -> Draft:
    """Give the draft of the scenario to start from."""
    from shopfit.files.drafts import draft_from_folder
    from shopfit.files.template import write_template

    with tempfile.TemporaryDirectory(prefix="shopfit-") as place:
        write_template(Path(place) / "shop")
        return draft_from_folder(Path(place) / "shop")


def _columns(raw: bytes) -> dict[str, str]:
    try:
        data = json.loads(raw)
    except ValueError:
        return {}
    if not isinstance(data, dict):
        return {}
    return {str(ours): str(theirs) for ours, theirs in data.items()}
