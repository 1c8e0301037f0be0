"""Checks what slat-wall hangs on the studs behind it, and which studs its sheets meet.

What a stud and a screw hold is for the maker and a licensed person to say.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from shopfit.checks.masses import Mass, goods
from shopfit.checks.notes import SHELL, join, published
from shopfit.checks.saying import say
from shopfit.checks.scene import Hung, Scene
from shopfit.geometry.shell import WallLine
from shopfit.model.finding import Finding
from shopfit.standards import loads
from shopfit.standards.rulebook import GRAVITY
from shopfit.units import format_force, format_mass
from shopfit.wording import counted

ASK = "Screw sheets to studs as the maker says, and let a licensed person judge the wall."
_SLACK_KG = 1e-6


@dataclass(frozen=True)
class _Piece:
    """A sheet or part of one, as it hangs.

    Parameters
    ----------
    one
        The run that it belongs to.
    left, right
        Its ends along the wall, mm.
    bottom, height
        Its lower edge above the floor, and its height, mm.
    lines
        Offsets of the studs behind it, mm.
    """

    one: Hung
    left: float
    right: float
    bottom: float
    height: float
    lines: tuple[float, ...]

    @property
    def kg(self) -> float:
        """Its own mass, kg."""
        sheet = self.one.sheet
        whole = sheet.width * sheet.height
        return sheet.weight * (self.right - self.left) * self.height / whole


@dataclass
class _Stud:
    """What hangs on a stud.

    Parameters
    ----------
    wall, offset
        Where it is: which wall, and from its left end, mm.
    kg
        Mass of sheets and goods, kg.
    moment
        About the wall, Nm.
    pull
        Force at the upper edges of the sheets that keeps them to the wall, N.
    runs
        Tags of the runs that hang on it.
    """

    wall: WallLine
    offset: float
    kg: float = 0.0
    moment: float = 0.0
    pull: float = 0.0
    runs: list[str] = field(default_factory=list)


def check(scene: Scene) -> Iterator[Finding]:
    """Find overloaded studs and sheets that meet too few; say what is not known."""
    if not scene.hung:
        return
    pieces = [piece for one in scene.hung for piece in _pieces(scene, one)]
    studs = _studs(scene, pieces)
    yield from _missed(scene, pieces)
    yield from _overloaded(scene, studs)
    yield from _told(scene, pieces, studs)
    if scene.scenario.shop.studs.load is None:
        yield _not_checked(scene, studs)


def _pieces(scene: Scene, one: Hung) -> list[_Piece]:
    run = one.run
    cuts = [cut for cut in scene.layout.cuts if cut.run == run.id]
    spans = [
        (run.from_mm + cut.x_mm, cut.width_mm, run.bottom_mm + cut.z_mm, cut.height_mm)
        for cut in cuts
    ] or [(run.from_mm, run.to_mm - run.from_mm, run.bottom_mm, run.top_mm - run.bottom_mm)]
    studs = scene.scenario.shop.studs
    return [
        _Piece(
            one,
            left,
            left + width,
            bottom,
            height,
            tuple(loads.stud_lines(left, left + width, studs.first, studs.spacing)),
        )
        for left, width, bottom, height in spans
        if width > 0 and height > 0
    ]


def _studs(scene: Scene, pieces: list[_Piece]) -> list[_Stud]:
    found: dict[tuple[str, int], _Stud] = {}
    stock = goods(scene)
    spacing = scene.scenario.shop.studs.spacing
    for piece in pieces:
        if not piece.lines:
            continue
        height = (piece.one.run.top_mm - piece.one.run.bottom_mm) or piece.height
        parts = loads.spread(piece.lines, piece.left, piece.right)
        hangs = [(piece.kg, piece.one.sheet.thickness / 2, parts)]
        for mass in stock.get(piece.one.run.id, ()):
            if _carrier(pieces, piece.one, mass) is piece:
                at = piece.one.run.from_mm + mass.along
                out = piece.one.sheet.thickness + mass.out
                hangs.append((mass.kg, out, loads.shares(piece.lines, at)))
        for kg, out, shares in hangs:
            for offset, share in zip(piece.lines, shares, strict=True):
                key = (piece.one.wall.id, round(offset / spacing * 1000))
                stud = found.setdefault(key, _Stud(piece.one.wall, offset))
                moment = kg * share * GRAVITY * out / 1000
                stud.kg += kg * share
                stud.moment += moment
                stud.pull += loads.pull_at_top(moment, height)
                if share > 0 and piece.one.run.id not in stud.runs:
                    stud.runs.append(piece.one.run.id)
    return list(found.values())


def _carrier(pieces: Sequence[_Piece], one: Hung, mass: Mass) -> _Piece | None:
    """Give the piece of a run that goods hang on: of those over one another the nearest."""
    at = one.run.from_mm + mass.along
    here = [each for each in pieces if each.one is one and each.left <= at < each.right]
    return min(
        here,
        key=lambda p: max(p.bottom - mass.height, mass.height - p.bottom - p.height),
        default=None,
    )


def _missed(scene: Scene, pieces: list[_Piece]) -> Iterator[Finding]:
    limit = scene.rulebook.requirement("stud-lines")
    few = [piece for piece in pieces if not limit.holds(len(piece.lines))]
    if not few:
        return
    words = scene.words
    said = join(
        f"{words.say(piece.right - piece.left)} of {piece.one.run.id} at "
        f"{words.say(piece.left)} on {piece.one.wall.id}"
        for piece in few
    )
    worst = min(few, key=lambda piece: len(piece.lines))
    x, y = worst.one.wall.point((worst.left + worst.right) / 2)
    yield say(
        "stud-missed",
        "advice",
        join(dict.fromkeys(piece.one.run.id for piece in few)),
        f"Pieces of slat-wall meet fewer than {limit.value:.0f} studs: {said}; the fewest, "
        f"{len(worst.lines)}.",
        "Set blocking between the studs for them, or move joints of sheets onto studs; studs are "
        "taken as studs: spacing and first in shop.yaml say.",
        published(limit),
        required=limit.value,
        measured=float(len(worst.lines)),
        unit="studs",
        at_mm=(round(x, 1), round(y, 1)),
        wall=worst.one.wall.id,
    )


def _overloaded(scene: Scene, studs: list[_Stud]) -> Iterator[Finding]:
    limit = scene.scenario.shop.studs.load
    if limit is None:
        return
    style, words = scene.words.style, scene.words
    for wall in dict.fromkeys(stud.wall.id for stud in studs):
        over = [stud for stud in studs if stud.wall.id == wall and stud.kg > limit + _SLACK_KG]
        if not over:
            continue
        worst = max(over, key=lambda stud: stud.kg)
        x, y = worst.wall.point(worst.offset)
        count = "one stud carries" if len(over) == 1 else f"{len(over)} studs carry"
        yield say(
            "stud-load",
            "violation",
            f"wall {wall}",
            f"On wall {wall} {count} too much, most of all the one at {words.say(worst.offset)}, "
            f"behind {join(worst.runs)}: {format_mass(worst.kg, style)} of sheets and goods, and "
            f"{format_mass(limit, style)} allowed.",
            f"Take {format_mass(worst.kg - limit, style)} off there, spread the goods along the "
            f"wall, or have the wall made stronger. {ASK}",
            SHELL,
            required=limit,
            measured=round(worst.kg, 6),
            margin=limit - worst.kg,
            unit="kg",
            at_mm=(round(x, 1), round(y, 1)),
            wall=wall,
            height_mm=scene.hung_by_tag[worst.runs[0]].run.bottom_mm,
        )


def _told(scene: Scene, pieces: list[_Piece], studs: list[_Stud]) -> Iterator[Finding]:
    stock, words, style = goods(scene), scene.words, scene.words.style
    runs = {one.run.id: one for one in scene.hung}
    masses = {
        tag: sum(mass.kg for mass in stock.get(tag, ()))
        + sum(piece.kg for piece in pieces if piece.one.run.id == tag)
        for tag in runs
    }
    kg, tag = max((round(mass, 3), tag) for tag, mass in masses.items())
    run = runs[tag].run
    lines = sorted({line for p in pieces if p.one.run.id == tag for line in p.lines})
    message = (
        f"The heaviest run, {tag}, carries {format_mass(kg, style)} of goods and sheet on "
        f"{words.say(run.to_mm - run.from_mm)} of wall, over {counted(len(lines), 'studs')}."
    )
    if studs:
        worst = max(studs, key=lambda stud: stud.kg)
        screws = sum(
            loads.screws_up(scene.rulebook, piece.height) * len(piece.lines)
            for piece in pieces
            if piece.one.run.id == tag
        )
        message += (
            f" Most on one stud: {format_mass(worst.kg, style)}, on wall {worst.wall.id} at "
            f"{words.say(worst.offset)}, behind {join(worst.runs)}; it stands out so far that the "
            f"sheet pulls off the wall at the top with {format_force(worst.pull, style)}. With a "
            f"screw every {words.say(scene.rulebook.mm('screw-spacing'))} up each stud {tag} has "
            f"{screws}; a seam over a stud counts for both sheets."
        )
    yield say(
        "wall-load",
        "advice",
        counted(len(runs), "slat-wall runs"),
        message,
        ASK,
        published(scene.rulebook.requirement("screw-spacing")),
        measured=kg,
        unit="kg",
        wall=run.wall,
    )


def _not_checked(scene: Scene, studs: list[_Stud]) -> Finding:
    most = round(max((stud.kg for stud in studs), default=0.0), 3)
    return say(
        "fixing-not-checked",
        "not checked",
        "walls",
        "What hangs on the studs was not checked: what one stud carries is not given. Most on one "
        f"is {format_mass(most, scene.words.style)}.",
        "Find the studs with a stud finder or a magnet, ask the maker of the slat-wall and an "
        "engineer, and fill in studs: load, first and spacing in shop.yaml.",
        published(scene.rulebook.requirement("stud-lines")),
        measured=most,
        unit="kg",
    )
