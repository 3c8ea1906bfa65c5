// Where a place on the road is on the screen, and which place on the road the pointer is at.
import { say } from "./parts.js";
import { onPlan, ride } from "./ride.js";

let line = [];

onPlan(({ plan }) => {
  let [lat, lon] = [0, 0];
  line = plan.road.lat.map((step, i) => {
    lat += step;
    lon += plan.road.lon[i];
    return L.latLng(lat / 1e5, lon / 1e5);
  });
});

export function latLngAt(metres) {
  return line[Math.max(0, Math.min(line.length - 1, Math.round(metres / ride.shown.plan.road.step)))];
}

export function lineBetween(start, end) {
  const step = ride.shown.plan.road.step;
  return line.slice(Math.floor(start / step), Math.ceil(end / step) + 1);
}

export function metresOnMap(x, y) {
  const frame = window.roadMap.getContainer().getBoundingClientRect();
  let [best, least] = [0, Infinity];
  line.forEach((place, i) => {
    const at = window.roadMap.latLngToContainerPoint(place);
    const off = Math.hypot(at.x - (x - frame.left), at.y - (y - frame.top));
    if (off < least) [best, least] = [i, off];
  });
  return best * ride.shown.plan.road.step;
}

// The profile that is seen is one panel or several, each with its own stretch of the road between two margins.
export function panels() {
  const seen = [...document.querySelectorAll("#profile svg")].filter((svg) => svg.getClientRects().length);
  return seen.map((svg, i) => ({ svg, span: ride.shown.spans[i] }));
}

export function xOnPanel({ svg, span: [start, end] }, metres) {
  const [left, right] = ride.shown.margins;
  const within = Math.max(start, Math.min(end, metres));
  return left + ((svg.viewBox.baseVal.width - left - right) * (within - start)) / (end - start);
}

export function metresOnProfile(x, y) {
  const away = ({ svg }) => Math.abs(middleOf(svg) - y);
  const [{ svg, span }] = panels().sort((one, other) => away(one) - away(other));
  const frame = svg.getBoundingClientRect();
  const [left, right] = ride.shown.margins;
  const width = svg.viewBox.baseVal.width;
  const share = (((x - frame.left) / frame.width) * width - left) / (width - left - right);
  return span[0] + Math.max(0, Math.min(1, share)) * (span[1] - span[0]);
}

// Where a stretch of the road is drawn: the panels it reaches into, with its x on each.
export function onPanels(start, end) {
  return panels()
    .filter(({ span }) => start <= span[1] && end >= span[0])
    .map((panel) => ({ svg: panel.svg, from: xOnPanel(panel, start), to: xOnPanel(panel, end) }));
}

// Rows of the strip stand at their places; between two of them the road runs evenly.
export function metresOnStrip(y) {
  const at = new Map(ride.shown.plan.entries.map((entry) => [entry.key, entry.at]));
  const rows = [...document.querySelectorAll("#hours .row[data-key]")]
    .map((row) => ({ at: at.get(row.dataset.key), y: middleOf(row) }))
    .sort((one, other) => other.y - one.y);
  const over = rows.findIndex((row) => row.y <= y);
  if (over < 1) return bounded(over ? rows.at(-1).at : rows[0].at);
  const [low, high] = [rows[over - 1], rows[over]];
  return bounded(low.at + ((high.at - low.at) * (low.y - y)) / (low.y - high.y || 1));
}

function middleOf(element) {
  const frame = element.getBoundingClientRect();
  return frame.top + frame.height / 2;
}

// Foot of the ground on a panel of the profile.
export function footOf(svg) {
  return svg.querySelector(".s-base").getBBox().y;
}

function bounded(metres) {
  return Math.max(0, Math.min(ride.shown.plan.length, metres));
}

export function kmOf(metres) {
  return Math.round(metres / 10) / 100;
}

// A length of road and a place on it in the rider's own units, as every output says them.
export function roadText(metres) {
  const { road, roadM, mark } = ride.shown.plan.units;
  return `${(metres / roadM).toFixed(1).replace(".", mark)} ${road}`;
}

export function placeText(metres) {
  const { before, roadM, mark } = ride.shown?.plan.units ?? { before: "km", roadM: 1000, mark: say("mark") };
  return `${before} ${(metres / roadM).toFixed(1).replace(".", mark)}`;
}
