"""Compares the worth of filled faces with what HiGHS finds in the same time.

Run from the repository's root with ``python -m tests.bench.faces_ratio [seconds] [instances]``.
HiGHS, through ``scipy.optimize.milp``, is given the faces problem written down a second time in
``tests/published/test_faces_model.py``; faces are wider and lines more than in the test, so that
neither side ends with a proof.
"""

from __future__ import annotations

import argparse
import random
import statistics
import time

from shopfit.model.options import SolveOptions
from shopfit.model.progress import unheard
from shopfit.solver.run import solve
from shopfit.stopping import StopFlag
from tests.published import test_faces_model as model


def drawn(seed: int) -> model.Problem:
    """Draw four faces, three categories and 24 lines."""
    rng = random.Random(seed)
    goods = tuple(
        model.Good(
            name=f"good {number}",
            category=rng.choice(["a", "m", "z"]),
            width=rng.randint(60, 260),
            height=rng.randint(40, 300),
            least=rng.choice([0, 0, 1]),
            most=rng.randint(2, 9),
            worth=rng.randint(1, 9),
        )
        for number in range(24)
    )
    faces = tuple(rng.randint(700, 1300) for _ in range(4))
    return model.Problem(faces, 10, 50, 40, goods, by_worth=seed % 2 == 1)


def measured(seed: int, seconds: float) -> tuple[float, float, float, float]:
    """Give our worth and seconds, and HiGHS's worth and bound in as many seconds."""
    problem = drawn(seed)
    began = time.monotonic()
    options = SolveOptions(seconds=seconds, workers=1, seed=seed)
    given = model.scenario(problem, board=20, gap=20)
    layout = solve(given, options, listener=unheard, stop=StopFlag()).layout
    took = time.monotonic() - began
    ours = 0.0 if layout is None or layout.proof is None else layout.proof.objective
    theirs, bound = model.best_within(problem, took)
    return ours, took, theirs, bound


def main() -> None:
    """Print a row an instance and the mean ratio."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("seconds", nargs="?", type=float, default=4.0)
    parser.add_argument("instances", nargs="?", type=int, default=4)
    asked = parser.parse_args()
    print(f"{'seed':>4} {'ours':>8} {'seconds':>8} {'HiGHS':>8} {'its bound':>10} {'ratio':>7}")
    ratios = []
    for seed in range(asked.instances):
        ours, took, theirs, bound = measured(seed, asked.seconds)
        ratio = ours / theirs if theirs else float("inf")
        ratios.append(ratio)
        print(f"{seed:>4} {ours:>8.0f} {took:>8.1f} {theirs:>8.0f} {bound:>10.1f} {ratio:>7.4f}")
    print(f"mean ratio {statistics.fmean(ratios):.4f}")


if __name__ == "__main__":
    main()
