// What moved by the last change: a list, totals before and after, and the old places as ghosts.
import { onPlan, onTold, ride, step } from "./ride.js";
import { redraw } from "./kept.js";
import { button, part, say } from "./parts.js";
import { footOf, latLngAt, onPanels } from "./places.js";

const SVG = "http://www.w3.org/2000/svg";
const box = document.getElementById("moved");
const heard = document.getElementById("planned");
// So many lines are read out; whoever wants the rest finds it under its heading.
const MOST_HEARD = 3;
let ghosts = [];
let keptOne = "";
let drawnOne = "";

function clear() {
  for (const ghost of ghosts) ghost.remove();
  ghosts = [];
}

function drawnOn(svg, name, attributes) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries({ class: "ghost", ...attributes })) element.setAttribute(key, value);
  svg.append(element);
  return element;
}

function ghostOnProfile({ at, to }) {
  const heightOf = (svg) => footOf(svg) - 9;
  const ways = to === null ? [] : onPanels(Math.min(at, to), Math.max(at, to));
  return [
    ...ways.map(({ svg, from, to: end }) => drawnOn(svg, "path", { d: `M${from} ${heightOf(svg)}H${end}` })),
    ...onPanels(at, at).map(({ svg, from }) => drawnOn(svg, "circle", { cx: from, cy: heightOf(svg), r: 6 })),
  ];
}

// Who was in it goes on in the open panel, or above it.
function putAway() {
  const wasIn = box.contains(document.activeElement);
  clear();
  box.hidden = true;
  if (wasIn) (document.querySelector("#panel h2") ?? document.getElementById("to-first")).focus();
}

// A first plan says that it is one, in the place where what moved is told later.
function sayEarly() {
  drawnOne = "";
  clear();
  box.hidden = false;
  redraw(box, part("h2", {}, say("early")), part("p", {}, say("earlyLead")));
}

// Who does not see the page hears what a change has brought, or that it brought nothing.
function readOut({ lines }) {
  const rest = lines.length - MOST_HEARD;
  const said = [...lines.slice(0, MOST_HEARD), ...(rest > 0 ? [say("andMore", { count: rest })] : [])];
  heard.textContent = said.length ? `${say("moved")}: ${said.join("; ")}` : say("nothingMoved");
}

function tellMoved({ change, moved, early }) {
  if (early) return sayEarly();
  const one = `${ride.key} ${change}`;
  if (one === keptOne || !moved || !(moved.lines.length || moved.totals.length)) return putAway();
  box.hidden = false;
  const told = JSON.stringify([one, moved]);
  if (told === drawnOne) return;
  drawnOne = told;
  clear();
  const keep = () => {
    keptOne = one;
    putAway();
  };
  for (const ghost of moved.ghosts) {
    ghosts.push(...ghostOnProfile(ghost));
    ghosts.push(L.circleMarker(latLngAt(ghost.at), { radius: 9, className: "ghost", interactive: false }).addTo(window.roadMap));
  }
  const table = part("table", {}, part("thead", {}, part("tr", {}, part("td", {}), part("th", { scope: "col" }, say("before")), part("th", { scope: "col" }, say("after")))));
  for (const [name, before, after] of moved.totals) {
    table.append(part("tr", {}, part("th", { scope: "row" }, name), part("td", {}, before), part("td", {}, after)));
  }
  redraw(
    box,
    part("h2", {}, say("moved")),
    part("ul", {}, ...moved.lines.map((text) => part("li", { dir: "auto" }, text))),
    moved.totals.length ? table : "",
    part("div", { class: "row-of" }, button(say("keepIt"), keep), button(say("undoIt"), () => step("undo"))),
  );
}
onPlan((shown) => {
  drawnOne = "";
  heard.textContent = "";
  if (shown.moved) readOut(shown.moved);
  tellMoved(shown);
});
onTold(tellMoved);
