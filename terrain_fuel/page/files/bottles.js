// Bottles and pockets as drawings: how full the plan has them at the start, and what the rider wants in a bottle.
import { fieldsOf, settingOf } from "./fields.js";
import { redraw } from "./kept.js";
import { button, called, fresh, part, say } from "./parts.js";
import { change, onPlan, ride, set } from "./ride.js";

const SVG = "http://www.w3.org/2000/svg";

function shape(name, attributes) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
}

function bottle(share) {
  const svg = shape("svg", { viewBox: "0 0 28 48", class: "vessel", "aria-hidden": "true" });
  const level = 42 - 30 * Math.min(1, share);
  if (share > 0) svg.append(shape("path", { class: "content", d: `M4 ${level}H24V42Q24 46 20 46H8Q4 46 4 42Z` }));
  svg.append(
    shape("path", { d: "M10 3H18V8L24 14V42Q24 46 20 46H8Q4 46 4 42V14L10 8Z" }),
  );
  return svg;
}

// A pocket: one small square for each thing it holds, dark where the plan has put something.
function pocket(holds, packed) {
  const across = 6;
  const rows = Math.max(1, Math.ceil(holds / across));
  const svg = shape("svg", { viewBox: `0 0 60 ${10 * rows + 4}`, class: "vessel wide", "aria-hidden": "true" });
  for (let i = 0; i < holds; i++) {
    const className = i < Math.ceil(packed - 1e-6) ? "content" : "";
    svg.append(shape("rect", { class: className, x: 2 + 10 * (i % across), y: 2 + 10 * Math.floor(i / across), width: 7, height: 7 }));
  }
  return svg;
}

const lines = new Set();
onPlan(() => {
  for (const line of lines) {
    if (line.isConnected) line.draw();
    else lines.delete(line);
  }
});

export function containerLine(each, at, said) {
  const isBottle = each.kind === "bottle";
  const key = isBottle ? "holds_ml" : "holds_items";
  let now = each;
  const drawing = part("span", { class: "drawing-of" });
  const told = part("small", { class: "quiet" });
  const fields = fieldsOf("pantry", "container", each, [key, "reach"], say("more.item"), at);
  const filling = isBottle ? fillingOf(each, said) : handOf(each, said);
  const out = button(say("takeOut"), () => change([{ do: "remove", file: "pantry", table: "container", at }]).catch(said));
  const summary = part("summary", { dir: "auto" }, each.name, told);
  const line = part("li", {}, part("details", { class: "item" }, summary, filling.box, fields, out), drawing);
  line.draw = () => {
    const fill = ride.shown?.bottles[now.name];
    const packed = ride.shown?.packed[now.name] ?? 0;
    filling.refresh();
    drawing.replaceChildren(isBottle ? bottle(fill ? fill.fluid_ml / now.holds_ml : 0) : pocket(now.holds_items, packed));
    const unit = settingOf("pantry", "container", key).unit;
    told.textContent = isBottle
      ? fill ? `${called(fill.item)} · ${Math.round(fill.fluid_ml)} / ${now.holds_ml} ${unit}` : `${say("empty")} · ${now.holds_ml} ${unit}`
      : `${Math.ceil(packed - 1e-6)} / ${now.holds_items} ${unit}`;
  };
  line.refresh = (next) => {
    now = next;
    fields.refresh(next);
    line.draw();
  };
  lines.add(line);
  line.draw();
  return line;
}

// One more to carry things in, as most are; its name and size are changed in its own line.
const USUAL = { bottle: { holds_ml: 750 }, pocket: { holds_items: 6 } };

export function moreContainers(said) {
  const add = (kind) => {
    const taken = ride.state.settings.pantry.container.map(({ name }) => name);
    let number = 1;
    while (taken.includes(`${say(`word.${kind}`)} ${number}`)) number += 1;
    const values = { name: `${say(`word.${kind}`)} ${number}`, kind, ...USUAL[kind] };
    return change([{ do: "add", file: "pantry", table: "container", values }]).catch(said);
  };
  return part("div", { class: "row-of" }, ...Object.keys(USUAL).map((kind) => button(say(`more.${kind}`), () => add(kind))));
}

// A pocket filled by hand: what the plan has in it, what the rider wants in it while there is room.
function handOf({ name }, said) {
  const id = fresh("pocket");
  const list = part("ul", { class: "items" });
  const select = part("select", { id });
  const box = part("div", {}, list, part("div", { class: "field" }, part("label", { for: id }, say("putInPocket")), select));
  const wish = (item, where) => {
    const at = ride.state.settings.pantry.item.findIndex((each) => each.name === item);
    return set("pantry", "item", "carried_in", where, at).catch(said);
  };
  const refresh = () => {
    const items = ride.state.settings.pantry.item;
    const held = ride.shown?.carried[name] ?? [];
    const wanted = items.filter((item) => item.carried_in === name).map((item) => item.name);
    const names = [...new Set([...held.map(([item]) => item), ...wanted])];
    redraw(
      list,
      ...names.map((item) => {
        const count = held.find(([each]) => each === item)?.[1] ?? 0;
        const out = wanted.includes(item) ? button(say("letOut"), () => wish(item, ""), { "aria-label": `${say("letOut")}: ${item}` }) : "";
        return part("li", {}, part("span", { dir: "auto" }, `${Math.ceil(count - 1e-6)} × ${item}`), out);
      }),
    );
    if (document.activeElement === select) return;
    const foods = items.filter((item) => !["drink_mix", "drink", "water"].includes(item.kind) && item.count > 0 && !wanted.includes(item.name));
    select.replaceChildren(part("option", { value: "" }, say("choose.item")), ...foods.map((item) => part("option", { value: item.name }, item.name)));
  };
  select.addEventListener("change", () => {
    const item = select.value;
    select.blur();
    if (item) wish(item, name);
  });
  refresh();
  return { box, refresh };
}

// What the rider wants in a bottle at the start; without a word the plan fills it as it sees fit.
function fillingOf({ name }, said) {
  const id = fresh("filling");
  const select = part("select", { id });
  const box = part("div", { class: "field" }, part("label", { for: id }, say("filledWith")), select);
  const fillAt = () => ride.state.settings.day.fill.findIndex((fill) => fill.container === name && fill.at_km === 0);
  const refresh = () => {
    if (document.activeElement === select) return;
    const drinks = ride.state.settings.pantry.item.filter((item) => ["drink_mix", "drink", "water"].includes(item.kind));
    const held = ride.state.settings.day.fill[fillAt()]?.item ?? "";
    select.replaceChildren(part("option", { value: "" }, say("asThePlanHasIt")), ...drinks.map(({ name: item }) => part("option", { value: item, selected: item === held }, called(item))));
  };
  select.addEventListener("change", () => {
    const at = fillAt();
    const values = { container: name, item: select.value, at_km: 0 };
    let done;
    if (!select.value) done = change([{ do: "remove", file: "day", table: "fill", at }]);
    else if (at >= 0) done = set("day", "fill", "item", select.value, at);
    else done = change([{ do: "add", file: "day", table: "fill", values }]);
    done.catch(said);
  });
  refresh();
  return { box, refresh };
}
