// Before printing the page lays itself out on sheets, the strips side by side, each read upward; then as it was.
const SHEET_HEIGHT_PX = 965;
const LETTERING_PX = [14, 13, 12, 11, 10, 9];
const MAP_PX = { least: 300, most: 600 };
// Few rows stand in two wide columns, if their lettering stays large, else in three.
const COLUMNS = [
  { count: 2, least: 12 },
  { count: 3, least: 9 },
];
const ROWS_BESIDE_THE_MAP = 28;
const ROWS_A_SHEET = 84;
const PANELS_WITH_THE_MAP = 2;
const PANELS_A_SHEET = 4;

let seen = null;

function sheetOf(columns) {
  const sheet = part("div", "strips");
  for (const sections of columns) {
    const column = part("div", "strip-column");
    column.append(...sections);
    sheet.append(column);
  }
  return sheet;
}

// The chapters in so many columns in their order, the highest column as low as can be.
function shareOut(sections, heights, count) {
  const fill = (most) => {
    const columns = [[]];
    let height = 0;
    sections.forEach((section, i) => {
      if (height && height + heights[i] > most) {
        columns.push([]);
        height = 0;
      }
      height += heights[i];
      lastOf(columns).push(section);
    });
    return columns;
  };
  let most = Math.max(0, ...heights);
  while (fill(most).length > count) most += 12;
  return { columns: fill(most), most };
}
// How many sheets the print has: said on its button, and kept to.
function sheetsFor() {
  const rows = chapters.reduce((sum, { knots }) => sum + knots.length + 1, 0);
  const panels = plan.profiles[0].panels.length;
  if (rows <= ROWS_BESIDE_THE_MAP && panels === 1) return { front: 1, strips: 0 };
  const apart = panels > PANELS_WITH_THE_MAP ? Math.ceil(panels / PANELS_A_SHEET) : 0;
  return { front: 1 + apart, strips: Math.ceil(rows / ROWS_A_SHEET) };
}
onShow(() => {
  const { front, strips } = sheetsFor();
  document.getElementById("print-sheets").textContent = filled(front + strips > 1 ? plan.words.sheets : plan.words.sheet, { count: front + strips });
});

function layStrips(size, strips, count) {
  const root = document.documentElement;
  const sections = chapters.map(({ section }) => section);
  root.style.fontSize = `${size}px`;
  forgetRem();
  spaceRows();
  hoursBox.style.setProperty("--columns", count);
  hoursBox.replaceChildren(sheetOf([sections, ...new Array(count - 1).fill([])]));
  const heights = sections.map((section) => section.offsetHeight);
  const { columns, most } = shareOut(sections, heights, count * Math.max(1, strips));
  const sheets = [];
  while (columns.length) sheets.push(sheetOf(columns.splice(0, count)));
  hoursBox.replaceChildren(...sheets);
  return most;
}

function beforePrint() {
  if (!plan || seen) return;
  const root = document.documentElement;
  const { front, strips } = sheetsFor();
  seen = { centre: roadMap.getCenter(), zoom: roadMap.getZoom(), scroll: stripRoom.scrollTop };
  root.classList.add("printing");
  fillProfiles(true);
  document.querySelector("main").append(stripRoom);
  root.classList.toggle("many-sheets", strips > 0);
  root.classList.toggle("profile-apart", front > 1);
  const fits = (count, size) => {
    root.style.setProperty("--map-height", "0px");
    const most = layStrips(size, strips, count);
    const under = strips ? stripRoom.offsetHeight : 0;
    const apart = front > 1 ? profileRoom.offsetHeight : 0;
    const left = SHEET_HEIGHT_PX - (document.body.scrollHeight - under - apart);
    root.style.setProperty("--map-height", `${Math.max(MAP_PX.least, Math.min(MAP_PX.most, left))}px`);
    return left >= MAP_PX.least && (!strips || most <= SHEET_HEIGHT_PX - 20);
  };
  COLUMNS.some(({ count, least }) => LETTERING_PX.filter((size) => size >= least).some((size) => fits(count, size)));
  drawRibbons();
  quietly(() => {
    roadMap.invalidateSize({ animate: false, pan: false });
    fitWhole();
  });
}
function afterPrint() {
  if (!seen) return;
  document.documentElement.classList.remove("printing", "many-sheets", "profile-apart");
  document.documentElement.removeAttribute("style");
  forgetRem();
  document.getElementById("left").append(stripRoom);
  hoursBox.replaceChildren(...chapters.map(({ section }) => section));
  spaceRows();
  drawRibbons();
  stripRoom.scrollTop = seen.scroll;
  const wasMoved = moved;
  refit();
  if (wasMoved) roadMap.setView(seen.centre, seen.zoom, { animate: false });
  seen = null;
}
addEventListener("beforeprint", beforePrint);
addEventListener("afterprint", afterPrint);
document.getElementById("print").addEventListener("click", () => window.print());
