"""Checks how runs are cut from sheets: tiled exactly, no sheet used twice, grooves in line."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from shapely import Polygon, STRtree, box

from shopfit.checks.notes import CATALOGUE, LAYOUT
from shopfit.checks.scene import Hung, Scene, shrink
from shopfit.model.finding import Finding
from shopfit.model.layout import CutPiece
from shopfit.units import TOLERANCE_MM


def check(scene: Scene) -> Iterator[Finding]:
    """Find runs that their pieces do not fill, and pieces that their sheets do not give."""
    of_run: dict[str, list[CutPiece]] = defaultdict(list)
    on_sheet: dict[tuple[str, int], list[CutPiece]] = defaultdict(list)
    for cut in scene.layout.cuts:
        of_run[cut.run].append(cut)
        on_sheet[scene.hung_by_tag[cut.run].run.sheet, cut.sheet_number].append(cut)
    for one in scene.hung:
        yield from _tiled(scene, one, of_run[one.run.id])
        for cut in of_run[one.run.id]:
            yield from _in_line(scene, one, cut)
    for (sheet, number), cuts in sorted(on_sheet.items()):
        yield from _nested(scene, sheet, number, cuts)


def _finding(
    code: str,
    subject: str,
    message: str,
    mend: str,
    source: str = LAYOUT.source,
    required: float | None = None,
    measured: float | None = None,
    wall: str | None = None,
) -> Finding:
    return Finding(
        code=code,
        severity="violation",
        subject=subject,
        message=message,
        mend=mend,
        source=source,
        required=required,
        measured=measured,
        wall=wall,
    )


def _tiled(scene: Scene, one: Hung, cuts: list[CutPiece]) -> Iterator[Finding]:
    run = one.run
    width, height = run.to_mm - run.from_mm, run.top_mm - run.bottom_mm
    if not cuts:
        yield _finding(
            "cut-missing",
            one.name,
            f"{one.name} is cut from no sheet.",
            "Cut it from sheets and list the pieces.",
            wall=run.wall,
        )
        return
    pieces = [
        box(cut.x_mm, cut.z_mm, cut.x_mm + cut.width_mm, cut.z_mm + cut.height_mm) for cut in cuts
    ]
    beyond = max(
        max(-x0, -z0, x1 - width, z1 - height) for x0, z0, x1, z1 in (p.bounds for p in pieces)
    )
    lacking = width * height - sum(cut.width_mm * cut.height_mm for cut in cuts)
    # A gap of the tolerance along every edge of every piece.
    slack = TOLERANCE_MM * (sum(c.width_mm + c.height_mm for c in cuts) + 1.0)
    twice = _first_overlap(pieces)
    if beyond > TOLERANCE_MM or abs(lacking) > slack or twice is not None:
        if twice is not None:
            what = "two of its pieces overlap"
        elif beyond > TOLERANCE_MM:
            what = f"a piece reaches {scene.words.fine(beyond)} out of it"
        else:
            what = f"{abs(lacking) / 1e6:.4f} m² is {'bare' if lacking > 0 else 'too much'}"
        yield _finding(
            "cut-tiling",
            one.name,
            f"The pieces of {one.name} do not fill its {scene.words.say(width)} by "
            f"{scene.words.say(height)} exactly: {what}.",
            "Cut pieces that fill it without gap or overlap.",
            required=width * height / 1e6,
            measured=sum(piece.area for piece in pieces) / 1e6,
            wall=run.wall,
        ).model_copy(update={"unit": "m²"})


def _first_overlap(pieces: list[Polygon]) -> tuple[int, int] | None:
    tree = STRtree(pieces)
    ones, others = tree.query([shrink(piece) for piece in pieces], predicate="intersects")
    pairs = sorted((int(a), int(b)) for a, b in zip(ones, others, strict=True) if a < b)
    return pairs[0] if pairs else None


def _in_line(scene: Scene, one: Hung, cut: CutPiece) -> Iterator[Finding]:
    pitch = one.sheet.groove_pitch
    shift = cut.sheet_z_mm - cut.z_mm
    off = abs(shift - round(shift / pitch) * pitch)
    if off > TOLERANCE_MM:
        yield _finding(
            "cut-grooves",
            one.name,
            f"A piece of {one.name} comes from {scene.words.say(cut.sheet_z_mm)} up sheet "
            f"{cut.sheet_number}; its grooves would hang {scene.words.fine(off)} off those of the "
            "run.",
            f"Cut it a whole number of grooves ({scene.words.say(pitch)}) up the sheet.",
            CATALOGUE.source,
            0.0,
            off,
            one.run.wall,
        )


def _nested(scene: Scene, sheet_id: str, number: int, cuts: list[CutPiece]) -> Iterator[Finding]:
    sheet = scene.sheets[sheet_id]
    subject = f"sheet {number} ({sheet_id})"
    pieces = []
    for cut in cuts:
        right, top = cut.sheet_x_mm + cut.width_mm, cut.sheet_z_mm + cut.height_mm
        pieces.append(box(cut.sheet_x_mm, cut.sheet_z_mm, right, top))
        beyond = max(-cut.sheet_x_mm, -cut.sheet_z_mm, right - sheet.width, top - sheet.height)
        if beyond > TOLERANCE_MM:
            yield _finding(
                "cut-beyond-sheet",
                subject,
                f"A piece of run {cut.run} reaches {scene.words.fine(beyond)} past the edge of "
                f"{subject}, {scene.words.say(sheet.width)} by {scene.words.say(sheet.height)}.",
                "Cut it from another place or sheet.",
                CATALOGUE.source,
                0.0,
                beyond,
            )
    pair = _first_overlap(pieces)
    if pair is not None:
        one, other = cuts[pair[0]], cuts[pair[1]]
        yield _finding(
            "cut-twice",
            subject,
            f"Pieces of run {one.run} and run {other.run} overlap on {subject}.",
            "Cut one of them from another place or sheet.",
        )
