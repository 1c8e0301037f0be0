"""Reads the codes of all findings from the source of the checks, and writes their table.

``python -m tests.checks.codes --write`` puts it into DEVELOPERS.md, without it it is printed.
"""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator
from inspect import cleandoc
from pathlib import Path

ROOT = Path(__file__).parents[2]
CHECKS, DEVELOPERS = ROOT / "shopfit" / "checks", ROOT / "DEVELOPERS.md"
START, END = "<!-- codes -->", "<!-- /codes -->"
CODE = re.compile(r"[a-z]+(-[a-z]+)*$")
ANY = "…"  # for the part of a code that follows from what is checked


def trees() -> dict[str, ast.Module]:
    """Give the syntax trees of the checks by module."""
    return {path.stem: ast.parse(path.read_text("utf-8")) for path in sorted(CHECKS.glob("*.py"))}


def _takers(tree: ast.Module) -> dict[str, int]:
    """Give every function and record with a place for a code, with the index of that place."""
    found: dict[str, int] = {}
    for node in ast.walk(tree):
        names: list[str] = []
        if isinstance(node, ast.FunctionDef):
            names = [arg.arg for arg in (*node.args.posonlyargs, *node.args.args)]
            names = names[1:] if names[:1] == ["self"] else names
        elif isinstance(node, ast.ClassDef):
            names = [
                item.target.id
                for item in node.body
                if isinstance(item, ast.AnnAssign) and isinstance(item.target, ast.Name)
            ]
        if "code" in names:
            found[node.name] = names.index("code")  # type: ignore[attr-defined]
    return found


def _written(node: ast.AST | None) -> Iterator[str]:
    """Give the codes that an expression may be, as far as it is written out."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.JoinedStr):
        yield "".join(
            str(part.value) if isinstance(part, ast.Constant) else ANY for part in node.values
        )
    elif isinstance(node, ast.IfExp):
        yield from _written(node.body)
        yield from _written(node.orelse)


def _of_module(tree: ast.Module, takers: dict[str, int]) -> set[str]:
    found: set[str] = set()
    tables = {
        target.id: node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Assign | ast.AnnAssign)
        for target in (node.targets if isinstance(node, ast.Assign) else [node.target])
        if isinstance(target, ast.Name)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            called = node.func.id if isinstance(node.func, ast.Name) else None
            called = node.func.attr if isinstance(node.func, ast.Attribute) else called
            given = next((k.value for k in node.keywords if k.arg == "code"), None)
            index = takers.get(called or "")
            if given is None and index is not None and len(node.args) > index:
                given = node.args[index]
            found.update(_written(given))
        elif isinstance(node, ast.Dict):
            for key, value in zip(node.keys, node.values, strict=True):
                if isinstance(key, ast.Constant) and key.value == "code":
                    found.update(_written(value))
        elif isinstance(node, ast.Assign):
            if any(isinstance(target, ast.Name) and target.id == "code" for target in node.targets):
                found.update(_written(node.value))
        elif isinstance(node, ast.For | ast.comprehension):
            found.update(_looped(node, tables))
    return {code for code in found if CODE.match(code.replace(ANY, "x"))}


def _looped(node: ast.For | ast.comprehension, tables: dict[str, ast.expr | None]) -> Iterator[str]:
    """Give the codes of a loop over rows of a table, where a column is called code."""
    if not isinstance(node.target, ast.Tuple):
        return
    names = [part.id if isinstance(part, ast.Name) else "" for part in node.target.elts]
    if "code" not in names:
        return
    rows = tables.get(node.iter.id) if isinstance(node.iter, ast.Name) else node.iter
    for row in getattr(rows, "elts", ()):
        if isinstance(row, ast.Tuple) and len(row.elts) > names.index("code"):
            yield from _written(row.elts[names.index("code")])


def codes() -> dict[str, set[str]]:
    """Give the codes of all findings by module of the checks."""
    parsed = trees()
    everywhere = {name: at for tree in parsed.values() for name, at in _takers(tree).items()}
    found = {
        # A name of the module's own comes before one that is imported.
        name: _of_module(tree, everywhere | _takers(tree))
        for name, tree in parsed.items()
    }
    return {name: listed for name, listed in found.items() if listed}


def rows() -> list[str]:
    """Give the rows of the table: what a module looks at, and its codes."""
    parsed = trees()
    told = []
    for name, listed in codes().items():
        about = cleandoc(ast.get_docstring(parsed[name]) or "").split("\n")[0].rstrip(".")
        told.append(f"| `{name}` | {about} | {', '.join(f'`{c}`' for c in sorted(listed))} |")
    return told


def listed(text: str) -> str:
    """Give what stands between the marks of the table in a text."""
    return text.partition(START)[2].partition(END)[0].strip()


def written(text: str) -> str:
    """Give a text with the table as it is now."""
    before, _, rest = text.partition(START)
    _, _, after = rest.partition(END)
    head = "| module | what it does | codes |\n| --- | --- | --- |"
    return "\n".join((f"{before}{START}", head, *rows(), f"{END}{after}"))


if __name__ == "__main__":
    if "--write" in sys.argv:
        DEVELOPERS.write_text(written(DEVELOPERS.read_text("utf-8")), encoding="utf-8")
    else:
        print("\n".join(rows()))
