// Numbers as people write and paste them: with the comma of their language, with their unit behind. A browser's own
// number field takes the comma of another language than its own away: 72,5 kg became 725.
const NUMBER = /^[-+]?(\d+[.,]?\d*|[.,]\d+)$/;
// In the language whose mark it is not, a comma or dot before three digits may part thousands: who wrote it is asked.
const THOUSANDS = { ".": /^[-+]?[1-9]\d{0,2},\d{3}$/, ",": /^[-+]?[1-9]\d{0,2}\.\d{3}$/ };

// The number in a text, null where there is none; what is no number is returned as it stands, to be refused.
function numberOf(written, unit, mark) {
  const text = written.trim();
  const bare = unit && text.endsWith(unit) ? text.slice(0, -unit.length).trim() : text;
  if (bare === "") return null;
  if (!NUMBER.test(bare) || THOUSANDS[mark].test(bare)) return text;
  return Number(bare.replace(",", "."));
}
