// Lines along the road on the map: ribbon, strokes by grade, hatch, arrows, distance ticks and the rider.
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
// Layers of the marks change with what is chosen, those of the road only with the map.
const markLayers = ["leader", "name-leader", "dot", "sip-rings", "eat-dots", "here", "you-here"];
function addDrawn(trace, className) {
  const layer = new Drawn(trace, className);
  layer.options.renderer = renderer;
  layer.addTo(roadMap);
  drawnLayers.push(layer);
  return layer;
}
function redraw(marksOnly) {
  for (const layer of drawnLayers) if (!marksOnly || markLayers.includes(layer.options.className)) layer._update();
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
    // in a bend no stroke runs across the road on its other side
    const crosses = (share) => w.cells.has(cellAt(Math.round((x + share * far * ux) / 8), Math.round((y + share * far * uy) / 8)));
    if ([0.6, 0.8, 1].some(crosses)) continue;
    path += `M${px(x + 13 * ux)} ${px(y + 13 * uy)}l${px(reach * ux)} ${px(reach * uy)}`;
  }
  return path;
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

const tone = (i) => GRADE_BANDS.filter((edge) => Math.abs(laid.grade[i]) >= edge).length;
