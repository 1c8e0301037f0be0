"""A bare room and simple goods, made to measure for each test of the solver.

The room is a rectangle with walls W, N, E and S, walked clockwise from the south-west corner, and
a door in the middle of wall S that opens outward. Lengths are whole millimetres.
"""

from __future__ import annotations

from typing import Any

from shopfit.model.fixtures import Catalogue, Fixture
from shopfit.model.options import SolveOptions
from shopfit.model.progress import Solution, unheard
from shopfit.model.range import Line
from shopfit.model.scenario import Scenario
from shopfit.solver.candidates import candidates
from shopfit.solver.conflicts import cliques
from shopfit.solver.display import FaceClass
from shopfit.solver.fill import Filler
from shopfit.solver.fixing import Face
from shopfit.solver.floor import FloorProblem, floor_problem
from shopfit.solver.joint import JointProgram
from shopfit.solver.jointanswer import JointAnswer, Limits
from shopfit.solver.range_display import Display, display
from shopfit.solver.run import solve
from shopfit.solver.site import Site
from shopfit.stopping import StopFlag

DOOR_WIDTH = 900.0


def mm(*lengths: float) -> Any:
    """Write lengths the way the models read them."""
    written = [f"{length!r} mm" for length in lengths]
    return written[0] if len(written) == 1 else written


def box(left: float, bottom: float, right: float, top: float) -> list[Any]:
    """Write the corners of a rectangle on the plan."""
    return [mm(left, bottom), mm(left, top), mm(right, top), mm(right, bottom)]


def shop(width: float = 3000.0, depth: float = 3000.0, **changes: Any) -> dict[str, Any]:
    """Give the room; changes replace whole parts, ``brief`` is added to."""
    brief = {
        "aisle": mm(900.0),
        "staff_aisle": mm(800.0),
        "step": mm(300.0),
        "display_top": mm(2000.0),
        "run_bottom": mm(400.0),
        "run_gap": mm(50.0),
        "island_height": mm(1400.0),
        "finger_gap": mm(20.0),
        **changes.pop("brief", {}),
    }
    room = {
        "id": "room",
        "height": mm(2500.0),
        "corners": [mm(0.0, 0.0), mm(0.0, depth), mm(width, depth), mm(width, 0.0)],
        "walls": [{"id": "W"}, {"id": "N"}, {"id": "E"}, {"id": "S"}],
    }
    door = {
        "id": "door",
        "wall": "S",
        "offset": mm((width - DOOR_WIDTH) / 2),
        "width": mm(DOOR_WIDTH),
        "height": mm(2100.0),
        "swing": "out",
        "latch": False,
    }
    return {"name": "Nook", "rooms": [room], "doors": [door], "brief": brief, **changes}


def face(kind: str = "shelf", **changes: Any) -> dict[str, Any]:
    """Give a display side of ten levels of 50 mm, from 100 mm up."""
    return {
        "kind": kind,
        "bottom": mm(100.0),
        "top": mm(600.0),
        "depth": mm(400.0),
        "pitch": mm(50.0),
        "board": mm(20.0),
        "load": "100 kg",
        **changes,
    }


def fixture(name: str = "cab", **changes: Any) -> Fixture:
    """Give a cabinet 1000 mm wide, 500 deep and 800 high that stands against walls."""
    return Fixture.model_validate(
        {
            "id": name,
            "kind": "base-cabinet",
            "width": mm(1000.0),
            "depth": mm(500.0),
            "height": mm(800.0),
            "stands": ["wall"],
            "faces": [face()],
            "slat_above": False,
            "price": 100,
            **changes,
        }
    )


def line(name: str = "jar", **changes: Any) -> Line:
    """Give a line 100 mm wide, 160 high and 100 deep that stands on shelves."""
    return Line.model_validate(
        {
            "line": name,
            "category": "goods",
            "width": mm(100.0),
            "height": mm(160.0),
            "depth": mm(100.0),
            "min_facings": 0,
            "max_facings": 1000,
            "ways": ["shelf"],
            **changes,
        }
    )


SHEET: dict[str, Any] = {
    "id": "sheet",
    "width": mm(2400.0),
    "height": mm(1200.0),
    "groove_pitch": mm(75.0),
    "first_groove": mm(40.0),
    "groove_load": "30 kg/m",
    "price": 60,
}


def scenario(
    lines: list[Line] | None = None,
    fixtures: list[Fixture] | None = None,
    sheets: list[dict[str, Any]] | None = None,
    brackets: list[dict[str, Any]] | None = None,
    shelves: list[dict[str, Any]] | None = None,
    pins: dict[str, Any] | None = None,
    **changes: Any,
) -> Scenario:
    """Give a scenario of the room; changes go to `shop`."""
    return Scenario.model_validate(
        {
            "shop": shop(**changes),
            "lines": [line()] if lines is None else lines,
            "catalogue": Catalogue.model_validate(
                {
                    "fixtures": [fixture()] if fixtures is None else fixtures,
                    "sheets": sheets or [],
                    "brackets": brackets or [],
                    "shelves": shelves or [],
                }
            ),
            "pins": pins or {},
            "folder": "nook",
        }
    )


def floor(given: Scenario) -> tuple[FloorProblem, Display]:
    """Give the floor of a scenario and how its lines can be shown."""
    site = Site(given)
    found = candidates(site)
    problem = floor_problem(site, found, cliques(found))
    return problem, display(site, problem.classes)


def weights(given: Scenario) -> dict[str, float]:
    """Give what a facing of each line is worth."""
    by_value = given.brief.objective == "value"
    return {one.line: one.value if by_value else 1.0 for one in given.lines}


def joint(given: Scenario, **limits: Any) -> tuple[FloorProblem, JointAnswer]:
    """Solve the joint program of a scenario to its end."""
    problem, shown = floor(given)
    program = JointProgram(problem, shown, weights(given))
    return problem, program.solve(LIMITS if not limits else Limits(**limits), StopFlag())


LIMITS = Limits(nodes=2000, gap=0.0, seconds=20.0)

SHELF = FaceClass("shelf", 10, 50.0, 100.0, 400.0, 100.0, 20.0)


def filler(
    given: Scenario,
    widths: list[float],
    money: float | None = None,
    classes: tuple[FaceClass, ...] = (SHELF,),
    kinds: list[int] | None = None,
) -> Filler:
    """Give a filler of faces of given widths, all of the first class unless told otherwise."""
    site = Site(given)
    faces = [
        Face(f"F{n + 1}", "front", kinds[n] if kinds else 0, width)
        for n, width in enumerate(widths)
    ]
    return Filler(site, display(site, classes), faces, money)


def run(given: Scenario, seconds: float = 1.0, workers: int = 1, **more: Any) -> Solution:
    """Solve a scenario."""
    options = SolveOptions(
        seconds=seconds, workers=workers, seed=more.pop("seed", 0), gap=more.pop("gap", 0.0)
    )
    return solve(
        given,
        options,
        listener=more.pop("listener", unheard),
        stop=more.pop("stop", None) or StopFlag(),
    )
