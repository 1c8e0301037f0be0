"""Ramps from what is asked to what is built by: answer, drawings, list and lines for shop.yaml."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from shopfit.access.answer import ramps
from shopfit.model.base import plain
from shopfit.model.rampplan import Arrangement, RampAnswer
from shopfit.model.rampsite import RampTask

if TYPE_CHECKING:
    from shopfit.files.rampfile import Typed
    from shopfit.model.scenario import Shop
    from shopfit.standards import Rulebook

_OWN = ("ramp-R*.svg", "ramp-R*-approach.yaml", "ramps.pdf", "ramp-quantities.csv")

__all__ = ["answer_data", "best", "ramp_files", "ramps", "read_question", "write_ramp_files"]


def read_question(
    path: Path | None = None,
    typed: Typed | None = None,
    shop: Shop | None = None,
    rulebook: Path | str | None = None,
) -> tuple[RampTask, Rulebook]:
    """Read what is asked of a ramp, with the rulebook that it is asked by.

    Parameters
    ----------
    path, typed, shop
        As for `shopfit.files.rampfile.read_ramp_task`.
    rulebook
        As for `shopfit.planning.rulebook`, in place of the one named there.

    Raises
    ------
    InputFaults
        With every fault.
    """
    from shopfit.files.rampfile import COMMAND_LINE, judge_ramp_task, read_ramp_task
    from shopfit.planning import rulebook as load

    typed = typed or {}
    task = read_ramp_task(path, typed, shop)
    book = load(rulebook or task.rulebook)
    judge_ramp_task(task, book, path.name if path is not None else COMMAND_LINE, typed)
    return task, book


def best(answer: RampAnswer, count: int) -> tuple[Arrangement, ...]:
    """Give the smallest few, of one form each as far as there are, and the cheapest."""
    first: dict[str, Arrangement] = {}
    for one in answer.arrangements:
        first.setdefault(one.form, one)
    wanted = [answer.smallest, answer.cheapest, *(one.id for one in first.values())]
    wanted += [one.id for one in answer.arrangements]
    ids = [each for each in dict.fromkeys(wanted) if each is not None][:count]
    return tuple(one for one in answer.arrangements if one.id in ids)


def ramp_files(
    answer: RampAnswer,
    book: Rulebook,
    count: int = 3,
    date: str = "",
    door: str | None = None,
) -> dict[str, bytes]:
    """Make the files of the best few: drawings, list of quantities, lines for shop.yaml, answer.

    Parameters
    ----------
    answer, book
        What was found, and by which rulebook.
    count
        How many arrangements are drawn.
    date
        For the title blocks.
    door
        Name of the door in the scenario that the lines are for.

    Returns
    -------
    Contents by file name; the answer alone where nothing fits.
    """
    import json

    from shopfit.drawing.rampsheet import draw_ramps
    from shopfit.files.ramplists import approach_yaml, quantities_csv

    text = json.dumps(answer_data(answer), indent=2, ensure_ascii=False)
    files = {"ramp.json": text.encode("utf-8")}
    chosen, task = best(answer, count), answer.task
    if not chosen:
        return files
    files.update(draw_ramps(chosen, task, book, date))
    files["ramp-quantities.csv"] = quantities_csv(chosen, task).encode("utf-8")
    for one in chosen:
        files[f"ramp-{one.id}-approach.yaml"] = approach_yaml(one, task, door).encode("utf-8")
    return files


def write_ramp_files(files: dict[str, bytes], folder: Path | str) -> tuple[str, ...]:
    """Write files of ramps into a folder, all or none, and remove those of an older answer.

    Parameters
    ----------
    files
        Contents by name.
    folder
        Made if need be.

    Returns
    -------
    The names written.
    """
    from shopfit.files.writing import write_all

    return write_all(files, folder, _OWN)


def answer_data(answer: RampAnswer) -> dict[str, Any]:
    """Give an answer as plain data for JSON."""
    return plain(answer)
