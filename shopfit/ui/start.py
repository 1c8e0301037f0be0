"""Starts the page in a process of its own, on this machine only and telling nobody."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

SCRIPT = Path(__file__).with_name("app.py")
UPLOAD_MEGABYTES = 5


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
    """
    return [
        *(sys.executable, "-m", "streamlit", "run", str(script)),
        f"--server.port={port}",
        "--server.address=localhost",
        f"--server.headless={str(headless).lower()}",
        f"--server.maxUploadSize={UPLOAD_MEGABYTES}",
        "--server.fileWatcherType=none",
        "--browser.gatherUsageStats=false",
        "--client.toolbarMode=minimal",
        "--client.showErrorDetails=none",
    ]


def run_page(port: int) -> int:
    """Serve the page until it is closed with Ctrl-C; give the exit code."""
    try:
        return subprocess.run(page_command(port), check=False).returncode
    except KeyboardInterrupt:
        return 0
