"""Wishes of the range: minimums, height bands, locked cases, and heavy goods low."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial

from shopfit.geometry.shell import survey
from shopfit.model.range import Line
from shopfit.model.scenario import Scenario
from shopfit.solver.wish import Easing, Way, Wish, given_up, share, with_, with_brief, with_lines
from shopfit.units import INCH_MM, format_length, format_mass

# Step to which a least change of a length is found, mm; half an inch is what a tape shows at once.
LENGTH_STEP_MM = INCH_MM / 2
# The same for how far from the entrance goods may stand.
_NEARER_MM = 6 * INCH_MM


def minimums(scenario: Scenario) -> Iterator[Wish]:
    """Give the minimums of each category, which can be split by line."""
    for category in scenario.categories:
        own = [line for line in scenario.lines if line.category == category]
        lines = [line for line in own if line.min_facings + line.holding > 0]
        if not lines:
            continue
        facings, held = (sum(getattr(line, of) for line in lines) for of in _MINIMUMS)
        yield Wish(
            f"the minimums of {category} ({facings} facings, {held} units held)",
            partial(_fewer, lines, 0, 1, _MINIMUMS),
            partial(_cut, lines),
            partial(_by_line, lines),
        )


_MINIMUMS = ("min_facings", "holding")


def near_entrance(scenario: Scenario) -> Iterator[Wish]:
    """Give how near to the entrance new goods are wanted."""
    rules = scenario.brief.merchandising
    now = rules.new_within
    if now is None or not any(line.new for line in scenario.lines):
        return
    # No way along the walls is longer than all of them.
    most = sum(wall.length for wall in survey(scenario.shop).walls)

    def within(given: Scenario, size: float | None) -> Scenario:
        return with_brief(given, merchandising=with_(rules, new_within=size))

    def ways(given: Scenario) -> list[Way]:
        sizes = [now + k * _NEARER_MM for k in range(1, int((most - now) / _NEARER_MM) + 2)]
        return [
            [
                Easing(
                    f"make it {format_length(size, scenario.shop.units)}",
                    share(now, size),
                    partial(within, given, size),
                )
                for size in sizes
            ]
        ]

    yield Wish(
        f"new goods within {format_length(now, scenario.shop.units)} of the entrance",
        partial(within, size=None),
        ways,
    )


def _fewer(
    lines: Iterable[Line], part: int, parts: int, fields: Sequence[str], scenario: Scenario
) -> Scenario:
    """Cut minimums of some lines to so many parts of what they are."""
    cut = {
        line.line: {field: getattr(line, field) * part // parts for field in fields}
        for line in lines
    }
    return with_lines(scenario, lambda line: with_(line, **cut.get(line.line, {})))


def _cut(lines: Sequence[Line], scenario: Scenario) -> list[Way]:
    return [
        [
            Easing(
                f"cut each to {percent} % of it" if percent else "give them up",
                1.0 - percent / 100,
                partial(_fewer, lines, percent, 100, _MINIMUMS, scenario),
            )
            for percent in range(99, -1, -1)
        ]
    ]


def _by_line(lines: Iterable[Line]) -> list[Wish]:
    return [
        Wish(
            f"at least {_minimum(line, 1, 1, _asked(line), line.line)}",
            partial(_fewer, [line], 0, 1, _MINIMUMS),
            partial(_line_eased, line),
        )
        for line in lines
    ]


def _asked(line: Line) -> tuple[str, ...]:
    return tuple(field for field in _MINIMUMS if getattr(line, field) > 0)


def _minimum(line: Line, part: int, parts: int, fields: Iterable[str], of: str = "") -> str:
    told: list[str] = []
    for field in fields:
        count, was = getattr(line, field) * part // parts, getattr(line, field)
        plural = "" if (count if part == parts else was) == 1 else "s"
        noun, end = {"min_facings": ("facing", ""), "holding": ("unit", " held")}[field]
        goods = f" of {of}" if of and not told else ""
        instead = "" if part == parts else f" instead of {was}"
        told.append(f"{count} {noun}{plural}{goods}{end}{instead}")
    return " and ".join(told)


def _line_eased(line: Line, scenario: Scenario) -> list[Way]:
    """Give fewer facings, then fewer units, then fewer of both in step."""
    asked = _asked(line)
    ways = []
    for fields in dict.fromkeys([*((field,) for field in asked), asked]):
        parts = max(getattr(line, field) for field in fields)
        ways.append(
            [
                Easing(
                    _minimum(line, part, parts, fields)
                    if part or fields != asked
                    else "give it up",
                    1.0 - part / parts,
                    partial(_fewer, [line], part, parts, fields, scenario),
                )
                for part in range(parts - 1, -1, -1)
            ]
        )
    return ways


def bands(scenario: Scenario) -> Iterator[Wish]:
    """Give the height bands asked for, which can be split by line."""
    lines = [line for line in scenario.lines if line.band is not None]
    names = sorted({line.band for line in lines if line.band is not None})
    words = f"the height bands asked for ({', '.join(names)})"
    yield from _marked(
        lines, words, lambda line: f"the height band {line.band} for {line.line}", {"band": None}
    )


def secured(scenario: Scenario) -> Iterator[Wish]:
    """Give what must be locked up, which can be split by line."""
    lines = [line for line in scenario.lines if line.secured]
    words = f"{len(lines)} secured line{'s' * (len(lines) != 1)} locked in glass cases"
    yield from _marked(
        lines, words, lambda line: f"{line.line} secured in a glass case", {"secured": False}
    )


def _marked(
    lines: Sequence[Line], words: str, each: Callable[[Line], str], update: dict[str, object]
) -> Iterator[Wish]:
    """Give a wish of some lines that can only be given up, all at once or line by line."""

    def one(told: str, own: Sequence[Line], split: Callable[[], list[Wish]]) -> Wish:
        drop = partial(_changed, {line.line for line in own}, update)
        return Wish(told, drop, given_up(drop), split)

    if lines:
        yield one(words, lines, lambda: [one(each(line), [line], list) for line in lines])


def _changed(names: set[str], update: dict[str, object], scenario: Scenario) -> Scenario:
    return with_lines(scenario, lambda line: with_(line, **update) if line.line in names else line)


def heavy(scenario: Scenario) -> Iterator[Wish]:
    """Give the height that heavy goods end below."""
    rules, units = scenario.brief.merchandising, scenario.shop.units
    over, now = rules.heavy_over, rules.heavy_top
    if over is None or now is None or not any(line.weight > over for line in scenario.lines):
        return
    faces = [face.top for fixture in scenario.catalogue.fixtures for face in fixture.faces]
    highest = max([scenario.brief.display_top, *faces])

    def to(given: Scenario, top: float) -> Scenario:
        return with_brief(given, merchandising=with_(rules, heavy_top=top))

    def ways(given: Scenario) -> list[Way]:
        count = max(0, int((highest - now) / LENGTH_STEP_MM + 1e-6))
        tops = [now + k * LENGTH_STEP_MM for k in range(1, count + 2)]
        return [
            [
                Easing(
                    f"let them reach {format_length(top, units)}",
                    share(now, top),
                    partial(to, given, top),
                )
                for top in tops
            ]
        ]

    yield Wish(
        f"goods over {format_mass(over, units)} no higher than {format_length(now, units)}",
        lambda given: with_brief(
            given, merchandising=with_(rules, heavy_over=None, heavy_top=None)
        ),
        ways,
    )
