// The road as it came and as it lies on the map, laid anew for each zoom.
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
  if (sameRoad) return;
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

const cellAt = (column, line) => column * 100003 + line;
function cellsOf(w) {
  const cells = new Set();
  for (let i = 0; i < w.count; i++) {
    const last = Math.max(0, i - 1);
    const steps = Math.max(1, Math.ceil((w.s[i] - w.s[last]) / 8));
    for (let k = 1; k <= steps; k++) {
      const x = w.x[last] + (k / steps) * (w.x[i] - w.x[last]);
      const y = w.y[last] + (k / steps) * (w.y[i] - w.y[last]);
      cells.add(cellAt(Math.round(x / 8), Math.round(y / 8)));
    }
  }
  return cells;
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
