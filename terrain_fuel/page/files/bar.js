// The bar over the page: back to the rides, undo and redo, the panels, and what is being done.
import { onComing, onLost, onNews, onState, ride, step } from "./ride.js";
import { button, part, say } from "./parts.js";
import { riderPanel } from "./rider.js";
import { dayPanel } from "./day.js";
import { kitchenPanel } from "./kitchen.js";
import { wishesPanel } from "./wishes.js";
import { chancesPanel } from "./chances.js";
import { besidePanel } from "./beside.js";
import { alongPanel } from "./along.js";
import { afterPanel } from "./after.js";
import { guidePanel } from "./guide.js";

const WIDE_PX = 1200;
const PANELS = { rider: riderPanel, day: dayPanel, kitchen: kitchenPanel, wishes: wishesPanel, chances: chancesPanel, beside: besidePanel, along: alongPanel, after: afterPanel };
const GUIDE = "guide";
const firstSteps = document.getElementById("first-steps");
const panel = document.getElementById("panel");
const doing = document.getElementById("doing");
const fault = document.getElementById("fault");
// A new ride is gone through once: who rides, on what day, with what at hand.
const NEXT = { rider: "day", day: "kitchen" };
let open = "";
let room = null;

// On a small screen the panel takes the place of the rooms: then it is the main thing, until a tablet is turned.
function nameSide() {
  const alone = Boolean(open) && getComputedStyle(document.querySelector("main")).display === "none";
  document.getElementById("side").setAttribute("role", alone ? "main" : "complementary");
}
addEventListener("resize", nameSide);

function show(name) {
  open = name;
  for (const each of document.querySelectorAll("#panel-buttons button")) {
    each.setAttribute("aria-expanded", String(each.dataset.panel === name));
    if (each.dataset.panel === name) each.scrollIntoView({ block: "nearest", inline: "nearest" });
  }
  document.body.classList.toggle("panel-open", Boolean(name));
  nameSide();
  firstSteps.hidden = firstSteps.hidden || Boolean(name === GUIDE);
  room = name && ride.state ? (name === GUIDE ? guidePanel : PANELS[name])(ride.state, show) : null;
  const next = NEXT[name];
  panel.replaceChildren(...(room ? [room] : []), ...(next ? [button(say("next", { panel: say(`panel.${next}`) }), () => show(next))] : []));
  if (room) room.querySelector("h2").focus();
}

// On a first visit three steps are offered; whoever knows the way says so.
let isFirst = false;
function offerSteps() {
  firstSteps.replaceChildren(
    part("p", {}, say("firstSteps")),
    part("div", { class: "row-of" }, button(say("begin"), () => show(GUIDE), { class: "chief" }), button(say("notNow"), () => (firstSteps.hidden = true))),
  );
  firstSteps.hidden = false;
}

// Whoever opens a panel needs no way shown to it.
function choosePanel(name) {
  firstSteps.hidden = true;
  show(open === name ? "" : name);
}

export function startBar(firstVisit) {
  isFirst = firstVisit;
  document.getElementById("panel-buttons").append(
    ...Object.keys(PANELS).map((name) =>
      button(say(`panel.${name}`), () => choosePanel(name), {
        "data-panel": name,
        "aria-expanded": "false",
        "aria-controls": "panel",
      }),
    ),
  );
  // a row that is wider than the screen: whatever has the focus is seen whole
  document.getElementById("panel-buttons").addEventListener("focusin", ({ target }) => target.scrollIntoView({ block: "nearest", inline: "nearest" }));
  document.getElementById("to-first").addEventListener("click", () => {
    show("");
    location.hash = "";
  });
  document.getElementById("undo").addEventListener("click", () => step("undo"));
  document.getElementById("redo").addEventListener("click", () => step("redo"));
}

function stepButton(id, what) {
  const element = document.getElementById(id);
  element.disabled = what === null;
  element.title = what || "";
}

// The page came in one language: of a ride in another it is asked for anew, once, with the panel that was open.
const ANEW = "anew";
function isInOther({ language }) {
  if (language === document.documentElement.lang) return false;
  if (JSON.parse(sessionStorage.getItem(ANEW) ?? "{}").language === language) return false;
  sessionStorage.setItem(ANEW, JSON.stringify({ language, open }));
  location.reload();
  return true;
}
function openedBefore() {
  const { open: before } = JSON.parse(sessionStorage.getItem(ANEW) ?? "{}");
  sessionStorage.removeItem(ANEW);
  return before;
}

let shownFor = "";
onState((state) => {
  if (isInOther(state)) return;
  stepButton("undo", state.undo);
  stepButton("redo", state.redo);
  if (shownFor !== ride.key) {
    shownFor = ride.key;
    firstSteps.hidden = true;
    if (isFirst && state.change === 1) offerSteps();
    isFirst = false;
    const before = openedBefore();
    show(before ?? (innerWidth >= WIDE_PX ? open || (state.change === 1 ? "rider" : "kitchen") : ""));
    // who came by keyboard from the first page goes on at the head of this one
    if (document.activeElement === document.body) document.getElementById("route-name").focus();
  } else if (room) room.refresh(state);
});

function complain(said) {
  fault.textContent = said;
  fault.hidden = !said;
}

onNews((news) => complain(news.fault));
onComing((isComing) => {
  const said = isComing ? say("planning") : "";
  if (said !== doing.textContent) doing.textContent = said; // it is read out
});
onLost(({ message }) => {
  doing.textContent = "";
  complain(message);
});

document.addEventListener("keydown", (event) => {
  if (!ride.key || !(event.ctrlKey || event.metaKey) || event.target.matches("input, select, textarea")) return;
  const key = event.key.toLowerCase();
  if (key !== "z" && key !== "y") return;
  event.preventDefault();
  step(key === "y" || event.shiftKey ? "redo" : "undo");
});
