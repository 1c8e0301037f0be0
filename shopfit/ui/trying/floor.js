// Fixtures on the plan, moved by pointer or keyboard; what Python finds is drawn where it is.
const SVG = "http://www.w3.org/2000/svg";
const REST = 300; // ms without a move after which what is held rests
const LOST = 3000; // ms after which an answer is no longer waited for

function node(name, attributes, parent, text) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  if (text !== undefined) made.textContent = text;
  if (parent) parent.appendChild(made);
  return made;
}

const flat = (points) => points.map(([x, y]) => `${x},${-y}`).join(" ");
const rad = (degrees) => (degrees * Math.PI) / 180;
const near = (a, b) => Math.abs(((a - b + 540) % 360) - 180);

// A fixture's own measures (along its width, out from its back) as a place on the plan.
function place(pose, across, out) {
  const c = Math.cos(rad(pose.angle)), s = Math.sin(rad(pose.angle));
  return [pose.x + across * c + out * s, pose.y + across * s - out * c];
}

function middle(pose, thing) {
  return place(pose, thing.width / 2, thing.depth / 2);
}

function about(point, angle, thing) {
  const pose = { x: 0, y: 0, angle };
  const [mx, my] = middle(pose, thing);
  return { x: point[0] - mx, y: point[1] - my, angle };
}

// Walls, studs, neighbours and the step, in this order, draw a fixture to themselves.
function snapped(data, thing, pose, fine) {
  if (fine) return pose;
  const reach = data.reach;
  const at = middle(pose, thing);
  let best = null;
  for (const wall of data.walls) {
    const dx = at[0] - wall.x, dy = at[1] - wall.y;
    const along = dx * wall.ux + dy * wall.uy, out = dx * wall.vx + dy * wall.vy;
    if (along < -reach || along > wall.length + reach) continue;
    const gap = Math.abs(out - thing.depth / 2);
    const turned = near(pose.angle, wall.angle) < 1;
    if (!thing.wall || !wall.fixtures) continue;
    if (gap < reach * (turned ? 1.5 : 1) && (!best || gap < best.gap)) best = { wall, along, gap };
  }
  if (best) {
    const wall = best.wall;
    let offset = best.along - thing.width / 2;
    const ends = [0, wall.length - thing.width, ...wall.studs, ...wall.studs.map((s) => s - thing.width)];
    for (const other of data.things) {
      if (other.tag === thing.tag || other.on !== wall.id) continue;
      ends.push(other.offset + other.width, other.offset - thing.width);
    }
    const close = ends.filter((e) => Math.abs(e - offset) < reach / 2)
      .sort((a, b) => Math.abs(a - offset) - Math.abs(b - offset));
    offset = close.length ? close[0] : Math.round(offset / data.step) * data.step;
    offset = Math.min(Math.max(offset, 0), Math.max(wall.length - thing.width, 0));
    return { x: wall.x + offset * wall.ux, y: wall.y + offset * wall.uy, angle: wall.angle };
  }
  const step = (v, origin) => Math.round((v - origin) / data.step) * data.step + origin;
  return { x: step(pose.x, data.origin[0]), y: step(pose.y, data.origin[1]), angle: pose.angle };
}

// Lettering and marks keep their size on the screen, however large the shop is.
function measure(state) {
  const [west, south, east, north] = state.data.bounds;
  // No wider on a telephone than its height asks for, so that a small upright shop is seen whole.
  const natural = (east - west) / ((north - south) / 500) + 70;
  state.svg.style.setProperty("--natural", `${Math.round(natural * 0.85)}px`);
  const wide = state.svg.clientWidth || state.floor.clientWidth || 900;
  state.data.unit = Math.max((east - west) / (wide - 70), (north - south) / 500);
}

function draw(state) {
  const { data, svg } = state;
  measure(state);
  svg.replaceChildren();
  const [west, south, east, north] = data.bounds;
  const pad = data.unit * 34;
  svg.setAttribute("viewBox", `${west - pad} ${-north - pad} ${east - west + 2 * pad} ${north - south + 2 * pad}`);
  svg.setAttribute("aria-label", data.label);
  const defs = node("defs", {}, svg);
  const hatch = node("pattern", { id: "staff", width: data.unit * 8, height: data.unit * 8,
    patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" }, defs);
  node("rect", { width: data.unit * 8, height: data.unit * 8, fill: "#fff" }, hatch);
  node("line", { x1: 0, y1: 0, x2: 0, y2: data.unit * 8, stroke: "#9aa2ab", "stroke-width": data.unit }, hatch);
  for (const room of data.rooms) node("polygon", { class: "room", points: flat(room), "stroke-width": data.unit * 4 }, svg);
  for (const zone of data.zones) {
    node("polygon", { class: "zone", points: flat(zone.points), "stroke-width": data.unit / 2 }, svg);
  }
  for (const column of data.columns) node("polygon", { class: "column", points: flat(column) }, svg);
  for (const door of data.doors) {
    node("polyline", { class: "door", points: flat(door.opening), "stroke-width": data.unit * 5 }, svg);
    for (const leaf of door.leaves) node("polygon", { class: "door", points: flat(leaf), "stroke-width": data.unit, "stroke-dasharray": data.unit * 4 }, svg);
    const [x, y] = [door.at[0] + door.out[0] * data.unit * 13, -door.at[1] - door.out[1] * data.unit * 13];
    const along = Math.abs(door.out[0]) > Math.abs(door.out[1]) ? `rotate(-90 ${x} ${y})` : "";
    node("text", { x, y, transform: along, "font-size": data.unit * 12 }, svg, door.id);
  }
  state.groups = new Map();
  for (const thing of data.things) state.groups.set(thing.tag, figure(state, thing));
  state.over = node("g", { "pointer-events": "none" }, svg);
  findings(state);
}

function figure(state, thing) {
  const { data, svg } = state;
  const group = node("g", { class: "thing", tabindex: 0, role: "button", "data-tag": thing.tag,
    "aria-label": `${thing.name}, ${thing.stands}${thing.pinned ? ", pinned" : ""}` }, svg);
  group.classList.toggle("pinned", thing.pinned);
  node("title", {}, group, `${thing.name}: ${thing.shows}`);
  thing.aisle = node("polygon", { class: "aisle", "stroke-width": data.unit / 2, "stroke-dasharray": data.unit * 3,
    visibility: "hidden" }, group);
  thing.body = node("polygon", { class: "body", "stroke-width": data.unit * 1.5 }, group);
  thing.edge = node("line", { class: "front", "stroke-width": data.unit * 4 }, group);
  thing.word = node("text", { "font-size": Math.min(data.unit * 13, thing.depth / 1.4) }, group, thing.tag);
  thing.pin = node("circle", { class: "pin", r: data.unit * 3.5 }, group);
  stand(state, thing, thing);
  group.addEventListener("pointerdown", (event) => take(state, thing, group, event));
  group.addEventListener("keydown", (event) => key(state, thing, event));
  group.addEventListener("focus", () => choose(state, thing));
  return group;
}

function stand(state, thing, pose) {
  const corner = (a, o) => place(pose, a, o);
  const w = thing.width, d = thing.depth, aisle = state.data.aisle;
  thing.body.setAttribute("points", flat([corner(0, 0), corner(w, 0), corner(w, d), corner(0, d)]));
  thing.aisle.setAttribute("points", flat([corner(0, d), corner(w, d), corner(w, d + aisle), corner(0, d + aisle)]));
  const [a, b] = [corner(0, d), corner(w, d)];
  for (const [k, v] of Object.entries({ x1: a[0], y1: -a[1], x2: b[0], y2: -b[1] })) thing.edge.setAttribute(k, v);
  const m = corner(w / 2, d / 2), p = corner(state.data.unit * 7, state.data.unit * 7);
  thing.word.setAttribute("x", m[0]); thing.word.setAttribute("y", -m[1]);
  thing.pin.setAttribute("cx", p[0]); thing.pin.setAttribute("cy", -p[1]);
  thing.now = { x: pose.x, y: pose.y, angle: pose.angle };
}

// Beside what is written there already: tags of fixtures, and marks of other findings.
function free(at, taken, apart) {
  let [x, y] = at;
  while (taken.some(([a, b]) => Math.abs(a - x) < apart && Math.abs(b - y) < apart)) x += apart;
  taken.push([x, y]);
  return [x, y];
}

function findings(state) {
  const { data, over } = state;
  over.replaceChildren();
  const taken = data.things.map((thing) => middle(thing.now, thing));
  for (const each of data.findings) {
    for (const line of each.lines) {
      node("polyline", { class: "drawn", points: flat(line), "stroke-width": data.unit * 2 }, over);
    }
  }
  for (const each of data.findings) {
    if (!each.at) continue;
    const [x, y] = free(each.at, taken, data.unit * 19);
    node("circle", { class: "mark", cx: x, cy: -y, r: data.unit * 9, "stroke-width": data.unit }, over);
    node("text", { class: "number", x, y: -y, "font-size": data.unit * 11 }, over, each.number);
  }
}

function say(state) {
  const { data, said } = state;
  const thing = data.things.find((each) => each.tag === state.chosen);
  said.replaceChildren();
  const strong = document.createElement("b");
  strong.textContent = thing ? thing.name : data.totals;
  const rest = document.createElement("span");
  const found = data.findings;
  const told = found.slice(0, 3).map((each) => `${each.number}: ${each.text}`);
  const more = found.length > 3 ? ` And ${found.length - 3} more.` : "";
  rest.textContent = (thing ? ` ${data.totals}` : "") + " " +
    (found.length ? told.join(" ") + more : data.clear);
  said.append(strong, rest);
}

function choose(state, thing) {
  state.chosen = thing.tag;
  for (const [tag, group] of state.groups) group.classList.toggle("chosen", tag === thing.tag);
  for (const each of state.data.things) each.aisle.setAttribute("visibility", each === thing ? "visible" : "hidden");
  say(state);
}

function point(state, event) {
  const matrix = state.svg.getScreenCTM().inverse();
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix);
  return [at.x, -at.y];
}

function take(state, thing, group, event) {
  if (state.data.locked || event.button > 0) return;
  event.preventDefault();
  group.focus();
  group.setPointerCapture(event.pointerId);
  const start = point(state, event), from = { ...thing.now };
  state.held = thing.tag;
  group.classList.add("held");
  const move = (moved) => {
    const at = point(state, moved);
    const loose = { x: from.x + at[0] - start[0], y: from.y + at[1] - start[1], angle: from.angle };
    stand(state, thing, snapped(state.data, thing, loose, moved.shiftKey));
    ask(state, thing);
  };
  const drop = (ended) => {
    group.removeEventListener("pointermove", move);
    for (const kind of ["pointerup", "pointercancel"]) group.removeEventListener(kind, drop);
    group.classList.remove("held");
    state.held = null;
    const moved = Math.hypot(thing.now.x - from.x, thing.now.y - from.y) > 0.5 || thing.now.angle !== from.angle;
    if (ended.type !== "pointercancel" && moved) put(state, thing);
    else back(state, thing, from);
  };
  group.addEventListener("pointermove", move);
  for (const kind of ["pointerup", "pointercancel"]) group.addEventListener(kind, drop);
}

function key(state, thing, event) {
  // With these the keys are the browser's: to load the page again, or to print it.
  if (state.data.locked || event.ctrlKey || event.metaKey || event.altKey) return;
  const by = event.shiftKey ? state.data.fine : state.data.step;
  const ways = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, by], ArrowDown: [0, -by] };
  const way = ways[event.key];
  if (way) {
    stand(state, thing, { x: thing.now.x + way[0], y: thing.now.y + way[1], angle: thing.now.angle });
    later(state, thing);
  } else if (event.key === "r" || event.key === "R") {
    const turn = event.key === "R" ? 90 : -90;
    stand(state, thing, about(middle(thing.now, thing), (thing.now.angle + turn) % 360, thing));
    later(state, thing);
  } else if (event.key === "p" || event.key === "P") state.component.setTriggerValue("pin", { tag: thing.tag, on: !thing.pinned });
  else if (event.key === "Delete" || event.key === "Backspace") state.component.setTriggerValue("remove", { tag: thing.tag });
  else if (event.key === "Escape") back(state, thing, thing);
  else return;
  event.preventDefault();
}

const pose = (thing) => ({ tag: thing.tag, x: thing.now.x, y: thing.now.y, angle: thing.now.angle });

// While something is moved Python is asked one question at a time, always for the last place;
// when it rests it is asked for everything.
function ask(state, thing, rests = false) {
  clearTimeout(state.resting);
  if (!rests) state.resting = setTimeout(() => state.held === thing.tag && ask(state, thing, true), REST);
  state.next = { thing, rests };
  if (!state.question || performance.now() - state.sent > LOST) send(state);
}

function send(state) {
  const { thing, rests } = state.next;
  state.next = null;
  state.count = (state.count || 0) + 1;
  state.question = state.count;
  state.sent = performance.now();
  state.tried = true;
  state.component.setStateValue("trial", { ...pose(thing), rests, question: state.question });
}

function answered(state, number) {
  if (number && number !== state.question) return;
  state.question = 0;
  if (state.next) send(state);
}

// Nothing is in the hand any more, nor tried.
function leave(state) {
  clearTimeout(state.resting);
  clearTimeout(state.pause);
  state.next = null;
  state.question = 0;
  if (state.tried) state.component.setStateValue("trial", null);
  state.tried = false;
}

function put(state, thing) {
  leave(state);
  state.component.setTriggerValue("put", pose(thing));
}

function back(state, thing, where) {
  leave(state);
  stand(state, thing, where);
}

// Keys come in bursts: the place is handed over when they pause.
function later(state, thing) {
  ask(state, thing);
  clearTimeout(state.pause);
  state.pause = setTimeout(() => put(state, thing), 450);
}

function redraw(state) {
  const width = state.floor.clientWidth;
  if (!width || width === state.width) return;
  state.width = width;
  draw(state);
  const chosen = state.data.things.find((each) => each.tag === state.chosen);
  if (chosen) choose(state, chosen);
}

export default function (component) {
  const { data, parentElement } = component;
  let state = parentElement.shopfloor;
  if (!state) {
    const floor = parentElement.querySelector(".floor");
    state = { floor, svg: node("svg", { role: "group" }, floor), said: parentElement.querySelector(".said") };
    new ResizeObserver(() => state.data && !state.held && redraw(state)).observe(floor);
    parentElement.shopfloor = state;
    parentElement.querySelector(".keys").textContent = data.keys;
  }
  state.component = component;
  const same = state.data && state.data.version === data.version;
  if (same) {
    // Only what was found has changed: what is held stays in the hand.
    state.data.findings = data.findings;
    state.data.totals = data.totals;
    state.data.clear = data.clear;
    state.data.locked = data.locked;
    findings(state);
  } else {
    const focused = parentElement.activeElement && parentElement.activeElement.getAttribute("data-tag");
    state.data = data;
    draw(state);
    const chosen = data.things.find((each) => each.tag === (focused || state.chosen));
    if (chosen && focused) state.groups.get(focused).focus();
    else if (chosen) choose(state, chosen);
  }
  say(state);
  answered(state, data.answers);
  state.svg.setAttribute("data-answers", String(data.answers));
  state.svg.setAttribute("data-found", String(data.findings.length));
}
