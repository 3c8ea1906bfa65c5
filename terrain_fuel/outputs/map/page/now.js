// What comes next, at the largest size, and the two after it; where the rider is, and how that is put right.
const STAYS_S = 60;
const NEXT_KINDS = ["eat", "refill", "hands"];

const nextButton = document.getElementById("now-next");
const thenBox = document.getElementById("now-then");

function upcoming(now) {
  return plan.entries.filter((entry) => NEXT_KINDS.includes(entry.kind) && entry.time > now.time - STAYS_S);
}

const placeOf = (entry) => `${plan.units.before} ${entry.distance}`;

function aheadText(entry, now) {
  if (now.state === "before") return clockText(entry.time);
  if (entry.time - now.time < HALF_MINUTE_S) return plan.words.atOnce;
  const gap = lengthText(Math.max(0, entry.at - now.at));
  return filled(plan.words.inAbout, { gap, wait: waitText(entry.time - now.time) });
}

// How is drunk here, and the next place where more is.
function drinkText(now) {
  const here = plan.drinking.find(({ from, until }) => now.time >= from && now.time < until);
  if (!here) return "";
  const extra = here.extras.find(([, time]) => time > now.time - STAYS_S);
  const more = extra ? `${extra[2]} ${placeText(extra[0])}` : "";
  return [here.rhythm, more].filter(Boolean).join("; ");
}

function fillNext(button, entry, now, large) {
  const where = [placeOf(entry), entry.container || entry.notes, aheadText(entry, now)].filter(Boolean);
  const what = part("span", "what");
  const title = entry.title || entry.name;
  what.append(named("b", "", title));
  if (large) {
    what.append(named("span", "where", where.join(" · ")));
    const drink = drinkText(now);
    if (drink) what.append(part("small", "", filled(plan.words.drink, { drink })));
  } else what.append(named("small", "", `${placeOf(entry)} · ${clockText(entry.time)}`));
  button.replaceChildren(signBox(entry), what);
  button.dataset.key = entry.key;
}

function whenText(now) {
  if (now.state === "before") return filled(plan.words.begins, { clock: clockText(0) });
  const text = filled(plan.words.now, { clock: clockText(now.time), place: placeText(now.at) });
  const minutes = Math.round((late || 0) / 60);
  if (!minutes) return text;
  return `${text} · ${filled(minutes > 0 ? plan.words.late : plan.words.early, { minutes: Math.abs(minutes) })}`;
}

function sayNow() {
  const now = rideNow();
  const [next, ...later] = upcoming(now);
  document.getElementById("now-when").textContent = whenText(now);
  nextButton.disabled = !next;
  if (next) fillNext(nextButton, next, now, true);
  else nextButton.replaceChildren(part("b", "", now.state === "before" ? plan.words.nothing : plan.words.over));
  const after = later.slice(0, 2);
  while (thenBox.children.length > after.length) thenBox.lastChild.remove();
  while (thenBox.children.length < after.length) {
    const button = part("button", "mark-row");
    button.type = "button";
    thenBox.append(button);
  }
  after.forEach((entry, i) => fillNext(thenBox.children[i], entry, now, false));
}
onClock(sayNow);
document.getElementById("now").addEventListener("click", (event) => {
  const button = event.target.closest("[data-key]");
  if (button) choose(button.dataset.key, button, event.detail === 0);
});

// "I am here": by the place passed, or by the distance so far.
const hereBox = document.getElementById("here");
const hereAt = document.getElementById("here-at");
const hereWrong = document.getElementById("here-wrong");
const PLACES_SHOWN = { before: 3, after: 2 };

function nearbyPlaces(at) {
  const places = plan.entries.filter((entry) => !["hands", "caution", "risk", "sip"].includes(entry.kind));
  const split = places.findIndex((entry) => entry.at > at);
  const behind = split < 0 ? places.length : split;
  return places.slice(Math.max(0, behind - PLACES_SHOWN.before), behind + PLACES_SHOWN.after);
}
document.getElementById("open-here").addEventListener("click", () => {
  const { at } = rideNow();
  fillHere(at);
  document.getElementById("here-places").replaceChildren(
    ...nearbyPlaces(at).map((entry) => {
      const button = part("button", "mark-row");
      button.type = "button";
      button.append(signBox(entry), named("span", "what", entry.name), part("span", "far", entry.distance));
      button.addEventListener("click", () => sayHere(entry.at));
      return button;
    }),
  );
  hereBox.showModal();
});
onShow(() => {
  for (const button of document.querySelectorAll("#here-steps [data-step]")) {
    const step = Number(button.dataset.step);
    const size = distanceText(Math.abs(step) * plan.units.roadM).replace(/\D0$/, "");
    button.textContent = `${step < 0 ? "−" : "+"}${size}`;
  }
});
// Metres from the start that the field says, never beyond the finish; null for what is no distance, which is said.
function hereMetres() {
  const wanted = numberOf(hereAt.value, plan.units.road, plan.units.mark) ?? 0;
  const isWrong = typeof wanted !== "number";
  hereWrong.textContent = isWrong ? filled(plan.words.noDistance, { text: wanted, like: distanceText(plan.length / 2) }) : "";
  hereWrong.hidden = !isWrong;
  hereAt.toggleAttribute("aria-invalid", isWrong);
  return isWrong ? null : Math.max(0, Math.min(plan.length, wanted * plan.units.roadM));
}
function fillHere(metres) {
  hereAt.value = distanceText(metres);
  hereMetres();
}
function sayHere(metres) {
  iAmHere(metres);
  hereBox.close();
}
document.getElementById("here-steps").addEventListener("click", (event) => {
  const { step } = event.target.dataset;
  if (!step) return;
  const metres = hereMetres();
  if (metres !== null) fillHere(Math.max(0, Math.min(plan.length, metres + Number(step) * plan.units.roadM)));
});
document.getElementById("here-set").addEventListener("click", () => {
  const metres = hereMetres();
  if (metres === null) hereAt.focus();
  else sayHere(metres);
});
document.getElementById("here-clear").addEventListener("click", () => {
  byPlan();
  hereBox.close();
});
document.getElementById("card-here").addEventListener("click", () => {
  const entry = entryByKey.get(choosing.key);
  if (!entry) return;
  closeCard();
  iAmHere(entry.at);
});

// Ink on white for the sun, and a screen that stays on where the browser can keep it so.
const sunButton = document.getElementById("sun");
function setSun(on) {
  document.documentElement.classList.toggle("sun", on);
  sunButton.setAttribute("aria-pressed", String(on));
  memory.write("sun", on);
}
sunButton.addEventListener("click", () => setSun(sunButton.getAttribute("aria-pressed") !== "true"));
setSun(memory.read("sun") === true);

const awakeButton = document.getElementById("awake");
awakeButton.hidden = !navigator.wakeLock;
let wakeLock = null;
async function stayAwake() {
  if (awakeButton.getAttribute("aria-pressed") !== "true" || document.hidden) return;
  try {
    wakeLock = await navigator.wakeLock.request("screen");
  } catch {
    awakeButton.setAttribute("aria-pressed", "false");
  }
}
awakeButton.addEventListener("click", () => {
  const on = awakeButton.getAttribute("aria-pressed") !== "true";
  awakeButton.setAttribute("aria-pressed", String(on));
  if (on) stayAwake();
  else if (wakeLock) wakeLock.release();
});
document.addEventListener("visibilitychange", stayAwake);
