// Fields for numbers as people write and paste them; how they are read, the map's page knows too.
import { part, say } from "./parts.js";

export function numberInput(attributes = {}) {
  return part("input", { type: "text", class: "number", inputmode: "decimal", autocomplete: "off", ...attributes });
}

// The number in a field, null where nothing stands; what is no number is returned as it stands, to be refused.
export function numberIn(input, unit = "") {
  return window.ridePage.numberOf(input.value, unit, say("mark"));
}

// The same where only a number will do: 0 while there is none.
export function amountIn(input, unit) {
  return Number(numberIn(input, unit)) || 0;
}

export function numberText(value) {
  return typeof value === "number" ? String(value).replace(".", say("mark")) : String(value ?? "");
}
