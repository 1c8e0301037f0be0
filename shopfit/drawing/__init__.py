"""Scenes of primitives in millimetres, and the sheets they are printed on."""

from shopfit.drawing.drawings import Drawings, PageName, draw, draw_cutting, draw_plan
from shopfit.drawing.elevation import wall_scenes
from shopfit.drawing.findingplan import draw_findings
from shopfit.drawing.islands import island_scenes
from shopfit.drawing.pdf import pdf
from shopfit.drawing.plan import plan_scene
from shopfit.drawing.scene import Scene
from shopfit.drawing.sheet import PAGES, Page, Sheet
from shopfit.drawing.svg import svg

__all__ = [
    "PAGES",
    "Drawings",
    "Page",
    "PageName",
    "Scene",
    "Sheet",
    "draw",
    "draw_cutting",
    "draw_findings",
    "draw_plan",
    "island_scenes",
    "pdf",
    "plan_scene",
    "svg",
    "wall_scenes",
]
