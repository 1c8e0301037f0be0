"""A whole study: its cases solved, written down one by one, and put into one table."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal, get_args

from shopfit.files.columns import Cell, PlainColumn
from shopfit.files.tables import plain_csv
from shopfit.files.writing import Bundle
from shopfit.model.base import plain
from shopfit.model.study import CaseRow, Study
from shopfit.stopping import StopFlag
from shopfit.sweep.cases import Case, read_study
from shopfit.sweep.holding import held
from shopfit.sweep.naming import told as written
from shopfit.sweep.settle import Settled, runner, settle
from shopfit.sweep.store import Store

Order = Literal["study", "facings", "value", "bound", "gap", "cost", "violations", "seconds"]
ORDERS: tuple[Order, ...] = get_args(Order)
_MOST_FIRST = ("facings", "value", "bound")


@dataclass(frozen=True)
class Done:
    """What a study came to.

    Parameters
    ----------
    study, cases
        What was asked.
    rows
        One a settled case, in the order asked for.
    undone
        Names of cases that a stop left out.
    """

    study: Study
    cases: tuple[Case, ...]
    rows: tuple[CaseRow, ...]
    undone: tuple[str, ...]


def run_study(
    path: Path | str,
    out: Path | str,
    *,
    processes: int | None = None,
    address: str | None = None,
    order: Order = "study",
    stop: StopFlag | None = None,
    told: Callable[[Settled, int], None] | None = None,
    look: Callable[[], None] | None = None,
    noted: Callable[[str], None] | None = None,
) -> Done:
    """Solve every case of a study that is not finished yet, and write layouts and tables.

    Parameters
    ----------
    path
        The study's file.
    out
        Folder for ``results.jsonl``, ``cases.csv``, ``cases.json`` and a folder a case.
    processes, address
        Where cases are solved; see `shopfit.sweep.settle.runner`.
    order
        How the tables are sorted.
    stop
        Raised to end early; the same call goes on another time.
    told
        Hears of each settled case, with the number of all.
    look
        Called several times a second.
    noted
        Hears what is worth knowing before the first search.

    Raises
    ------
    InputFaults
        With every fault of the study and its scenarios.
    ShopfitError
        If the cluster cannot be used.
    """
    study, cases = read_study(path)
    stop = stop if stop is not None else StopFlag()
    store = Store(out)
    most = max(case.options.workers for case in cases)
    hear = None if told is None else lambda settled: told(settled, len(cases))
    with held(out, noted), runner(processes, address, stop, look, most) as by:
        settled = settle(cases, by, store, hear)
    rows = ordered([each.row for each in settled], order)
    names = {row.case for row in rows if row.status != "stopped"}
    undone = tuple(case.name for case in cases if case.name not in names)
    done = Done(study, cases, rows, undone)
    with Bundle(out) as bundle:
        bundle.write_text("cases.csv", cases_csv(rows))
        bundle.write_text("cases.json", _json_text(study_data(done)))
    return done


def ordered(rows: Iterable[CaseRow], order: Order) -> tuple[CaseRow, ...]:
    """Sort rows: most facings, value or bound first, least of anything else; blanks last."""
    if order == "study":
        return tuple(rows)

    def rank(row: CaseRow) -> tuple[bool, float]:
        size = getattr(row, order)
        return size is None, 0.0 if size is None else (-size if order in _MOST_FIRST else size)

    return tuple(sorted(rows, key=rank))


def study_data(done: Done) -> dict[str, Any]:
    """Give what a study came to as plain data, for scripts."""
    return {
        "study": done.study.name,
        "cases": [plain(row) for row in done.rows],
        "undone": list(done.undone),
    }


def cases_csv(rows: Sequence[CaseRow]) -> str:
    """Write rows as comma-separated text; every changed field has a column of its own."""
    fields = dict.fromkeys(path for row in rows for path in row.changes)

    def change(path: str) -> PlainColumn:
        def read(row: CaseRow) -> Cell:
            return written(row.changes[path]) if path in row.changes else None

        return PlainColumn(path, read, "text")

    columns = (
        PlainColumn("Case", lambda row: row.case, "text"),
        PlainColumn("Scenario", lambda row: row.scenario, "text"),
        *(change(path) for path in fields),
        PlainColumn("Ended with", lambda row: row.status, "text"),
        PlainColumn("Facings", lambda row: row.facings, "count"),
        PlainColumn("Value", lambda row: row.value, "count"),
        PlainColumn("Made largest", lambda row: row.objective, "text"),
        PlainColumn("What it came to", lambda row: row.worth, "count"),
        PlainColumn("Bound", lambda row: row.bound, "count"),
        PlainColumn("Gap, as a part of the bound", lambda row: row.gap, "text"),
        PlainColumn("Proved", lambda row: "yes" if row.proved else "no", "text"),
        PlainColumn("Cost", lambda row: row.cost, "money"),
        PlainColumn("Currency", lambda row: row.currency, "text"),
        PlainColumn("Values checked that are not met", lambda row: row.violations, "count"),
        PlainColumn("Seconds", lambda row: row.seconds, "count"),
        PlainColumn("Repeatable", lambda row: "yes" if row.repeatable else "no", "text"),
        PlainColumn("Folder", lambda row: row.folder, "text"),
        PlainColumn("Message", lambda row: row.message, "text"),
    )
    return plain_csv(columns, rows)


def _json_text(data: Any) -> str:
    import json

    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
