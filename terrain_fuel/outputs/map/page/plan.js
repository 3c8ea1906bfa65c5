// The ride that is shown, what is chosen on it, and the few tools every part of the page shares.
let plan = null;
let entryByKey = new Map();
let chosenOrder = [];

// Showing: every part of the page draws itself when a ride is given, and anew when another takes its place.
const showing = [];
function onShow(listener) {
  showing.push(listener);
}
// Telling: what is said beside the points of the ride that is shown; nothing else is drawn again for it.
const telling = [];
function onTell(listener) {
  telling.push(listener);
  showing.push(listener);
}
function tellRide(said) {
  Object.assign(plan, legible(said));
  for (const listener of telling) listener();
}
// What the road and all behind it is drawn from: the same one again is not drawn anew, and the map stays put.
let sameRoad = false;
let relief = null;
let roadTold = "";
function showRide(data) {
  const told = JSON.stringify([data.road, data.stretches, data.hands, data.laps, data.units, data.words]);
  sameRoad = Boolean(plan) && told === roadTold && relief === data.relief;
  [roadTold, relief] = [told, data.relief];
  const chosen = entryByKey.get(choosing.key);
  plan = legible(data);
  entryByKey = new Map(plan.entries.map((entry) => [entry.key, entry]));
  chosenOrder = [...entryByKey.keys()];
  choosing.key = nearestAlike(chosen)?.key ?? "";
  choosing.opener = null;
  keepFocus(() => {
    for (const listener of showing) listener();
    choose(choosing.key);
  });
}

// Numbers change with the plan: what is chosen stays so where it stood, or where the nearest of its kind now stands.
const STILL_NEAR_M = 5000;
function nearestAlike(chosen) {
  const off = ({ at }) => Math.abs(at - chosen.at);
  const near = plan.entries.filter((entry) => entry.kind === chosen?.kind && off(entry) <= STILL_NEAR_M);
  return near.reduce((best, entry) => (best && off(best) <= off(entry) ? best : entry), undefined);
}

// The mark that is stepped on stays so when all marks are drawn anew.
function keepFocus(draw) {
  const held = document.activeElement?.closest("[data-key], [data-number]");
  const room = held && held.closest("#hours, #map, #profile");
  draw();
  if (!room || held.isConnected) return;
  const { key, number } = held.dataset;
  const same = [...room.querySelectorAll(key ? "[data-key]" : "[data-number]")].filter((mark) => (key ? mark.dataset.key === key : mark.dataset.number === number));
  const seen = same.find((mark) => mark.getClientRects().length);
  if (seen) seen.focus({ preventScroll: true });
}

const fingers = matchMedia("(pointer: coarse)");
// Asked for often, and dear to ask: remembered until the size of text or window changes.
let rem_px = 0;
const remPx = () => rem_px || (rem_px = parseFloat(getComputedStyle(document.documentElement).fontSize));
const forgetRem = () => (rem_px = 0);
addEventListener("resize", forgetRem);
const SVG = "http://www.w3.org/2000/svg";

function part(name, className, text) {
  const element = document.createElement(name);
  if (className) element.className = className;
  if (text !== undefined) element.textContent = text;
  return element;
}

function drawn(name, attributes, text) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  if (text !== undefined) element.textContent = text;
  return element;
}

// Of what is made anew for every ride the same again, by all that is read on it, is the element that stands already.
function standing(make) {
  let before = new Map();
  let now = new Map();
  return {
    begin() {
      [before, now] = [now, new Map()];
    },
    of(thing, ...read) {
      const told = JSON.stringify(read);
      const element = before.get(told) ?? make(thing);
      now.set(told, element);
      return element;
    },
  };
}

// Put children into a room: those that stand there in their order are not touched, and so not laid out again.
function fit(room, children) {
  const wanted = new Set(children);
  for (const old of [...room.children]) if (!wanted.has(old)) old.remove();
  children.forEach((child, i) => {
    if (room.children[i] !== child) room.insertBefore(child, room.children[i] ?? null);
  });
}

function write(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

// A drawing that came as SVG text with the ride.
function drawing(text) {
  return document.importNode(new DOMParser().parseFromString(text, "image/svg+xml").documentElement, true);
}

// A text that may be in any script, kept from turning its neighbours' direction.
function named(name, className, text) {
  const element = part(name, className, text);
  element.dir = "auto";
  return element;
}

const PEAK = "M-9 8L0-7 9 8M-3.500-1L0 3l3.500-4";
const GLYPHS = {
  crest: PEAK,
  summit: PEAK,
  foot: "M-9 8h6L7-3M1-4h6v6",
  place: "M0 9V1M0 1l-7-4 7-5 7 5z",
  start: "M-5 9V-8H6L3-4l3 4H-5",
  finish: "M-5 9V-8H7V0H-5M1-8v8M-5-4H7",
};

// What stands between the labels of one spot: a wide space, so that bites 1 and 2 are not read as 12.
const BETWEEN_LABELS = "\u2002";

// Half the width of a sign: several labels at one spot of a lap make it wider.
const signHalf = ({ label }) => (label && (label.length > 3 || label.includes(BETWEEN_LABELS)) ? 4 * label.length + 5 : 12);

// The drawn sign of an entry, around (0, 0), with the label it has on every output.
function sign(entry) {
  if (entry.kind === "hands" || entry.kind === "caution") {
    const group = drawn("g", { class: entry.kind === "hands" ? "warning" : "warning quiet" });
    group.append(drawn("path", { d: "M0-10.500L10.500 7.500H-10.500Z" }));
    group.append(drawn("path", { class: "bang", d: "M0-4.500V2M0 4.600V5" }));
    return group;
  }
  if (entry.kind === "risk") {
    const group = drawn("g", { class: "risk" });
    group.append(drawn("path", { d: "M0-12L12 0 0 12-12 0Z" }), drawn("path", { d: "M-6 2.500L-2-2.500 2 2.500 6-2.500" }));
    return group;
  }
  if (GLYPHS[entry.kind]) {
    const group = drawn("g", { class: "glyph" });
    group.append(drawn("circle", { r: 13 }), drawn("path", { d: GLYPHS[entry.kind] }));
    return group;
  }
  const group = drawn("g", { class: `mark ${entry.kind}` });
  const half = signHalf(entry);
  if (half > 12) group.append(drawn("rect", { x: -half, y: -11, width: 2 * half, height: 22, rx: entry.kind === "eat" ? 11 : 0 }));
  else if (entry.kind === "refill") group.append(drawn("rect", { x: -11, y: -11, width: 22, height: 22 }));
  else group.append(drawn("circle", { r: entry.kind === "eat" ? 12 : 7 }));
  if (entry.label) group.append(drawn("text", { y: 4.6, "font-size": entry.label.length > 2 ? 11 : 13 }, entry.label));
  return group;
}

function signBox(entry) {
  const box = drawn("svg", { viewBox: "-14 -14 28 28", class: "drawing sign", "aria-hidden": "true" });
  box.append(sign(entry));
  return box;
}

// One tab stop for many marks: the arrow keys step along the road.
function rove(room, selector) {
  const inSight = (mark) => mark.getClientRects().length > 0;
  const marks = () => [...room.querySelectorAll(selector)].filter(inSight);
  const stop = (mark) => {
    for (const other of room.querySelectorAll(selector)) other.setAttribute("tabindex", other === mark ? "0" : "-1");
  };
  room.addEventListener("focusin", (event) => {
    const mark = event.target.closest(selector);
    if (mark) stop(mark);
  });
  room.addEventListener("keydown", (event) => {
    const all = marks();
    const at = all.indexOf(event.target.closest(selector));
    const step = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1, Home: -Infinity, End: Infinity }[event.key];
    if (at < 0 || step === undefined) return;
    event.preventDefault();
    event.stopPropagation();
    all[Math.max(0, Math.min(all.length - 1, at + step))].focus();
  });
  return () => {
    const all = [...room.querySelectorAll(selector)].filter((mark) => !mark.hidden);
    if (all.length && !all.some((mark) => mark.getAttribute("tabindex") === "0")) stop(all[0]);
  };
}

// Choosing: every part of the page listens, none knows the others.
const choosing = { key: "", listeners: [], opener: null };
function onChoose(listener) {
  choosing.listeners.push(listener);
}
function choose(key, opener, byKeyboard) {
  if (opener) choosing.opener = opener;
  choosing.key = key;
  for (const listener of choosing.listeners) listener(entryByKey.get(key), Boolean(byKeyboard));
}
