// Where a place on the road is on the screen, and which place on the road the pointer is at.
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

export function sheet() {
  return [...document.querySelectorAll("#profile svg")].find((each) => each.getClientRects().length);
}

// The profile's road lies between two margins of its sheet.
export function xOnSheet(svg, metres) {
  const [left, right] = ride.shown.margins;
  return left + ((svg.viewBox.baseVal.width - left - right) * metres) / ride.shown.plan.length;
}

export function metresOnSheet(svg, x) {
  const frame = svg.getBoundingClientRect();
  const [left, right] = ride.shown.margins;
  const width = svg.viewBox.baseVal.width;
  const on = ((x - frame.left) / frame.width) * width;
  return bounded(((on - left) / (width - left - right)) * ride.shown.plan.length);
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

function bounded(metres) {
  return Math.max(0, Math.min(ride.shown.plan.length, metres));
}

export function kmOf(metres) {
  return Math.round(metres / 10) / 100;
}

export function roadText(metres) {
  const { road, roadM } = ride.shown.plan.units;
  return `${(metres / roadM).toFixed(1)} ${road}`;
}
