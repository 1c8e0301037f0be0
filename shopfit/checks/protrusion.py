"""Checks what stands out into ways: brackets, shelves, goods, tops, and things on walls."""

from __future__ import annotations

from collections.abc import Iterator

from shapely.ops import unary_union

from shopfit.checks.blocks import place
from shopfit.checks.cane import cane_depth, found_by_cane
from shopfit.checks.clauses import drawn, unmeasured
from shopfit.checks.goods import HANGING, Shown, shown
from shopfit.checks.notes import BRIEF, middle, more, published, severity_of
from shopfit.checks.saying import say
from shopfit.checks.scene import Scene, Stood, shrink
from shopfit.geometry.shell import WallLine
from shopfit.geometry.wallface import groove_height
from shopfit.model.finding import Finding, Severity
from shopfit.model.shell import WallObstruction
from shopfit.standards.protrusion import between_posts, post_overhang, projection_limit

_WITH_TOPS = ("table", "counter")


def check(scene: Scene) -> Iterator[Finding]:
    """Find what stands out further than people who use a cane can find below it."""
    for item in shown(scene):
        if item.face.kind == "slat":
            yield from _on_slat_wall(scene, item)
        else:
            yield from _on_fixture(scene, item)
    for one in scene.stood:
        yield from _top(scene, one)
        yield from _hung_fixture(scene, one)
    for thing, wall in scene.obstructions:
        yield from _on_wall(scene, thing, wall)
    above = scene.rulebook.requirement("protrusion-from")
    tops = [
        one.fixture.id
        for one in scene.stood
        if one.fixture.kind in _WITH_TOPS
        and one.fixture.overhang is None
        and above.holds(one.fixture.height)
    ]
    yield from unmeasured(
        scene,
        "overhang",
        "how far tops stand out beyond what a cane meets",
        {"overhang": tops},
        "Measure how far the top stands out beyond legs or body, and the height of its lower edge "
        "(overhang: {out, bottom}; out: 0 in where it does not).",
        ("protrusion", "post-overhang"),
        "fixtures.yaml",
    )


def _edge(item: Shown) -> float:
    """Give the height of the leading edge of what is shown, mm."""
    if item.slot.way in HANGING and item.row.high_groove is not None:
        return groove_height(item.face.bottom, item.face.pitch, item.row.high_groove)
    return item.row.bottom_mm


def _on_slat_wall(scene: Scene, item: Shown) -> Iterator[Finding]:
    """Judge holders and goods on slat-wall by what stands below.

    Source
    ------
    2010 ADA Standards, 307.2, for leading edges over 27 in and up to 80 in; outside these heights
    the depth of what is below holds as a rule of the house (W4), because aisles are measured from
    it.
    """
    book, hung = scene.rulebook, scene.hung_by_tag[item.block.host]
    cane = min((cane_depth(book, one.fixture) for one in hung.below), default=0.0)
    found = projection_limit(book, _edge(item), cane)
    limit = min(item.face.depth, found)
    holder = item.bracket or item.board
    severity: Severity = "violation"
    if holder is not None and more(holder.depth, limit):
        code, what, verb, depth = "protrusion", holder.id, "stands", holder.depth
    elif more(item.line.depth, limit):
        # One unit may be deeper than what holds it; it stands out none the less.
        severity = "barrier to review"
        code, what, verb, depth = "protrusion-goods", "the goods", "stand", item.line.depth
    else:
        return
    source = published(book.requirement("protrusion")) if depth > found else BRIEF
    under = "the fixtures below" if hung.below else "nothing below it"
    if limit < item.face.depth:
        under += ", as far as a cane finds them,"
    wall, at_mm = place(scene, item.block)
    strip = hung.wall.rectangle(
        hung.run.from_mm + item.slot.from_mm, hung.run.from_mm + item.slot.to_mm, limit, depth
    )
    yield say(
        code,
        severity,
        item.name,
        f"{item.name}: {what} {verb} out too far over {under}: {scene.words.versus(depth, limit)}.",
        f"Use a holder {scene.words.enough(depth - limit)} shallower, or stand something deeper "
        "below.",
        source,
        required=limit,
        measured=depth,
        at_mm=at_mm,
        wall=wall,
        height_mm=_edge(item),
        drawn_mm=drawn(strip),
    )


def _on_fixture(scene: Scene, item: Shown) -> Iterator[Finding]:
    """Judge goods that are deeper than the shelf they stand on: 307.2."""
    one = scene.by_tag[item.block.host]
    beyond = item.line.depth - item.face.depth
    if item.face.kind == "case" or beyond <= 0:
        return
    hollow = one.fixture.depth - cane_depth(scene.rulebook, one.fixture)
    out = beyond + hollow
    limit = projection_limit(scene.rulebook, item.row.bottom_mm)
    if not more(out, limit):
        return
    wall, at_mm = place(scene, item.block)
    yield say(
        "protrusion-goods",
        "barrier to review",
        item.name,
        f"{item.name}: the goods stand out too far over the front of {one.tag}: "
        f"{scene.words.versus(out, limit)}.",
        f"Show them {scene.words.enough(out - limit)} farther in, or on a deeper shelf.",
        published(scene.rulebook.requirement("protrusion")),
        required=limit,
        measured=out,
        at_mm=at_mm,
        wall=wall,
        height_mm=item.row.bottom_mm,
    )


def _top(scene: Scene, one: Stood) -> Iterator[Finding]:
    """Judge the top of a fixture by how far it stands out over its base: 307.2 and 307.3."""
    over, book = one.fixture.overhang, scene.rulebook
    if over is None:
        return
    if over.posts_apart and not between_posts(book, over.bottom, over.posts_apart):
        low = book.requirement("protrusion-from")
        yield _out(
            scene,
            one,
            "between-posts",
            f"The lower edge of {one.name} between its posts is "
            f"{scene.words.say(over.bottom)} up: a cane passes under it.",
            f"Bring it {scene.words.enough(over.bottom - low.value)} lower, or up to "
            f"{scene.words.say(book.mm('headroom'))}.",
            low.value,
            over.bottom,
            "post-overhang",
        )
    limit = projection_limit(book, over.bottom)
    on_post = post_overhang(book, over.out, over.bottom) if over.post else None
    if on_post is not None:
        limit = on_post.requirement.value
    if more(over.out, limit):
        yield _out(
            scene,
            one,
            "overhang",
            f"The top of {one.name} stands out too far beyond what a cane meets: "
            f"{scene.words.versus(over.out, limit)}.",
            f"Bring its base {scene.words.enough(over.out - limit)} nearer to the edge, or add a "
            f"rail at {scene.words.say(book.mm('protrusion-from'))} or lower.",
            limit,
            over.out,
            "post-overhang" if on_post is not None else "protrusion",
        )


def _hung_fixture(scene: Scene, one: Stood) -> Iterator[Finding]:
    """Judge a fixture that hangs on a wall; nothing else stands on the floor below it: 307.2."""
    limit = projection_limit(scene.rulebook, one.fixture.raised)
    if more(one.fixture.depth, limit):
        yield _out(
            scene,
            one,
            "hangs-out",
            f"{one.name} hangs {scene.words.say(one.fixture.raised)} up and stands out too far: "
            f"{scene.words.versus(one.fixture.depth, limit)}.",
            f"Hang it {scene.words.say(scene.rulebook.mm('protrusion-from'))} up or lower, or "
            f"choose one {scene.words.enough(one.fixture.depth - limit)} shallower.",
            limit,
            one.fixture.depth,
            "protrusion",
        )


def _out(
    scene: Scene,
    one: Stood,
    code: str,
    message: str,
    mend: str,
    required: float,
    measured: float,
    key: str,
) -> Finding:
    height = one.fixture.overhang.bottom if one.fixture.overhang else one.fixture.raised
    return say(
        code,
        severity_of([not one.fixture.fixed]),
        one.name,
        message,
        mend,
        published(scene.rulebook.requirement(key)),
        required=required,
        measured=measured,
        at_mm=middle(one.shape),
        height_mm=height,
        drawn_mm=drawn(one.shape),
    )


def _on_wall(scene: Scene, thing: WallObstruction, wall: WallLine) -> Iterator[Finding]:
    """Judge a thing on a wall: 307.2, unless a cane finds something below all of it."""
    limit = projection_limit(scene.rulebook, thing.bottom)
    if not more(thing.depth, limit):
        return
    left, right = thing.offset, thing.offset + thing.width
    beyond = wall.rectangle(left, right, limit, thing.depth)
    below = unary_union([found_by_cane(scene, one) for one in scene.stood])
    bare = shrink(beyond.difference(below))
    room = scene.shell.rooms[wall.room]
    bare = bare.intersection(room)
    if bare.is_empty:
        return
    staff = bare.difference(scene.shell.off_limits).is_empty
    severity: Severity = "advice" if staff else "violation"
    words = scene.words
    yield say(
        "wall-thing-out",
        severity,
        f"{thing.kind} {thing.id}",
        f"{thing.kind.capitalize()} {thing.id} stands out of wall {wall.id} too far, with its "
        f"lower edge {words.say(thing.bottom)} up: {words.versus(thing.depth, limit)}.",
        f"Stand something {words.enough(thing.depth - limit)} deep or more below all of it, set it "
        f"{words.enough(thing.depth - limit)} into the wall, or bring its lower edge down to "
        f"{words.say(scene.rulebook.mm('protrusion-from'))}.",
        published(scene.rulebook.requirement("protrusion")),
        required=limit,
        measured=thing.depth,
        at_mm=middle(bare),
        wall=wall.id,
        height_mm=thing.bottom,
        drawn_mm=drawn(beyond),
    )
