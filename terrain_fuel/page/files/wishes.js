// What the rider has fixed: bites pinned, stretches without food, the one thing for the last hour.
import { change } from "./ride.js";
import { button, fresh, part, say } from "./parts.js";
import { kmOf, metresOnSheet, sheet, xOnSheet } from "./places.js";

export function wishesPanel(state) {
  const list = part("ul", { class: "items" });
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
  const box = part(
    "div",
    {},
    part("h2", { tabindex: "-1" }, say("panel.wishes")),
    part("p", { class: "quiet" }, say("wishesLead")),
    list,
    wrong,
    spanForm(attempt),
    lastHourForm(attempt, state),
  );
  box.refresh = (now) => {
    const { eat_here, no_food, only_in_last_hour, swap } = now.settings.pins;
    const line = (table, at, text) => part("li", {}, part("span", { dir: "auto" }, text), button(say("loosen"), () => attempt([{ do: "remove", file: "pins", table, at }]), { "aria-label": `${say("loosen")}: ${text}` }));
    list.replaceChildren(
      ...eat_here.map((pin, at) => line("eat_here", at, say("pinned", { item: pin.item, at_km: pin.at_km }))),
      ...no_food.map((pin, at) => line("no_food", at, say("noFood", pin))),
      ...only_in_last_hour.map((pin, at) => line("only_in_last_hour", at, say("lastHour", pin))),
      ...swap.map((pin, at) => line("swap", at, say("swapped", pin))),
    );
    if (!list.children.length) list.append(part("li", { class: "quiet" }, say("noWishes")));
  };
  box.refresh(state);
  return box;
}

function numberField(label) {
  const id = fresh("km");
  const input = part("input", { id, type: "number", step: "any", min: 0 });
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
    part("div", { class: "row-of" }, button(say("forbid"), () => forbid(Number(from.value), Number(to.value))), drawIt),
  );
}

function drawSpan(forbid) {
  const svg = sheet();
  document.body.classList.add("drawing-span");
  const band = document.createElementNS("http://www.w3.org/2000/svg", "rect");
  band.setAttribute("class", "span-band");
  let start = null;
  const metres = (event) => metresOnSheet(svg, event.clientX);
  const paint = (event) => {
    const [low, high] = [start, metres(event)].sort((a, b) => a - b);
    const x = xOnSheet(svg, low);
    for (const [key, value] of [["x", x], ["y", 0], ["width", xOnSheet(svg, high) - x], ["height", svg.viewBox.baseVal.height]]) band.setAttribute(key, value);
  };
  const down = (event) => {
    event.preventDefault();
    event.stopPropagation();
    svg.setPointerCapture(event.pointerId);
    start = metres(event);
    svg.append(band);
    paint(event);
  };
  const move = (event) => start !== null && paint(event);
  const stop = (event) => {
    if (start === null) return;
    const [low, high] = [start, metres(event)].sort((a, b) => a - b);
    done();
    if (high - low > 100) forbid(kmOf(low), kmOf(high));
  };
  const leave = (event) => event.key === "Escape" && done();
  const done = () => {
    document.body.classList.remove("drawing-span");
    band.remove();
    for (const [kind, listener] of ears) svg.removeEventListener(kind, listener, true);
    removeEventListener("keydown", leave);
  };
  const ears = [["pointerdown", down], ["pointermove", move], ["pointerup", stop], ["pointercancel", done]];
  for (const [kind, listener] of ears) svg.addEventListener(kind, listener, true);
  addEventListener("keydown", leave);
  svg.scrollIntoView({ block: "nearest" });
}

function lastHourForm(attempt, state) {
  const foods = state.settings.pantry.item.filter((item) => ["solid", "chew", "gel"].includes(item.kind));
  const id = fresh("last");
  const select = part("select", { id }, ...foods.map((item) => part("option", { value: item.name }, item.name)));
  return part(
    "fieldset",
    {},
    part("legend", {}, say("onlyInLastHour")),
    part("div", { class: "field" }, part("label", { for: id }, say("item")), select),
    button(say("setIt"), () => attempt([{ do: "add", file: "pins", table: "only_in_last_hour", values: { item: select.value } }])),
  );
}

