// The kitchen: what there is to eat and drink, how many of each, and what it is carried in.
import { settingOf } from "./fields.js";
import { redraw } from "./kept.js";
import { numberIn, numberInput } from "./numbers.js";
import { button, fresh, part, say } from "./parts.js";
import { change } from "./ride.js";
import { containerLine, moreContainers } from "./bottles.js";
import { stockOf } from "./stock.js";
import { weighed } from "./weighed.js";

export function kitchenPanel(state) {
  const stock = part("div", {});
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
    stock,
    weighed(),
    ownItem(),
    part("h3", {}, say("containers")),
    boxes,
    moreContainers(said),
  );
  let drawnFor = "";
  let lines = null;
  box.refresh = (now) => {
    const pantry = now.settings.pantry;
    const names = JSON.stringify([pantry.item, pantry.container].map((list) => list.map((each) => each.name)));
    if (names === drawnFor) {
      lines.refresh(pantry.item);
      [...boxes.children].forEach((line, at) => line.refresh(pantry.container[at]));
      return;
    }
    drawnFor = names;
    wrong.hidden = true;
    lines = stockOf(pantry.item, said);
    redraw(stock, ...lines.parts);
    redraw(boxes, ...pantry.container.map((each, at) => containerLine(each, at, said)));
  };
  box.refresh(state);
  return box;
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
