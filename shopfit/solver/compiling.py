"""Compiles loops for this machine, once for each state of their sources."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any, TypeVar, cast

import numba

_Function = TypeVar("_Function", bound=Callable[..., Any])

# Everything that is compiled, and the columns and constants that it is compiled with.
_SOURCES = (
    "compiling.py",
    "packs.py",
    "facearrays.py",
    "faceboards.py",
    "faceloops.py",
    "turns.py",
)


def compiled(function: _Function) -> _Function:
    """Compile a function when it is first called, and keep what came of it for later runs.

    It takes twenty seconds once, and most of a second in each later process.
    """
    # A function kept is found again by its own file alone, but it has in it what the other files
    # said: so there is a place of its own for each state of all of them.
    place, config = _place(), cast("Any", numba.config)
    known = config.CACHE_DIR
    config.CACHE_DIR = str(place or "")
    try:
        made = numba.njit(cache=place is not None, nogil=True, error_model="numpy")(function)
    finally:
        config.CACHE_DIR = known
    return cast("_Function", made)


@cache
def _place() -> Path | None:
    """Give where to keep what was compiled, or none where nothing can be written."""
    own = Path(__file__).parent
    text = b"".join((own / name).read_bytes() for name in _SOURCES)
    name = f"loops-{hashlib.sha256(text).hexdigest()[:16]}"
    for place in (own / "__pycache__", Path.home() / ".cache" / "shopfit"):
        try:
            (place / name).mkdir(parents=True, exist_ok=True)
        except (OSError, RuntimeError):
            continue
        if os.access(place / name, os.W_OK):
            return place / name
    return None
