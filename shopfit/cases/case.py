"""A case being worked on: a draft and its layout, with steps back and forward."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from shopfit.files.drafts import Draft
from shopfit.model.layout import Layout

MOST_STEPS = 200


@dataclass(frozen=True)
class Case:
    """A scenario as written, and what was last laid out for it.

    Parameters
    ----------
    draft
        The scenario, faults and all.
    layout
        A layout of it, perhaps of an earlier version of the draft; none before the first.
    """

    draft: Draft = field(default_factory=Draft)
    layout: Layout | None = None


@dataclass
class Work:
    """The case being worked on, under its name, with every step that led to it.

    Parameters
    ----------
    name
        What it is kept under.
    now
        The case as it stands.
    revision
        Number of the version kept that it goes on from; 0 before it was kept.
    dirty
        Whether it differs from that version.
    """

    name: str
    now: Case
    revision: int = 0
    dirty: bool = True
    _before: list[tuple[str, Case]] = field(default_factory=list)
    _after: list[tuple[str, Case]] = field(default_factory=list)

    def do(self, what: str, **parts: Any) -> None:
        """Change the case.

        Parameters
        ----------
        what
            The step, as it is told beside undo and redo.
        parts
            ``draft`` or ``layout``.
        """
        after = replace(self.now, **parts)
        if after == self.now:
            return
        self._before.append((what, self.now))
        del self._before[:-MOST_STEPS]
        self._after.clear()
        self.now, self.dirty = after, True

    def write(self, what: str, **parts: Any) -> None:
        """Change parts of the draft: ``shop``, ``fixtures``, ``pins``, ``rows`` or ``columns``."""
        self.do(what, draft=self.now.draft.changed(**parts))

    def undo(self) -> None:
        """Go one step back; nothing happens where there is none."""
        if self._before:
            what, case = self._before.pop()
            self._after.append((what, self.now))
            self.now, self.dirty = case, True

    def redo(self) -> None:
        """Go forward again after a step back; nothing happens where there is none."""
        if self._after:
            what, case = self._after.pop()
            self._before.append((what, self.now))
            self.now, self.dirty = case, True

    @property
    def undoes(self) -> str:
        """The step that undo takes back; empty if there is none."""
        return self._before[-1][0] if self._before else ""

    @property
    def redoes(self) -> str:
        """The step that redo takes again; empty if there is none."""
        return self._after[-1][0] if self._after else ""
