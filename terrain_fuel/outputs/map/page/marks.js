// Numbered marks beside the road: none over another, each tied to its place by a leader.
const ROOM_PX = 15;
const REACHES = [20, 26, 34, 44, 56, 70, 86];
const SIP_NUMBERS_FROM_PX_A_KM = 60;

const markPane = roadMap.createPane("numbers");
markPane.style.zIndex = 620;
markPane.classList.add("leaflet-zoom-hide");
markPane.setAttribute("role", "group");

let onMap = [];
const buttonByKey = new Map();
onShow(() => {
  markPane.setAttribute("aria-label", plan.words.marks);
  markPane.replaceChildren();
  buttonByKey.clear();
  onMap = plan.entries.filter((entry) => entry.key);
  onMap.forEach(addMark);
});
function addMark(entry) {
  const button = part("button", "map-mark");
  button.type = "button";
  button.tabIndex = -1;
  button.dataset.key = entry.key;
  button.setAttribute("aria-label", entry.spoken);
  button.setAttribute("aria-pressed", "false");
  button.append(signBox(entry));
  button.addEventListener("click", (event) => {
    event.stopPropagation();
    choose(entry.key, button, event.detail === 0);
  });
  buttonByKey.set(entry.key, button);
  markPane.append(button);
}
L.DomEvent.disableClickPropagation(markPane);
const stopOnMap = rove(markPane, "button.map-mark");

let placed = [];
let unplaced = [];

// What stands where: cells of the road and boxes of marks already placed.
function ground8(w) {
  const cells = new Set();
  for (let i = 0; i < w.count; i++) cells.add(`${Math.round(w.x[i] / 8)} ${Math.round(w.y[i] / 8)}`);
  return cells;
}
function controlBoxes() {
  const frame = roadMap.getContainer().getBoundingClientRect();
  return [...document.querySelectorAll("#map .leaflet-control")].map((control) => {
    const rect = control.getBoundingClientRect();
    const low = roadMap.containerPointToLayerPoint([rect.left - frame.left, rect.top - frame.top]);
    return { x: low.x + rect.width / 2, y: low.y + rect.height / 2, w: rect.width / 2 + 2, h: rect.height / 2 + 2 };
  });
}
function clash(boxes, x, y, w, h) {
  return boxes.some((box) => Math.abs(box.x - x) < box.w + w && Math.abs(box.y - y) < box.h + h);
}
function roadUnder(cells, x, y, w, h) {
  let count = 0;
  for (let cx = Math.round((x - w) / 8); cx <= Math.round((x + w) / 8); cx++) {
    for (let cy = Math.round((y - h) / 8); cy <= Math.round((y + h) / 8); cy++) count += cells.has(`${cx} ${cy}`);
  }
  return count;
}
function view() {
  const low = roadMap.containerPointToLayerPoint([0, 0]);
  return { low, high: low.add(roadMap.getSize()) };
}
function bestPlace(anchor, boxes, cells, w, h, reaches) {
  const { low, high } = view();
  const shown = anchor.x > low.x && anchor.x < high.x && anchor.y > low.y && anchor.y < high.y;
  let best = null;
  const facing = Math.atan2(-anchor.dx, anchor.dy);
  for (const reach of reaches) {
    for (let turn = 0; turn < 16; turn++) {
      const angle = facing + (turn * Math.PI) / 8;
      const x = anchor.x + reach * Math.cos(angle);
      const y = anchor.y + reach * Math.sin(angle);
      if (clash(boxes, x, y, w, h)) continue;
      if (shown && (x - w < low.x || x + w > high.x || y - h < low.y || y + h > high.y)) continue;
      const cost = reach / 10 + 3 * roadUnder(cells, x, y, w, h) + 0.8 * (1 - Math.abs(Math.cos(turn * (Math.PI / 8))));
      if (!best || cost < best.cost) best = { x, y, cost };
    }
    if (best && best.cost < reach / 10 + 1.5) break;
  }
  return best;
}

function rank(entry) {
  return { refill: 0, eat: 1, hands: 2, caution: 3, sip: 4 }[entry.kind];
}

function layMarks() {
  const w = layRoad();
  const cells = ground8(w);
  const boxes = controlBoxes();
  const close = w.s[w.count - 1] / (plan.length / 1000) < SIP_NUMBERS_FROM_PX_A_KM;
  placed = [];
  unplaced = [];
  for (const entry of [...onMap].sort((a, b) => rank(a) - rank(b) || a.at - b.at)) {
    const button = buttonByKey.get(entry.key);
    const middle = entry.kind === "hands" ? 0.5 * (entry.at + entry.end) : entry.at;
    const anchor = placeAt(middle);
    const wanted = entry.kind !== "sip" || !close || entry.key === choosing.key;
    const spot = wanted && bestPlace(anchor, boxes, cells, ROOM_PX, ROOM_PX, REACHES);
    button.hidden = !spot;
    if (!spot) {
      unplaced.push({ entry, ...anchor });
      continue;
    }
    boxes.push({ x: spot.x, y: spot.y, w: ROOM_PX, h: ROOM_PX });
    placed.push({ entry, anchor, x: spot.x, y: spot.y });
    L.DomUtil.setPosition(button, L.point(Math.round(spot.x), Math.round(spot.y)));
  }
  layLabels(boxes, cells);
  stopOnMap();
}

// Distances and the two ends, in words, where there is room.
const labelPane = roadMap.createPane("words");
labelPane.style.zIndex = 610;
labelPane.classList.add("leaflet-zoom-hide");
labelPane.setAttribute("aria-hidden", "true");
function layLabels(boxes, cells) {
  const ends = [[plan.words.start, placeAt(0)], [plan.words.finish, placeAt(plan.length)]];
  const away = roadMap.distance(road.at[0], road.at[road.at.length - 1]) > 300;
  const distances = tickPlaces().map(([distance, place]) => [String(distance), place]);
  const words = [...(away ? ends : [[`${plan.words.start} · ${plan.words.finish}`, placeAt(0)]]), ...distances];
  labelPane.replaceChildren();
  for (const [word, place] of words) {
    const label = part("span", "map-label", word);
    labelPane.append(label);
    const half = label.offsetWidth / 2 + 1;
    const spot = bestPlace(place, boxes, cells, half, 9, [16, 20, 26, half + 10, half + 18]);
    if (!spot) {
      label.remove();
      continue;
    }
    boxes.push({ x: spot.x, y: spot.y, w: half, h: 9 });
    label.style.left = `${Math.round(spot.x)}px`;
    label.style.top = `${Math.round(spot.y)}px`;
  }
}

function leaders() {
  return placed
    .map(({ anchor, x, y, entry }) => {
      const away = Math.hypot(anchor.x - x, anchor.y - y) || 1;
      const clear = entry.kind === "sip" ? 10 : 12;
      return `M${px(x + ((anchor.x - x) * clear) / away)} ${px(y + ((anchor.y - y) * clear) / away)}L${px(anchor.x)} ${px(anchor.y)}`;
    })
    .join("");
}

addDrawn(net, "net");
addDrawn(sheet, "sheet");
addDrawn((b) => ribbon(b, (i) => held[i]), "hands-band");
addDrawn((b) => ribbon(b, () => true), "halo");
addDrawn(hatch, "hands-hatch");
addDrawn(combs, "comb");
addDrawn((b) => ribbon(b, () => true), "casing");
for (let band = 0; band < 5; band++) {
  addDrawn((b) => ribbon(b, (i) => tone(i) === band && kinds[i] !== "descent"), `core tone-${band}`);
  addDrawn((b) => ribbon(b, (i) => tone(i) === band && kinds[i] === "descent"), `core down tone-${band}`);
}
addDrawn(ticks, "tick");
addDrawn(arrows, "arrow");
addDrawn(leaders, "leader");
addDrawn(() => circles(placed.filter(({ entry }) => entry.kind !== "sip").map(({ anchor }) => anchor), 2.5), "dot");
addDrawn(() => circles(unplaced.filter(({ entry }) => entry.kind === "sip"), 2.8), "sip-rings");
addDrawn(() => circles(unplaced.filter(({ entry }) => entry.kind === "eat" || entry.kind === "refill"), 4.5), "eat-dots");
addDrawn(() => {
  const entry = entryByKey.get(choosing.key);
  return entry ? circles([placeAt(entry.at)], 9) : "";
}, "here");

function relay() {
  layRoad();
  layMarks();
  redraw();
}
roadMap.on("zoomend resize viewreset", () => plan && relay());
roadMap.on("click", (event) => {
  const points = [...unplaced, ...placed.map(({ entry, anchor }) => ({ entry, ...anchor }))];
  let best = null;
  let least = 18;
  for (const point of points) {
    const off = Math.hypot(point.x - event.layerPoint.x, point.y - event.layerPoint.y);
    if (off < least) [best, least] = [point, off];
  }
  if (best) choose(best.entry.key, buttonByKey.get(best.entry.key));
});

onChoose((entry) => {
  relay();
  for (const [key, button] of buttonByKey) {
    const lit = Boolean(entry) && key === entry.key;
    button.classList.toggle("lit", lit);
    button.querySelector("g").classList.toggle("lit", lit);
    button.setAttribute("aria-pressed", String(lit));
  }
  if (entry) showOnMap(entry);
});

// Pan only if the chosen place is out of sight or under the card.
function showOnMap(entry) {
  const frame = roadMap.getContainer().getBoundingClientRect();
  const cover = card.getBoundingClientRect();
  const right = cover.left > frame.left + 200 ? Math.min(frame.right, cover.left) : frame.right;
  const bottom = cover.left > frame.left + 200 ? frame.bottom : Math.max(frame.top + 120, Math.min(frame.bottom, cover.top));
  const place = placeAt(entry.at);
  const at = roadMap.layerPointToContainerPoint([place.x, place.y]);
  const [width, height] = [right - frame.left, bottom - frame.top];
  const edge = Math.min(70, width / 4, height / 4);
  const x = at.x - Math.max(edge, Math.min(width - edge, at.x));
  const y = at.y - Math.max(edge, Math.min(height - edge, at.y));
  const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
  if (x || y) roadMap.panBy([x, y], { animate: !still });
}

// The whole road fills the map until the rider moves it.
let moved = false;
for (const kind of ["pointerdown", "wheel", "keydown"]) roadMap.getContainer().addEventListener(kind, () => (moved = true), { passive: true });
function refit() {
  if (!plan) return;
  roadMap.invalidateSize({ animate: false, pan: false });
  if (moved) return;
  roadMap.setMinZoom(0);
  fitRoad();
  roadMap.setMinZoom(Math.floor(roadMap.getZoom()) - 1);
  relay();
}
new ResizeObserver(refit).observe(roadMap.getContainer());
onShow(() => {
  moved = false;
  roadMap.setView(roadBounds.getCenter(), 10, { animate: false });
  refit();
});
