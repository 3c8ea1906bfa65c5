// What lies behind the road and stands at the map's edge: relief, net, scale, north, buttons.
// A quiet square net where there is no relief to draw, around its sheet and all over without one.
function netStep() {
  const shrink = Math.cos((roadMap.getCenter().lat * Math.PI) / 180);
  const metresAPixel = (EQUATOR_M * shrink) / (256 * 2 ** roadMap.getZoom());
  const wanted = (110 * metresAPixel) / plan.units.roadM;
  const step = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100].find((each) => each >= wanted) || 200;
  return { step, pixels: (step * plan.units.roadM) / metresAPixel };
}
function net(bounds) {
  const { pixels } = netStep();
  const anchor = roadMap.latLngToLayerPoint(roadBounds.getSouthWest());
  const { min, max } = bounds;
  const hole = plan.relief && sheetBox(plan.relief.around ? plan.relief.around.frame : plan.relief.frame);
  const first = (low, through) => through + Math.ceil((low - through) / pixels) * pixels;
  // the parts of a line from low to high that lie beside the sheet
  const beside = (at, side, low, high, along) => {
    if (!hole || at < hole.min[side] || at > hole.max[side]) return [[low, high]];
    return [[low, hole.min[along]], [hole.max[along], high]].filter(([from, to]) => from < to);
  };
  let path = "";
  for (let x = first(min.x, anchor.x); x < max.x; x += pixels) {
    for (const [from, to] of beside(x, "x", min.y, max.y, "y")) path += `M${px(x)} ${px(from)}V${px(to)}`;
  }
  for (let y = first(min.y, anchor.y); y < max.y; y += pixels) {
    for (const [from, to] of beside(y, "y", min.x, max.x, "x")) path += `M${px(from)} ${px(y)}H${px(to)}`;
  }
  return path;
}
const SHEET_EDGE_PX = 5;
function sheetBox([south, west, north, east]) {
  const corners = [roadMap.latLngToLayerPoint([south, west]), roadMap.latLngToLayerPoint([north, east])];
  const [low, high] = corners;
  return { min: { x: low.x - SHEET_EDGE_PX, y: high.y - SHEET_EDGE_PX }, max: { x: high.x + SHEET_EDGE_PX, y: low.y + SHEET_EDGE_PX } };
}

// The edge of the map sheet: a double line around the relief.
function sheet() {
  if (!plan.relief) return "";
  const box = sheetBox(plan.relief.frame);
  const frame = (inset) =>
    `M${box.min.x + inset} ${box.min.y + inset}H${box.max.x - inset}V${box.max.y - inset}H${box.min.x + inset}Z`;
  return frame(0) + frame(SHEET_EDGE_PX);
}

roadMap.getContainer().setAttribute("role", "application");
if (roadMap.attributionControl) roadMap.attributionControl.setPrefix(false);
let scaleBar = null;
const North = L.Control.extend({
  onAdd() {
    const box = drawn("svg", { viewBox: "0 0 30 44", class: "north", role: "img", "aria-label": plan.words.northUp });
    box.append(drawn("path", { d: "M15 15V42M15 15l-5 10h10z" }), drawn("text", { x: 15, y: 12 }, plan.words.north));
    return box;
  },
});

// One button brings the whole road back into sight.
const Whole = L.Control.extend({
  onAdd() {
    const bar = part("div", "leaflet-bar");
    const button = part("button", "whole-road");
    button.type = "button";
    button.title = plan.words.whole;
    button.setAttribute("aria-label", plan.words.whole);
    const picture = drawn("svg", { viewBox: "0 0 20 20", "aria-hidden": "true" });
    picture.append(drawn("path", { d: "M2 6V2h4M14 2h4v4M18 14v4h-4M6 18H2v-4M6 11c2-7 6 3 8-3" }));
    button.append(picture);
    button.addEventListener("click", () => wholeRoad());
    L.DomEvent.disableClickPropagation(bar);
    bar.append(button);
    return bar;
  },
});
let wholeButton = null;
let northSign = null;
let backdrop = [];
onShow(() => {
  if (sameRoad) return;
  for (const old of [scaleBar, wholeButton, northSign, ...backdrop]) if (old) old.remove();
  roadMap.getContainer().setAttribute("aria-label", plan.words.map);
  const metric = plan.units.road === "km";
  scaleBar = L.control.scale({ metric, imperial: !metric, position: "bottomright", maxWidth: 120 }).addTo(roadMap);
  wholeButton = new Whole({ position: "topleft" }).addTo(roadMap);
  northSign = new North({ position: "topleft" }).addTo(roadMap);
  for (const [way, word] of [["in", plan.words.closer], ["out", plan.words.wider]]) {
    const button = roadMap.getContainer().querySelector(`.leaflet-control-zoom-${way}`);
    button.title = word;
    button.setAttribute("aria-label", word);
  }
  backdrop = plan.relief ? groundLayers(plan.relief) : [];
});
function groundLayers({ frame: [south, west, north, east], image, size: [columns, rows], strokes, contours, indexContours, around }) {
  const picture = (url, corners, className) => L.imageOverlay(url, corners, { interactive: false, alt: "", className }).addTo(roadMap);
  const wider = around ? [picture(around.image, [around.frame.slice(0, 2), around.frame.slice(2)], "land-around")] : [];
  const bounds = [[south, west], [north, east]];
  const lines = drawn("svg", {
    class: "ground",
    viewBox: `0 0 ${columns - 1} ${rows - 1}`,
    preserveAspectRatio: "none",
    "aria-hidden": "true",
  });
  lines.append(
    drawn("path", { class: "stroke", d: strokes }),
    drawn("path", { class: "contour", d: contours }),
    drawn("path", { class: "index", d: indexContours }),
  );
  return [
    ...wider,
    picture(image, bounds, "land"),
    L.svgOverlay(lines, bounds, { interactive: false }).addTo(roadMap),
  ];
}
