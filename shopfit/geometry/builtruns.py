"""Measures of slat-wall runs and of the rows on them, each read from a shop and set in it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from shopfit.geometry.built import Built, Handle
from shopfit.model.layout import Block, Run


def run_measures(built: Built) -> Iterator[Handle]:
    """List where runs begin and how high they hang, and the heights of their rows."""
    for run in built.layout.runs:
        yield _run_field(run.id, "from left", "from_mm", ("from_mm", "to_mm"))
        yield _run_field(
            run.id, "lower edge", "bottom_mm", ("bottom_mm", "top_mm", "first_groove_mm")
        )
        yield _run_field(run.id, "upper edge", "top_mm", ("top_mm",))
    for block in built.layout.blocks:
        for index in range(len(block.rows)):
            yield _row_height(block.id, index)


def _run_field(tag: str, measure: str, name: str, moving: tuple[str, ...]) -> Handle:
    def read(built: Built) -> float:
        return float(getattr(built.layout.run(tag), name))

    def put(built: Built, size: float) -> Built:
        run = built.layout.run(tag)
        by = size - getattr(run, name)
        there = run.model_copy(update={each: getattr(run, each) + by for each in moving})
        blocks = built.layout.blocks
        if "first_groove_mm" in moving:
            blocks = tuple(_raised(block, by) if block.host == tag else block for block in blocks)
        runs: tuple[Run, ...] = tuple(there if one.id == tag else one for one in built.layout.runs)
        changed = {"runs": runs, "blocks": blocks}
        return replace(built, layout=built.layout.model_copy(update=changed))

    return Handle(tag, measure, "", read, put)


def _raised(block: Block, by: float, only: int | None = None) -> Block:
    rows = tuple(
        row.model_copy(update={"bottom_mm": row.bottom_mm + by, "top_mm": row.top_mm + by})
        if only in (None, index)
        else row
        for index, row in enumerate(block.rows)
    )
    return block.model_copy(update={"rows": rows})


def _row_height(tag: str, index: int) -> Handle:
    def read(built: Built) -> float:
        block = next(block for block in built.layout.blocks if block.id == tag)
        return block.rows[index].bottom_mm

    def put(built: Built, size: float) -> Built:
        by = size - read(built)
        blocks = tuple(
            _raised(block, by, index) if block.id == tag else block for block in built.layout.blocks
        )
        return replace(built, layout=built.layout.model_copy(update={"blocks": blocks}))

    return Handle(f"{tag} row {index + 1}", "height", "", read, put)
