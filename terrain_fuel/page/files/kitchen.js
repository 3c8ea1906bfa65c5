// The kitchen: what there is to eat and drink, how many of each, and what it is carried in.
import { fieldsOf, settingOf } from "./fields.js";
import { redraw } from "./kept.js";
import { amountIn, numberIn, numberInput, numberText } from "./numbers.js";
import { button, called, fresh, part, say } from "./parts.js";
import { change, ride, set } from "./ride.js";
import { containerLine, moreContainers } from "./bottles.js";
import { weighed } from "./weighed.js";

export function kitchenPanel(state) {
  const items = part("ul", { class: "items" });
  const boxes = part("ul", { class: "items" });
  const wrong = part("p", { class: "wrong", role: "alert", hidden: true });
  const said = (fault) => {
    wrong.textContent = fault.message;
    wrong.hidden = false;
  };
  const box = part(
    "div",
    {},
    part("h2", { tabindex: "-1" }, say("panel.kitchen")),
    wrong,
    items,
    noneHere(said),
    weighed(),
    ownItem(),
    part("h3", {}, say("containers")),
    boxes,
    moreContainers(said),
  );
  let drawnFor = "";
  box.refresh = (now) => {
    const pantry = now.settings.pantry;
    const names = JSON.stringify([pantry.item, pantry.container].map((list) => list.map((each) => each.name)));
    if (names === drawnFor) {
      [...items.children].forEach((line, at) => line.refresh(pantry.item[at]));
      [...boxes.children].forEach((line, at) => line.refresh(pantry.container[at]));
      return;
    }
    drawnFor = names;
    wrong.hidden = true;
    redraw(items, ...pantry.item.map((item, at) => itemLine(item, at, said)));
    redraw(boxes, ...pantry.container.map((each, at) => containerLine(each, at, said)));
  };
  box.refresh(state);
  return box;
}

// Who has none of the usual things says so once: one change, undone as one.
function noneHere(said) {
  const empty = () => {
    const counted = ride.state.settings.pantry.item.map(({ kind }, at) => ({ kind, at })).filter(({ kind }) => kind !== "water");
    return change(counted.map(({ at }) => ({ do: "set", file: "pantry", table: "item", key: "count", value: 0, at }))).catch(said);
  };
  return part("div", { class: "row-of" }, button(say("noneHere"), empty));
}

// A count by two buttons and a field between them. While steps are on their way the field stays ahead of the answers.
function stepper(name, value, keep, least = 0) {
  const number = numberInput({ inputmode: "numeric", value, "aria-label": say("countOf", { name }) });
  const go = (next) => {
    const count = Math.max(least, next);
    number.value = count;
    underway += 1;
    keep(count).finally(() => {
      underway -= 1;
      if (!underway) number.value = kept;
    });
  };
  number.addEventListener("change", () => {
    const typed = numberIn(number);
    if (typeof typed === "number") go(Math.round(typed));
    else number.value = kept;
  });
  const box = part(
    "span",
    { class: "stepper" },
    button("−", () => go(amountIn(number) - 1), { "aria-label": say("oneLess", { name }) }),
    number,
    button("+", () => go(amountIn(number) + 1), { "aria-label": say("oneMore", { name }) }),
  );
  let kept = value;
  let underway = 0;
  box.refresh = (now) => {
    kept = now;
    if (!underway && document.activeElement !== number) number.value = now;
  };
  return box;
}

function itemLine(item, at, said) {
  const endless = item.kind === "water";
  const count = stepper(called(item.name), item.count, (next) => set("pantry", "item", "count", next, at).catch(said));
  const first = ["carbohydrate_g", "sodium_mg", "portions", "timing"];
  const room = part("div", {});
  const more = part(
    "details",
    {
      class: "item",
      ontoggle: () => {
        if (!more.open || room.children.length) return;
        const now = ride.state.settings.pantry.item[at];
        room.append(
          fieldsOf("pantry", "item", now, first, say("more.item"), at),
          button(say("takeOut"), () => change([{ do: "remove", file: "pantry", table: "item", at }]).catch(said)),
        );
      },
    },
    part("summary", { dir: "auto" }, called(item.name), part("small", {}, amounts(item))),
    room,
  );
  const line = part("li", {}, more, endless ? part("span", { class: "quiet" }, say("endless")) : count);
  line.classList.toggle("none", !endless && item.count === 0);
  line.refresh = (now) => {
    count.refresh(now.count);
    line.classList.toggle("none", !endless && now.count === 0);
    more.querySelector("summary small").textContent = amounts(now);
    room.firstElementChild?.refresh(now);
  };
  return line;
}

function amounts(item) {
  const grams = item.kind === "water" ? "" : say("foodHolds", { grams: numberText(item.carbohydrate_g) });
  const kind = say(`word.${item.kind}`);
  return [kind === called(item.name) ? "" : kind, grams, item.caffeine_mg ? `${numberText(item.caffeine_mg)} mg ${say("caffeine")}` : ""].filter(Boolean).join(" · ");
}

// An item of one's own, from its label: what is asked for depends on what kind it is.
const ASKED = {
  solid: ["portions"],
  chew: ["portions"],
  gel: ["portions"],
  drink_mix: ["powder_g", "water_ml"],
  drink: ["fluid_ml"],
};
const OF_ALL = ["name", "kind", "carbohydrate_g", "sodium_mg", "caffeine_mg", "count"];
const USUALLY = { count: 1, portions: 1 };

function ownItem() {
  const inputs = {};
  const fields = {};
  const wrong = part("p", { class: "wrong", role: "alert", hidden: true });
  const entry = (key) => {
    const setting = settingOf("pantry", "item", key);
    const id = fresh("own");
    inputs[key] = setting.kind === "word"
      ? part("select", { id, onchange: askOfKind }, ...Object.keys(ASKED).map((word) => part("option", { value: word }, say(`word.${word}`))))
      : key === "name" ? part("input", { id, type: "text", autocomplete: "off" }) : numberInput({ id, ...(setting.kind === "whole" ? { inputmode: "numeric" } : {}) });
    fields[key] = part("div", { class: "field" }, part("label", { for: id }, setting.label), part("span", { class: "entry" }, inputs[key], setting.unit ? part("span", { class: "unit" }, setting.unit) : ""));
    return fields[key];
  };
  const isAsked = (key) => OF_ALL.includes(key) || ASKED[inputs.kind.value].includes(key);
  function askOfKind() {
    for (const [key, field] of Object.entries(fields)) field.hidden = !isAsked(key);
  }
  const empty = () => {
    for (const [key, input] of Object.entries(inputs)) if (key !== "kind") input.value = USUALLY[key] ?? "";
  };
  const put = async () => {
    const told = Object.entries(inputs).filter(([key, { value }]) => isAsked(key) && value !== "");
    const values = Object.fromEntries(told.map(([key, input]) => [key, input.classList.contains("number") ? numberIn(input, settingOf("pantry", "item", key).unit) : input.value]));
    try {
      await change([{ do: "add", file: "pantry", table: "item", values }]);
      wrong.hidden = true;
      empty();
      inputs.name.focus();
    } catch (fault) {
      wrong.textContent = fault.message;
      wrong.hidden = false;
    }
  };
  const asked = [...OF_ALL, ...new Set(Object.values(ASKED).flat())].map(entry);
  empty();
  askOfKind();
  return part("details", { class: "more" }, part("summary", {}, say("ownItem")), part("p", { class: "quiet" }, say("fromLabel")), ...asked, wrong, button(say("putIn"), put));
}
