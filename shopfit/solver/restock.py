"""Changes as few blocks as possible until a filling is worth what is asked for."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from shopfit.solver.filling import Filling
from shopfit.solver.refill import StopOnRequest
from shopfit.solver.restockmodel import RestockModel
from shopfit.solver.restockspots import cells
from shopfit.solver.reverting import Task, changed_faces
from shopfit.stopping import StopFlag

# Facings that may be chosen in one program of all faces: with more it would not end.
MOST_CELLS = 6_000


@dataclass(frozen=True)
class Restocked:
    """How a restocking ended.

    Parameters
    ----------
    filling
        The best found, or none.
    least
        Fewest blocks that must change besides those that change anyhow, as far as proved; none
        where nothing is.
    work
        Deterministic time used.
    """

    filling: Filling | None
    least: int | None = None
    work: float = 0.0


def one_program(task: Task) -> bool:
    """Say whether a shop is small enough for one program of all its faces."""
    faces = frozenset(range(len(task.filler.faces)))
    return cells(task, faces, task.filler.categories) <= MOST_CELLS


def restock(
    task: Task, effort: float, seed: int, stop: StopFlag, near: Filling | None = None
) -> Restocked:
    """Reach the target with the fewest changed blocks, over all faces at once.

    One thread is many times quicker here than several that take turns.

    Parameters
    ----------
    task
        What is asked.
    effort, seed, stop
        Deterministic time, seed and the stop flag.
    near
        A filling that reaches the target, to begin with.

    Returns
    -------
    A filling that reaches the target; none where there is none, none was found, or the shop is
    too large for one program.
    """
    if task.met_by(task.before):
        return Restocked(task.before, 0)
    if not one_program(task):
        return Restocked(None)
    faces = frozenset(range(len(task.filler.faces)))
    model = RestockModel(task, task.before, faces, task.filler.categories)
    model.fewest()
    if near is not None:
        model.hint(near)
    got = _solved(model, task, effort, 1, seed, stop)
    if got.filling is None or not task.met_by(got.filling):
        return Restocked(None, got.least, got.work)
    return got


def restock_some(
    task: Task,
    filling: Filling,
    faces: Collection[int],
    categories: Sequence[str],
    effort: float,
    workers: int,
    seed: int,
    stop: StopFlag,
) -> Restocked:
    """Fill some faces anew: to miss less of what is asked for, then with the fewest changes.

    Parameters
    ----------
    task, filling
        What is asked, and what stands on the other faces.
    faces, categories
        Numbers of the faces, and what may be set up there besides today's blocks.
    effort, workers, seed, stop
        Deterministic time, threads, seed and the stop flag.
    """
    model = RestockModel(task, filling, frozenset(faces), categories)
    model.nearest()
    return _solved(model, task, effort, workers, seed, stop)


def show_most(
    task: Task,
    filling: Filling,
    effort: float,
    seed: int,
    stop: StopFlag,
    dearer: bool = True,
) -> Restocked:
    """Show the most in the blocks that have changed, and change no other.

    Parameters
    ----------
    task, filling
        What is asked, and a filling that reaches it.
    effort, seed, stop
        Deterministic time, seed and the stop flag.
    dearer
        Whether more may be spent on brackets and boards.

    Returns
    -------
    A filling worth as much at least, and of those worth most one with few facings shifted.
    """
    faces = {task.before.plans[b].face for b in task.touched} | {face for face, _ in task.lost}
    faces |= set(changed_faces(task.before, filling))
    parts = list(_parts(task, filling, sorted(faces)))
    work = 0.0
    for some, categories in parts:
        model = RestockModel(task, filling, some, categories)
        model.most(filling, dearer)
        model.hint(filling)
        got = _solved(model, task, effort / len(parts), 1, seed, stop)
        work += got.work
        if got.filling is not None and _no_worse(task, filling, got.filling):
            filling = got.filling
    return Restocked(filling, work=work)


def _parts(
    task: Task, filling: Filling, faces: Sequence[int]
) -> Iterator[tuple[frozenset[int], list[str]]]:
    """Part faces so that one program holds those of a part, each with what may stand there."""
    some: list[int] = []
    for face in faces:
        more = [*some, face]
        if some and cells(task, more, _there(task, filling, more)) > MOST_CELLS:
            yield frozenset(some), _there(task, filling, some)
            more = [face]
        some = more
    if some:
        yield frozenset(some), _there(task, filling, some)


def _there(task: Task, filling: Filling, faces: Collection[int]) -> list[str]:
    """List the categories that stand on some faces, or may be set up there for those lost."""
    stands = {plan.category for plan in filling.plans if plan.face in faces}
    stands |= {category for face, category in task.lost if face in faces}
    return [each for each in task.filler.categories if each in stands]


def _no_worse(task: Task, filling: Filling, other: Filling) -> bool:
    """Say whether another filling is worth as much, reaches the target and changes no more."""
    return (
        task.met_by(other)
        and task.filler.score(other).worth >= task.filler.score(filling).worth - 1e-9
        and task.changes(other) <= task.changes(filling)
    )


def _solved(
    model: RestockModel, task: Task, effort: float, workers: int, seed: int, stop: StopFlag
) -> Restocked:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.interleave_search = workers > 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = effort
    status = solver.solve(model.model, StopOnRequest(stop))
    used: float = solver.response_proto.deterministic_time
    if status in (cp_model.INFEASIBLE, cp_model.MODEL_INVALID):
        return Restocked(None, work=used)
    least = model.least(solver)
    if status == cp_model.UNKNOWN:
        return Restocked(None, least, used)
    found = model.read(solver)
    return Restocked(found if task.filler.allowed(found) else None, least, used)
