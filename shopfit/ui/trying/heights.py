"""Heights on walls: slat-wall and rows of goods moved groove by groove, with what comes of it."""

from __future__ import annotations

from dataclasses import dataclass

import streamlit as st

from shopfit import trying
from shopfit.geometry.wallface import FaceShape
from shopfit.model.layout import Block, Layout, Row, Run
from shopfit.model.scenario import Scenario
from shopfit.planning import Plan
from shopfit.ui import session
from shopfit.ui.layout import rows
from shopfit.ui.text import plain, plain_cells
from shopfit.ui.trying.facepicture import face_picture
from shopfit.ui.trying.floor import GRAVE
from shopfit.units import format_length

# Far more than any wall is high.
MOST_GROOVES = 200
NARROW_LEVELS = 1


@dataclass(frozen=True)
class Mark:
    """A row of goods, or a whole run where no block is named.

    Parameters
    ----------
    face
        What it is on.
    block, number
        The block, and which of its rows.
    run
        The run, if it is on slat-wall.
    """

    face: FaceShape
    block: Block | None = None
    number: int = 0
    run: Run | None = None

    @property
    def key(self) -> str:
        """What tells it apart from all others of the layout."""
        part = "" if self.block is None else f"-{self.block.id}-{self.number}"
        return f"{self.face.host}-{self.face.side}{part}"

    @property
    def row(self) -> Row | None:
        """The row, or none for a whole run."""
        return None if self.block is None else self.block.rows[self.number]


def show(plan: Plan) -> None:
    """Show what hangs and stands on faces, one chosen, and where it may go up or down."""
    layout = plan.layout
    assert layout is not None
    marks = {mark.key: mark for mark in marks_of(plan.scenario, layout)}
    if not marks:
        return
    st.subheader("Heights, groove by groove", anchor=False)
    left, right = st.columns(2)
    with left:
        words = {key: _words(plan.scenario, mark) for key, mark in marks.items()}
        key = st.selectbox(
            "What is moved up or down",
            list(marks),
            format_func=lambda name: words.get(name, name),
            key=session.own("height-of"),
        )
        if key is None:
            return
        mark = marks[key]
        _control(plan.scenario, mark)
        _told(plan, mark)
    with right:
        picture = face_picture(plan.scenario, layout, mark.face, mark.row, mark.run)
        st.image(picture, width="stretch", alt=f"{words[key]}, from the front")


def marks_of(scenario: Scenario, layout: Layout) -> list[Mark]:
    """List every run and every row of goods on a face with levels, those on slat-wall first."""
    runs = {run.id: run for run in layout.runs}
    found = []
    faces = trying.faces_of(scenario, layout)
    # What hangs comes first, for its height is what is mostly asked for.
    for (host, side), face in sorted(faces.items(), key=lambda item: item[0][0] not in runs):
        if host in runs:
            found.append(Mark(face, run=runs[host]))
        if face.levels <= NARROW_LEVELS:
            continue
        for block in layout.blocks:
            if (block.host, block.side) == (host, side):
                found += [Mark(face, block, k, runs.get(host)) for k in range(len(block.rows))]
    return found


def _words(scenario: Scenario, mark: Mark) -> str:
    if mark.block is None or mark.row is None:
        on = f" on wall {mark.run.wall}" if mark.run is not None else ""
        return f"Slat-wall {mark.face.host}{on}, with all on it"
    lines = ", ".join(slot.line for slot in mark.row.slots) or "nothing"
    height = format_length(mark.row.bottom_mm, scenario.shop.units)
    return f"{mark.face.host}, {mark.block.id}: {mark.block.category} at {height} ({lines})"


def level_of(mark: Mark) -> int:
    """Give the groove or level that a mark begins at; of a run, grooves above the floor."""
    height = mark.face.bottom if mark.row is None else mark.row.bottom_mm - mark.face.bottom
    level = height / mark.face.pitch
    return int(level + 1e-6) if mark.row is None else round(level) + 1


def limits_of(mark: Mark) -> tuple[int, int]:
    """Give the lowest and the highest level that a mark may begin at."""
    if mark.row is None:
        bottom = mark.run.bottom_mm if mark.run is not None else 0.0
        return level_of(mark) - int(bottom / mark.face.pitch + 1e-6), MOST_GROOVES
    tall = round((mark.row.top_mm - mark.row.bottom_mm) / mark.face.pitch)
    return 1, max(1, mark.face.levels - tall + 1)


def _control(scenario: Scenario, mark: Mark) -> None:
    now, (low, high) = level_of(mark), limits_of(mark)
    key = session.own(f"height-{mark.key}")
    # Set before it is drawn, so that undo shows in it and the keyboard stays where it is.
    st.session_state[key] = now
    if mark.row is None:
        label = "Lowest groove, in grooves above the floor"
    else:
        label = "Lowest groove, from below" if mark.run is not None else "Shelf level, from below"
    st.number_input(
        label,
        min_value=min(low, now),
        max_value=max(high, now),
        step=1,
        key=key,
        disabled=session.busy() or low >= high,
        help="One step is one groove of slat-wall, or one hole of a fixture's shelves.",
        on_change=_move,
        args=(mark, key),
    )
    bottom = mark.face.bottom if mark.row is None else mark.row.bottom_mm
    top = mark.face.top if mark.row is None else mark.row.top_mm
    style = scenario.shop.units
    pitch = format_length(mark.face.pitch, style)
    st.caption(
        plain(
            f"From {format_length(bottom, style)} to {format_length(top, style)} above the floor; "
            f"one step is {pitch}."
        )
    )


def _move(mark: Mark, key: str) -> None:
    plan = session.plan()
    wanted = st.session_state.get(key)
    if plan is None or plan.layout is None or session.busy() or not isinstance(wanted, int):
        return
    by = wanted - level_of(mark)
    if mark.block is None:
        after = trying.raised(plan.scenario, plan.layout, mark.face.host, by)
        session.the_work().do(f"Move {mark.face.host} up or down", layout=after)
        return
    after = trying.shifted(plan.scenario, plan.layout, mark.block.id, mark.number, by)
    session.the_work().do(f"Move a row of {mark.block.id} up or down", layout=after)


def _told(plan: Plan, mark: Mark) -> None:
    """Tell what stands in the way on this wall, or at this fixture, as it is now."""
    tags = {mark.face.host, *({mark.block.id} if mark.block is not None else ())}
    wall = mark.run.wall if mark.run is not None else None
    mine = [
        finding
        for finding in plan.findings
        if finding.severity in GRAVE
        and ((wall is not None and finding.wall == wall) or tags & set(finding.subject.split()))
    ]
    with st.container(key="height-findings"):
        if not mine:
            st.write("Nothing stands in the way here: the values checked are met.")
            return
        cells = [
            {name: row[name] for name in ("finding", "required", "measured")}
            for row in rows.finding_rows(plan.scenario, mine)
        ]
        st.table(plain_cells(cells), hide_index=True)
