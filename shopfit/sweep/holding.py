"""Holds a folder while searches write to it, so that a second one beside them is told."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

LOCK = ".in-use"


@contextmanager
def held(folder: Path | str | None, noted: Callable[[str], None] | None) -> Iterator[None]:
    """Hold a folder; where another process does already, say so and go on all the same.

    Parameters
    ----------
    folder
        Made if need be; nothing is held if there is none.
    noted
        Hears that another process writes to it too.
    """
    if folder is None:
        yield
        return
    path = Path(folder) / LOCK
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("ab") as stream:
        alone = _locked(stream)
        if not alone and noted is not None:
            noted(
                f"Another search writes to {folder} too: both solve what is not finished yet. "
                "Stop one of them, or give it a folder of its own with -o."
            )
        try:
            yield
        finally:
            if alone:
                # Where an open file cannot be removed, it stays, and is in nobody's way.
                with suppress(OSError):
                    path.unlink()


def _locked(stream: IO[bytes]) -> bool:
    """Lock an open file until it is closed; false where another process has it.

    The lock ends with its process however that ends, so what is left of a file blocks nobody.
    """
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(stream.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(stream, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    except OSError:
        # Some file systems lock nothing; then nothing is known.
        return True
    return True
