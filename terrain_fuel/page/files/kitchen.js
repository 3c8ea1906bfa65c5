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
  const grams = item.kind === "water" ? "" : `${numberText(item.carbohydrate_g)} g`;
  return [say(`word.${item.kind}`), grams, item.caffeine_mg ? `${numberText(item.caffeine_mg)} mg ${say("caffeine")}` : ""].filter(Boolean).join(" · ");
}

// An item of one's own, from its label.
function ownItem() {
  const inputs = {};
  const wrong = part("p", { class: "wrong", role: "alert", hidden: true });
  const entry = (key, attributes) => {
    const setting = settingOf("pantry", "item", key);
    const id = fresh("own");
    inputs[key] = setting.kind === "word"
      ? part("select", { id }, ...setting.allowed.filter((word) => word !== "water").map((word) => part("option", { value: word }, say(`word.${word}`))))
      : key === "name" ? part("input", { id, type: "text", autocomplete: "off" }) : numberInput({ id, ...attributes });
    return part("div", { class: "field" }, part("label", { for: id }, setting.label), part("span", { class: "entry" }, inputs[key], setting.unit ? part("span", { class: "unit" }, setting.unit) : ""));
  };
  const box = part(
    "details",
    { class: "more" },
    part("summary", {}, say("ownItem")),
    part("p", { class: "quiet" }, say("fromLabel")),
    entry("name"),
    entry("kind"),
    entry("carbohydrate_g"),
    entry("sodium_mg"),
    entry("count", { inputmode: "numeric", value: 1 }),
    entry("portions", { inputmode: "numeric", value: 1 }),
    entry("powder_g"),
    entry("water_ml"),
    wrong,
    button(say("putIn"), async () => {
      const values = Object.fromEntries(
        Object.entries(inputs)
          .filter(([, input]) => input.value !== "")
          .map(([key, input]) => [key, input.classList.contains("number") ? numberIn(input, settingOf("pantry", "item", key).unit) : input.value]),
      );
      try {
        await change([{ do: "add", file: "pantry", table: "item", values }]);
        wrong.hidden = true;
        inputs.name.value = "";
      } catch (fault) {
        wrong.textContent = fault.message;
        wrong.hidden = false;
      }
    }),
  );
  return box;
}
