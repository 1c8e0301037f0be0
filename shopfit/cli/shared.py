"""Arguments and options that several commands have."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import click

FOLDER = click.Path(path_type=Path)


class FiniteRange(click.FloatRange):
    """Numbers between two ends; what is no number, which lies between any two, is refused."""

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """Read a number as `click.FloatRange` does."""
        number: float = super().convert(value, param, ctx)
        if math.isnan(number):
            self.fail(f"{number} is not a number.", param, ctx)
        return number


as_json = click.option("--json", "as_json", is_flag=True, help="Print JSON instead of tables.")
seconds_option = click.option(
    "--seconds",
    type=FiniteRange(0, 86_400, min_open=True),
    default=30.0,
    show_default=True,
    help="How long a search takes, on an ordinary machine.",
)
seed_option = click.option(
    "--seed",
    type=click.IntRange(0, 2**31 - 1),
    default=0,
    show_default=True,
    help="Of every random choice.",
)
workers_option = click.option(
    "--workers",
    type=click.IntRange(1, 64),
    default=2,
    show_default=True,
    help="Threads of a search.",
)
# Where several searches run at once, each has one core.
one_worker_option = click.option(
    "--workers",
    type=click.IntRange(1, 64),
    default=1,
    show_default=True,
    help="Threads of each search.",
)
