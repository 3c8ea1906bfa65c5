// Putting a bite elsewhere by hand: on its card with a slider, or by dragging its mark in any of the drawings.
import { change, holdPlans, onPlan, ride } from "./ride.js";
import { redraw } from "./kept.js";
import { button, fresh, part, say } from "./parts.js";
import { footingAt, footingBar, footingText, hideFooting, mayStand, showFooting } from "./footing.js";
import { kmOf, metresOnMap, metresOnProfile, metresOnStrip, roadText } from "./places.js";

const card = document.getElementById("card");
const room = part("section", { id: "by-hand" });
document.getElementById("card-steps").before(room);

const NEAR_M = 150;
let follow = null;

export async function pin(key, changes) {
  const bite = ride.shown.bites[key];
  const at = ride.shown.pinned[key];
  const values = { item: bite.item, at_km: kmOf(bite.at), portions: bite.portions, ...changes };
  const edits =
    at === undefined
      ? [{ do: "add", file: "pins", table: "eat_here", values }]
      : Object.entries(values).map(([name, value]) => ({ do: "set", file: "pins", table: "eat_here", key: name, value, at }));
  await change(edits);
  follow = 1000 * values.at_km;
}

function loosen(key) {
  return change([{ do: "remove", file: "pins", table: "eat_here", at: ride.shown.pinned[key] }]);
}

// What was refused is said until another bite is chosen or the ride is another.
const wrong = part("p", { class: "wrong", role: "alert", hidden: true });
let filledFor = "";

// The card is small: what is refused comes into sight.
function refuse(fault) {
  wrong.textContent = fault.message;
  wrong.hidden = false;
  wrong.scrollIntoView({ block: "nearest" });
}

function fill(entry) {
  const bite = entry && ride.shown?.bites[entry.key];
  room.hidden = !bite;
  if (!bite) return;
  const now = `${ride.key} ${ride.shown.change} ${entry.key}`;
  if (now !== filledFor) wrong.hidden = true;
  filledFor = now;
  const id = fresh("move");
  const said = part("output", { for: id });
  const slider = part("input", { type: "range", id, name: `move ${entry.key}`, min: 0, max: Math.round(ride.shown.plan.length), step: 100, value: Math.round(bite.at / 100) * 100 });
  const put = button(say("pinHere"), () => attempt(() => pin(entry.key, { at_km: kmOf(Number(slider.value)) })), { class: "chief", disabled: true });
  const attempt = async (work) => {
    try {
      wrong.hidden = true;
      await work();
    } catch (fault) {
      refuse(fault);
    }
  };
  const moved = () => {
    const metres = Number(slider.value);
    const footing = footingAt(metres);
    said.textContent = `${roadText(metres)} · ${footingText(footing)}`;
    slider.setAttribute("aria-valuetext", said.textContent);
    put.disabled = !mayStand(footing) || Math.abs(metres - bite.at) < 100;
  };
  slider.addEventListener("input", moved);
  moved();
  const instead = part("select", { id: fresh("instead"), name: `instead ${entry.key}`, onchange: () => attempt(() => pin(entry.key, JSON.parse(instead.value))) });
  instead.append(part("option", { value: "{}" }, bite.item));
  for (const { item, portions, worse } of bite.others) {
    instead.append(part("option", { value: JSON.stringify({ item, portions }) }, say("otherItem", { item, portions, worse })));
  }
  redraw(
    room,
    part("label", { for: id }, say("moveTo")),
    part("div", { class: "slider" }, footingBar(), slider),
    said,
    part("div", { class: "row-of" }, put, entry.key in ride.shown.pinned ? button(say("loosen"), () => attempt(() => loosen(entry.key))) : ""),
    bite.others.length ? part("div", { class: "field" }, part("label", { for: instead.id }, say("eatInstead")), instead) : "",
    wrong,
  );
}
window.ridePage.onChoose(fill);

// Numbers may change with the plan: the bite that was moved stays chosen.
onPlan(({ bites }) => {
  if (follow === null) return;
  const [key] = Object.entries(bites).find(([, bite]) => Math.abs(bite.at - follow) < NEAR_M) || [""];
  follow = null;
  window.ridePage.choose(key);
});

// Dragging: from a mark on the map or the profile, or a row of the strip.
const tag = part("div", { id: "drag-tag", hidden: true });
document.body.append(tag);
const FAR_PX = 6;
let drag = null;

function markUnder(event) {
  const mark = event.target.closest?.(".map-mark[data-key], #hours .row.eat[data-key], #profile .mark.eat[data-number]");
  if (!mark || (event.pointerType === "touch" && mark.closest("#hours"))) return null;
  const key = mark.dataset.key || `p${mark.dataset.number}`;
  if (!ride.shown?.bites[key]) return null;
  // the profile of laps shows one of them: which lap is meant cannot be told there
  if (mark.closest("#profile") && ride.shown.plan.laps) return null;
  const place = mark.closest("#hours") ? "strip" : mark.closest("#profile") ? "profile" : "map";
  return { key, place, x: event.clientX, y: event.clientY, pointer: event.pointerId, begun: false };
}

function metresUnder({ clientX, clientY }) {
  if (drag.place === "strip") return metresOnStrip(clientY);
  if (drag.place === "profile") return metresOnProfile(clientX, clientY);
  return metresOnMap(clientX, clientY);
}

document.addEventListener("pointerdown", (event) => {
  if (event.button !== 0) return;
  drag = markUnder(event);
  holdPlans(drag !== null);
}, true);

document.addEventListener("pointermove", (event) => {
  if (!drag || event.pointerId !== drag.pointer) return;
  if (!drag.begun) {
    if (Math.hypot(event.clientX - drag.x, event.clientY - drag.y) < FAR_PX) return;
    drag.begun = true;
    document.body.classList.add("dragging");
    showFooting();
    tag.hidden = false;
  }
  event.preventDefault();
  drag.metres = metresUnder(event);
  const footing = footingAt(drag.metres);
  tag.textContent = `${roadText(drag.metres)} · ${footingText(footing)}`;
  tag.className = footing;
  tag.style.left = `${Math.min(event.clientX + 14, innerWidth - tag.offsetWidth - 4)}px`;
  tag.style.top = `${Math.max(4, event.clientY - 40)}px`;
}, { capture: true, passive: false });

function end(event, drop) {
  if (!drag || (event.pointerId !== undefined && event.pointerId !== drag.pointer)) return;
  const { begun, key, metres } = drag;
  drag = null;
  if (!begun) return holdPlans(false);
  document.body.classList.remove("dragging");
  hideFooting();
  tag.hidden = true;
  addEventListener("click", stopClick, { capture: true, once: true });
  setTimeout(() => removeEventListener("click", stopClick, { capture: true }), 0);
  if (drop) dropAt(key, metres);
  holdPlans(false);
}

function stopClick(event) {
  event.stopPropagation();
  event.preventDefault();
}

async function dropAt(key, metres) {
  window.ridePage.choose(key);
  const footing = footingAt(metres);
  try {
    if (!mayStand(footing)) throw new Error(say("refused", { place: roadText(metres), why: footingText(footing) }));
    await pin(key, { at_km: kmOf(metres) });
  } catch (fault) {
    refuse(fault);
  }
}

document.addEventListener("pointerup", (event) => end(event, true), true);
document.addEventListener("pointercancel", (event) => end(event, false), true);
document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape" || !drag?.begun) return;
  event.stopPropagation();
  end({}, false);
}, true);
