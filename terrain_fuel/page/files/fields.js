// A field for any setting, from what the settings say of themselves: unit, range, default, meaning, source.
import { set, typedIn } from "./ride.js";
import { numberIn, numberInput, numberText } from "./numbers.js";
import { fresh, part, say } from "./parts.js";

let book = [];
export function setBook(given) {
  book = given;
}
export function settingOf(file, table, key) {
  return book.find((each) => each.file === file && each.table === table && each.key === key);
}
export function keysOf(file, table) {
  return book.filter((each) => each.file === file && each.table === table).map((each) => each.key);
}

const WAIT_MS = 350;
const isNumber = ({ kind }) => kind === "number" || kind === "whole";

// keep(value) changes the ride and may be refused; by default the setting is set in its file.
export function field(setting, value, at, keep) {
  const id = fresh("field");
  const wrong = part("p", { class: "wrong", id: `${id}-wrong`, role: "alert", hidden: true });
  const input = inputOf(setting, value, id);
  input.setAttribute("aria-describedby", `${id}-wrong`);
  input.dataset.setting = `${setting.table}.${setting.key}`;
  const kept = keep || ((next) => set(setting.file, setting.table, setting.key, next, at));
  let due = 0;
  let sent = JSON.stringify(value);
  const go = async () => {
    clearTimeout(due);
    const next = valueOf(setting, input);
    const isNew = JSON.stringify(next) !== sent;
    sent = JSON.stringify(next);
    const done = isNew && kept(next);
    typedIn(input, false);
    if (!isNew) return;
    try {
      await done;
      wrong.hidden = true;
      input.removeAttribute("aria-invalid");
    } catch (fault) {
      wrong.textContent = fault.message;
      wrong.hidden = false;
      input.setAttribute("aria-invalid", "true");
      sent = "";
    }
  };
  input.addEventListener("change", go);
  input.addEventListener("input", () => {
    clearTimeout(due);
    if (!isNumber(setting) && input.type === "text") return;
    typedIn(input, true);
    due = setTimeout(go, WAIT_MS);
  });
  const label = part("label", { for: id }, setting.label);
  const box = part("div", { class: `field ${setting.kind}` }, label, part("span", { class: "entry" }, input, unitOf(setting)), about(setting), wrong);
  box.refresh = (now) => {
    if (document.activeElement === input || !wrong.hidden) return;
    sent = JSON.stringify(now);
    fill(setting, input, now);
  };
  return box;
}

function unitOf(setting) {
  return setting.unit ? part("span", { class: "unit" }, setting.unit) : undefined;
}

function about(setting) {
  const usual = setting.default === null ? say("leftOut") : [setting.default].flat().map((each) => saidOf(setting, each)).join(", ");
  const more = [setting.range, usual === "" ? "" : say("usually", { usual }), setting.source].filter(Boolean).join(" · ");
  return part("details", { class: "about" }, part("summary", {}, setting.meaning), more);
}

// A value as the page says it: a number with its mark, yes or no, a word of the page's language.
function saidOf({ kind }, value) {
  return kind === "switch" || kind === "word" ? say(`word.${value}`) : numberText(value);
}

function inputOf(setting, value, id) {
  if (setting.kind === "word") {
    const select = part("select", { id });
    select.append(...setting.allowed.map((word) => part("option", { value: word }, say(`word.${word}`))));
    fill(setting, select, value);
    return select;
  }
  const type = { switch: "checkbox", time: "datetime-local" }[setting.kind] || "text";
  const input = isNumber(setting) ? numberInput({ id }) : part("input", { id, type, autocomplete: "off" });
  fill(setting, input, value);
  return input;
}

function fill(setting, input, value) {
  if (setting.kind === "switch") input.checked = Boolean(value);
  else if (setting.kind === "time") {
    input.value = String(value).slice(0, 16);
    input.dataset.offset = String(value).slice(19) || "+00:00";
  } else if (isNumber(setting)) input.value = numberText(value);
  else input.value = value === null || value === undefined ? "" : [value].flat().join(", ");
}

function valueOf(setting, input) {
  const text = input.value.trim();
  if (setting.kind === "switch") return input.checked;
  if (isNumber(setting)) return numberIn(input, setting.unit);
  if (setting.kind === "names") return text.split(",").map((name) => name.trim()).filter(Boolean);
  if (setting.kind === "time") return text ? `${text.length === 16 ? `${text}:00` : text}${input.dataset.offset}` : null;
  return text === "" && setting.required === false && setting.default === null ? null : text;
}

// The fields of one table: those named first, the others folded away.
export function fieldsOf(file, table, values, first, moreWord, at) {
  const all = keysOf(file, table).map((key) => [key, field(settingOf(file, table, key), values[key], at)]);
  const boxes = new Map(all);
  const shown = first.map((key) => boxes.get(key));
  const rest = all.filter(([key]) => !first.includes(key)).map(([, box]) => box);
  const room = part("div", { class: "fields" }, ...shown);
  if (rest.length) room.append(part("details", { class: "more" }, part("summary", {}, moreWord), ...rest));
  room.refresh = (now) => boxes.forEach((box, key) => box.refresh(now[key]));
  return room;
}
