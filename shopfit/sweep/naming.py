"""Names of cases that people can read, and folder names that every file system takes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from pathlib import PurePath

from shopfit.model.study import Written
from shopfit.sweep.fields import label

_LONGEST = 80


def told(value: Written) -> str:
    """Say a value as it was written."""
    if value is None:
        return "none"
    return ("yes" if value else "no") if isinstance(value, bool) else str(value).strip()


def labels(paths: Iterable[str]) -> dict[str, str]:
    """Give the short name of each field; the whole one where two would have the same."""
    short = {path: label(path) for path in paths}
    found = list(short.values())
    return {path: path if found.count(name) > 1 else name for path, name in short.items()}


def titles(sources: Iterable[str]) -> dict[str, str]:
    """Give the name of each scenario folder; the whole path where two would have the same."""
    short = {source: PurePath(source).name or source for source in sources}
    found = list(short.values())
    return {source: source if found.count(name) > 1 else name for source, name in short.items()}


def case_name(title: str, changes: Mapping[str, Written], short: Mapping[str, str]) -> str:
    """Name a case by what sets it apart, such as ``aisle 36 in, budget 1500``.

    Parameters
    ----------
    title
        Name of its scenario; blank where there is only one.
    changes
        What sets it apart.
    short
        Short names of the fields.
    """
    parts = [f"{short[path]} {told(value)}" for path, value in changes.items()]
    return ", ".join([title, *parts] if title else parts)


def folder_name(name: str, taken: set[str]) -> str:
    """Give a folder name: plain letters, digits and dashes, and none twice.

    Parameters
    ----------
    name
        What it stands for.
    taken
        Folder names given so far; the new one is added.
    """
    feet = re.sub(r"(?<=\d)'", " ft ", name.lower())
    plain = re.sub(r"[^a-z0-9.]+", "-", feet).strip("-.")[:_LONGEST].rstrip("-.") or "case"
    found, number = plain, 1
    while found in taken:
        number += 1
        found = f"{plain}-{number}"
    taken.add(found)
    return found
