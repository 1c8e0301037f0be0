"""What pieces and parts of a board are called in lists of cuts, the same in every list."""

from __future__ import annotations

from shopfit.model.cutting import CutBoard, SawCut


def names_of(board: CutBoard) -> dict[str, str]:
    """Give the numbers of a board's pieces, such as 2.1, by the tags of its cuts."""
    return {part.tag: f"{board.number}.{n}" for n, part in enumerate(board.parts, start=1)}


def on_the_saw(cut: SawCut, names: dict[str, str]) -> str:
    """Say what a cut is made in."""
    return _called(cut.of, names) if cut.of else "board"


def freed(cut: SawCut, names: dict[str, str], last: bool) -> str:
    """Say what a cut frees, and what is left on the saw if that is finished too.

    Parameters
    ----------
    cut
        Which.
    names
        Of the board's pieces.
    last
        Whether it is the board's last cut, after which a lone piece is finished.
    """
    if cut.frees:
        frees = _called(cut.frees, names)
    else:
        frees = names[""] if last and "" in names else "waste or rest"
    return f"{frees}, leaves {_called(cut.leaves, names)}" if cut.leaves else frees


def _called(tag: str, names: dict[str, str]) -> str:
    return names.get(tag, f"strip {tag}" if len(tag) == 1 else f"part {tag}")
