"""Measures what blocks and rows cost on slat-wall: one face, and the same goods hung anywhere.

Run from the repository's root with ``python -m tests.bench.free_hanging [effort] [shops]``. Each
shop drawn gives one stretch of slat-wall, 36 in wide. It is filled in one block, in two and in as
many as are of use for each category, and packed freely with `shopfit.solver.packing`, whose bound
no way of showing exceeds. An asterisk marks what is not proved.
"""

from __future__ import annotations

import argparse

from shopfit.bench.instances import instance
from shopfit.solver.candidates import candidates
from shopfit.solver.conflicts import cliques
from shopfit.solver.fill import Filler
from shopfit.solver.filling import Filling
from shopfit.solver.fixing import Face
from shopfit.solver.floor import floor_problem
from shopfit.solver.packing import free_worth
from shopfit.solver.range_display import display
from shopfit.solver.refit import refit, useful_blocks
from shopfit.solver.site import Site
from shopfit.stopping import StopFlag
from shopfit.units import INCH_MM

WIDTH = 36 * INCH_MM


def stretch(size: str, seed: int) -> Filler | None:
    """Give the slat-wall of a drawn shop that takes most lines as a face of its own, if any."""
    site = Site(instance(size, seed))
    found = candidates(site)
    shown = display(site, floor_problem(site, found, cliques(found)).classes)
    lines = [kind for _, kind in shown.showings if shown.classes[kind].kind == "slat"]
    if not lines:
        return None
    kind = max(sorted(set(lines)), key=lines.count)
    return Filler(site, shown, [Face("R1", "front", kind, WIDTH)], None)


def measured(filler: Filler, effort: float) -> list[str]:
    """Give the worth in one, two and all blocks, that packed freely, and its bound."""
    names = filler.site.scenario.categories
    most = max(useful_blocks(filler, 0, name) for name in names)
    told, best = [], 0.0
    for blocks in (1, 2, max(most, 1)):
        empty = Filling([], [])
        found, used = refit(filler, empty, [0], names, effort, 1, 0, StopFlag(), blocks)
        best = max(best, filler.score(found).worth)
        told.append(f"{filler.score(found).worth:.0f}{'' if used < effort else '*'}")
    worth, bound = free_worth(filler, 0, names, effort, 1, 0, StopFlag())
    # Blocks and rows are one way of packing freely.
    best = max(best, worth)
    return [*told, f"{best:.0f}{'' if best == bound else '*'}", f"{bound:.0f}"]


def main() -> None:
    """Print a row a shop."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("effort", nargs="?", type=float, default=1.0)
    parser.add_argument("shops", nargs="?", type=int, default=6)
    asked = parser.parse_args()
    print(f"{'seed':>4} {'one':>6} {'two':>6} {'all':>6} {'free':>6} {'bound':>6}")
    for seed in range(asked.shops):
        filler = stretch("stall", seed)
        if filler is not None:
            print(f"{seed:>4} " + " ".join(f"{part:>6}" for part in measured(filler, asked.effort)))


if __name__ == "__main__":
    main()
