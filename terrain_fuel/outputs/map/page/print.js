// Before printing the page lays itself out as one sheet; afterwards it is as it was.
const SHEET_HEIGHT_PX = 965;
const MAP_HEIGHTS_PX = [600, 550, 500, 460, 430, 400, 370, 340, 310];
const SMALLEST_STRIP = 0.5;

let seen = null;

function beforePrint() {
  const root = document.documentElement;
  seen = seen || { centre: roadMap.getCenter(), zoom: roadMap.getZoom() };
  root.classList.add("printing");
  const fits = (height, strip) => {
    root.style.setProperty("--map-height", `${height}px`);
    root.style.setProperty("--fit", strip.toFixed(2));
    return document.body.scrollHeight <= SHEET_HEIGHT_PX;
  };
  // the map gives way first, then the lettering of the strip
  if (!MAP_HEIGHTS_PX.some((height) => fits(height, 1))) {
    let strip = 1;
    while (strip > SMALLEST_STRIP && !fits(MAP_HEIGHTS_PX.at(-1), strip)) strip -= 0.02;
  }
  roadMap.invalidateSize({ animate: false, pan: false });
  roadMap.setMinZoom(0);
  fitRoad();
  relay();
}
function afterPrint() {
  document.documentElement.classList.remove("printing");
  document.documentElement.removeAttribute("style");
  refit();
  if (seen && moved) roadMap.setView(seen.centre, seen.zoom, { animate: false });
  seen = null;
  tieRows();
}
addEventListener("beforeprint", beforePrint);
addEventListener("afterprint", afterPrint);
