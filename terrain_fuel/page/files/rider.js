// Who rides, on what, and how: what matters most first, the rest folded away.
import { fieldsOf } from "./fields.js";
import { part, say } from "./parts.js";

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
  box.refresh = (now) => rooms.forEach((room, table) => room.refresh(now.settings.rider[table]));
  return box;
}
