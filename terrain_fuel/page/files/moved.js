// What moved by the last change: a list, totals before and after, and the old places as ghosts.
import { onPlan, step } from "./ride.js";
import { button, part, say } from "./parts.js";
import { latLngAt, sheet, xOnSheet } from "./places.js";

const SVG = "http://www.w3.org/2000/svg";
const box = document.getElementById("moved");
let ghosts = [];

function clear() {
  for (const ghost of ghosts) ghost.remove();
  ghosts = [];
  box.hidden = true;
}

function ghostOnSheet(svg, { at, to }) {
  const group = document.createElementNS(SVG, "g");
  group.setAttribute("class", "ghost");
  const ring = document.createElementNS(SVG, "circle");
  const y = svg.viewBox.baseVal.height - 44;
  for (const [key, value] of [["cx", xOnSheet(svg, at)], ["cy", y], ["r", 6]]) ring.setAttribute(key, value);
  group.append(ring);
  if (to !== null) {
    const way = document.createElementNS(SVG, "path");
    way.setAttribute("d", `M${xOnSheet(svg, at)} ${y}H${xOnSheet(svg, to)}`);
    group.append(way);
  }
  svg.append(group);
  return group;
}

onPlan(({ moved }) => {
  clear();
  if (!moved || !(moved.lines.length || moved.totals.length)) return;
  const svg = sheet();
  for (const ghost of moved.ghosts) {
    if (svg) ghosts.push(ghostOnSheet(svg, ghost));
    ghosts.push(L.circleMarker(latLngAt(ghost.at), { radius: 9, className: "ghost", interactive: false }).addTo(window.roadMap));
  }
  const table = part("table", {}, part("thead", {}, part("tr", {}, part("td", {}), part("th", { scope: "col" }, say("before")), part("th", { scope: "col" }, say("after")))));
  for (const [name, before, after] of moved.totals) {
    table.append(part("tr", {}, part("th", { scope: "row" }, name), part("td", {}, before), part("td", {}, after)));
  }
  box.replaceChildren(
    part("h2", {}, say("moved")),
    part("ul", {}, ...moved.lines.map((text) => part("li", { dir: "auto" }, text))),
    moved.totals.length ? table : "",
    part("div", { class: "row-of" }, button(say("keepIt"), clear), button(say("undoIt"), () => step("undo"))),
  );
  box.hidden = false;
});
