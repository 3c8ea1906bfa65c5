// What the rider has fixed: bites pinned, stretches without food, the one thing for the last hour.
import { askIn } from "./asking.js";
import { change, ride } from "./ride.js";
import { redraw } from "./kept.js";
import { numberIn, numberInput } from "./numbers.js";
import { button, fresh, part, say } from "./parts.js";
import { kmOf, metresOnProfile, onPanels, placeText } from "./places.js";

const SVG = "http://www.w3.org/2000/svg";
const LEAST_M = 100;

export function wishesPanel(state) {
  const list = part("ul", { class: "items" });
  const all = part("div", { class: "row-of" }, button(say("loosenAll"), () => attempt(everyEdit()).then(() => all.hidden && box.querySelector("h2").focus())));
  const wrong = part("p", { class: "wrong", role: "alert", hidden: true });
  const attempt = async (edits) => {
    try {
      wrong.hidden = true;
      await change(edits);
    } catch (fault) {
      wrong.textContent = fault.message;
      wrong.hidden = false;
    }
  };
  const lastHour = lastHourForm(attempt);
  const box = part(
    "div",
    {},
    part("h2", { tabindex: "-1" }, say("panel.wishes")),
    part("p", { class: "quiet" }, say("wishesLead")),
    list,
    all,
    wrong,
    spanForm(attempt),
    lastHour,
  );
  box.refresh = (now) => {
    const { eat_here, no_food, only_in_last_hour, swap } = now.settings.pins;
    const line = (table, at, text) => part("li", {}, part("span", { dir: "auto" }, text), button(say("loosen"), () => attempt([{ do: "remove", file: "pins", table, at }]), { "aria-label": `${say("loosen")}: ${text}` }));
    redraw(
      list,
      ...eat_here.map((pin, at) => line("eat_here", at, say("pinned", { item: pin.item, at: placeText(1000 * pin.at_km) }))),
      ...no_food.map((pin, at) => line("no_food", at, say("noFood", { from: placeText(1000 * pin.from_km), to: placeText(1000 * pin.to_km) }))),
      ...only_in_last_hour.map((pin, at) => line("only_in_last_hour", at, say("lastHour", pin))),
      ...swap.map((pin, at) => line("swap", at, say("swapped", pin))),
    );
    all.hidden = list.children.length < 2;
    if (!list.children.length) list.append(part("li", { class: "quiet" }, say("noWishes")));
    lastHour.refresh(now);
  };
  box.refresh(state);
  return box;
}

// All that is fixed, let go in one change; the later entries of a table first, as they are told by their number.
function everyEdit() {
  const tables = Object.entries(ride.state.settings.pins);
  return tables.flatMap(([table, entries]) => entries.map((_, at) => ({ do: "remove", file: "pins", table, at })).reverse());
}

function numberField(label) {
  const id = fresh("km");
  const input = numberInput({ id });
  return [input, part("div", { class: "field" }, part("label", { for: id }, label), part("span", { class: "entry" }, input, part("span", { class: "unit" }, "km")))];
}

// A stretch without food: by two figures, or drawn over the profile.
function spanForm(attempt) {
  const [from, fromField] = numberField(say("fromKm"));
  const [to, toField] = numberField(say("toKm"));
  const forbid = (from_km, to_km) => attempt([{ do: "add", file: "pins", table: "no_food", values: { from_km, to_km } }]);
  const drawIt = button(say("drawSpan"), () => drawSpan(forbid), { class: "draw-span" });
  return part(
    "fieldset",
    {},
    part("legend", {}, say("forbidSpan")),
    fromField,
    toField,
    part("div", { class: "row-of" }, button(say("forbid"), () => forbid(numberIn(from, "km"), numberIn(to, "km"))), drawIt),
  );
}

function drawSpan(forbid) {
  const room = document.getElementById("profile");
  document.body.classList.add("drawing-span");
  let bands = [];
  let start = null;
  const between = (event) => [start, metresOnProfile(event.clientX, event.clientY)].sort((a, b) => a - b);
  const wipe = () => {
    for (const band of bands) band.remove();
  };
  const paint = (event) => {
    wipe();
    bands = onPanels(...between(event)).map(({ svg, from, to }) => {
      const band = document.createElementNS(SVG, "rect");
      const box = { class: "span-band", x: from, y: 0, width: to - from, height: svg.viewBox.baseVal.height };
      for (const [key, value] of Object.entries(box)) band.setAttribute(key, value);
      svg.append(band);
      return band;
    });
  };
  const down = (event) => {
    event.preventDefault();
    event.stopPropagation();
    room.setPointerCapture(event.pointerId);
    start = metresOnProfile(event.clientX, event.clientY);
  };
  const move = (event) => start !== null && paint(event);
  const stop = (event) => {
    if (start === null) return;
    const [low, high] = between(event);
    wipe();
    start = null;
    if (high - low <= LEAST_M) return; // a touch is no stretch: it is still asked for
    leave();
    asked();
    forbid(kmOf(low), kmOf(high));
  };
  const leave = () => {
    document.body.classList.remove("drawing-span");
    wipe();
    for (const [kind, listener] of ears) room.removeEventListener(kind, listener, true);
  };
  const forget = () => {
    wipe();
    start = null;
  };
  const ears = [["pointerdown", down], ["pointermove", move], ["pointerup", stop], ["pointercancel", forget]];
  for (const [kind, listener] of ears) room.addEventListener(kind, listener, true);
  const asked = askIn("profile", say("drawSpanLead"), leave);
}

function lastHourForm(attempt) {
  const id = fresh("last");
  const select = part("select", { id });
  const box = part(
    "fieldset",
    {},
    part("legend", {}, say("onlyInLastHour")),
    part("div", { class: "field" }, part("label", { for: id }, say("item")), select),
    button(say("setIt"), () => attempt([{ do: "add", file: "pins", table: "only_in_last_hour", values: { item: select.value } }])),
  );
  box.refresh = ({ settings }) => {
    const foods = settings.pantry.item.filter((item) => ["solid", "chew", "gel"].includes(item.kind) && item.count > 0).map((item) => item.name);
    box.disabled = !foods.length;
    if (foods.join("\n") === [...select.options].map((option) => option.value).join("\n")) return;
    select.replaceChildren(...foods.map((item) => part("option", { value: item, selected: item === select.value }, item)));
  };
  return box;
}

