"""What has to be done to make one layout of another: fixtures, slat-wall, goods and holders."""

from __future__ import annotations

from typing import Literal

from shopfit.model.base import Frozen
from shopfit.model.fixtures import Side
from shopfit.model.layout import Placement, Run

FixtureStep = Literal["kept", "moved", "turned", "moved and turned", "brought in", "taken out"]
RunStep = Literal["kept", "lengthened", "shortened", "shifted", "hung anew", "taken down"]
BlockStep = Literal["kept", "carried along", "shifted", "changed", "set up", "cleared"]


class FixtureMove(Frozen):
    """What becomes of a fixture.

    Parameters
    ----------
    step
        What is done with it.
    fixture, name
        Id in the catalogue and name in words.
    before, after
        Where it stands and where it shall stand; none where it comes or goes.
    moved_mm, turned_deg
        How far its middle moves, and how far it is turned, from -180 to 180 degrees.
    moves
        What that counts: 1, or 0 where it is kept.
    """

    step: FixtureStep
    fixture: str
    name: str
    before: Placement | None = None
    after: Placement | None = None
    moved_mm: float = 0.0
    turned_deg: float = 0.0
    moves: int = 0


class RunMove(Frozen):
    """What becomes of a run of slat-wall.

    Parameters
    ----------
    step
        What is done with it; ``shifted`` is as long as before at another place of its wall.
    before, after
        As it hangs and as it shall hang; none where it comes or goes.
    longer_mm
        How much longer it gets; less than nought where it is shortened.
    moves
        What that counts: 1 for every fixture that stays and over which slat-wall changes; of a run
        with nothing below, 1 for taking it down and 1 for every sheet's width hung. What goes
        with a fixture that moves counts nothing of its own.
    """

    step: RunStep
    before: Run | None = None
    after: Run | None = None
    longer_mm: float = 0.0
    moves: int = 0


class LineMove(Frozen):
    """Facings of a line in a block before and after."""

    line: str
    before: int
    after: int


class BlockMove(Frozen):
    """What becomes of a category block.

    Parameters
    ----------
    step
        What is done with it: ``carried along`` stays on a fixture that moves, ``shifted`` stands
        elsewhere on the same face with the same goods.
    category
        What stands there.
    tag_before, tag_after, host_before, host_after
        Tags of block and host in the two layouts; none where it comes or goes.
    side
        Of the host.
    from_before_mm, from_after_mm
        Its left end along the face; on slat-wall along the wall.
    lines
        Lines whose facings differ.
    """

    step: BlockStep
    category: str
    tag_before: str | None = None
    tag_after: str | None = None
    host_before: str | None = None
    host_after: str | None = None
    side: Side = "front"
    from_before_mm: float | None = None
    from_after_mm: float | None = None
    lines: tuple[LineMove, ...] = ()


class HolderMove(Frozen):
    """Brackets or shelf boards of a kind on slat-wall.

    Parameters
    ----------
    holder, name, kind
        Id in the catalogue, name in words, and what it is.
    before, after
        Pieces in the two layouts.
    stay
        Those that hang at the same place of the wall in both.
    """

    holder: str
    name: str
    kind: Literal["bracket", "shelf"]
    before: int
    after: int
    stay: int

    @property
    def to_move(self) -> int:
        """Pieces that come off one place and go to another."""
        return min(self.before, self.after) - self.stay

    @property
    def to_add(self) -> int:
        """Pieces that are needed besides those there."""
        return max(0, self.after - self.before)

    @property
    def to_spare(self) -> int:
        """Pieces that are left over."""
        return max(0, self.before - self.after)


class Moves(Frozen):
    """Everything that has to be done, and what it counts.

    Parameters
    ----------
    fixtures, runs, blocks, holders
        The four lists, with what is kept.
    """

    fixtures: tuple[FixtureMove, ...] = ()
    runs: tuple[RunMove, ...] = ()
    blocks: tuple[BlockMove, ...] = ()
    holders: tuple[HolderMove, ...] = ()

    @property
    def count(self) -> int:
        """Moves of fixtures and slat-wall; goods do not count."""
        return sum(row.moves for row in self.fixtures) + sum(row.moves for row in self.runs)

    @property
    def blocks_changed(self) -> int:
        """Blocks that are changed, set up or cleared."""
        return sum(row.step in ("changed", "set up", "cleared") for row in self.blocks)


class MoveRow(Frozen):
    """A line of the list of moves, as people read it.

    Parameters
    ----------
    part
        Fixture, slat-wall, goods or holder.
    tag, name, step
        Tag in the new layout, or in the old one of what goes; name in words; what is done.
    before, after
        Places in words.
    moved_mm, turned_deg
        How far.
    line, facings_before, facings_after
        On goods: one line of a block.
    pieces_before, pieces_after, pieces_moved
        On holders: how many, and how many change their place.
    moves
        What it counts.
    """

    part: Literal["fixture", "slat-wall", "goods", "holder"]
    tag: str
    name: str
    step: str
    before: str = ""
    after: str = ""
    moved_mm: float | None = None
    turned_deg: float | None = None
    line: str = ""
    facings_before: int | None = None
    facings_after: int | None = None
    pieces_before: int | None = None
    pieces_after: int | None = None
    pieces_moved: int | None = None
    moves: int = 0
