"""Sets the cutting of sheets against the best known values of published instances.

``python -m tests.bench.sheet_cutting FILE [effort]``; the file has a row a piece and the columns
instance, sheet_w, sheet_h, piece_w, piece_h, copies, best_known, best_known_3stage_guillotine.
"""

from __future__ import annotations

import csv
import sys
import time
from collections import Counter, defaultdict
from pathlib import Path
from typing import NamedTuple

from shopfit.cutting.answer import Answer
from shopfit.cutting.problem import Board, Form, Problem
from shopfit.cutting.solve import solve


class Instance(NamedTuple):
    """Pieces of one sheet size, and the fewest sheets known: placed freely, and in three stages."""

    name: str
    width: int
    height: int
    pieces: tuple[tuple[int, int], ...]
    free: int
    staged: int

    def cut(self, effort: float) -> Answer:
        """Cut it: no kerf, no turning, whole units."""
        counts = Counter(self.pieces)
        forms = tuple((Form(width, height),) for width, height in counts)
        board = Board(self.width, self.height, forms)
        return solve(Problem(tuple(counts.values()), (board,)), effort)


def read(path: Path) -> list[Instance]:
    """Read instances from a file."""
    rows: dict[str, list[dict[str, str]]] = defaultdict(list)
    with path.open(encoding="utf-8", newline="") as stream:
        for row in csv.DictReader(stream):
            rows[row["instance"]].append(row)
    return [
        Instance(
            name,
            int(found[0]["sheet_w"]),
            int(found[0]["sheet_h"]),
            tuple(
                (int(row["piece_w"]), int(row["piece_h"]))
                for row in found
                for _ in range(int(row["copies"]))
            ),
            int(found[0]["best_known"]),
            int(found[0]["best_known_3stage_guillotine"]),
        )
        for name, found in rows.items()
    ]


def main(path: str, effort: float) -> None:
    """Cut every instance and print a row for each, then one for each class."""
    by_class: dict[str, list[tuple[int, bool, float]]] = defaultdict(list)
    print("instance pieces free staged sheets bound proved seconds")
    for each in read(Path(path)):
        started = time.process_time()
        found = each.cut(effort)
        seconds = time.process_time() - started
        assert found.cost >= each.free, f"{each.name}: below the best known"
        sheets = (each.free, each.staged, found.cost, found.bound)
        print(each.name, len(each.pieces), *sheets, found.proved, f"{seconds:.1f}", flush=True)
        over = found.cost - each.staged
        by_class[each.name[:8]].append((over, found.proved, seconds))
    print("class instances equal one_over more proved longest_seconds")
    everything = [row for rows in by_class.values() for row in rows]
    for name, rows in [*sorted(by_class.items()), ("all", everything)]:
        overs = [over for over, _, _ in rows]
        told = (sum(over <= 0 for over in overs), overs.count(1), sum(over > 1 for over in overs))
        proved, longest = sum(row[1] for row in rows), max(row[2] for row in rows)
        print(name, len(rows), *told, proved, f"{longest:.1f}")


if __name__ == "__main__":
    main(sys.argv[1], float(sys.argv[2]) if len(sys.argv) > 2 else 1.0)
