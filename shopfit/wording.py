"""Sentences on how a solve ended and what was measured, the same wherever they are told."""

from __future__ import annotations

from collections.abc import Iterable

from shopfit.model.brief import Objective
from shopfit.model.finding import Finding, Severity
from shopfit.model.layout import Claims
from shopfit.model.making import Made
from shopfit.model.moves import Moves
from shopfit.model.progress import Change, Clash, Progress, Solution
from shopfit.model.proof import AFTER_FIRST, Proof
from shopfit.units import FOOT_MM, POUND_KG, LengthStyle, format_length, format_mass

STANDARD_GRAVITY = 9.80665  # m/s2, 3rd CGPM, 1901
SEVERITIES: tuple[Severity, ...] = ("violation", "barrier to review", "advice", "not checked")
AIMS: dict[Objective, str] = {"facings": "facings", "value": "value", "sales": "expected sales"}
CAUTION = (
    "Measured against the values in the rulebook and the brief, and no others. Local code, the "
    "makers' instructions and licensed people decide: have loads, fixings, glass, electricity, "
    "exits and ramps looked at before anything is built."
)
# Where work can hurt someone: told in full in every report and in the README.
CAUTIONS: tuple[tuple[str, str], ...] = (
    (
        "Loads",
        "Loads are the makers' figures and yours, as typed, and what is reckoned from them leaves "
        "much out. Nothing here says what a wall, a stud, a screw or a floor carries. Have "
        "fixings and floors judged by a licensed person.",
    ),
    (
        "Electricity",
        "Only space before a panelboard is looked at. Keep it free every day, and leave wiring, "
        "lighting and bonding to a licensed electrician.",
    ),
    (
        "Egress",
        "People are reckoned from floor area by model text, and how doors are locked, lit and "
        "marked is not looked at. Ask the building department or a licensed designer before "
        "anything is built.",
    ),
    (
        "Ramps and access",
        "The figures are those of the rulebook, measured on what you entered; a ramp on site is "
        "another matter. Walk and roll the way once it is taped out on the floor.",
    ),
    (
        "Glass",
        "Cases want safety glass where people may fall or children climb. Ask the maker.",
    ),
    (
        "Tipping",
        "Fasten what is tall and loose, put heavy goods low, and never load the top first.",
    ),
    (
        "Fire",
        "Keep goods clear of sprinklers, lamps and ways out. Whether there have to be sprinklers, "
        "alarms or extinguishers is not looked at.",
    ),
    ("On site", "Measure again before you cut, after any lining is up."),
)

# What loads and areas are told in beside feet and inches, and how much one is in our unit.
_IMPERIAL: dict[str, tuple[str, float]] = {
    "kg/m": ("lb/ft", POUND_KG / FOOT_MM * 1000),
    "kPa": ("psf", POUND_KG * STANDARD_GRAVITY / FOOT_MM**2 * 1000),
    "kN/m": ("plf", POUND_KG * STANDARD_GRAVITY / FOOT_MM),
    "N": ("lbf", POUND_KG * STANDARD_GRAVITY),
    "m2": ("sq ft", FOOT_MM**2 / 1e6),
}

# What findings count, and one of it.
_ONE = {
    "facings": "facing",
    "fixtures": "fixture",
    "lines": "line",
    "packs": "pack",
    "pairs of blocks": "pair of blocks",
    "people": "person",
    "pieces": "piece",
    "places": "place",
    "rows": "row",
    "slat-wall runs": "slat-wall run",
    "studs": "stud",
    "units": "unit",
}


def outcome(solution: Solution) -> str:
    """Say in one sentence how a solve ended."""
    if solution.layout is None:
        return no_layout(solution.clash, solution.stopped)
    proof = solution.layout.proof
    if solution.stopped:
        return f"Stopped on request; this is the best layout so far{_shortfall(proof)}."
    return goodness(proof)


def goodness(proof: Proof | None) -> str:
    """Say in one sentence how good a layout is known to be."""
    if proof is not None and proof.missed > 0:
        return (
            f"The best layout found in the time given{_misses(proof)}; "
            "none that keeps to all else and misses none was found."
        )
    if proof is None or proof.bound is None or proof.gap is None:
        return "How much better a layout could be was not measured."
    if proof.status == "proved":
        return "Proved: no layout is better for the positions and rules it was searched for."
    return f"The best layout found in the time given{_shortfall(proof)}."


def _misses(proof: Proof) -> str:
    much = "one facing or unit"
    if proof.missed > 1:
        much = f"{proof.missed:,.0f} facings and units in all"
    return f" misses minimums, by {much}"


def later_bounds(proof: Proof | None, currency: str) -> list[tuple[str, str]]:
    """Give what is proved of the stages after the first, as pairs of name and text."""
    told = []
    for stage in proof.stages if proof is not None else ():
        if stage.scope != AFTER_FIRST or stage.bound is None:
            continue
        if stage.objective == "cost":
            least = f"{money(stage.bound, currency)}, sheets and packs by the piece"
            told.append(("as much costs at least", least))
        else:
            told.append((f"{stage.objective} of as much at most", f"{stage.bound:,.6g}"))
    return told


def no_layout(clash: Clash | None, stopped: bool = False) -> str:
    """Say in one sentence that there is no layout, or that none was found."""
    if stopped:
        return "Stopped on request before a first layout was found."
    if clash is not None and clash.proved:
        return "No layout meets every wish."
    return "No layout was found in the time given, and none is proved impossible."


def reason(clash: Clash | None, stopped: bool = False) -> str:
    """Give the reason of a clash; blank where a stop is all there is to say."""
    if clash is None or (stopped and not clash.proved):
        return ""
    return clash.reason


def clashing(clash: Clash) -> str:
    """Say in one sentence, before they are listed, what it is about the wishes of a clash."""
    if not clash.proved:
        return "These wishes are the ones in the way:"
    if len(clash.wishes) == 1:
        return "This wish cannot be had:"
    if not clash.smallest:
        return "These wishes cannot all be met; it is not settled that they are the fewest:"
    return (
        "These wishes cannot all be met, even with all others given up; without any one of them "
        "the rest of these can:"
    )


def helping(clash: Clash) -> str:
    """Say, before they are listed, what the changes of a clash are good for."""
    if all(change.facings is not None for change in clash.changes):
        return "Any one of these changes is enough"
    return "Any one of these changes helps; where facings are told a layout was found with it"


def found_with(change: Change) -> str:
    """Tell what was found with a change."""
    if change.facings is None:
        return "not in the time"
    return f"{_many(change.facings, 'facing', 'facings')} or more"


def not_alone(clash: Clash) -> str:
    """Name the wishes of a clash that it is not enough to give up alone; blank without any."""
    # Where that is so of all, the reason says so.
    if not clash.not_alone or len(clash.not_alone) == len(clash.wishes):
        return ""
    others = set(clash.wishes) - {change.wish for change in clash.changes}
    names = " or ".join(clash.not_alone)
    if len(clash.not_alone) > 1 and others == set(clash.not_alone):
        names = "any of the others"
    return f"To give up {names} alone is not enough: other wishes clash as well."


def verdict(findings: Iterable[Finding]) -> str:
    """Say in one sentence what the checks found."""
    counts = severity_counts(findings)
    if counts["violation"]:
        return f"Does not meet {_many(counts['violation'], 'of the values checked', '')}."
    rest = [
        _many(counts["barrier to review"], "barrier to review", "barriers to review"),
        _many(counts["advice"], "piece of advice", "pieces of advice"),
        _many(counts["not checked"], "value not checked", "values not checked"),
    ]
    told = ", ".join(text for text in rest if not text.startswith("0 "))
    return f"Meets the values checked{'; ' + told if told else ''}."


def severity_counts(findings: Iterable[Finding]) -> dict[Severity, int]:
    """Count findings by severity."""
    counts: dict[Severity, int] = dict.fromkeys(SEVERITIES, 0)
    for finding in findings:
        counts[finding.severity] += 1
    return counts


def ranked(findings: Iterable[Finding]) -> list[Finding]:
    """Put violations first, each severity in the order found."""
    return sorted(findings, key=lambda finding: SEVERITIES.index(finding.severity))


def amount(size: float | None, unit: str, style: LengthStyle, currency: str) -> str:
    """Write a number of a finding the way the shop writes such numbers."""
    if size is None:
        return ""
    if unit == "mm":
        return format_length(size, style)
    if unit == "kg":
        return format_mass(size, style)
    if unit == "money":
        return money(size, currency)
    if unit in _IMPERIAL and style in ("ft-in", "in"):
        name, part = _IMPERIAL[unit]
        return f"{size / part:.1f} {name}"
    return counted(round(size, 2) if unit in _IMPERIAL else size, unit)


def counted(size: float, unit: str) -> str:
    """Write a number with what is counted, one of it in the singular; alone where it is said."""
    if unit == "count":
        return f"{size:.6g}"
    return f"{size:,.6g} {_ONE.get(unit, unit) if abs(size) == 1 else unit}".strip()


def compared(finding: Finding, style: LengthStyle, currency: str) -> tuple[str, str]:
    """Write what is required and measured, to 0.01 mm where rounding hides the difference."""
    required = amount(finding.required, finding.unit, style, currency)
    measured = amount(finding.measured, finding.unit, style, currency)
    if finding.unit == "mm" and required == measured and finding.required != finding.measured:
        return f"{finding.required:.2f} mm", f"{finding.measured:.2f} mm"
    return required, measured


def spare(finding: Finding, style: LengthStyle, currency: str) -> str:
    """Write by how much a limit is met, or missed with a minus; blank where it is unknown."""
    margin = finding.margin
    if margin is None:
        return ""
    told = amount(abs(margin), finding.unit, style, currency)
    if finding.unit == "mm" and margin and told == amount(0.0, "mm", style, currency):
        told = f"{abs(margin):.2f} mm"
    return f"−{told}" if margin < 0 else told


def signed_length(size_mm: float, style: LengthStyle) -> str:
    """Write a difference of lengths with its sign; nought as a dash."""
    told = format_length(abs(size_mm), style)
    if told == format_length(0.0, style):
        return "–"
    return f"{'−' if size_mm < 0 else '+'}{told}"


def money(size: float, currency: str) -> str:
    """Write an amount of money."""
    return f"{currency} {size:,.2f}"


def made_money(made: Made, currency: str) -> str:
    """Say which money counts for what is made: that of its materials, never both."""
    names = ", ".join(dict.fromkeys(row.item for row in made.rows))
    return (
        f"Made and not bought: {names}. What counts here is the materials, "
        f"{money(made.cost, currency)}; the {money(made.estimate, currency)} that the layout "
        "reckons in their place, and keeps the budget with, is paid nowhere."
    )


def percent(part: float | None) -> str:
    """Write a part of one as a percentage, never rounded down to nought."""
    if part is None:
        return "not known"
    if part <= 0:
        return "0 %"
    return f"{part:.1%}".replace("%", " %") if part >= 0.001 else "under 0.1 %"


def aim(objective: Objective, weighted: bool) -> str:
    """Say what is made largest, and whether height bands count more or less than others."""
    return f"{AIMS[objective]}, weighted by height bands" if weighted else AIMS[objective]


def sums(claims: Claims, objective: Objective) -> list[tuple[str, str]]:
    """Write what the facings of a layout come to, each with its name."""
    told = [("value of the facings", claims.value)]
    if claims.sales is not None:
        told.append(("expected sales", claims.sales))
    if claims.objective is not None:
        told.append((aim(objective, weighted=True), claims.objective))
    return [(name, f"{size:,.6g}") for name, size in told]


def moved(moves: Moves, proof: Proof | None) -> str:
    """Say what a rearrangement takes, and whether fewer moves would do."""
    if moves.count == 0 and moves.blocks_changed == 0:
        return "Nothing has to be moved."
    told = (
        f"{_many(moves.count, 'move', 'moves')}, and "
        f"{_many(moves.blocks_changed, 'block', 'blocks')} changed, set up or cleared."
    )
    stages = proof.stages if proof is not None else ()
    least = next((stage.bound for stage in stages if stage.objective == "moves"), None)
    if least is None or moves.count == 0:
        return told
    if moves.count <= least:
        return f"{told} Proved for the positions and rules searched: no fewer moves do."
    return f"{told} At least {_many(int(least), 'move is', 'moves are')} needed."


def place(
    wall: str | None,
    offset_mm: float | None,
    at_mm: tuple[float, float],
    angle_deg: float,
    style: LengthStyle,
) -> str:
    """Say where a fixture stands: against which wall, or at which place of the plan.

    Parameters
    ----------
    wall, offset_mm
        The wall, and from its left end to the fixture's left side, mm; none where it stands free.
    at_mm, angle_deg
        Its back left corner and the direction of its width.
    style
        How the shop writes lengths.
    """
    if wall is not None and offset_mm is not None:
        return f"{the_wall(wall)}, {format_length(offset_mm, style)} from its left end"
    x, y = (format_length(length, style) for length in at_mm)
    return f"free: {x} east, {y} north, turned {angle_deg:.6g}°"


def the_wall(name: str) -> str:
    """Name a wall; one that is called a wall already is not called so twice."""
    return name if name.lower().endswith("wall") else f"{name} wall"


def progress_parts(progress: Progress | None, objective: Objective) -> tuple[str, str, str, str]:
    """Write facings, bound, gap and stage of a running solve; blank where not known yet."""
    if progress is None:
        return "", "", "", "starting"
    bound = "" if progress.bound is None else f"{progress.bound:,.0f}"
    if bound and objective != "facings":
        bound += f" of {AIMS[objective]}"
    return (
        "" if progress.facings is None else f"{progress.facings:,}",
        bound,
        "" if progress.gap is None else percent(progress.gap),
        progress.stage,
    )


def _shortfall(proof: Proof | None) -> str:
    if proof is not None and proof.missed > 0:
        return f"; it{_misses(proof)}"
    if proof is None or proof.gap is None:
        return "; how much better one could be was not measured"
    if proof.gap <= 0:
        return "; no layout is better for the positions and rules it was searched for"
    return f"; at most {percent(proof.gap)} under the proved bound"


def _many(count: int, one: str, more: str) -> str:
    return f"{count} {one if count == 1 or not more else more}"
