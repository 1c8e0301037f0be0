"""The floors of the package: a room imports only from floors below it."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "shopfit"

FLOORS = (
    {"units", "numerals", "errors", "stopping"},
    {"model", "standards"},
    {"geometry", "wording", "gathering", "cutting"},
    {"solver", "checks", "quantities", "drawing", "files", "solids", "access"},
    {
        "planning",
        "affording",
        "jobs",
        "bench",
        "outputs",
        "takeaway",
        "finished",
        "trying",
        "cases",
        "apart",
        "ramping",
        "asbuilt",
        "sawing",
    },
    {"sweep"},
    {"frontier", "limits"},
    {"cli", "ui"},
)
FLOOR = {room: number for number, rooms in enumerate(FLOORS) for room in rooms}
# One way only: lengths are numbers with a unit behind them; clauses are about doors and
# panelboards; planning keeps to the budget and hands out files; jobs, solves in a process apart
# and measurements are made of plans; a command opens the page.
ON_THE_SAME_FLOOR = {
    ("units", "numerals"),
    ("standards", "model"),
    ("planning", "affording"),
    ("jobs", "planning"),
    ("apart", "planning"),
    ("apart", "jobs"),
    ("bench", "planning"),
    ("planning", "outputs"),
    ("outputs", "sawing"),
    ("finished", "asbuilt"),
    ("finished", "outputs"),
    ("outputs", "takeaway"),
    ("ramping", "planning"),
    ("cli", "ui"),
}
ONLY_IN = {"ortools": "solver", "highspy": "solver", "numba": "solver", "streamlit": "ui"}


def room_of(module: str) -> str:
    """Give the room of a dotted module name: ``shopfit.solver.run`` is in ``solver``."""
    return module.split(".")[1] if "." in module else ""


def imports(tree: ast.AST, module: str, is_package: bool) -> Iterator[tuple[int, str]]:
    """Give every module that a module imports, wherever in it, with the line."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield node.lineno, alias.name
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                above = module.split(".")[: None if is_package else -1]
                above = above[: len(above) - (node.level - 1)]
                base = ".".join([*above, *([base] if base else [])])
            if base == "shopfit":
                for alias in node.names:
                    # The package's own public functions are those of planning.
                    name = alias.name if alias.name in FLOOR else "planning"
                    yield (
                        node.lineno,
                        "shopfit" if alias.name == "__version__" else f"{base}.{name}",
                    )
            else:
                yield node.lineno, base
        elif isinstance(node, ast.Call) and node.args:
            called = node.func.attr if isinstance(node.func, ast.Attribute) else node.func
            called = called.id if isinstance(called, ast.Name) else called
            first = node.args[0]
            if called in ("import_module", "__import__") and isinstance(first, ast.Constant):
                yield node.lineno, str(first.value)


def breaches(source: str, module: str, path: str, is_package: bool = False) -> list[str]:
    """Say what a module imports that its floor forbids, each with file and line."""
    room, found = room_of(module), []
    for line, imported in imports(ast.parse(source), module, is_package):
        top, other = imported.split(".")[0], room_of(imported)
        if top in ONLY_IN and room != ONLY_IN[top]:
            found.append(f"{path}:{line}: only {ONLY_IN[top]} may import {top}")
        if top != "shopfit" or not other or not room or other == room:
            continue
        homeless = next((each for each in (room, other) if each not in FLOOR), None)
        if homeless:
            found.append(f"{path}:{line}: {homeless} has no floor")
        elif FLOOR[other] >= FLOOR[room] and (room, other) not in ON_THE_SAME_FLOOR:
            floors = f"{room} (floor {FLOOR[room]}) imports {other} (floor {FLOOR[other]})"
            found.append(f"{path}:{line}: {floors}")
    return found


def modules() -> list[tuple[str, Path]]:
    """List every module of the package with its file."""
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(ROOT).with_suffix("").parts
        found.append((".".join(part for part in parts if part != "__init__"), path))
    return found


def test_every_module_keeps_to_its_floor() -> None:
    """Fails with file and line where an import goes up or sideways."""
    found = [
        breach
        for module, path in modules()
        for breach in breaches(
            path.read_text("utf-8"),
            module,
            str(path.relative_to(ROOT)),
            path.name == "__init__.py",
        )
    ]
    assert not found, "\n".join(found)


def test_every_room_has_a_floor() -> None:
    """A new room is given a floor before anything may import it."""
    rooms = {room_of(module) for module, _ in modules()} - {""}
    assert rooms
    assert rooms <= set(FLOOR), f"no floor: {sorted(rooms - set(FLOOR))}"


def test_the_page_starts_from_ui_alone() -> None:
    """The script that the page is served from only calls the ui."""
    script = ROOT / "streamlit_app.py"
    if not script.exists():
        pytest.skip("the page's script is not there")
    found = {name for _, name in imports(ast.parse(script.read_text("utf-8")), "app", False)}
    assert {name for name in found if name.startswith("shopfit")} <= {
        name for name in found if room_of(name) == "ui"
    }
    assert "streamlit" not in found


@pytest.mark.parametrize(
    ("module", "source", "said"),
    [
        ("shopfit.checks.aisles", "import shopfit.solver.run", "checks (floor 3) imports solver"),
        ("shopfit.files.odd", "from shopfit import drawing", "files (floor 3) imports drawing"),
        ("shopfit.model.odd", "from shopfit.geometry import shell", "model (floor 1)"),
        ("shopfit.model.odd", "from ..standards import load", "imports standards"),
        ("shopfit.quantities.odd", "def f():\n    from ..files import writing", "odd.py:2"),
        ("shopfit.drawing.odd", "from shopfit import solve", "imports planning"),
        ("shopfit.geometry.odd", "import importlib\nimportlib.import_module('shopfit.cli')", "cli"),
        ("shopfit.planning", "from shopfit.jobs import SolveJob", "imports jobs"),
        ("shopfit.checks.odd", "from ortools.sat.python import cp_model", "only solver may import"),
        ("shopfit.planning", "if False:\n    import streamlit as st", "only ui may import"),
        ("shopfit.units", "from shopfit.cellar import cask", "cellar has no floor"),
    ],
)
def test_a_planted_import_is_found(module: str, source: str, said: str) -> None:
    """Shows that the walk sees every kind of import, so that a clean run means something."""
    found = breaches(source, module, "odd.py")
    assert len(found) == 1
    assert said in found[0]
    assert found[0].startswith("odd.py:")


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("shopfit.solver.run", "from ortools.sat.python import cp_model\nfrom . import faces"),
        ("shopfit.ui.page", "import streamlit\nfrom shopfit import planning, __version__"),
        ("shopfit.standards.doors", "from shopfit.model.shell import Door"),
        ("shopfit.files.layouts", "from .writing import write_text\nimport json"),
    ],
)
def test_imports_that_go_down_are_allowed(module: str, source: str) -> None:
    """A walk that forbids everything would be of no use either."""
    assert breaches(source, module, "odd.py") == []
