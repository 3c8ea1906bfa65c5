// Numbered marks beside the road: none over another, each tied to its place by a leader.
const ROOM_REM = 0.94;
const ROOM_FOR_FINGERS_REM = 1.5;
const REACHES_REM = [1.25, 1.65, 2.1, 2.75, 3.5];

const markPane = roadMap.createPane("numbers");
markPane.style.zIndex = 620;
markPane.classList.add("leaflet-zoom-hide");
markPane.setAttribute("role", "group");

let onMap = [];
const buttonByKey = new Map();
let names = [];

// Points of several laps at one spot of the road share one mark.
let spotOf = new Map();
const markOf = (key) => (spotOf.get(key) || { keys: [key] }).keys[0];

onShow(() => {
  markPane.setAttribute("aria-label", plan.words.marks);
  marks.begin();
  nameSigns.begin();
  buttonByKey.clear();
  spotOf = new Map((plan.laps ? plan.laps.spots : []).flatMap((spot) => spot.keys.map((key) => [key, spot])));
  onMap = plan.entries.filter((entry) => MARK_KINDS.includes(entry.kind) && markOf(entry.key) === entry.key);
  for (const entry of onMap.map(onSpot)) {
    const button = marks.of(entry, entry.key, entry.kind, entry.label);
    button.setAttribute("aria-label", entry.spoken);
    buttonByKey.set(entry.key, button);
  }
  names = [...endNames(), ...plan.names].map(([at, name, key]) => ({ at, key, button: nameSigns.of({ name, key }, name, key, at) }));
  fit(markPane, [...buttonByKey.values(), ...names.map(({ button }) => button)]);
});

// Names along the road; the two ends are one where the road comes home.
function endNames() {
  const ends = [plan.words.start, plan.words.finish];
  const home = road.at[0].distanceTo(lastOf(road.at)) < 300;
  if (home) return [[0, ends.join(" · "), "start"]];
  return [[0, ends[0], "start"], [plan.length, ends[1], "finish"]];
}
function nameSign({ name, key }) {
  return onPane(named("button", "map-name", name), key);
}
// An entry as the map shows it: with the labels of all laps at its spot.
function onSpot(entry) {
  const spot = spotOf.get(entry.key);
  if (!spot) return entry;
  const label = spot.keys.map((key) => entryByKey.get(key).label).join(BETWEEN_LABELS);
  return { ...entry, label, spoken: spot.text ? `${entry.spoken}, ${spot.text}` : entry.spoken };
}
function mark(entry) {
  const button = onPane(part("button", "map-mark"), entry.key);
  button.setAttribute("aria-pressed", "false");
  button.append(signBox(entry));
  if (signHalf(entry) > 12) {
    button.halfRem = (signHalf(entry) + 1) / 16;
    button.style.setProperty("--wide", `${2 * button.halfRem}rem`);
  }
  return button;
}
function onPane(button, key) {
  button.type = "button";
  button.tabIndex = -1;
  button.dataset.key = key;
  button.addEventListener("click", (event) => {
    event.stopPropagation();
    choose(key, button, event.detail === 0);
  });
  return button;
}
const marks = standing(mark);
const nameSigns = standing(nameSign);

L.DomEvent.disableClickPropagation(markPane);
const stopOnMap = rove(markPane, "button");

let placed = [];
let unplaced = [];

// What stands where: the map's controls, and the boxes of marks already placed. To ask for sizes is dear: they
// are remembered until the map is another, those of lettering for good.
let controls = null;
function forgetControls() {
  controls = null;
}
function controlBoxes() {
  if (!controls) {
    const frame = roadMap.getContainer().getBoundingClientRect();
    controls = [...document.querySelectorAll("#map .leaflet-control")].map((control) => {
      const { left, top, width, height } = control.getBoundingClientRect();
      return { at: [left - frame.left + width / 2, top - frame.top + height / 2], w: width / 2 + 2, h: height / 2 + 2 };
    });
  }
  return controls.map(({ at, w, h }) => {
    const { x, y } = roadMap.containerPointToLayerPoint(at);
    return { x, y, w, h };
  });
}
const sizes = new Map();
function halfSize(lettering) {
  const key = `${lettering.className} ${remPx()} ${fingers.matches} ${lettering.textContent}`;
  const known = sizes.get(key);
  if (known) return known;
  const size = [lettering.offsetWidth / 2 + 1, lettering.offsetHeight / 2 + 1];
  if (lettering.offsetWidth) sizes.set(key, size);
  return size;
}
function clash(boxes, x, y, w, h) {
  return boxes.some((box) => Math.abs(box.x - x) < box.w + w && Math.abs(box.y - y) < box.h + h);
}
function roadUnder(cells, x, y, w, h) {
  let count = 0;
  for (let cx = Math.round((x - w) / 8); cx <= Math.round((x + w) / 8); cx++) {
    for (let cy = Math.round((y - h) / 8); cy <= Math.round((y + h) / 8); cy++) count += cells.has(cellAt(cx, cy));
  }
  return count;
}
function view() {
  const low = roadMap.containerPointToLayerPoint([0, 0]);
  return { low, high: low.add(roadMap.getSize()) };
}
function bestPlace(anchor, boxes, cells, w, h, reaches, allowed = () => true) {
  const { low, high } = view();
  if (anchor.x < low.x || anchor.x > high.x || anchor.y < low.y || anchor.y > high.y) return null;
  let best = null;
  const facing = Math.atan2(-anchor.dx, anchor.dy);
  for (const reach of reaches) {
    for (let turn = 0; turn < 16; turn++) {
      const angle = facing + (turn * Math.PI) / 8;
      const x = anchor.x + reach * Math.cos(angle);
      const y = anchor.y + reach * Math.sin(angle);
      if (clash(boxes, x, y, w, h)) continue;
      if (x - w < low.x || x + w > high.x || y - h < low.y || y + h > high.y || !allowed(x, y)) continue;
      const cost = reach / 10 + 3 * roadUnder(cells, x, y, w, h) + 0.8 * (1 - Math.abs(Math.cos(turn * (Math.PI / 8))));
      if (!best || cost < best.cost) best = { x, y, cost };
    }
    if (best && best.cost < reach / 10 + 1.5) break;
  }
  return best;
}

const MARK_KINDS = ["refill", "eat", "hands", "risk", "caution", "sip"];
const rank = (entry) => MARK_KINDS.indexOf(entry.kind);

// Marks and names that find room, the halts and names first; the rest are dots on the road.
function layMarks() {
  const w = layRoad();
  const rem = remPx();
  const { cells } = w;
  const boxes = controlBoxes();
  const room = rem * (fingers.matches ? ROOM_FOR_FINGERS_REM : ROOM_REM);
  const reaches = REACHES_REM.map((reach) => reach * rem + room - ROOM_REM * rem);
  placed = [];
  unplaced = [];
  const lay = (entry) => {
    const button = buttonByKey.get(entry.key);
    const middle = entry.kind === "hands" ? 0.5 * (entry.at + entry.end) : entry.at;
    const anchor = placeAt(middle);
    const wanted = entry.kind !== "sip" || entry.key === choosing.key;
    const wide = Math.max(room, (button.halfRem || 0) * rem);
    const spot = wanted && bestPlace(anchor, boxes, cells, wide, room, reaches);
    button.hidden = !spot;
    if (!spot) {
      unplaced.push({ entry, ...anchor });
      return;
    }
    boxes.push({ x: spot.x, y: spot.y, w: wide, h: room });
    placed.push({ entry, anchor, x: spot.x, y: spot.y });
    L.DomUtil.setPosition(button, L.point(Math.round(spot.x), Math.round(spot.y)));
  };
  const order = [...onMap].sort((a, b) => rank(a) - rank(b) || a.at - b.at);
  const chosen = order.filter((entry) => entry.key === markOf(choosing.key));
  const rest = order.filter((entry) => entry.key !== markOf(choosing.key));
  const first = fingers.matches ? ["refill", "eat", "hands"] : ["refill"];
  [...chosen, ...rest.filter((entry) => first.includes(entry.kind))].forEach(lay);
  layNames(boxes, cells, rem);
  rest.filter((entry) => !first.includes(entry.kind)).forEach(lay);
  layDistances(boxes, cells, rem);
  stopOnMap();
}

// Whether the lines from two places to their names cross.
function cross(one, end, other, otherEnd) {
  const side = (from, to, at) => Math.sign((to.x - from.x) * (at.y - from.y) - (to.y - from.y) * (at.x - from.x));
  return side(one, end, other) * side(one, end, otherEnd) < 0 && side(other, otherEnd, one) * side(other, otherEnd, end) < 0;
}

let lettered = [];
function layNames(boxes, cells, rem) {
  lettered = [];
  for (const { button } of names) button.hidden = false;
  const halves = names.map(({ button }) => halfSize(button));
  names.forEach(({ at, button }, i) => {
    const [half, high] = halves[i];
    const beside = half + 0.5 * rem;
    const above = high + 0.35 * rem;
    const anchor = placeAt(at);
    const apart = (x, y) => lettered.every((other) => !cross(anchor, { x, y }, other.anchor, other));
    const reaches = [above, above + 0.6 * rem, beside, beside + rem, beside + 2 * rem];
    const spot = bestPlace(anchor, boxes, cells, half, high, reaches, apart);
    button.hidden = !spot;
    if (!spot) return;
    lettered.push({ ...spot, anchor, half, high: 0.6 * rem });
    boxes.push({ x: spot.x, y: spot.y, w: half, h: high });
    L.DomUtil.setPosition(button, L.point(Math.round(spot.x - half), Math.round(spot.y - high)));
  });
}

// Distances along the road, where there is room.
const labelPane = roadMap.createPane("words");
labelPane.style.zIndex = 610;
labelPane.classList.add("leaflet-zoom-hide");
labelPane.setAttribute("aria-hidden", "true");
function layDistances(boxes, cells, rem) {
  labelPane.replaceChildren();
  const labels = tickPlaces().map(([distance, place]) => [part("span", "map-label", String(distance)), place]);
  labelPane.append(...labels.map(([label]) => label));
  const halves = labels.map(([label]) => halfSize(label)[0]);
  labels.forEach(([label, place], i) => {
    const high = 0.56 * rem;
    const spot = bestPlace(place, boxes, cells, halves[i], high, [rem, 1.25 * rem, 1.6 * rem, halves[i] + 0.6 * rem]);
    if (!spot) {
      label.remove();
      return;
    }
    boxes.push({ x: spot.x, y: spot.y, w: halves[i], h: high });
    label.style.left = `${Math.round(spot.x)}px`;
    label.style.top = `${Math.round(spot.y)}px`;
  });
}
