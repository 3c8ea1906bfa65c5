// Before printing the page lays itself out as one sheet; afterwards it is as it was.
const SHEET_HEIGHT_PX = 965;
const SMALLEST_STRIP = 0.55;

function beforePrint() {
  const root = document.documentElement;
  root.classList.add("printing");
  for (let fit = 1; fit >= SMALLEST_STRIP; fit -= 0.03) {
    root.style.setProperty("--fit", fit.toFixed(2));
    if (document.body.scrollHeight <= SHEET_HEIGHT_PX) break;
  }
  roadMap.invalidateSize({ animate: false, pan: false });
  roadMap.setMinZoom(0);
  fitRoad();
  relay();
}
function afterPrint() {
  document.documentElement.classList.remove("printing");
  document.documentElement.style.removeProperty("--fit");
  refit();
  tieRows();
}
addEventListener("beforeprint", beforePrint);
addEventListener("afterprint", afterPrint);
