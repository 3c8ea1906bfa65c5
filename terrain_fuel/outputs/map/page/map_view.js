// The map put together: its layers in painting order, what is chosen on it, and the whole road in sight.
// From a place to the nearest edge of its name.
function nameLeaders() {
  return lettered
    .map(({ anchor, x, y, half, high }) => {
      const nearX = Math.max(x - half + 4, Math.min(x + half - 4, anchor.x));
      const nearY = Math.max(y - high, Math.min(y + high, anchor.y));
      return `M${px(anchor.x)} ${px(anchor.y)}L${px(nearX)} ${px(nearY)}`;
    })
    .join("");
}

function leaders() {
  const rem = remPx();
  return placed
    .map(({ anchor, x, y, entry }) => {
      const away = Math.hypot(anchor.x - x, anchor.y - y) || 1;
      const clear = rem * (entry.kind === "sip" ? 0.5 : 0.75);
      return `M${px(x + ((anchor.x - x) * clear) / away)} ${px(y + ((anchor.y - y) * clear) / away)}L${px(anchor.x)} ${px(anchor.y)}`;
    })
    .join("");
}

// What found no room stands on the road as dots, the bites first; where they crowd, as many as can be told apart.
const DOTS_APART_PX = 10;
function dots() {
  const kept = placed.filter(({ entry }) => entry.kind !== "sip").map(({ anchor }) => anchor);
  const clear = (kinds) =>
    unplaced.filter((place) => {
      const wanted = kinds.includes(place.entry.kind) && kept.every((dot) => Math.hypot(dot.x - place.x, dot.y - place.y) >= DOTS_APART_PX);
      if (wanted) kept.push(place);
      return wanted;
    });
  return { bites: clear(["eat", "refill"]), sips: clear(["sip"]) };
}

const whole = () => true;
const flown = (i) => Boolean(laid.over[i]);
addDrawn(net, "net");
addDrawn(sheet, "sheet");
addDrawn(fringe, "fringe");
addDrawn((b) => ribbon(b, (i) => held[i]), "hands-band");
addDrawn((b) => ribbon(b, whole), "halo");
addDrawn(hatch, "hands-hatch");
addDrawn(combs, "comb");
for (const part of [whole, flown]) {
  if (part === flown) addDrawn((b) => ribbon(b, part), "halo over");
  addDrawn((b) => ribbon(b, part), "casing");
  for (let band = 0; band < 5; band++) {
    addDrawn((b) => ribbon(b, (i) => part(i) && tone(i) === band && kinds[i] !== "descent"), `core tone-${band}`);
    addDrawn((b) => ribbon(b, (i) => part(i) && tone(i) === band && kinds[i] === "descent"), `core down tone-${band}`);
  }
}
addDrawn(ticks, "tick");
addDrawn(arrows, "arrow");
addDrawn(leaders, "leader");
addDrawn(nameLeaders, "name-leader");
addDrawn(() => circles(lettered.map(({ anchor }) => anchor), 2.5), "dot");
addDrawn(() => circles(placed.filter(({ entry }) => entry.kind !== "sip").map(({ anchor }) => anchor), 2.5), "dot");
addDrawn(() => circles(dots().sips, 2.8), "sip-rings");
addDrawn(() => circles(dots().bites, 4.5), "eat-dots");
addDrawn(() => {
  const entry = entryByKey.get(choosing.key);
  return entry ? circles([placeAt(entry.at)], 9) : "";
}, "here");
const pointerLayer = addDrawn(pointer, "you-here");
onClock(() => road && pointerLayer._update());

function relay(marksOnly = false) {
  laidWith = choosing.key;
  if (!marksOnly) forgetControls();
  layRoad();
  layMarks();
  redraw(marksOnly);
}
// One laying out for a move, however many events tell of it.
let quiet = false;
function quietly(move) {
  quiet = true;
  move();
  quiet = false;
  relay();
}
roadMap.on("zoomend moveend resize viewreset", () => plan && !quiet && relay());
roadMap.on("click", (event) => {
  const points = [...unplaced, ...placed.map(({ entry, anchor }) => ({ entry, ...anchor }))];
  let best = null;
  let least = 1.5 * remPx();
  for (const point of points) {
    const off = Math.hypot(point.x - event.layerPoint.x, point.y - event.layerPoint.y);
    if (off < least) [best, least] = [point, off];
  }
  if (best) choose(best.entry.key);
});

let laidWith = "";
onChoose((entry) => {
  if (laidWith !== choosing.key) relay(true);
  const key = entry && markOf(entry.key);
  for (const [each, button] of buttonByKey) {
    const lit = each === key;
    button.classList.toggle("lit", lit);
    button.querySelector("g").classList.toggle("lit", lit);
    button.setAttribute("aria-pressed", String(lit));
  }
  for (const name of names) name.button.classList.toggle("lit", name.key === choosing.key);
  if (entry) showOnMap(entry);
});

// The map moves only if the chosen place is out of sight.
function showOnMap(entry) {
  const place = placeAt(entry.at);
  const at = roadMap.layerPointToContainerPoint([place.x, place.y]);
  const { x: width, y: height } = roadMap.getSize();
  if (at.x > 0 && at.x < width && at.y > 0 && at.y < height) return;
  const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
  roadMap.panTo(roadMap.layerPointToLatLng([place.x, place.y]), { animate: !still });
}

// The whole road fills the map until the rider moves it.
let moved = false;
for (const kind of ["pointerdown", "wheel", "keydown"]) roadMap.getContainer().addEventListener(kind, () => (moved = true), { passive: true });
function refit() {
  if (!plan || !roadMap.getContainer().clientWidth) return;
  quietly(() => {
    roadMap.invalidateSize({ animate: false, pan: false });
    if (!moved) fitWhole();
  });
}
function fitWhole() {
  roadMap.setMinZoom(0);
  fitRoad();
  roadMap.setMinZoom(Math.floor(roadMap.getZoom()) - 1);
}
function wholeRoad() {
  moved = false;
  quietly(fitWhole);
}
new ResizeObserver(refit).observe(roadMap.getContainer());
onShow(() => {
  if (sameRoad) {
    relay(true);
    return;
  }
  moved = false;
  quiet = true;
  roadMap.setMaxZoom(closestZoom());
  roadMap.setView(roadBounds.getCenter(), 10, { animate: false });
  refit();
  quiet = false;
});
