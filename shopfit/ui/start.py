"""Starts the page in a process of its own, on this machine only and telling nobody."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

from shopfit.ui.limits import NAMED_BY, limits

SCRIPT = Path(__file__).with_name("app.py")
# The same as in .streamlit/config.toml, which only counts where the page is started from a
# checkout. Contrast of text and marks is at least 4.5 to 1 on every ground.
SETTINGS: Mapping[str, str] = {
    "browser.gatherUsageStats": "false",
    "client.showErrorDetails": "none",
    "client.toolbarMode": "minimal",
    "theme.light.primaryColor": "#1d5a96",
    "theme.light.backgroundColor": "#ffffff",
    "theme.light.secondaryBackgroundColor": "#f3f1ec",
    "theme.light.textColor": "#1b1f24",
    "theme.light.linkColor": "#1d5a96",
    "theme.light.borderColor": "#8a8578",
    "theme.dark.primaryColor": "#2f6fae",
    "theme.dark.backgroundColor": "#15191e",
    "theme.dark.secondaryBackgroundColor": "#222831",
    "theme.dark.textColor": "#f2f0eb",
    "theme.dark.linkColor": "#8fc1f0",
    "theme.dark.borderColor": "#7d8590",
}


def page_command(port: int, script: Path = SCRIPT, headless: bool = False) -> list[str]:
    """Give the command that serves the page.

    Parameters
    ----------
    port
        Where it listens, on this machine alone.
    script
        The script that is served.
    headless
        Whether to open no browser.

    Raises
    ------
    InputFaults
        With every fault of the file of limits.
    """
    return [
        *(sys.executable, "-m", "shopfit.ui.serve", "run", str(script)),
        f"--server.port={port}",
        "--server.address=localhost",
        f"--server.headless={str(headless).lower()}",
        f"--server.maxUploadSize={limits().upload_megabytes}",
        "--server.fileWatcherType=none",
        *(f"--{name}={value}" for name, value in SETTINGS.items()),
    ]


def run_page(port: int, named: Path | None = None) -> int:
    """Serve the page until it is closed with Ctrl-C; give the exit code.

    Parameters
    ----------
    port
        Where it listens, on this machine alone.
    named
        A file of limits; ``shopfit-page.toml`` in this folder, if there is one, if left out.

    Raises
    ------
    InputFaults
        With every fault of that file.
    """
    if named is not None:
        os.environ[NAMED_BY] = str(named.resolve())
    command = page_command(port)
    try:
        return subprocess.run(command, check=False).returncode
    except KeyboardInterrupt:
        return 0
