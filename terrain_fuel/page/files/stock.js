// What there is to eat and drink, line by line with how many there are; what is not at home is folded away below.
import { fieldsOf } from "./fields.js";
import { amountIn, numberIn, numberInput, numberText } from "./numbers.js";
import { button, called, part, say } from "./parts.js";
import { change, ride, set } from "./ride.js";

const isEndless = ({ kind }) => kind === "water";
const isOut = (item) => !isEndless(item) && item.count === 0;

// A line whose count is stepped here stays under the finger until the fold is closed.
export function stockOf(first, said) {
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
    const some = items.some((item) => !isEndless(item) && item.count > 0);
    none.hidden = some;
    if (!some && emptier.contains(document.activeElement)) summary.focus({ preventScroll: true });
    emptier.hidden = !some;
  };
  // Who has none of the usual things says so once: one change, undone as one.
  const empty = async () => {
    const counted = ride.state.settings.pantry.item.map((item, at) => ({ item, at })).filter(({ item }) => !isEndless(item) && item.count);
    settle();
    await change(counted.map(({ at }) => ({ do: "set", file: "pantry", table: "item", key: "count", value: 0, at }))).catch(said);
  };
  const emptier = part("div", { class: "row-of" }, button(say("noneHere"), empty));
  const settle = () => {
    for (const line of lines) line.stepped = false;
  };
  fold.addEventListener("toggle", () => {
    if (fold.open) return;
    settle();
    refresh(held);
  });
  refresh(first);
  return { parts: [here, none, fold, emptier], refresh };
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
