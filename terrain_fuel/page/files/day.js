// The day: start, weather, efforts, and places with water or food.
import { askIn } from "./asking.js";
import { fieldsOf } from "./fields.js";
import { redraw } from "./kept.js";
import { numberIn, numberInput } from "./numbers.js";
import { button, part, say } from "./parts.js";
import { change, ride } from "./ride.js";
import { placeText } from "./places.js";

const FIRST = ["start", "purpose", "temperature_c", "humidity_pct", "wind_m_s", "wind_from_deg", "effort_flat", "effort_climb"];

export function dayPanel(state) {
  const fields = fieldsOf("day", "day", state.settings.day.day, FIRST, say("more.day"));
  const places = part("div", {});
  const box = part("div", {}, part("h2", { tabindex: "-1" }, say("panel.day")), fields, part("h3", {}, say("places")), places);
  let drawnFor = "";
  box.refresh = (now) => {
    fields.refresh(now.settings.day.day);
    const feeds = now.settings.day.feed;
    if (JSON.stringify(feeds) === drawnFor || places.contains(document.activeElement) && feeds.length === places.children.length - 1) return;
    drawnFor = JSON.stringify(feeds);
    redraw(places, ...feeds.map(place), adder());
  };
  box.refresh(state);
  return box;
}

function place(feed, at) {
  const name = feed.name || say("place");
  return part(
    "details",
    { class: "item" },
    part("summary", {}, `${placeText(1000 * feed.at_km)} · ${name}`),
    fieldsOf("day", "feed", feed, ["name", "at_km", "minutes", "sure", "offers"], say("more.place"), at),
    button(say("takeOut"), () => change([{ do: "remove", file: "day", table: "feed", at }])),
  );
}

// A place is chosen on the map, where the next click on the road gives its kilometre, or by that kilometre itself.
function adder() {
  const said = part("p", { class: "quiet", role: "status" });
  const add = async (at_km) => {
    said.textContent = "";
    try {
      await change([{ do: "add", file: "day", table: "feed", values: { at_km, name: say("place") } }]);
    } catch (fault) {
      said.textContent = fault.message;
    }
  };
  const pick = button(say("placeByMap"), () => {
    const chosen = (event) => {
      asked();
      add(nearestKm(event.latlng));
    };
    const asked = askIn("map-room", say("clickTheRoad"), () => window.roadMap.off("click", chosen));
    window.roadMap.once("click", chosen);
  });
  const km = numberInput({ "aria-label": say("placeKm") });
  const byKm = button(say("placeByKm"), () => add(numberIn(km, "km")));
  return part("div", {}, part("div", { class: "row-of" }, pick), part("div", { class: "row-of" }, km, part("span", { class: "unit" }, "km"), byKm), said);
}

function nearestKm(latlng) {
  const road = ride.shown.plan.road;
  let [lat, lon, best, least] = [0, 0, 0, Infinity];
  const shrink = Math.cos((latlng.lat * Math.PI) / 180);
  road.lat.forEach((step, i) => {
    lat += step;
    lon += road.lon[i];
    const off = Math.hypot(lat / 1e5 - latlng.lat, (lon / 1e5 - latlng.lng) * shrink);
    if (off < least) [best, least] = [i, off];
  });
  return Math.round((best * road.step) / 100) / 10;
}
