"""A very small shop, tasks of it, and a folder with the same shop, for tests of many solves."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from solver import build as b

from shopfit.model.layout import Claims, Layout
from shopfit.model.options import SolveOptions
from shopfit.model.proof import Proof
from shopfit.model.scenario import Scenario
from shopfit.sweep.work import Answer, Task

QUICK = SolveOptions(seconds=0.5, workers=1)

SHOP = """
name: Nook
units: mm
rooms:
  - {id: room, height: 2500 mm, corners: [[0, 0], [0, 3 m], [3 m, 3 m], [3 m, 0]],
     walls: [{id: W}, {id: N}, {id: E}, {id: S}]}
doors:
  - {id: door, wall: S, offset: 1050 mm, width: 900 mm, height: 2100 mm, swing: out, latch: false}
brief: {aisle: 950 mm, staff_aisle: 800 mm, budget: 1000, step: 300 mm,
  wanted: [{fixture: cab, at_least: 1}]}
"""
FIXTURES = """
fixtures:
  - {id: cab, kind: base-cabinet, width: 1 m, depth: 500 mm, height: 800 mm, stands: [wall],
     slat_above: false, price: 100, available: 4,
     faces: [{kind: shelf, bottom: 100 mm, top: 600 mm, depth: 400 mm, load: 100 kg}]}
"""
RANGE = """line,category,width,height,depth,weight,min_facings,max_facings,ways
jar,goods,100 mm,160 mm,100 mm,100 g,0,20,shelf
"""


def nook(**brief: Any) -> Scenario:
    """Give a room of 3 m by 3 m, one kind of cabinet and one line of at most 20 facings."""
    return b.scenario(
        lines=[b.line(max_facings=20)],
        fixtures=[b.fixture(available=4)],
        brief={"aisle": b.mm(950.0), **brief},
    )


def task(name: str = "one", **brief: Any) -> Task:
    """Give a task of the small shop."""
    return Task(name, nook(**brief), QUICK)


def layout(facings: int = 9, bound: float | None = 12.0, cost: float = 50.0) -> Layout:
    """Give a layout of nothing that claims something."""
    proof = Proof(
        status="proved" if bound == facings else "within gap",
        objective=float(facings),
        bound=bound,
        gap=None if bound is None else round((bound - facings) / bound, 4),
        grid="none",
        rules="none",
        step_mm=100.0,
        candidates=1,
    )
    claims = Claims(facings=facings, units=facings, value=float(facings), cost=cost)
    return Layout(scenario="nook", claims=claims, proof=proof)


def answer(one: Task, facings: int = 9, bound: float | None = 12.0, violations: int = 0) -> Answer:
    """Give an answer with a layout of nothing."""
    return Answer(one.name, one.key, "layout", layout(facings, bound), violations, 0.5)


def write_shop(folder: Path) -> Path:
    """Write the small shop as a scenario folder."""
    folder.mkdir(parents=True)
    for name, text in (("shop.yaml", SHOP), ("fixtures.yaml", FIXTURES), ("range.csv", RANGE)):
        (folder / name).write_text(text)
    return folder


def write_study(folder: Path, text: str) -> Path:
    """Write a study beside the small shop."""
    if not (folder / "nook").exists():
        write_shop(folder / "nook")
    path = folder / "study.yaml"
    path.write_text(text)
    return path
