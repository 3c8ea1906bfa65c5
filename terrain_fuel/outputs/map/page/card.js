// The card of the chosen mark, the two dialogs, and the head of the page.
const card = document.getElementById("card");
// On a lower screen what the plan cannot keep is one line until it is opened.
const ROOM_FOR_FAULTS_PX = 700;

function fillLines(list, pairs) {
  list.replaceChildren(
    ...pairs.flatMap(([heading, text]) => {
      const kind = [plan.words.mind, plan.words.hands].includes(heading) ? "mind" : "";
      return [part("dt", kind, heading), part("dd", kind, text)];
    }),
  );
}

let cardKey = "";
onChoose((entry, byKeyboard) => {
  card.hidden = !entry;
  document.body.classList.toggle("with-card", Boolean(entry));
  if (!entry) return;
  document.getElementById("card-mark").replaceChildren(sign(entry));
  document.getElementById("card-title").textContent = entry.title || entry.name;
  tellCard();
  const at = chosenOrder.indexOf(entry.key);
  for (const [id, step, word] of [["card-back", -1, plan.words.before], ["card-on", 1, plan.words.after]]) {
    const button = document.getElementById(id);
    const other = entryByKey.get(chosenOrder[at + step]);
    button.disabled = !other;
    button.textContent = other ? `${word}: ${other.distance} ${plan.units.road}` : "";
    button.onclick = other ? () => choose(other.key) : null;
  }
  if (byKeyboard || entry.key !== cardKey) card.scrollTop = 0;
  cardKey = entry.key;
  if (byKeyboard) document.getElementById("card-title").focus();
  else document.getElementById("say").textContent = entry.spoken;
});

function tellCard() {
  const entry = entryByKey.get(choosing.key);
  if (!entry) return;
  const expected = late === null ? [] : [[plan.words.expected, clockText(entry.time)]];
  fillLines(document.getElementById("card-lines"), [...expected, ...entry.card]);
}
onClock(tellCard);

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

for (const id of ["key", "care", "trust"]) {
  document.getElementById(`open-${id}`).addEventListener("click", () => document.getElementById(id).showModal());
}
document.getElementById("stores").addEventListener("click", (event) => {
  const shown = document.getElementById("profile").classList.toggle("with-stores");
  event.currentTarget.setAttribute("aria-pressed", String(shown));
});

onShow(() => {
  document.getElementById("route-name").textContent = plan.name;
  // where a low screen has no room for the heading
  document.getElementById("about").dataset.name = plan.name;
  const contours = document.getElementById("key-contours");
  contours.hidden = !plan.contours;
  contours.textContent = plan.contours;
  document.getElementById("key-own").hidden = Boolean(plan.relief);
  fillLines(document.getElementById("trust-lines"), plan.trust);
});

onTell(() => {
  document.getElementById("totals").replaceChildren(
    ...plan.totals.map(([word, value]) => {
      const pair = part("div");
      pair.append(part("dt", "", word), part("dd", "", value));
      return pair;
    }),
  );
  const faults = document.getElementById("faults");
  if (faults.hidden) faults.open = innerHeight >= ROOM_FOR_FAULTS_PX;
  faults.hidden = !plan.violations.length;
  faults.querySelector("summary").textContent = plan.broken;
  faults.querySelector("ul").replaceChildren(...plan.violations.filter((sentence) => sentence !== plan.broken).map((sentence) => part("li", "", sentence)));
  document.getElementById("care-text").replaceChildren(
    ...plan.care.flatMap(([heading, sentences]) => {
      const list = part("ul");
      list.append(...sentences.map((sentence) => part("li", "", sentence)));
      return [part("h3", "", heading), list];
    }),
  );
});
