// The card of the chosen mark, the two dialogs, and the head of the page.
const card = document.getElementById("card");

function fillLines(list, pairs) {
  list.replaceChildren(
    ...pairs.flatMap(([heading, text]) => {
      const kind = heading === "Mind" || heading === "Hands" ? "mind" : "";
      return [part("dt", kind, heading), part("dd", kind, text)];
    }),
  );
}

onChoose((entry, byKeyboard) => {
  card.hidden = !entry;
  if (!entry) return;
  document.getElementById("card-mark").replaceChildren(sign(entry));
  document.getElementById("card-title").textContent =
    entry.kind === "hands" ? `Hands on the bars, ${entry.length}` : entry.name;
  fillLines(document.getElementById("card-lines"), entry.card);
  const at = chosenOrder.indexOf(entry.key);
  for (const [id, step, word] of [["card-back", -1, "Before"], ["card-on", 1, "After"]]) {
    const button = document.getElementById(id);
    const other = entryByKey.get(chosenOrder[at + step]);
    button.disabled = !other;
    button.textContent = other ? `${word}: ${other.distance} ${plan.units.road}` : "";
    button.onclick = other ? () => choose(other.key) : null;
  }
  card.scrollTop = 0;
  if (byKeyboard) document.getElementById("card-title").focus();
  else document.getElementById("say").textContent = spoken(entry);
});

function closeCard() {
  if (card.hidden) return;
  const opener = choosing.opener;
  const inside = card.contains(document.activeElement);
  choose("");
  if (inside && opener && opener.isConnected) opener.focus();
}
document.getElementById("card-close").addEventListener("click", closeCard);
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && !document.querySelector("dialog[open]")) closeCard();
});

for (const id of ["key", "care"]) {
  document.getElementById(`open-${id}`).addEventListener("click", () => document.getElementById(id).showModal());
}
document.getElementById("stores").addEventListener("click", (event) => {
  const shown = document.getElementById("profile").classList.toggle("with-stores");
  event.currentTarget.setAttribute("aria-pressed", String(shown));
});

document.getElementById("route-name").textContent = plan.name;
document.getElementById("totals").replaceChildren(
  ...plan.totals.map(([word, value]) => {
    const pair = part("div");
    pair.append(part("dt", "", word), part("dd", "", value));
    return pair;
  }),
);
if (plan.violations.length) {
  const faults = document.getElementById("faults");
  faults.hidden = false;
  const count = plan.violations.length;
  const rules = count === 1 ? "one hard rule" : `${count} hard rules`;
  faults.querySelector("summary").textContent = `This plan cannot keep ${rules}`;
  faults.querySelector("ul").append(...plan.violations.map((sentence) => part("li", "", sentence)));
}
const contours = document.getElementById("key-contours");
if (plan.contourStep) {
  contours.hidden = false;
  contours.textContent = `Relief: a contour every ${plan.contourStep}, every fifth heavier; strokes run down the slope`;
}

const careText = document.getElementById("care-text");
for (const [heading, sentences] of plan.care) {
  const list = part("ul");
  list.append(...sentences.map((sentence) => part("li", "", sentence)));
  careText.append(part("h3", "", heading), list);
}
