// Looking back: the recording of the ride dropped, bite by bite what became of it, and what the rides say by now.
import { followed, onNews, ride } from "./ride.js";
import { redraw } from "./kept.js";
import { numberIn, numberInput, numberText } from "./numbers.js";
import { button, fresh, part, say } from "./parts.js";
import { ask, send, tell } from "./talk.js";

let room = null;
onNews((news) => {
  if (!room?.isConnected || news.after <= room.asked) return;
  room.asked = news.after;
  room.look();
});

export function afterPanel() {
  const wrong = part("p", { class: "wrong", role: "alert", hidden: true });
  const doing = part("p", { class: "quiet", role: "status" });
  const review = part("div", {});
  const learned = part("div", {});
  const attempt = async (work, word = "") => {
    wrong.hidden = true;
    doing.textContent = say("lookingBack");
    try {
      await work();
      doing.textContent = word && say(word);
    } catch (fault) {
      doing.textContent = "";
      wrong.textContent = fault.message;
      wrong.hidden = false;
    }
  };
  const at = (rest) => `/rides/${ride.key}/${rest}`;
  // Answers may cross: the newest stays, and none is drawn twice.
  const show = async (seen) => {
    if (seen.count <= box.count) return;
    box.count = box.asked = seen.count;
    redraw(review, ...(seen.there ? reviewOf(seen, attempt, at, show) : []), dropOf(seen.there, attempt, at, show));
    await learn();
  };
  const learn = async () => redraw(learned, ...learnedOf(await ask(at("learned")), attempt, learn));
  const box = part("div", { class: "after" }, part("h2", { tabindex: "-1" }, say("panel.after")), part("p", { class: "quiet" }, say("afterLead")), part("div", { class: "said" }, wrong, doing), review, learned);
  box.count = box.asked = -1;
  box.look = async () => show(await ask(at("after")));
  box.refresh = () => {};
  room = box;
  attempt(box.look);
  return box;
}

// Files of one ride are sent one after the other: the first takes the place of what was there, the others join it.
function dropOf(another, attempt, at, show) {
  const picked = (word, first) => {
    const id = fresh("recording");
    const picker = part("input", { id, type: "file", multiple: "" });
    picker.addEventListener("change", () => {
      const files = [...picker.files];
      attempt(async () => {
        for (const [number, file] of files.entries()) await show(await send(at(number ? "recording/more" : first), file));
      });
    });
    return part("div", {}, part("label", { for: id }, say(word)), picker);
  };
  const places = another ? [picked("secondFile", "recording/more"), picked("otherRecording", "recording")] : [picked("recording", "recording")];
  return part("div", { class: "drop-here" }, ...places);
}

function lines(texts) {
  return part("ul", {}, ...texts.map((text) => part("li", { dir: "auto" }, text)));
}

function drawn(text) {
  const figure = part("figure", {});
  figure.append(document.importNode(new DOMParser().parseFromString(text, "image/svg+xml").documentElement, true));
  return figure;
}

function reviewOf(seen, attempt, at, show) {
  const form = formOf(seen, attempt, at, show);
  const save = (name) => part("li", {}, part("span", {}, say(`output.${name}`)), part("a", { class: "as-button", href: at(`after/${name}`), download: name, "aria-label": `${say("save")}: ${say(`output.${name}`)}` }, say("save")));
  const out = button(say("takeRecordingOut"), () => {
    out.replaceWith(button(say("reallyOut"), () => attempt(async () => show(await tell(at("recording/remove"))))));
  });
  return [
    part("dl", { class: "figures" }, ...seen.totals.map(([term, value]) => part("div", {}, part("dt", {}, term), part("dd", {}, value)))),
    lines(seen.told),
    ...seen.drawings.map(drawn),
    ...(seen.hours.rows.length ? [part("h3", {}, say("byTheHour")), hoursOf(seen.hours)] : []),
    seen.weighed ? part("p", {}, seen.weighed) : "",
    part("h3", {}, say("signs")),
    part("ul", {}, ...seen.signs.map(([name, said, meant]) => part("li", {}, part("b", {}, name), ` ${said} `, part("small", { class: "quiet" }, meant)))),
    ...form,
    part("ul", { class: "items" }, ...["review.html", "review.json", "after.toml"].map(save)),
    out,
    part("ul", { class: "quiet" }, ...seen.cautions.map((text) => part("li", {}, text))),
  ];
}

function hoursOf({ head, rows }) {
  return part(
    "div",
    { class: "wide", tabindex: "0", role: "region", "aria-label": say("byTheHour") },
    part(
      "table",
      {},
      part("thead", {}, part("tr", {}, ...head.map((text) => part("th", { scope: "col" }, text)))),
      part("tbody", {}, ...rows.map(([first, ...rest]) => part("tr", {}, part("th", { scope: "row" }, first), ...rest.map((text) => part("td", {}, text))))),
    ),
  );
}

// The form "After the ride", with the keys that it has on paper.
function formOf(seen, attempt, at, show) {
  const nameOf = (key) => `${seen.of} ${key}`; // what was begun of one recording is not said of another
  const values = new Map();
  const entry = (key, name, unit, input, read) => {
    const id = fresh("after");
    for (const [attribute, value] of Object.entries({ id, name: nameOf(key), "data-key": key })) input.setAttribute(attribute, value);
    values.set(key, () => read(input));
    return part("div", { class: "field" }, part("label", { for: id }, name), part("span", { class: "entry" }, input, unit ? part("span", { class: "unit" }, unit) : ""));
  };
  const number = (key, name, unit) => entry(key, name, unit, numberInput({ value: numberText(seen.said[key]) }), (input) => numberIn(input, unit));
  const text = (key, name) => entry(key, name, "", part("input", { type: "text", autocomplete: "off", maxlength: 160, value: seen.said[key] ?? "" }), ({ value }) => value || null);
  const scale = ([key, name, low, high]) => {
    const id = fresh("scale");
    const said = String(seen.said[key] ?? "");
    const steps = [...Array(11).keys()].map((step) => part("option", { value: step, selected: said === String(step) }, step === 0 ? `0 ${low}` : step === 10 ? `10 ${high}` : step));
    const select = part("select", { id, name: nameOf(key), "data-key": key }, part("option", { value: "" }, say("notSaid")), ...steps);
    values.set(key, () => (select.value === "" ? null : Number(select.value)));
    return part("div", { class: "field" }, part("label", { for: id }, name), part("span", { class: "entry" }, select));
  };
  const ticks = seen.bites.map((bite) => {
    const tick = ([was, word]) => part("label", {}, part("input", { type: "radio", name: nameOf(`bite ${bite.label}`), value: was, "data-bite": bite.label, checked: bite.was === was }), word);
    return part("fieldset", { class: "bite" }, part("legend", { dir: "auto" }, `${bite.label} · ${bite.what}`), part("small", { class: "quiet" }, `${bite.where} · ${bite.ridden}`), part("span", { class: "ticks" }, ...seen.was.map(tick)));
  });
  const form = part(
    "form",
    {},
    ...(ticks.length ? [part("h3", {}, say("bites")), ...ticks] : []),
    ...(seen.left.length ? [part("h3", {}, say("leftOver"))] : []),
    ...seen.left.map(([key, name, of]) => number(key, name, of)),
    part("h3", {}, say("felt")),
    ...seen.scales.map(scale),
    ...seen.blanks.map(([key, name, unit]) => number(key, name, unit)),
    ...seen.texts.map(([key, name]) => text(key, name)),
    part("button", { class: "chief", type: "submit" }, say("keepForm")),
  );
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const bites = Object.fromEntries([...form.querySelectorAll("[data-bite]:checked")].map((tick) => [tick.dataset.bite, tick.value]));
    const told = { values: Object.fromEntries([...values].map(([key, value]) => [key, value()])), bites };
    attempt(async () => show(await tell(at("after"), told)), "formKept");
  });
  return [form, seen.asked.length ? part("p", { class: "quiet" }, say("stillAsked", { questions: seen.asked.join(" ") })) : ""];
}

function learnedOf(known, attempt, learn) {
  const use = button(say("useLearned"), () => attempt(async () => {
    await followed("learned");
    await learn();
  }, "learnedUsed"), { class: "chief" });
  return [
    part("h3", {}, say("learned")),
    part("p", { class: "quiet" }, known.rides ? say("learnedFrom", known) : say("nothingLearned")),
    lines([...known.lines, ...known.errors]),
    ...(known.proposed.length ? [part("ul", {}, ...known.proposed.map((text) => part("li", {}, text))), use] : []),
    ...(known.foods.length ? [part("h3", {}, say("foodsReady")), lines(known.foods)] : []),
  ];
}
