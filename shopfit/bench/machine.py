"""What a measurement was taken on and with: machine, versions and commit."""

from __future__ import annotations

import os
import platform
import shutil
import subprocess
from importlib.metadata import version
from pathlib import Path

from shopfit import __version__

_LIBRARIES = ("ortools", "highspy", "numpy", "shapely")


def machine() -> dict[str, str | int | None]:
    """Tell the processor, cores, memory, system and Python."""
    return {
        "processor": _processor(),
        "cores": os.cpu_count(),
        "memory_bytes": memory_bytes(),
        "system": f"{platform.system()} {platform.machine()}",
        "python": platform.python_version(),
    }


def versions() -> dict[str, str]:
    """Tell the versions of the package and of the libraries that search."""
    found = {"shopfit": __version__}
    for library in _LIBRARIES:
        try:
            found[library] = version(library)
        except ModuleNotFoundError:
            continue
    return found


def commit() -> str:
    """Give the commit of the package's own source, or nothing where it is no checkout.

    A plus at its end says that the package's files differ from it.
    """
    package = Path(__file__).parents[1]
    git = shutil.which("git")
    if git is None or not (package.parent / ".git").exists():
        return ""
    found = _told(git, package, "rev-parse", "--short=12", "HEAD")
    changed = _told(git, package, "status", "--porcelain", "--untracked-files=no", ".")
    return f"{found}+" if found and changed else found


def memory_bytes() -> int | None:
    """Give the memory of the machine, bytes, or none where the system does not tell."""
    try:
        return os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES")
    except (AttributeError, OSError, ValueError):
        return None


def _processor() -> str:
    listed = Path("/proc/cpuinfo")
    if listed.exists():
        for row in listed.read_text("utf-8", errors="replace").splitlines():
            key, _, name = row.partition(":")
            if key.strip() == "model name":
                return name.strip()
    return platform.processor() or platform.machine()


def _told(git: str, folder: Path, *asked: str) -> str:
    try:
        done = subprocess.run(
            [git, "-C", str(folder), *asked], capture_output=True, text=True, timeout=10, check=True
        )
    except (OSError, subprocess.SubprocessError):
        return ""
    return done.stdout.strip()
