// The profile's marks, made choosable; the drawing itself comes with the ride.
const profileRoom = document.getElementById("profile");
let profileStops = [];
let profileTold = "";

onShow(() => {
  const told = JSON.stringify([plan.profiles, plan.entries.map(({ spoken }) => spoken)]);
  if (told === profileTold) return;
  profileTold = told;
  profileStops = [];
  profileRoom.replaceChildren(...plan.profiles.map(({ width }) => part("div", `width-${width}`)));
  fillProfiles();
});

// A profile is made when the width that it is drawn for is shown, or all for the printer to choose from.
// Which one that is hangs on the room's width alone, and is dear to ask.
let fitting = null;
function fillProfiles(all = false) {
  if (!plan) return;
  const boxes = [...profileRoom.children];
  fitting ??= boxes.filter((box) => getComputedStyle(box).display !== "none").map((box) => box.className);
  const empty = boxes.filter((box) => !box.childElementCount);
  for (const box of empty.filter((each) => all || fitting.includes(each.className))) {
    const { panels } = plan.profiles.find(({ width }) => box.className === `width-${width}`);
    box.append(...panels.map(drawing));
    for (const sheet of box.children) makeChoosable(sheet);
  }
  profileStops.forEach((stop) => stop());
  if (empty.length) lightMark(entryByKey.get(choosing.key));
}

function makeChoosable(sheet) {
  sheet.setAttribute("role", "group");
  for (const mark of sheet.querySelectorAll(".mark")) {
    const entry = entryByKey.get(`p${mark.dataset.number}`);
    if (entry.kind === "sip" || fingers.matches) continue;
    mark.setAttribute("role", "button");
    mark.setAttribute("tabindex", "-1");
    mark.setAttribute("aria-label", entry.spoken);
    mark.setAttribute("aria-pressed", "false");
    mark.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" && event.key !== " ") return;
      event.preventDefault();
      choose(entry.key, mark, true);
    });
  }
  sheet.addEventListener("click", (event) => {
    const mark = event.target.closest(".mark") || nearestMark(sheet, event.clientX, event.clientY);
    if (mark) choose(`p${mark.dataset.number}`, mark.hasAttribute("tabindex") ? mark : null);
  });
  profileStops.push(rove(sheet, ".mark[tabindex]"));
}

// A finger needs not hit a mark: the nearest one within its reach is meant.
function nearestMark(sheet, x, y) {
  let best = null;
  let least = (fingers.matches ? 1.5 : 0.9) * remPx();
  for (const mark of sheet.querySelectorAll(".mark")) {
    const rect = mark.getBoundingClientRect();
    const off = Math.hypot(rect.left + rect.width / 2 - x, rect.top + rect.height / 2 - y);
    if (off < least) [best, least] = [mark, off];
  }
  return best;
}

new ResizeObserver(() => {
  fitting = null;
  fillProfiles();
}).observe(profileRoom);

function lightMark(entry) {
  for (const mark of profileRoom.querySelectorAll(".mark")) {
    const lit = Boolean(entry) && `p${mark.dataset.number}` === entry.key;
    mark.classList.toggle("lit", lit);
    if (mark.hasAttribute("aria-pressed")) mark.setAttribute("aria-pressed", String(lit));
    const sheet = lit && mark.closest("svg");
    if (sheet && sheet.getClientRects().length) showPanel(sheet);
  }
}
onChoose((entry) => lightMark(entry));

function showPanel(sheet) {
  const box = profileRoom.getBoundingClientRect();
  const rect = sheet.getBoundingClientRect();
  if (rect.top < box.top || rect.bottom > box.bottom) profileRoom.scrollBy(0, rect.top - box.top - 8);
}
