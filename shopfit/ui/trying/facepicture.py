"""A face from the front with its grooves or levels, and one thing on it marked."""

from __future__ import annotations

from html import escape

from shopfit.geometry.wallface import FaceShape
from shopfit.model.layout import Layout, Row, Run
from shopfit.model.scenario import Scenario
from shopfit.units import format_length

WIDE, TALL, LEFT, BELOW = 640.0, 360.0, 96.0, 14.0
INK, FAINT, BLUE, PALE = "#1b1f24", "#9aa2ab", "#1d5a96", "#d9e6f5"


def face_picture(
    scenario: Scenario, layout: Layout, face: FaceShape, marked: Row | None, run: Run | None
) -> str:
    """Draw a face with everything on it as SVG.

    Parameters
    ----------
    scenario, layout
        What it is part of.
    face
        Which.
    marked
        The row that is chosen; none for the whole face.
    run
        The slat-wall run it is, or none for a fixture's face.
    """
    foot = run.bottom_mm if run is not None else face.bottom
    span = max(face.top - foot, 1.0)
    up = (TALL - 2 * BELOW) / span
    along = (WIDE - LEFT - BELOW) / max(face.width, 1.0)

    def x(at: float) -> float:
        return round(LEFT + at * along, 1)

    def y(height: float) -> float:
        return round(TALL - BELOW - (height - foot) * up, 1)

    whole = BLUE if marked is None else INK
    parts = [
        f'<rect x="{x(0)}" y="{y(face.top)}" width="{x(face.width) - x(0):.1f}" '
        f'height="{y(foot) - y(face.top):.1f}" fill="#f4f1ea" stroke="{whole}" '
        f'stroke-width="{3 if marked is None else 1.5}"/>'
    ]
    style = scenario.shop.units
    for level in range(face.levels + 1):
        height = face.bottom + level * face.pitch
        parts.append(_line(x(0), y(height), x(face.width), FAINT, 1.0))
        if level % 2 == 0:
            parts.append(_text(LEFT - 8, y(height), format_length(height, style), "end"))
    for block in layout.blocks:
        if (block.host, block.side) != (face.host, face.side):
            continue
        for row in block.rows:
            chosen = row is marked
            left, right = x(block.from_mm), x(block.to_mm)
            parts.append(
                f'<rect x="{left}" y="{y(row.top_mm)}" width="{right - left:.1f}" '
                f'height="{y(row.bottom_mm) - y(row.top_mm):.1f}" '
                f'fill="{PALE if chosen else "#fff"}" fill-opacity="0.85" '
                f'stroke="{BLUE if chosen else INK}" stroke-width="{3 if chosen else 1}"/>'
            )
            parts.append(_line(left, y(row.bottom_mm), right, BLUE if chosen else INK, 4.0))
            middle = (y(row.bottom_mm) + y(row.top_mm)) / 2
            word = block.id if right - left < 90 else f"{block.id} {block.category}"
            parts.append(_text((left + right) / 2, middle, word, "middle"))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE:g} {TALL:g}" '
        f'width="{WIDE:g}" height="{TALL:g}" font-family="sans-serif" font-size="14">'
        f'<rect width="{WIDE:g}" height="{TALL:g}" fill="#fff"/>{"".join(parts)}</svg>'
    )


def _line(left: float, y: float, right: float, colour: str, wide: float) -> str:
    return (
        f'<line x1="{left}" y1="{y}" x2="{right}" y2="{y}" stroke="{colour}" '
        f'stroke-width="{wide:g}"/>'
    )


def _text(x: float, y: float, words: str, anchor: str) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" dominant-baseline="central" '
        f'fill="{INK}">{escape(words)}</text>'
    )
