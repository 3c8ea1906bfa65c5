// Where on the road a bite may stand, where it would cost, and where hands stay on the bars: told and drawn.
import { ride } from "./ride.js";
import { say } from "./parts.js";
import { footOf, lineBetween, onPanels } from "./places.js";

const SVG = "http://www.w3.org/2000/svg";
let onMap = [];
let onProfile = [];

export function footingAt(metres) {
  const forbidden = ride.state.settings.pins.no_food.some(({ from_km, to_km }) => metres >= 1000 * from_km && metres <= 1000 * to_km);
  if (forbidden) return "forbidden";
  return ride.shown.footing.find(([start, end]) => metres >= start && metres <= end)?.[2] ?? "free";
}

export function mayStand(footing) {
  return footing === "free" || footing === "dear";
}

export function footingText(footing) {
  return say(`footing.${footing}`);
}

function box(name, attributes) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
}

// The road as a bar, for a slider to stand on.
export function footingBar() {
  const bar = box("svg", { viewBox: `0 0 ${ride.shown.plan.length} 10`, preserveAspectRatio: "none", class: "footing-bar", "aria-hidden": "true" });
  for (const [start, end, footing] of ride.shown.footing) {
    bar.append(box("rect", { x: start, y: 0, width: end - start, height: 10, class: `footing ${footing}` }));
  }
  return bar;
}

export function showFooting() {
  hideFooting();
  for (const [start, end, footing] of ride.shown.footing) {
    for (const { svg, from, to } of onPanels(start, end)) {
      const y = footOf(svg) - 8;
      const mark = box("rect", { x: from, y, width: to - from, height: 8, class: `footing ${footing}` });
      onProfile.push(mark);
      svg.append(mark);
    }
    if (footing === "free") continue;
    onMap.push(L.polyline(lineBetween(start, end), { className: `footing-line ${footing}`, interactive: false }).addTo(window.roadMap));
  }
}

export function hideFooting() {
  for (const mark of onProfile) mark.remove();
  for (const layer of onMap) layer.remove();
  onProfile = [];
  onMap = [];
}
