// The strip: rows by the hour, the road upward, tied to a turned profile at the left edge.
const hoursBox = document.getElementById("hours");
const rowByKey = new Map();
let tied = [];

const PEAK = "M2 15L10 4l8 11M7 9l3 3 3-3";
const GLYPHS = { crest: PEAK, summit: PEAK, foot: "M2 15h6l9-9M12 6h5v5", place: "M10 17v-6M10 11L4 8l6-4 6 4z" };

function pressable(element, entry) {
  element.type = "button";
  element.dataset.key = entry.key;
  element.setAttribute("aria-pressed", "false");
  element.setAttribute("aria-label", entry.spoken);
  element.tabIndex = -1;
  element.addEventListener("click", (event) => choose(entry.key, element, event.detail === 0));
  rowByKey.set(entry.key, element);
  return element;
}

function row(entry) {
  const line = entry.key ? pressable(part("button", `row ${entry.kind}`), entry) : part("div", "row place");
  let icon;
  if (entry.key) icon = signBox(entry);
  else {
    icon = drawn("svg", { viewBox: "0 0 20 20", class: "glyph", "aria-hidden": "true" });
    icon.append(drawn("path", { d: GLYPHS[entry.kind] || GLYPHS.place }));
  }
  const what = part("span", "what");
  what.append(named("span", "", entry.name));
  if (entry.notes) what.append(named("small", "", entry.notes));
  line.append(icon, part("span", "far", entry.distance), what, part("span", "clock", entry.clock));
  return line;
}

function chip(entry) {
  const button = pressable(part("button", "sip-chip"), entry);
  button.append(signBox(entry, false), part("b", "", entry.number), part("span", "", entry.distance));
  return button;
}

function addEntries(list, entries) {
  let sips = null;
  for (const entry of entries) {
    const item = part("li");
    if (entry.kind === "sip") {
      if (!sips) {
        sips = part("ul", "sips");
        item.append(sips);
        list.append(item);
        tied.push([sips, entry.at]);
      }
      const one = part("li");
      one.append(chip(entry));
      sips.append(one);
      continue;
    }
    sips = null;
    const line = row(entry);
    item.append(line);
    list.append(item);
    tied.push([line, entry.at]);
  }
}

function addHour([from, clock, name], until) {
  const entries = plan.entries.filter((entry) => entry.time >= from && entry.time < until);
  if (!entries.length) return;
  const section = part("section");
  const heading = part("h2");
  heading.append(part("b", "", clock), part("span", "", name));
  const list = part("ol");
  addEntries(list, entries);
  section.append(heading, list);
  hoursBox.append(section);
}
const stopInStrip = rove(hoursBox, "button[data-key]");
onShow(() => {
  hoursBox.replaceChildren();
  rowByKey.clear();
  tied = [];
  plan.hours.forEach((hour, index) => addHour(hour, index + 1 < plan.hours.length ? plan.hours[index + 1][0] : Infinity));
  document.getElementById("turned").replaceChildren(drawing(plan.edge));
  stopInStrip();
  tieRows();
});

// Thin lines from each row to its place on the turned profile.
function tieRows() {
  const box = document.getElementById("ties");
  const frame = box.getBoundingClientRect();
  if (!frame.height) return;
  const path = tied.map(([line, at]) => {
    const rect = line.getBoundingClientRect();
    const y = rect.top + rect.height / 2 - frame.top;
    const road = frame.height * (1 - at / plan.length);
    return `M0 ${road.toFixed(1)}L20 ${y.toFixed(1)}H28`;
  });
  box.firstElementChild.setAttribute("d", path.join(""));
}
new ResizeObserver(tieRows).observe(hoursBox);

onChoose((entry) => {
  for (const [key, line] of rowByKey) line.setAttribute("aria-pressed", String(Boolean(entry) && key === entry.key));
  const line = entry && rowByKey.get(entry.key);
  if (!line) return;
  const room = document.getElementById("strip");
  const box = room.getBoundingClientRect();
  const rect = line.getBoundingClientRect();
  const cardTop = card.getBoundingClientRect().top;
  const low = card.offsetLeft < box.right && cardTop > box.top ? Math.min(box.bottom, cardTop) : box.bottom;
  if (rect.top < box.top + 8) room.scrollBy(0, rect.top - box.top - 40);
  else if (rect.bottom > low - 8) room.scrollBy(0, rect.bottom - low + 40);
});
