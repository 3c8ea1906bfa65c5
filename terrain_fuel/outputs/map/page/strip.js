// The strip map: the road straightened to a ribbon that runs upward hour by hour, hills beside it, rows on it.
const stripRoom = document.getElementById("strip");
const hoursBox = document.getElementById("hours");
const rowByKey = new Map();
let chapters = [];

const REM_A_KM = 0.5;

function pressable(element, entry) {
  element.type = "button";
  element.dataset.key = entry.key;
  element.setAttribute("aria-pressed", "false");
  element.tabIndex = -1;
  element.addEventListener("click", (event) => choose(entry.key, element, event.detail === 0));
  return element;
}

function row(entry) {
  const line = pressable(part("button", `row ${entry.kind}`), entry);
  const what = part("span", "what");
  what.append(named("span", "", entry.name));
  if (entry.notes) what.append(named("small", "", entry.notes));
  line.append(signBox(entry), part("span", "far", entry.distance), what, part("span", "clock"));
  return inList(line);
}

// Sips that follow one another share a row; each has its own ring on the ribbon.
function sipsRow({ sips, count, places }) {
  const line = pressable(part("button", "row sips"), sips[0]);
  line.append(part("span", "far", places), part("span", "what", count), part("span", "clock"));
  return inList(line);
}

function inList(line) {
  const item = part("li");
  item.append(line);
  return item;
}

const rowItems = standing(row);
const sipsItems = standing(sipsRow);

function rowOf(entry) {
  const item = rowItems.of(entry, entry.key, entry.kind, entry.label, entry.name, entry.notes, entry.distance);
  item.firstChild.setAttribute("aria-label", entry.spoken);
  rowByKey.set(entry.key, item.firstChild);
  return item;
}

function sipsRowOf(sips) {
  const count = sips.length > 1 ? filled(plan.words.sips, { count: sips.length }) : plan.words.sip;
  const places = sips.map((sip) => sip.distance).join(" · ");
  const item = sipsItems.of({ sips, count, places }, sips[0].key, count, places);
  item.firstChild.setAttribute("aria-label", `${count}: ${places} ${plan.units.road}`);
  for (const sip of sips) rowByKey.set(sip.key, item.firstChild);
  return item;
}

function knotsOf(entries) {
  const knots = [];
  for (let i = 0; i < entries.length; i++) {
    const sips = [];
    while (i < entries.length && entries[i].kind === "sip") sips.push(entries[i++]);
    if (sips.length) i--;
    const entry = sips[0] || entries[i];
    const item = sips.length ? sipsRowOf(sips) : rowOf(entry);
    knots.push({ line: item.firstChild, item, at: entry.at, time: entry.time });
  }
  return knots;
}

function emptyChapter() {
  const section = part("section");
  const heading = part("h2");
  const [clock, span] = [part("b"), part("span")];
  heading.append(clock, span);
  const ribbon = drawn("svg", { class: "ribbon drawing", "aria-hidden": "true" });
  const list = part("ol");
  section.append(ribbon, heading, list);
  return { section, ribbon, clock, span, list };
}

// An hour of the ride; its paper is that of the same hour of the ride shown before.
function chapterOf([from, , name], until, paper) {
  const entries = plan.entries.filter((entry) => entry.time >= from && entry.time < until);
  const [startAt, endAt] = [placeAtTime(from), placeAtTime(Math.min(until, lastOf(plan.clock.time)))];
  write(paper.span, `${name} · ${distanceText(startAt)}–${lengthText(endAt)}`);
  const knots = knotsOf(entries);
  fit(paper.list, knots.map(({ item }) => item));
  const sips = entries.filter((entry) => entry.kind === "sip").map((entry) => entry.at);
  return { ...paper, from, startAt, endAt, sips, knots };
}

function layChapters() {
  rowItems.begin();
  sipsItems.begin();
  rowByKey.clear();
  const until = (index) => (index + 1 < plan.hours.length ? plan.hours[index + 1][0] : Infinity);
  chapters = plan.hours.map((hour, index) => chapterOf(hour, until(index), chapters[index] ?? emptyChapter()));
  fit(hoursBox, chapters.map(({ section }) => section));
}

// More road between two rows, more paper between them.
function spaceRows() {
  const rem = remPx();
  const rows = chapters.flatMap((chapter) => chapter.knots);
  rows.forEach(({ item, at }, i) => {
    const gap = i + 1 < rows.length ? rows[i + 1].at - at : 0;
    const extra = Math.min(8, Math.max(0, (gap / 1000) * REM_A_KM - 2.5));
    item.style.marginTop = `${(extra * rem).toFixed(0)}px`;
  });
}

// Height in a chapter of a place on the road: rows stand at their places, the road between them evenly.
function ladder({ section, startAt, endAt, knots }) {
  const box = section.getBoundingClientRect();
  const steps = [[startAt, box.height]];
  for (const { line, at } of knots) {
    const rect = line.getBoundingClientRect();
    steps.push([Math.max(at, steps[steps.length - 1][0]), rect.top + rect.height / 2 - box.top]);
  }
  steps.push([Math.max(endAt, steps[steps.length - 1][0]), 0]);
  return { at: steps.map(([at]) => at), y: steps.map(([, y]) => y), height: box.height };
}
const heightOn = (rungs, at) => along(rungs.at, rungs.y, at);

function groundAt(metres) {
  const exact = Math.min(road.height.length - 1.001, Math.max(0, metres / road.step));
  const i = Math.floor(exact);
  return road.height[i] + (exact - i) * (road.height[i + 1] - road.height[i]);
}

// The hills beside the ribbon, from the road's own heights: outline, and strokes closer where it is steeper.
function hills(rungs, bottom, scale, edge) {
  const downward = { y: [...rungs.y].reverse(), at: [...rungs.at].reverse() };
  const ridge = [];
  let strokes = "";
  let due = 0.5;
  const count = Math.max(2, Math.ceil(rungs.height / 2));
  for (let i = 0; i <= count; i++) {
    const y = (rungs.height * (count - i)) / count;
    const at = along(downward.y, downward.at, y);
    const reach = scale(groundAt(at));
    ridge.push(`${px(edge - reach)} ${px(y)}`);
    const grade = (groundAt(at + 100) - groundAt(at - 100)) / 200;
    due += (strokeDensity(grade) * rungs.height) / count / CLOSEST_PX;
    if (due < 1) continue;
    due %= 1;
    const length = reach * (0.25 + 4.5 * Math.min(0.12, Math.abs(grade)));
    strokes += `M${px(edge - reach)} ${px(y)}l${px(length)} ${px(grade > 0 ? 0.22 * length : -0.22 * length)}`;
  }
  const line = `M${ridge.join("L")}`;
  return [
    drawn("path", { class: "a-grade-1", d: `${line}L${px(edge)} 0V${px(rungs.height)}Z` }),
    drawn("path", { class: "s-hachure", d: strokes }),
    drawn("path", { class: "s-ridge", d: line }),
  ];
}

// The ribbon: a bar of whole kilometres or miles, dark and light in turn.
function bar({ startAt, endAt }, rungs, x, half) {
  const unit = plan.units.roadM;
  let dark = "";
  for (let n = Math.floor(startAt / unit); n * unit < endAt; n++) {
    if (n % 2) continue;
    const low = heightOn(rungs, Math.max(startAt, n * unit));
    const high = heightOn(rungs, Math.min(endAt, (n + 1) * unit));
    dark += `M${px(x - half)} ${px(low)}H${px(x + half)}V${px(high)}H${px(x - half)}Z`;
  }
  const edges = `M${px(x - half)} 0V${px(rungs.height)}M${px(x + half)} 0V${px(rungs.height)}`;
  const whole = `M${px(x - half)} 0H${px(x + half)}V${px(rungs.height)}H${px(x - half)}Z`;
  return [
    drawn("path", { class: "bar-light", d: whole }),
    drawn("path", { class: "bar-dark", d: dark }),
    drawn("path", { class: "bar-edge", d: edges }),
  ];
}

function handsOn({ startAt, endAt }, rungs, left, right) {
  let band = "";
  let hatching = "";
  for (const [start, end] of plan.hands) {
    if (end < startAt || start > endAt) continue;
    const low = heightOn(rungs, Math.max(start, startAt));
    const high = heightOn(rungs, Math.min(end, endAt));
    band += `M${px(left)} ${px(low)}H${px(right)}V${px(high)}H${px(left)}Z`;
    for (let y = low - 2; y > high; y -= 5) {
      const drop = Math.min(8, y - high);
      hatching += `M${px(left)} ${px(y)}L${px(right)} ${px(y - drop)}`;
    }
  }
  return [drawn("path", { class: "a-hands", d: band }), drawn("path", { class: "s-hatch", d: hatching })];
}

// A compass where the way turns: the road runs up the strip, the needle shows where north is.
function compass(x, y, degrees, size) {
  const rose = drawn("g", { class: "compass", transform: `translate(${px(x)} ${px(y)}) rotate(${-degrees})` });
  rose.append(
    drawn("circle", { r: px(size) }),
    drawn("path", { class: "needle", d: `M0 ${px(-size)}L${px(0.36 * size)} ${px(0.3 * size)}L0 0Z` }),
    drawn("path", { class: "needle hollow", d: `M0 ${px(-size)}L${px(-0.36 * size)} ${px(0.3 * size)}L0 0Z` }),
    drawn("path", { d: `M0 ${px(size)}V${px(0.55 * size)}M${px(-size)} 0H${px(-0.6 * size)}M${px(size)} 0H${px(0.6 * size)}` }),
  );
  return rose;
}

function roadside({ startAt, endAt }, rungs, rem) {
  const signs = [];
  const taken = [];
  const free = (y, room) => y > room && y < rungs.height - room && taken.every(([other, size]) => Math.abs(other - y) > room + size);
  for (const [lap, at] of plan.laps ? plan.laps.bounds.slice(0, -1).entries() : []) {
    const y = heightOn(rungs, at);
    if (at < startAt || at >= endAt || !free(y, 0.5 * rem)) continue;
    taken.push([y, 0.5 * rem]);
    signs.push(drawn("text", { x: 0, y: px(y), "font-size": 0.75 * rem }, filled(plan.words.lap, { number: lap + 1 })));
  }
  for (const [at, degrees] of plan.turns) {
    const y = Math.min(heightOn(rungs, at), rungs.height - 0.9 * rem);
    if (at < startAt || at >= endAt || !free(y, 0.8 * rem)) continue;
    taken.push([y, 0.8 * rem]);
    signs.push(compass(0.85 * rem, y, degrees, 0.68 * rem));
  }
  const step = 5 * plan.units.roadM;
  for (let at = Math.ceil(startAt / step) * step; at < endAt; at += step) {
    const y = heightOn(rungs, at);
    if (!at || !free(y, 0.45 * rem)) continue;
    taken.push([y, 0.45 * rem]);
    signs.push(drawn("text", { class: "t-quiet", x: 0, y: px(y + 0.25 * rem), "font-size": 0.75 * rem }, String(Math.round(at / plan.units.roadM))));
  }
  return signs;
}

let drawnSize = "";
const stripSize = () => `${hoursBox.offsetWidth} ${hoursBox.offsetHeight}`;
function drawRibbons() {
  if (!hoursBox.getClientRects().length) return;
  drawnSize = stripSize();
  const rem = remPx();
  const wide = parseFloat(getComputedStyle(hoursBox).getPropertyValue("--road-rem")) * rem;
  const most = wide - 2.1 * rem;
  const scale = (h) => most * (0.08 + (0.92 * (h - lowest)) / (highest - lowest));
  const half = 0.22 * rem;
  const edge = wide - half;
  for (const chapter of chapters) chapter.rungs = ladder(chapter);
  for (const chapter of chapters) {
    const { ribbon, rungs, sips } = chapter;
    const told = JSON.stringify([rungs, sips, wide, rem]);
    if (sameRoad && told === ribbon.told) continue;
    ribbon.told = told;
    ribbon.replaceChildren(
      ...hills(rungs, rungs.height, scale, edge),
      ...handsOn(chapter, rungs, edge - most, wide + half),
      ...bar(chapter, rungs, wide, half),
      ...roadside(chapter, rungs, rem),
      drawn("path", { class: "sip-rings", d: circles(sips.map((at) => ({ x: wide, y: heightOn(rungs, at) })), 0.28 * rem) }),
    );
  }
  placeYou();
}

// Where the rider is by the clock: a pointer on the ribbon.
const you = drawn("svg", { id: "you", viewBox: "0 0 24 24", "aria-hidden": "true" });
you.append(drawn("path", { d: "M2 4l18 8-18 8 5-8z" }));
function placeYou() {
  const now = rideNow();
  const chapter = chapters.findLast(({ from }) => from <= now.time);
  you.classList.toggle("unseen", now.state !== "riding");
  if (!chapter || !chapter.rungs) return;
  if (you.parentNode !== chapter.section) chapter.section.append(you);
  you.style.top = `${px(heightOn(chapter.rungs, now.at))}px`;
}
function showYou() {
  if (rideNow().state === "riding" && you.getClientRects().length) you.scrollIntoView({ block: "center" });
}

function tellTimes() {
  for (const { clock, from, knots } of chapters) {
    write(clock, clockText(from));
    for (const { line, time } of knots) write(line.lastChild, clockText(time));
  }
  placeYou();
}
onClock(tellTimes);

const stopInStrip = rove(hoursBox, "button[data-key]");
new ResizeObserver(() => plan && stripSize() !== drawnSize && drawRibbons()).observe(hoursBox);
onShow(() => {
  layChapters();
  hoursBox.style.setProperty("--far", `${0.85 * distanceText(plan.length).length}rem`);
  spaceRows();
  tellTimes();
  drawRibbons();
  stopInStrip();
  showYou();
});

onChoose((entry) => {
  const chosen = entry && rowByKey.get(entry.key);
  for (const line of rowByKey.values()) line.setAttribute("aria-pressed", String(line === chosen));
  if (!chosen) return;
  const box = stripRoom.getBoundingClientRect();
  const rect = chosen.getBoundingClientRect();
  if (rect.top < box.top + 8) stripRoom.scrollBy(0, rect.top - box.top - 40);
  else if (rect.bottom > box.bottom - 40) stripRoom.scrollBy(0, rect.bottom - box.bottom + 64);
});
