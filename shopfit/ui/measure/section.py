"""Measure: the shell from the tape to a plan that closes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import streamlit as st

from shopfit.files.parts import SHOP
from shopfit.model.scenario import Shop
from shopfit.ui import session
from shopfit.ui.measure import shelltables, walls
from shopfit.ui.measure.sketch import sketch, wall_names
from shopfit.ui.tables import records
from shopfit.ui.tables.records import Records
from shopfit.ui.text import plain, show_faults

PARTS = (
    "Walls",
    "Doors",
    "Windows",
    "On walls",
    "Columns",
    "Zones",
    "Heights",
    "Rooms",
    "Way in",
    "Shop",
)
Item = Mapping[str, Any]


def show() -> None:
    """Show the section."""
    drawn = sketch(session.judged().parts.shop, session.draft().shop)
    picture, inputs = st.columns([5, 7], gap="large")
    with picture:
        _picture(drawn)
    with inputs:
        part = st.segmented_control(
            "What to measure",
            PARTS,
            default="Walls",
            required=True,
            key="measure-part",
            wrap=True,
        )
        _part(part or "Walls", drawn)
    left = [fault for fault in session.judged().faults if fault.file == SHOP]
    if left:
        show_faults(left, f"{len(left)} to mend in the shell")


def _picture(drawn: Shop | None) -> None:
    if drawn is None:
        st.info("The plan grows here with the first wall.")
        return
    from shopfit.drawing.measured import measured_scene, measured_svg

    # As an image, so that nothing inside the drawing can run as a script.
    about = measured_scene(drawn).about
    with st.container(key="shell-picture"):
        st.image(measured_svg(drawn), width="stretch", alt=plain(about))
    st.caption("North is up. Blue square: where the walk began. Not to scale.")


def _part(part: str, drawn: Shop | None) -> None:
    on = wall_names(drawn)
    names = [room.id for room in drawn.rooms] if drawn else []
    tables: dict[str, Records] = {
        "Doors": shelltables.doors(on, names),
        "Windows": shelltables.windows(on),
        "On walls": shelltables.obstructions(on),
        "Columns": shelltables.columns(),
        "Zones": shelltables.zones(),
        "Rooms": shelltables.rooms(),
    }
    if part == "Walls":
        walls.show()
    elif part == "Heights":
        _heights(on)
    elif part == "Way in":
        _way_in()
    elif part == "Shop":
        _shop()
    else:
        _list(tables[part])


def _list(spec: Records) -> None:
    items = list(session.draft().shop.get(spec.key) or ())
    checks = records.checks_of(session.faults(SHOP, spec.key), (spec.key,), items, spec)
    after = records.edit(spec, items, checks)
    if after is not None:
        session.the_work().write(f"Change a {spec.one}", shop=_with(spec.key, after))
        st.rerun()
    formed = records.one_at_a_time(spec, items)
    if formed is not None:
        session.write(f"Change {spec.one}s", shop=_with(spec.key, formed))
        st.rerun()


def _with(key: str, items: Sequence[Item]) -> dict[str, Any]:
    return {**session.draft().shop, key: list(items)}


def _heights(on: Sequence[str]) -> None:
    st.caption(
        "Only for walls under a sloped ceiling: heights at two or more places along a wall; "
        "between them the ceiling is straight. Elsewhere the room's height holds."
    )
    rooms = list(session.draft().shop.get("rooms") or ())
    own = [str(wall.get("id")) for room in rooms for wall in room.get("walls") or ()]
    spec = shelltables.heights([name for name in own if name] or on)
    items = [
        {"wall": wall.get("id"), **point}
        for room in rooms
        for wall in room.get("walls") or ()
        for point in wall.get("heights") or ()
    ]
    after = records.edit(spec, items, [""] * len(items))
    formed = records.one_at_a_time(spec, items)
    changed = formed if formed is not None else after
    if changed is None:
        return
    shop = {**session.draft().shop, "rooms": [_with_heights(room, changed) for room in rooms]}
    if formed is not None:
        session.write("Change heights", shop=shop)
    else:
        session.the_work().write("Change a height", shop=shop)
    st.rerun()


def _with_heights(room: Item, points: Sequence[Item]) -> dict[str, Any]:
    walls_there = []
    for wall in room.get("walls") or ():
        mine = [
            {name: size for name, size in point.items() if name != "wall"}
            for point in points
            if point.get("wall") == wall.get("id")
        ]
        bare = {name: value for name, value in wall.items() if name != "heights"}
        walls_there.append({**bare, "heights": mine} if mine else bare)
    return {**room, "walls": walls_there}


def _way_in() -> None:
    approach = dict(session.draft().shop.get("approach") or {})
    doors = [str(door.get("id")) for door in session.draft().shop.get("doors") or ()]
    spec = Records("approach", "way in", shelltables.approach_fields(doors))
    formed = records.whole_form(spec, approach)
    if formed is not None:
        session.write("Change the way in", shop={**session.draft().shop, "approach": formed})
        st.rerun()
    st.subheader("Ramps, from the door down", anchor=False)
    ramps = list(approach.get("ramps") or ())
    table = shelltables.ramps()
    group = ("approach", "ramps")
    checks = records.checks_of(session.faults(SHOP, *group), group, ramps, table)
    after = records.edit(table, ramps, checks)
    one = records.one_at_a_time(table, ramps)
    changed = one if one is not None else after
    if changed is not None:
        shop = {**session.draft().shop, "approach": {**approach, "ramps": list(changed)}}
        session.the_work().write("Change a ramp", shop=shop)
        if one is not None:
            session.redraw()
        st.rerun()


def _shop() -> None:
    spec = Records("shop", "shop", shelltables.shop_fields())
    formed = records.whole_form(spec, session.draft().shop)
    if formed is not None:
        session.write("Change the shop", shop=formed)
        st.rerun()
