"""Draws sheets and lengths as they are cut: pieces with sizes, cuts numbered, offcuts kept."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from shopfit.cutting.naming import freed, names_of, on_the_saw
from shopfit.cutting.runs import run_boards
from shopfit.drawing import lettering, style
from shopfit.drawing.desk import Desk
from shopfit.drawing.dimension import Ruler, running
from shopfit.drawing.faceart import rectangle
from shopfit.drawing.labels import Labels
from shopfit.drawing.scene import Fill, Group, Item, Layer, Pen, Scene, Shape, Strokes, Table, Text
from shopfit.drawing.sheet import Page, fitting_scale
from shopfit.model.cutting import CutBoard, Offcut, PlacedPart, SawCut
from shopfit.units import LengthStyle, format_length

_BESIDE, _BELOW = 22.0, 22.0  # for measures, printed mm
_ACROSS = 2  # sheets side by side that the scale is chosen for
_MOST_MARKS = 12  # along a side; the list of cuts has them all
_BAR = 9.0  # lengths are drawn so high, printed mm
WASTE = Fill("#f1f1f1", "rising", 2.0, Pen(0.1, "#aab2bb"))
SAWN = Pen(0.3, style.RUST, (2.0, 0.8))
KEPT = Pen(0.2, style.GREY, (1.2, 0.8))


def draw_cuts(desk: Desk, page: Page, made: Sequence[CutBoard] = ()) -> list[Scene]:
    """Draw every sheet and length that is cut: all sheets at one scale, then lengths at another.

    Parameters
    ----------
    desk
        The layout; its cuts are drawn.
    page
        The paper that the scale is chosen for.
    made
        Boards for what is made, drawn after the slat-wall.

    Returns
    -------
    Scenes in the order of the boards; x from a sheet's left edge, y up from its lower one, mm.
    """
    return draw_boards([*run_boards(desk.scenario, desk.layout), *made], desk.shop.units, page)


def draw_boards(boards: Sequence[CutBoard], units: LengthStyle, page: Page) -> list[Scene]:
    """Draw boards: all sheets at one scale, then all lengths at another.

    Parameters
    ----------
    boards
        With their pieces, cuts and offcuts.
    units
        How lengths are written.
    page
        The paper that the scale is chosen for.
    """
    sheets = [board for board in boards if board.width_mm is not None]
    lengths = _once([board for board in boards if board.width_mm is None])
    scenes = []
    for drawn, across in (([(board, board.number) for board in sheets], _ACROSS), (lengths, 1)):
        alike = [board for board, _ in drawn]
        if not alike:
            continue
        width, height = page.room_size
        scale = fitting_scale(
            max(board.length_mm for board in alike),
            max(board.width_mm or 1.0 for board in alike),
            ((width - 8.0) / across - _BESIDE, height / _ACROSS - _BELOW - 8.0),
            units,
        )
        scenes += [_Drawn(board, last, units, scale).scene() for board, last in drawn]
    return scenes


def _once(boards: Sequence[CutBoard]) -> list[tuple[CutBoard, int]]:
    """Give the first of each row of boards cut alike for one purpose, and the last one's number."""
    found: list[tuple[CutBoard, int]] = []
    for board in boards:
        if found and _cut_alike(found[-1][0], board) and found[-1][1] == board.number - 1:
            found[-1] = (found[-1][0], board.number)
        else:
            found.append((board, board.number))
    return found


def _cut_alike(one: CutBoard, other: CutBoard) -> bool:
    return (one.stock, one.parts, one.cuts) == (other.stock, other.parts, other.cuts)


@dataclass
class _Drawn:
    """A board on the drawing desk, and the number of the last one that is cut alike."""

    board: CutBoard
    last: int
    units: LengthStyle
    scale: float
    labels: Labels = field(init=False)
    key: list[tuple[str, str, str]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.labels = Labels(self.scale)
        self.deep = self.board.width_mm or _BAR * self.scale

    @property
    def called(self) -> str:
        """Its kind and number, or numbers where more are cut alike."""
        kind = "Sheet" if self.board.width_mm is not None else "Length"
        if self.last == self.board.number:
            return f"{kind} {self.board.number}"
        return f"{kind}s {self.board.number}–{self.last}"

    @property
    def _headed(self) -> str:
        return self.called if self.last == self.board.number else f"{self.called}, cut alike"

    def length(self, size: float) -> str:
        return format_length(size, self.units)

    def size(self, length: float, width: float) -> str:
        if self.board.width_mm is None:
            return self.length(length)
        return f"{self.length(length)} × {self.length(width)}"

    def scene(self) -> Scene:
        board, parts = self.board, self.board.parts
        by_sheet = board.width_mm is not None
        kind = "Sheet" if by_sheet else "Length"
        what = "slat-wall" if board.groove_pitch_mm else board.material
        items: list[Item] = [
            Shape(rectangle(0.0, board.length_mm, 0.0, self.deep), style.CUT, WASTE)
        ]
        for index, part in enumerate(parts, start=1):
            items.append(self._piece(f"{board.number}.{index}", part))
        cuts = tuple(
            ((cut.from_mm[0], self._y(cut.from_mm[1])), self._end(cut)) for cut in board.cuts
        )
        head = Text((0.0, self.deep + 2.6 * self.scale), self._headed, anchor="start", bold=True)
        names = [self.labels.take(head), self.labels.take(self._name(head))]
        measures = list(self._measures())
        kept = [shape for offcut in board.offcuts for shape in self._offcut(offcut)]
        numbers = [text for cut in board.cuts for text in self._number(cut)]
        title = f"{self.called}: {board.name}, {len(parts)} pieces"
        group = Group(f"{kind.lower()}-{board.number}", title, tuple(items))
        return Scene(
            f"Cutting of {what} {'sheets' if by_sheet else 'lengths'}",
            f"{self.called} of {what} with {len(parts)} pieces"
            f"{', its face towards the reader' if by_sheet else ''}.",
            self.scale,
            (
                Layer("sheets", (group,)),
                Layer("cuts", (Strokes(cuts, SAWN), *kept, *numbers)),
                Layer("names", tuple(names)),
                Layer("dimensions", tuple(measures)),
            ),
            self._tables(),
        )

    def _y(self, y: float) -> float:
        # A length has no width of its own.
        return y if self.board.width_mm is not None else min(y, 1.0) * self.deep

    def _end(self, cut: SawCut) -> tuple[float, float]:
        return cut.to_mm[0], self._y(cut.to_mm[1])

    def _name(self, head: Text) -> Text:
        start = head.width + 2.0
        words = self.board.name
        if self.board.trim_mm:
            words = f"{words}; trim {self.length(self.board.trim_mm)} off all round first"
        room = self.board.length_mm / self.scale - start
        return Text(
            (start * self.scale, head.at[1]),
            lettering.shorten(words, room, lettering.SMALL),
            anchor="start",
        )

    def _measures(self) -> Iterable[Item]:
        """Measure the edges of pieces from the corner, where they are few enough to read."""
        parts = self.board.parts
        marks = sorted({p.x_mm for p in parts} | {p.x_mm + p.length_mm for p in parts})
        rows = sorted({p.y_mm for p in parts} | {p.y_mm + p.width_mm for p in parts})
        below = Ruler(lambda along, away: (along, -away), self.scale, self.units)
        beside = Ruler(lambda along, away: (-away, along), self.scale, self.units)
        if len(marks) <= _MOST_MARKS:
            yield from running(below, marks, self.labels, 3.5)
        if len(rows) <= _MOST_MARKS and self.board.width_mm is not None:
            yield from running(beside, rows, self.labels, 3.5)

    def _tables(self) -> tuple[Table, ...]:
        board = self.board
        names = names_of(board)
        rows = tuple(
            (
                str(cut.number),
                on_the_saw(cut, names),
                cut.saw,
                self.length(cut.set_mm),
                freed(cut, names, last=cut is board.cuts[-1]),
            )
            for cut in board.cuts
        )
        kept = tuple((self.size(cut.length_mm, cut.width_mm),) for cut in board.offcuts)
        tables = (
            Table("Pieces too small to letter", ("Piece", "For", "Size"), tuple(self.key)),
            Table(f"{self.called}, cuts in order", ("Cut", "On", "Saw", "Set at", "Frees"), rows),
            Table(self.called, ("Offcuts to keep",), kept),
        )
        return tuple(table for table in tables if table.rows)

    def _piece(self, tag: str, part: PlacedPart) -> Group:
        left, low = part.x_mm, part.y_mm
        right = left + part.length_mm
        top = low + part.width_mm if self.board.width_mm is not None else self.deep
        size = self.size(part.length_mm, part.width_mm)
        pitch, first = self.board.groove_pitch_mm, self.board.first_groove_mm
        heights = []
        if pitch is not None:
            count = int((self.deep - first) / pitch) + 1
            heights = [first + k * pitch for k in range(count)]
        grooves = tuple(((left, h), (right, h)) for h in heights if low < h < top)
        items: list[Item] = [
            Shape(rectangle(left, right, low, top), style.OUTLINE, style.BLANK),
            *([Strokes(grooves, style.FAINT)] if grooves else []),
            Shape(rectangle(left, right, low, top), style.OUTLINE),
        ]
        ends, name = (left, low, right, top), f"{tag} {part.part}"
        wide, high = f"{self.length(part.length_mm)} ×", self.length(part.width_mm)
        lines = self._lettered(ends, [name, size]) or self._lettered(ends, [name, wide, high])
        if not lines:
            self.key.append((tag, part.part, size))
            lines = self._lettered(ends, [tag])
        words = f"Piece {tag} of {part.part}, {size}"
        return Group(f"piece-{tag}", words, (*items, *lines))

    def _offcut(self, offcut: Offcut) -> Iterator[Item]:
        left, low = offcut.x_mm, offcut.y_mm
        right = left + offcut.length_mm
        top = low + offcut.width_mm if self.board.width_mm is not None else self.deep
        yield Shape(rectangle(left, right, low, top), KEPT)
        size = self.size(offcut.length_mm, offcut.width_mm)
        yield from (
            self._lettered((left, low, right, top), ["offcut", size])
            or self._lettered((left, low, right, top), [f"offcut {size}"])
        )

    def _number(self, cut: SawCut) -> Iterator[Text]:
        """Set the number of a cut on its line, where it covers no other lettering."""
        (x0, y0), (x1, y1) = (cut.from_mm[0], self._y(cut.from_mm[1])), self._end(cut)
        for part in (0.06, 0.94, 0.12, 0.88, 0.2, 0.8, 0.3, 0.7, 0.4, 0.6, 0.5):
            at = (x0 + part * (x1 - x0), y0 + part * (y1 - y0) - 0.9 * self.scale)
            text = Text(at, str(cut.number), bold=True, halo=True, colour=style.RUST)
            if self.labels.free(text, strict=False):
                yield self.labels.take(text)
                return

    def _lettered(
        self, ends: tuple[float, float, float, float], words: Sequence[str]
    ) -> list[Item]:
        """Set words in the middle of a piece: in lines, in one line, or upright; else nothing."""
        left, low, right, top = ends
        x, y, step = (left + right) / 2, (low + top) / 2, 1.7 * self.scale
        wide, high = (right - left) / self.scale - 1.0, (top - low) / self.scale - 1.0
        spread = step * (len(words) - 1)
        stacked = [(word, spread - 2 * step * index) for index, word in enumerate(words)]
        longest = max(lettering.width(word, lettering.SMALL) for word in words)
        deep = 3.4 * len(words)
        texts: list[Text] = []
        if longest <= wide and deep <= high:
            texts = [Text((x, y + up), word, halo=True) for word, up in stacked]
        elif longest <= high and deep <= wide:
            texts = [Text((x - up, y), word, angle=90.0, halo=True) for word, up in stacked]
        elif lettering.width("  ".join(words), lettering.SMALL) <= wide and high >= 2.8:
            texts = [Text((x, y), "  ".join(words), halo=True)]
        if not all(self.labels.free(text, strict=False) for text in texts):
            return []
        return [self.labels.take(text) for text in texts]
