"""What the page needs is loaded while its server waits for the first visit."""

from __future__ import annotations

import subprocess
import sys

from shopfit.ui import serve

TOLD = (
    "import sys\n"
    "from shopfit.ui import serve\n"
    "serve.loaded()\n"
    "assert not [name for name in serve.AHEAD if name in sys.modules]\n"
    "serve.load_ahead()\n"
    "serve.loaded()\n"
    "print(sorted(set(serve.AHEAD) - set(sys.modules)))\n"
    "heavy = {'streamlit', 'ortools'}\n"
    "print(sorted(heavy & {name.split('.')[0] for name in sys.modules}))\n"
)


def test_waiting_ends_with_everything_loaded():
    """Nothing begun is not waited for; once begun, all is there, without page or solver."""
    done = subprocess.run(
        [sys.executable, "-c", TOLD], capture_output=True, text=True, check=False, timeout=60
    )
    assert done.stderr == ""
    assert done.stdout.splitlines() == ["[]", "[]"]


def test_the_script_waits_for_what_is_loading(monkeypatch):
    """A visit that comes early does not import beside the thread that imports."""
    told = []
    monkeypatch.setattr(serve, "loaded", lambda: told.append("waited"))
    monkeypatch.setattr("shopfit.ui.page.show", lambda: told.append("drawn"))
    from shopfit.ui import show

    show()
    assert told == ["waited", "drawn"]
