// The kitchen: what there is to eat and drink, how many of each, and what it is carried in.
import { fieldsOf, settingOf } from "./fields.js";
import { redraw } from "./kept.js";
import { amountIn, numberIn, numberInput, numberText } from "./numbers.js";
import { button, called, fresh, part, say } from "./parts.js";
import { change, ride, set } from "./ride.js";
import { containerLine, moreContainers } from "./bottles.js";
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
    part("div", { class: "row-of" }, button(say("noneHere"), () => shelf.empty().catch(said))),
    weighed(),
    ownItem(),
    part("h3", {}, say("containers")),
    boxes,
    moreContainers(said),
  );
  let drawnFor = "";
  let shelf = null;
  box.refresh = (now) => {
    const pantry = now.settings.pantry;
    const names = JSON.stringify([pantry.item, pantry.container].map((list) => list.map((each) => each.name)));
    if (names === drawnFor) {
      shelf.refresh(pantry.item);
      [...boxes.children].forEach((line, at) => line.refresh(pantry.container[at]));
      return;
    }
    drawnFor = names;
    wrong.hidden = true;
    shelf = shelfOf(pantry.item, said);
    redraw(stock, ...shelf.parts);
    redraw(boxes, ...pantry.container.map((each, at) => containerLine(each, at, said)));
  };
  box.refresh(state);
  return box;
}

const isEndless = ({ kind }) => kind === "water";
const isOut = (item) => !isEndless(item) && item.count === 0;

// What is at home, and folded away below it what is not. A line whose count is stepped here stays under the finger.
function shelfOf(first, said) {
  const here = part("ul", { class: "items" });
  const out = part("ul", { class: "items" });
  const howMany = part("small", { class: "quiet" });
  const summary = part("summary", {}, say("notHere"), " ", howMany);
  const fold = part("details", { class: "more" }, summary, out);
  const none = part("p", { class: "quiet" }, say("nothingHere"));
  const lines = first.map((item, at) => itemLine(item, at, said));
  const lay = (list, wanted) => {
    if (wanted.length === list.children.length && wanted.every((line, at) => line === list.children[at])) return;
    const used = document.activeElement;
    list.replaceChildren(...wanted);
    if (list.contains(used)) used.focus({ preventScroll: true });
  };
  let held = first;
  const refresh = (items) => {
    held = items;
    lines.forEach((line, at) => {
      line.refresh(items[at]);
      if (!line.stepped) line.out = isOut(items[at]);
    });
    const away = lines.filter((line) => line.out);
    lay(here, lines.filter((line) => !line.out));
    lay(out, away);
    howMany.textContent = items.filter(isOut).length;
    fold.hidden = !away.length;
    none.hidden = items.some((item) => !isEndless(item) && item.count > 0);
  };
  // Who has none of the usual things says so once: one change, undone as one.
  const empty = async () => {
    const counted = ride.state.settings.pantry.item.map((item, at) => ({ item, at })).filter(({ item }) => !isEndless(item) && item.count);
    if (!counted.length) return;
    settle();
    await change(counted.map(({ at }) => ({ do: "set", file: "pantry", table: "item", key: "count", value: 0, at })));
  };
  const settle = () => {
    for (const line of lines) line.stepped = false;
  };
  fold.addEventListener("toggle", () => {
    if (fold.open) return;
    settle();
    refresh(held);
  });
  refresh(first);
  return { parts: [here, none, fold], refresh, empty };
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
  const endless = isEndless(item);
  const step = (next) => {
    line.stepped = true;
    return set("pantry", "item", "count", next, at).catch(said);
  };
  const count = stepper(called(item.name), item.count, step);
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
  line.refresh = (now) => {
    count.refresh(now.count);
    line.classList.toggle("none", isOut(now));
    more.querySelector("summary small").textContent = amounts(now);
    room.firstElementChild?.refresh(now);
  };
  return line;
}

function amounts(item) {
  const grams = isEndless(item) ? "" : say("foodHolds", { grams: numberText(item.carbohydrate_g) });
  const salt = isEndless(item) || item.sodium_mg !== null ? "" : say("sodiumUnknown");
  const kind = say(`word.${item.kind}`);
  return [kind === called(item.name) ? "" : kind, grams, salt, item.caffeine_mg ? `${numberText(item.caffeine_mg)} mg ${say("caffeine")}` : ""].filter(Boolean).join(" · ");
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
