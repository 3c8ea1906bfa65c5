// The road on the map, drawn anew for each zoom: ribbon, strokes by grade, hatch, arrows and distance ticks.
const roadMap = window.roadMap;
let road = null;
let roadBounds = null;
let kinds = [];
let held = [];
// Of a road ridden in laps one lap is drawn.
let once = [];
let lowest = 0;
let highest = 0;
const LEAST_RISE_M = 60;
onShow(() => {
  let lat = 0;
  let lon = 0;
  const at = plan.road.lat.map((step, i) => {
    lat += step;
    lon += plan.road.lon[i];
    return L.latLng(lat / 1e5, lon / 1e5);
  });
  let height = 0;
  road = {
    at,
    grade: plan.road.grade.map((value) => value / 1000),
    height: plan.road.height.map((step) => (height += step)),
    step: plan.road.step,
  };
  roadBounds = L.latLngBounds(at);
  const spanned = (start, end) => [Math.floor(start / road.step), Math.ceil(end / road.step) + 1];
  kinds = new Array(at.length).fill("flat");
  for (const [kind, start, end] of plan.stretches) kinds.fill(kind, ...spanned(start, end));
  held = new Array(at.length).fill(false);
  for (const [start, end] of plan.hands) held.fill(true, ...spanned(start, end));
  const bounds = plan.laps ? plan.laps.bounds : [0, Infinity];
  once = at.map((_, i) => i * road.step <= bounds[1] || i * road.step >= lastOf(bounds));
  lowest = Math.min(...road.height);
  highest = Math.max(...road.height, lowest + LEAST_RISE_M);
  laid = { key: "" };
});

const GRADE_BANDS = [0.03, 0.06, 0.09, 0.12];
const EQUATOR_M = 40075016.686;
const GENTLE = 0.03;
const STEEP = 0.12;
const CLOSEST_PX = 2.600;

function strokeDensity(grade) {
  const steep = Math.abs(grade);
  return steep < GENTLE ? 0 : 0.3 + 0.7 * Math.min(1, (steep - GENTLE) / (STEEP - GENTLE));
}

// The zoom beyond which nothing more of the road is known: its places stand so many pixels apart.
const FARTHEST_APART_PX = 24;
function closestZoom() {
  const equator_px = (FARTHEST_APART_PX * EQUATOR_M * Math.cos((road.at[0].lat * Math.PI) / 180)) / road.step;
  return Math.max(10, Math.min(16, Math.floor(Math.log2(equator_px / 256))));
}

// The road in the map's pixels: x, y, length so far, unit direction and grade over what the eye can part.
let laid = { key: "" };
function layRoad() {
  const origin = roadMap.getPixelOrigin();
  const key = `${roadMap.getZoom()} ${origin.x} ${origin.y}`;
  if (laid.key === key) return laid;
  const count = road.at.length;
  const x = new Float64Array(count);
  const y = new Float64Array(count);
  const s = new Float64Array(count);
  const rise = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const point = roadMap.project(road.at[i]).subtract(origin);
    [x[i], y[i]] = [point.x, point.y];
    if (!i) continue;
    s[i] = s[i - 1] + Math.hypot(x[i] - x[i - 1], y[i] - y[i - 1]);
    rise[i] = rise[i - 1] + road.grade[i];
  }
  const dx = new Float64Array(count);
  const dy = new Float64Array(count);
  const grade = new Float64Array(count);
  let low = 0;
  let high = 0;
  for (let i = 0; i < count; i++) {
    while (low < i - 1 && s[i] - s[low] > 4) low++;
    while (high < count - 1 && (s[high] - s[i] < 4 || high <= i)) high++;
    const length = Math.hypot(x[high] - x[low], y[high] - y[low]) || 1;
    dx[i] = (x[high] - x[low]) / length;
    dy[i] = (y[high] - y[low]) / length;
    grade[i] = high > low ? (rise[high] - rise[low]) / (high - low) : road.grade[i];
  }
  laid = { key, count, x, y, s, dx, dy, grade, beside: new Float64Array(count), over: new Uint8Array(count) };
  meetOneself(laid);
  laid.cells = cellsOf(laid);
  return laid;
}

// Where the road meets itself: a way back stands to the right of the way out, a later crossing leads over.
const MEETS_PX = 6;
const APART_PX = 40;
const ASIDE_PX = 4;
function meetOneself(w) {
  const grid = new Map();
  const cell = (x, y) => cellAt(Math.round(x / MEETS_PX), Math.round(y / MEETS_PX));
  const sampled = [];
  for (let i = 0, last = -Infinity; i < w.count; i++) {
    if (!once[i] || w.s[i] - last < 2) continue;
    last = w.s[i];
    sampled.push(i);
    const key = cell(w.x[i], w.y[i]);
    if (!grid.has(key)) grid.set(key, []);
    grid.get(key).push(i);
  }
  const back = new Float64Array(w.count);
  for (const i of sampled) {
    for (let column = -1; column <= 1; column++) {
      for (let line = -1; line <= 1; line++) {
        for (const j of grid.get(cell(w.x[i] + column * MEETS_PX, w.y[i] + line * MEETS_PX)) || []) {
          if (Math.abs(w.s[i] - w.s[j]) < APART_PX) continue;
          if (Math.hypot(w.x[i] - w.x[j], w.y[i] - w.y[j]) > MEETS_PX) continue;
          const together = w.dx[i] * w.dx[j] + w.dy[i] * w.dy[j];
          if (together < -0.6) back[i] = 1;
          else if (Math.abs(together) < 0.8 && i > j) markOver(w, i);
        }
      }
    }
  }
  stepAside(w, back);
}
function markOver(w, i) {
  for (let j = i; j >= 0 && w.s[i] - w.s[j] < 9; j--) w.over[j] = 1;
  for (let j = i; j < w.count && w.s[j] - w.s[i] < 9; j++) w.over[j] = 1;
}
function stepAside(w, back) {
  const reach = 16;
  let low = 0;
  let high = 0;
  let sum = 0;
  const [x, y] = [w.x.slice(), w.y.slice()];
  // between sampled places the last one counts
  for (let i = 1; i < w.count; i++) if (!back[i] && back[i - 1] && w.s[i] - w.s[i - 1] < 2) back[i] = back[i - 1];
  for (let i = 0; i < w.count; i++) {
    while (high < w.count && w.s[high] - w.s[i] <= reach) sum += back[high++];
    while (w.s[i] - w.s[low] > reach) sum -= back[low++];
    w.beside[i] = Math.min(1, (1.5 * sum) / (high - low));
    if (!w.beside[i]) continue;
    w.x[i] = x[i] - ASIDE_PX * w.beside[i] * w.dy[i];
    w.y[i] = y[i] + ASIDE_PX * w.beside[i] * w.dx[i];
  }
}
const cellAt = (column, line) => column * 100003 + line;
function cellsOf(w) {
  const cells = new Set();
  for (let i = 0; i < w.count; i++) cells.add(cellAt(Math.round(w.x[i] / 8), Math.round(w.y[i] / 8)));
  return cells;
}

// Where no relief is known: hachures on the outer side of the road, from its own heights, longer where it is high.
function fringe(bounds) {
  if (plan.relief) return "";
  const w = layRoad();
  const middle = roadMap.latLngToLayerPoint(roadBounds.getCenter());
  let path = "";
  let due = 0;
  for (let i = 1; i < w.count; i++) {
    due += (w.s[i] - w.s[i - 1]) * (0.12 + 0.88 * Math.min(1, Math.abs(w.grade[i]) / 0.07));
    if (due < 4 || !once[i]) continue;
    due %= 4;
    const [x, y] = [w.x[i], w.y[i]];
    const reach = 34 * ((road.height[i] - lowest) / (highest - lowest));
    if (reach < 3 || !inside(bounds, x, y)) continue;
    const outer = w.dy[i] * (x - middle.x) - w.dx[i] * (y - middle.y) > 0 && !w.beside[i] ? 1 : -1;
    const [ux, uy] = [outer * w.dy[i], -outer * w.dx[i]];
    const far = 13 + reach;
    if (w.cells.has(cellAt(Math.round((x + far * ux) / 8), Math.round((y + far * uy) / 8)))) continue;
    path += `M${px(x + 13 * ux)} ${px(y + 13 * uy)}l${px(reach * ux)} ${px(reach * uy)}`;
  }
  return path;
}

// Place on the laid road at a distance along it [m].
function placeAt(metres) {
  const w = layRoad();
  const exact = Math.min(w.count - 1.001, Math.max(0, metres / road.step));
  const i = Math.floor(exact);
  const share = exact - i;
  return {
    x: w.x[i] + share * (w.x[i + 1] - w.x[i]),
    y: w.y[i] + share * (w.y[i + 1] - w.y[i]),
    dx: w.dx[i],
    dy: w.dy[i],
  };
}

// A Leaflet path whose outline we work out ourselves.
const Drawn = L.Path.extend({
  initialize(trace, className) {
    L.setOptions(this, { className, interactive: false, fill: false, weight: 0 });
    this.trace = trace;
  },
  _project() {},
  _update() {
    if (this._map) this._renderer._setPath(this, this.trace(this._renderer._bounds) || "M0 0");
  },
  _updateBounds() {},
});
const renderer = L.svg({ padding: 0.4 });
const drawnLayers = [];
function addDrawn(trace, className) {
  const layer = new Drawn(trace, className);
  layer.options.renderer = renderer;
  layer.addTo(roadMap);
  drawnLayers.push(layer);
  return layer;
}
function redraw() {
  for (const layer of drawnLayers) layer._update();
}

const px = (value) => Math.round(value * 10) / 10;

function inside({ min, max }, x, y, margin = 0) {
  return x > min.x - margin && x < max.x + margin && y > min.y - margin && y < max.y + margin;
}

// Path data of the stretches of road for which test(i) holds, inside the drawn bounds.
function ribbon(bounds, test) {
  const w = layRoad();
  let path = "";
  let open = false;
  let last = 0;
  for (let i = 1; i < w.count; i++) {
    const seen = once[i] && test(i) && inside(bounds, w.x[i], w.y[i], 40);
    if (seen && !open) {
      path += `M${px(w.x[i - 1])} ${px(w.y[i - 1])}`;
      last = i - 1;
    }
    const ends = i === w.count - 1 || !test(i + 1) || !once[i + 1];
    if (seen && (w.s[i] - w.s[last] > 0.9 || ends)) {
      path += `L${px(w.x[i])} ${px(w.y[i])}`;
      last = i;
    }
    open = seen;
  }
  return path;
}

// Strokes off the road: left of a climb, right of a descent, leaning down the slope.
function combs(bounds) {
  const w = layRoad();
  let path = "";
  let due = 0.5;
  for (let i = 1; i < w.count; i++) {
    const before = due;
    due += ((w.s[i] - w.s[i - 1]) * strokeDensity(w.grade[i])) / CLOSEST_PX;
    for (let count = Math.floor(before) + 1; count <= due; count++) {
      const share = (count - before) / (due - before);
      const x = w.x[i - 1] + share * (w.x[i] - w.x[i - 1]);
      const y = w.y[i - 1] + share * (w.y[i] - w.y[i - 1]);
      if (held[i] || !once[i] || !inside(bounds, x, y)) continue;
      const up = w.grade[i] > 0;
      // side: left is (dy, -dx) on a map whose y runs down; beside the way back the free side is the right
      const side = up && !w.beside[i] ? 1 : -1;
      const lean = up ? -0.55 : 0.55;
      const ux = side * w.dy[i] + lean * w.dx[i];
      const uy = -side * w.dx[i] + lean * w.dy[i];
      const reach = 3.5 + 30 * Math.min(0.12, Math.abs(w.grade[i]));
      path += `M${px(x + 2.6 * ux)} ${px(y + 2.6 * uy)}l${px(reach * ux)} ${px(reach * uy)}`;
    }
  }
  return path;
}

function hatch(bounds) {
  const w = layRoad();
  let path = "";
  let due = 0;
  for (let i = 1; i < w.count; i++) {
    if (!held[i] || !once[i]) continue;
    due += w.s[i] - w.s[i - 1];
    if (due < 4.5) continue;
    due %= 4.5;
    if (!inside(bounds, w.x[i], w.y[i])) continue;
    const ux = 7 * (w.dx[i] + w.dy[i]);
    const uy = 7 * (w.dy[i] - w.dx[i]);
    path += `M${px(w.x[i] - ux)} ${px(w.y[i] - uy)}l${px(2 * ux)} ${px(2 * uy)}`;
  }
  return path;
}

function arrows(bounds) {
  const w = layRoad();
  let path = "";
  let due = 45;
  for (let i = 1; i < w.count; i++) {
    due += w.s[i] - w.s[i - 1];
    if (due < 90 || !once[i] || !inside(bounds, w.x[i], w.y[i])) continue;
    due = 0;
    const [x, y, ux, uy] = [w.x[i], w.y[i], w.dx[i], w.dy[i]];
    const corner = (along, aside) => `${px(x + along * ux + aside * uy)} ${px(y + along * uy - aside * ux)}`;
    path += `M${corner(7, 0)}L${corner(-5, 5.500)}L${corner(-2, 0)}L${corner(-5, -5.500)}Z`;
  }
  return path;
}

// Distance between labelled ticks, so that labels stand well apart at this zoom.
function tickStep() {
  const w = layRoad();
  const apart = (w.s[w.count - 1] / plan.length) * plan.units.roadM;
  return [1, 2, 5, 10, 20, 50, 100, 200].find((step) => step * apart >= 6 * remPx()) || 500;
}
function tickPlaces() {
  const step = tickStep();
  const places = [];
  for (let distance = step; distance * plan.units.roadM < plan.length; distance += step) {
    const at = distance * plan.units.roadM;
    if (once[Math.round(at / road.step)]) places.push([distance, placeAt(at)]);
  }
  return places;
}
function ticks(bounds) {
  return tickPlaces()
    .filter(([, p]) => inside(bounds, p.x, p.y))
    .map(([, p]) => `M${px(p.x + 6 * p.dy)} ${px(p.y - 6 * p.dx)}L${px(p.x - 6 * p.dy)} ${px(p.y + 6 * p.dx)}`)
    .join("");
}

// A quiet square net where there is no relief to draw, around its sheet and all over without one.
function netStep() {
  const shrink = Math.cos((roadMap.getCenter().lat * Math.PI) / 180);
  const metresAPixel = (EQUATOR_M * shrink) / (256 * 2 ** roadMap.getZoom());
  const wanted = (110 * metresAPixel) / plan.units.roadM;
  const step = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100].find((each) => each >= wanted) || 200;
  return { step, pixels: (step * plan.units.roadM) / metresAPixel };
}
function net(bounds) {
  const { pixels } = netStep();
  const anchor = roadMap.latLngToLayerPoint(roadBounds.getSouthWest());
  const { min, max } = bounds;
  const hole = sheetBox();
  const first = (low, through) => through + Math.ceil((low - through) / pixels) * pixels;
  // the parts of a line from low to high that lie beside the sheet
  const beside = (at, side, low, high, along) => {
    if (!hole || at < hole.min[side] || at > hole.max[side]) return [[low, high]];
    return [[low, hole.min[along]], [hole.max[along], high]].filter(([from, to]) => from < to);
  };
  let path = "";
  for (let x = first(min.x, anchor.x); x < max.x; x += pixels) {
    for (const [from, to] of beside(x, "x", min.y, max.y, "y")) path += `M${px(x)} ${px(from)}V${px(to)}`;
  }
  for (let y = first(min.y, anchor.y); y < max.y; y += pixels) {
    for (const [from, to] of beside(y, "y", min.x, max.x, "x")) path += `M${px(from)} ${px(y)}H${px(to)}`;
  }
  return path;
}
const SHEET_EDGE_PX = 5;
function sheetBox() {
  if (!plan.relief) return null;
  const [south, west, north, east] = plan.relief.frame;
  const corners = [roadMap.latLngToLayerPoint([south, west]), roadMap.latLngToLayerPoint([north, east])];
  const [low, high] = corners;
  return { min: { x: low.x - SHEET_EDGE_PX, y: high.y - SHEET_EDGE_PX }, max: { x: high.x + SHEET_EDGE_PX, y: low.y + SHEET_EDGE_PX } };
}

// The edge of the map sheet: a double line around the relief.
function sheet() {
  const box = sheetBox();
  if (!box) return "";
  const frame = (inset) =>
    `M${box.min.x + inset} ${box.min.y + inset}H${box.max.x - inset}V${box.max.y - inset}H${box.min.x + inset}Z`;
  return frame(0) + frame(SHEET_EDGE_PX);
}

// Where the rider is by the clock, pointing along the road.
function pointer() {
  const now = rideNow();
  if (now.state !== "riding") return "";
  const { x, y, dx, dy } = placeAt(now.at);
  const corner = (along, aside) => `${px(x + along * dx + aside * dy)} ${px(y + along * dy - aside * dx)}`;
  return `M${corner(13, 0)}L${corner(-9, 10)}L${corner(-4, 0)}L${corner(-9, -10)}Z`;
}

function circles(places, radius) {
  const half = (way) => `a${radius} ${radius} 0 1 0 ${2 * way * radius} 0`;
  return places.map(({ x, y }) => `M${px(x - radius)} ${px(y)}${half(1)}${half(-1)}Z`).join("");
}

roadMap.getContainer().setAttribute("role", "application");
if (roadMap.attributionControl) roadMap.attributionControl.setPrefix(false);
let scaleBar = null;
const North = L.Control.extend({
  onAdd() {
    const box = drawn("svg", { viewBox: "0 0 30 44", class: "north", role: "img", "aria-label": plan.words.northUp });
    box.append(drawn("path", { d: "M15 15V42M15 15l-5 10h10z" }), drawn("text", { x: 15, y: 12 }, plan.words.north));
    return box;
  },
});

// One button brings the whole road back into sight.
const Whole = L.Control.extend({
  onAdd() {
    const bar = part("div", "leaflet-bar");
    const button = part("button", "whole-road");
    button.type = "button";
    button.title = plan.words.whole;
    button.setAttribute("aria-label", plan.words.whole);
    const picture = drawn("svg", { viewBox: "0 0 20 20", "aria-hidden": "true" });
    picture.append(drawn("path", { d: "M2 6V2h4M14 2h4v4M18 14v4h-4M6 18H2v-4M6 11c2-7 6 3 8-3" }));
    button.append(picture);
    button.addEventListener("click", () => wholeRoad());
    L.DomEvent.disableClickPropagation(bar);
    bar.append(button);
    return bar;
  },
});
let wholeButton = null;
let northSign = null;
let backdrop = [];
onShow(() => {
  for (const old of [scaleBar, wholeButton, northSign, ...backdrop]) if (old) old.remove();
  roadMap.getContainer().setAttribute("aria-label", plan.words.map);
  const metric = plan.units.road === "km";
  scaleBar = L.control.scale({ metric, imperial: !metric, position: "bottomright", maxWidth: 120 }).addTo(roadMap);
  wholeButton = new Whole({ position: "topleft" }).addTo(roadMap);
  northSign = new North({ position: "topleft" }).addTo(roadMap);
  for (const [way, word] of [["in", plan.words.closer], ["out", plan.words.wider]]) {
    const button = roadMap.getContainer().querySelector(`.leaflet-control-zoom-${way}`);
    button.title = word;
    button.setAttribute("aria-label", word);
  }
  backdrop = plan.relief ? groundLayers(plan.relief) : [];
});
function groundLayers({ frame: [south, west, north, east], image, size: [columns, rows], strokes, contours, indexContours }) {
  const bounds = [[south, west], [north, east]];
  const lines = drawn("svg", {
    class: "ground",
    viewBox: `0 0 ${columns - 1} ${rows - 1}`,
    preserveAspectRatio: "none",
    "aria-hidden": "true",
  });
  lines.append(
    drawn("path", { class: "stroke", d: strokes }),
    drawn("path", { class: "contour", d: contours }),
    drawn("path", { class: "index", d: indexContours }),
  );
  return [
    L.imageOverlay(image, bounds, { interactive: false, alt: "" }).addTo(roadMap),
    L.svgOverlay(lines, bounds, { interactive: false }).addTo(roadMap),
  ];
}
const tone = (i) => GRADE_BANDS.filter((edge) => Math.abs(laid.grade[i]) >= edge).length;
function fitRoad() {
  const size = roadMap.getSize();
  const pad = Math.min(56, size.x / 9, size.y / 9);
  const beside = document.querySelector("#map .leaflet-bar").offsetWidth;
  roadMap.fitBounds(roadBounds, {
    paddingTopLeft: [Math.max(pad, beside && beside + 1.25 * remPx()), pad],
    paddingBottomRight: [pad, pad],
    animate: false,
  });
}
