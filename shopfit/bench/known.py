"""Makes shops whose optimum is known: a finished layout, cut apart again."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from shopfit.bench.dice import Dice, inches
from shopfit.bench.knownfaces import HUNG, SHELF, Cutter, Face, Home, Stock
from shopfit.bench.knownfloor import Floor, Stood, floor
from shopfit.bench.sizes import size_named
from shopfit.bench.stock import Cabinet, boards, brackets, counter, fixture, sheet
from shopfit.model.brief import Brief
from shopfit.model.fixtures import Catalogue, Fixture
from shopfit.model.layout import Claims, Layout, Run
from shopfit.model.scenario import Scenario, Shop
from shopfit.quantities.takeoff import complete
from shopfit.units import INCH_MM

KNOWN = ("stall", "narrow", "corner")
RUN_BOTTOM, RUN_TOP = 36.0, 80.0  # of slat-wall over cabinets, in
_GROOVE, _PITCH = 1.5, 3.0
# Level steps of the faces.
CABINET_LEVELS, GONDOLA_LEVELS = 14, 25
RUN_LEVELS = int((RUN_TOP - RUN_BOTTOM - _GROOVE) / _PITCH)


@dataclass(frozen=True)
class Known:
    """A shop whose optimum is known.

    Parameters
    ----------
    scenario
        What is given to a solver.
    layout
        The layout that it was cut from, complete with cuts and purchases.
    optimum
        Facings of that layout, which are all that are wanted, so no layout has more.
    """

    scenario: Scenario
    layout: Layout
    optimum: int


def known_optimum(size: str, seed: int) -> tuple[Scenario, int]:
    """Give a shop and the most facings that any layout of it can show.

    Parameters
    ----------
    size, seed
        ``stall``, ``narrow`` or ``corner``; the same seed gives the same shop.

    Raises
    ------
    ValueError
        If there is none of that size.
    """
    made = known(size, seed)
    return made.scenario, made.optimum


def known(size: str, seed: int) -> Known:
    """Make a shop by setting a layout out and cutting it apart; see `known_optimum`.

    Fixtures stand flush along walls and in rows, with just the aisle between; there are no more
    of them than stand. Every row of every face is filled exactly, and of each line just the
    facings cut are wanted.
    """
    if size not in KNOWN:
        raise ValueError(f"no optimum is known for {size!r}; allowed: {', '.join(KNOWN)}")
    dice = Dice(f"known {size} {seed}")
    set_out = floor(dice, size)
    runs = _runs(set_out)
    cutter = _cutter(dice, size)
    cutter.cut([*_fixture_faces(set_out), *(_run_face(run) for run in runs)])
    lines = cutter.range()
    shop = _shop(size, seed, set_out)
    scenario = Scenario(
        shop=shop, lines=lines, catalogue=_catalogue(set_out), folder=f"known-{size}-{seed}"
    )
    facings = sum(line.max_facings for line in lines)
    value = sum(line.value * line.max_facings for line in lines)
    layout = Layout(
        scenario=scenario.folder,
        placements=tuple(each.placement for each in set_out.stood),
        runs=tuple(runs),
        blocks=tuple(cutter.blocks),
        claims=Claims(facings=facings, units=facings, value=value, cost=0.0),
    )
    return Known(scenario, complete(scenario, layout), facings)


def _cutter(dice: Dice, size: str) -> Cutter:
    chosen = size_named(size)
    hung = max(1, chosen.categories * 2 // 5)
    names = [f"Category {k + 1:03d}" for k in range(chosen.categories)]
    levels = (CABINET_LEVELS, GONDOLA_LEVELS) if chosen.islands else (CABINET_LEVELS,)
    return Cutter(
        dice,
        chosen.lines,
        [
            Stock.drawn(dice, name, dice.pick((HUNG[0], *HUNG)), (RUN_LEVELS,))
            for name in names[:hung]
        ],
        [Stock.drawn(dice, name, SHELF, levels) for name in names[hung:]],
    )


def _shop(size: str, seed: int, set_out: Floor) -> Shop:
    shell = set_out.shell
    brief = Brief(
        aisle=inches(set_out.aisle),
        staff_aisle=inches(set_out.staff_aisle),
        step=inches(size_named(size).step),
        display_top=inches(RUN_TOP),
        run_bottom=inches(12),
        run_gap=inches(2),
        island_height=inches(54),
        finger_gap=inches(1),
        wanted=shell.wanted,
    )
    return Shop(
        name=f"Known {size} {seed}",
        rooms=shell.rooms,
        doors=shell.doors,
        windows=shell.windows,
        zones=shell.zones,
        brief=brief,
    )


def _catalogue(set_out: Floor) -> Catalogue:
    used = Counter(each.item.name for each in set_out.stood)
    items = {each.item.name: each.item for each in set_out.stood}
    fixtures = [_made(replace(items[name], available=used[name])) for name in sorted(items)]
    return Catalogue(
        fixtures=tuple(fixtures), sheets=(sheet(78),), brackets=brackets(1.0), shelves=boards(1.0)
    )


def _made(item: Cabinet) -> Fixture:
    if item.kind == "counter":
        return counter(item.width, item.stands, 1.0, item.available)
    return fixture(item, 1.0)


def _runs(set_out: Floor) -> list[Run]:
    """Hang slat-wall over every unbroken row of cabinets without a window."""
    runs: list[Run] = []
    group: list[Stood] = []
    on_walls = [each for each in set_out.stood if each.wall is not None]
    for each in [*sorted(on_walls, key=lambda one: (one.wall, one.offset)), None]:
        open_ = each is not None and each.item.slat_above and not each.window
        if group and not (open_ and each is not None and _follows(group[-1], each)):
            runs.append(_run(f"R{len(runs) + 1}", group))
            group = []
        if open_ and each is not None:
            group.append(each)
    return runs


def _follows(one: Stood, other: Stood) -> bool:
    return one.wall == other.wall and other.offset == (one.offset or 0.0) + one.item.width


def _run(tag: str, group: list[Stood]) -> Run:
    left, right = group[0].offset or 0.0, (group[-1].offset or 0.0) + group[-1].item.width
    return Run(
        id=tag,
        wall=group[0].wall or "",
        from_mm=round(left * INCH_MM, 4),
        to_mm=round(right * INCH_MM, 4),
        bottom_mm=RUN_BOTTOM * INCH_MM,
        top_mm=RUN_TOP * INCH_MM,
        sheet="slat-8x4",
        first_groove_mm=(RUN_BOTTOM + _GROOVE) * INCH_MM,
        over=tuple(each.tag for each in group),
    )


def _run_face(run: Run) -> Face:
    width = (run.to_mm - run.from_mm) / INCH_MM
    return Face(run.id, "front", "slat", width, RUN_BOTTOM + _GROOVE, _PITCH, RUN_LEVELS)


def _fixture_faces(set_out: Floor) -> list[Face]:
    found = []
    for each in set_out.stood:
        for side in each.item.sides:
            low, high = each.item.face
            home: Home = "case" if each.item.kind == "glass-case" else "shelf"
            levels = int((high - low) / 2)
            found.append(Face(each.tag, side, home, each.item.width - 1.5, low, 2.0, levels))
    return found
