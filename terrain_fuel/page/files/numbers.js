// Numbers as people write and paste them: with the comma of their language, with their unit behind. A browser's own
// number field takes the comma of another language than its own away: 72,5 kg became 725.
import { part, say } from "./parts.js";

const NUMBER = /^[-+]?(\d+[.,]?\d*|[.,]\d+)$/;
// In the language whose mark it is not, a comma or dot before three digits may part thousands: who wrote it is asked.
const THOUSANDS = { ".": /^[-+]?[1-9]\d{0,2},\d{3}$/, ",": /^[-+]?[1-9]\d{0,2}\.\d{3}$/ };

export function numberInput(attributes = {}) {
  return part("input", { type: "text", class: "number", inputmode: "decimal", autocomplete: "off", ...attributes });
}

// The number in a field, null where nothing stands; what is no number is returned as it stands, to be refused.
export function numberIn(input, unit = "") {
  const text = input.value.trim();
  const bare = unit && text.endsWith(unit) ? text.slice(0, -unit.length).trim() : text;
  if (bare === "") return null;
  if (!NUMBER.test(bare) || THOUSANDS[say("mark")].test(bare)) return text;
  return Number(bare.replace(",", "."));
}

// The same where only a number will do: 0 while there is none.
export function amountIn(input, unit) {
  return Number(numberIn(input, unit)) || 0;
}

export function numberText(value) {
  return typeof value === "number" ? String(value).replace(".", say("mark")) : String(value ?? "");
}
