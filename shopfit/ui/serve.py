"""Serves the page, and loads what it needs while the browser is still coming."""

from __future__ import annotations

import importlib
import threading

# What the sections import apart from the page's own modules: those stay with the script, so that
# no module is ever imported by two threads at once.
AHEAD = ("shopfit.cases.store", "shopfit.planning", "shopfit.takeaway", "shopfit.trying")
_loading: threading.Thread | None = None


def load_ahead() -> threading.Thread:
    """Begin to import what the page needs, beside whatever else goes on; give the thread."""
    global _loading  # one page is served per process
    _loading = threading.Thread(target=_load, name="loading ahead", daemon=True)
    _loading.start()
    return _loading


def loaded() -> None:
    """Wait until what was begun is imported; nothing where nothing was begun."""
    if _loading is not None:
        _loading.join()


def _load() -> None:
    for name in AHEAD:
        importlib.import_module(name)


def main() -> None:
    """Serve the page as the command line asks."""
    import streamlit.web.cli as serving

    load_ahead()
    serving.main(prog_name="streamlit")


if __name__ == "__main__":
    # The script asks this module by its name, which is not what it runs under here.
    from shopfit.ui import serve

    serve.main()
