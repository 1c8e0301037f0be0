"""Reads a study and lays out its cases: every combination, and those with names of their own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import product
from math import prod
from pathlib import Path

from shopfit.errors import Fault, InputFaults
from shopfit.files.crosscheck import crosscheck
from shopfit.files.documents import Document, read_yaml
from shopfit.files.parts import Parts, read_model
from shopfit.files.scenario import load_scenario
from shopfit.files.wording import nearest, shortened
from shopfit.model.layout import Layout
from shopfit.model.options import SolveOptions
from shopfit.model.scenario import Scenario
from shopfit.model.study import Study, Written
from shopfit.sweep.fields import Given, Refused, changed
from shopfit.sweep.naming import case_name, folder_name, labels, titles, told
from shopfit.sweep.work import Task

MOST_CASES = 10_000
_FIRST_ROW = 2


@dataclass(frozen=True)
class Case:
    """One thing to solve.

    Parameters
    ----------
    name, folder
        What it is called, and the name of its folder; both are there once in a study.
    source
        Its scenario, as the study names it.
    changes
        What is changed in it, as written.
    scenario, options
        What is solved, and how hard.
    start
        A layout to start from, or none.
    """

    name: str
    folder: str
    source: str
    changes: Mapping[str, Written]
    scenario: Scenario
    options: SolveOptions
    start: Layout | None = None

    @property
    def task(self) -> Task:
        """What goes out to be solved."""
        return Task(self.name, self.scenario, self.options, self.start)


def read_study(path: Path | str) -> tuple[Study, tuple[Case, ...]]:
    """Read a study and the scenarios that it names, and lay out its cases.

    Parameters
    ----------
    path
        A YAML file; scenario folders are looked for from its folder.

    Returns
    -------
    What the file says, and its cases in order.

    Raises
    ------
    InputFaults
        With every fault of the study and of its scenarios.
    """
    path = Path(path)
    document, faults = read_yaml(path, "a study, a YAML file that lists scenario folders")
    study, more, _ = read_model(document, Study)
    faults = [*faults, *more]
    cases: tuple[Case, ...] = ()
    if study is not None:
        reader = _Reader(path, document, study)
        faults += reader.faults()
        if not faults:
            cases = tuple(reader.cases(faults))
            faults += reader.clashes(cases)
    if faults or study is None:
        raise InputFaults(
            document.placed(each) if each.file == path.name else each for each in faults
        )
    return study, cases


class _Reader:
    """A study with its scenarios."""

    def __init__(self, path: Path, document: Document, study: Study) -> None:
        self._path, self._document, self._study = path, document, study
        # With what the whole study sets, by the name in the study.
        self._given: dict[str, Given] = {}

    def faults(self) -> list[Fault]:
        """Load the scenarios, and give every fault of them and of the fields."""
        return [*self._load(), *self._lists(), *self._named(), *self._number()]

    def cases(self, faults: list[Fault]) -> Iterator[Case]:
        """Give every case; what goes wrong only together is added to the faults."""
        taken: set[str] = set()
        for source, name, changes in self._all():
            given = self._given[source]
            for path, value in changes.items():
                try:
                    given = changed(given, path, value)
                except Refused as refused:
                    faults.append(self._refused(f"case '{name}' > {path}", refused))
            whole = {**self._study.set, **changes}
            yield Case(name, folder_name(name, taken), source, whole, *given)

    def clashes(self, cases: tuple[Case, ...]) -> list[Fault]:
        """Give what changed scenarios contradict themselves in, each with the first such case."""
        found: dict[tuple[str, ...], Fault] = {}
        for case in cases:
            lines = dict(enumerate(case.scenario.lines, _FIRST_ROW))
            parts = Parts(case.scenario.shop, case.scenario.catalogue, case.scenario.pins, lines)
            for each in crosscheck(parts):
                where = f"case '{case.name}': {each.file}: {each.where}"
                fault = self._fault(where, each.given, each.allowed, each.mend)
                found.setdefault((case.source, each.file, each.where, each.given), fault)
        return list(found.values())

    def _all(self) -> Iterator[tuple[str, str, dict[str, Written]]]:
        """Give the scenario, the name and the changes of every case."""
        study, title = self._study, titles(self._study.scenarios)
        several = len(study.scenarios) > 1
        short = labels(study.vary)
        telling = [path for path, values in study.vary.items() if len(values) > 1]
        if study.vary or not study.cases:
            for source in study.scenarios:
                for values in product(*study.vary.values()):
                    changes = dict(zip(study.vary, values, strict=True))
                    apart = {path: changes[path] for path in telling}
                    first = title[source] if several or not apart else ""
                    yield source, case_name(first, apart, short), changes
        for case in study.cases:
            for source in (case.scenario,) if case.scenario else study.scenarios:
                first = f"{title[source]}, " if several and not case.scenario else ""
                yield source, first + case.name, dict(case.set)

    def _load(self) -> Iterator[Fault]:
        for place, source in enumerate(self._study.scenarios):
            where = self._document.name(("scenarios", place))
            if source in self._given:
                twice = f"'{source}' a second time"
                yield self._fault(where, twice, "each folder once", "Take out one of the two.")
                continue
            if not (self._path.parent / source).is_dir():
                allowed = "a scenario folder, as a path from the folder of this file"
                yield self._fault(where, shortened(source), allowed, "Correct the path.")
                continue
            try:
                scenario = load_scenario(self._path.parent / source)
            except InputFaults as caught:
                for each in caught.faults:
                    file = f"{source}/{each.file}"
                    yield Fault(file, each.where, each.given, each.allowed, each.mend)
                continue
            given = scenario, SolveOptions(workers=1)
            for path, value in self._study.set.items():
                try:
                    given = changed(given, path, value)
                except Refused as refused:
                    yield self._refused(f"set > {path}", refused)
            self._given[source] = given

    def _lists(self) -> Iterator[Fault]:
        for path, values in self._study.vary.items():
            where = f"vary > {path}"
            if path in self._study.set:
                mend = "Take it out of one of the two."
                yield self._fault(where, f"{path}, which is in set too", "each field once", mend)
            seen: set[str] = set()
            for value in values:
                if told(value) in seen:
                    given = f"{told(value)} a second time"
                    yield self._fault(where, given, "each value once", "Take out one of the two.")
                seen.add(told(value))
                yield from self._one(where, path, value)

    def _named(self) -> Iterator[Fault]:
        known = self._study.scenarios
        for case in self._study.cases:
            where = f"cases > {case.name}"
            if case.scenario is not None and case.scenario not in known:
                allowed = "one of the scenarios of this study"
                mend = nearest(case.scenario, known, "Add it to scenarios.")
                yield self._fault(f"{where} > scenario", shortened(case.scenario), allowed, mend)
            for path, value in case.set.items():
                yield from self._one(f"{where} > set > {path}", path, value, case.scenario)

    def _number(self) -> Iterator[Fault]:
        combined = prod(len(values) for values in self._study.vary.values())
        count = len(self._study.scenarios) * (combined + len(self._study.cases))
        if count > MOST_CASES:
            mend = "Take values out of a list, or make several studies."
            yield self._fault("vary", f"{count:,} cases", f"at most {MOST_CASES:,} cases", mend)
            return
        names = [case.name for case in self._study.cases]
        if all(case.scenario in (None, *self._study.scenarios) for case in self._study.cases):
            names = [name for _, name, _ in self._all()]
        for name in sorted({name for name in names if names.count(name) > 1}):
            given = f"two cases called '{name}'"
            yield self._fault("cases", given, "each name once", "Rename one of the two.")

    def _one(
        self, where: str, path: str, value: Written, only: str | None = None
    ) -> Iterator[Fault]:
        for source, given in self._given.items():
            if only in (None, source):
                try:
                    changed(given, path, value)
                except Refused as refused:
                    yield self._refused(where, refused)

    def _refused(self, where: str, refused: Refused) -> Fault:
        return self._fault(where, refused.given, refused.allowed, refused.mend)

    def _fault(self, where: str, given: str, allowed: str, mend: str) -> Fault:
        return Fault(self._path.name, where, given, allowed, mend)
