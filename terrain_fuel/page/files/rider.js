// Who rides, on what, and how: what matters most first, the rest folded away.
import { fieldsOf } from "./fields.js";
import { numberIn, numberInput } from "./numbers.js";
import { button, fresh, part, say } from "./parts.js";
import { followed, ride } from "./ride.js";

const FIRST = {
  rider: ["body_mass_kg", "ftp_w", "carbohydrate_limit_g_per_h", "descending", "age_y"],
  bike: ["bike_mass_kg", "lights"],
  habits: ["eat_every_min", "longest_gap_min", "units", "language"],
};

export function riderPanel(state) {
  const rooms = new Map();
  const box = part("div", {}, part("h2", { tabindex: "-1" }, say("panel.rider")));
  for (const [table, first] of Object.entries(FIRST)) {
    const room = fieldsOf("rider", table, state.settings.rider[table], first, say(`more.${table}`));
    rooms.set(table, room);
    box.append(part("h3", {}, say(`table.${table}`)), room);
  }
  box.append(sentence());
  box.refresh = (now) => rooms.forEach((room, table) => room.refresh(now.settings.rider[table]));
  return box;
}

const COUNTRIES = ["flat", "rolling", "hills", "mountains"];

// "I ride 90 km of hills in four hours" tells the efforts of the day.
export function sentence() {
  const entry = (word, input, unit) => {
    const id = fresh("sentence");
    input.id = id;
    return part("div", { class: "field" }, part("label", { for: id }, say(word)), part("span", { class: "entry" }, input, unit ? part("span", { class: "unit" }, unit) : ""));
  };
  const km = numberInput();
  const of = part("select", {}, ...COUNTRIES.map((name) => part("option", { value: name }, say(`country.${name}`))));
  const hours = numberInput();
  const said = part("p", { role: "status" });
  const take = button(say("takeIt"), async () => {
    said.className = "";
    try {
      await followed("sentence", { km: numberIn(km, "km"), of: of.value, hours: numberIn(hours) });
      const { day: { day }, rider: { rider } } = ride.state.settings;
      const watts = (effort) => Math.round(effort * rider.ftp_w);
      said.textContent = say("sentenceTaken", { flat: watts(day.effort_flat), climb: watts(day.effort_climb) });
    } catch (fault) {
      said.className = "wrong";
      said.textContent = fault.message;
    }
  });
  return part("fieldset", {}, part("legend", {}, say("sentence")), entry("sentenceKm", km, "km"), entry("sentenceOf", of), entry("sentenceHours", hours, say("hours")), take, said);
}
