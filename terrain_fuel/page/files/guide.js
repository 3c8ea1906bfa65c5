// A first visit: three steps to a plan of one's own. Who rides, in one sentence; what is in the kitchen; the plan.
import { field, settingOf } from "./fields.js";
import { kitchenPanel } from "./kitchen.js";
import { button, part, say } from "./parts.js";
import { onPlan, onTold, ride } from "./ride.js";
import { sentence } from "./rider.js";

const STEPS = [who, kitchen, plan];
const ABOUT = ["body_mass_kg", "carbohydrate_limit_g_per_h"];
let room = null;
for (const listen of [onPlan, onTold]) listen(() => room?.isConnected && room.refresh(ride.state));

export function guidePanel(state, show) {
  let at = 0;
  let shown = null;
  const heading = part("h2", { tabindex: "-1" });
  const body = part("div", {});
  const back = button(say("guideBack"), () => go(at - 1));
  const on = button("", () => (at + 1 < STEPS.length ? go(at + 1) : show("")), { class: "chief" });
  const box = part("div", { class: "guide" }, heading, body, part("div", { class: "row-of" }, back, on));
  const go = (step) => {
    at = step;
    heading.textContent = say("guideStep", { step: at + 1, of: STEPS.length, what: say(`guide.${at + 1}`) });
    shown = STEPS[at](ride.state || state, show);
    body.replaceChildren(shown);
    back.disabled = at === 0;
    on.textContent = say(at + 1 < STEPS.length ? "guideOn" : "guideDone");
    heading.focus();
  };
  box.refresh = (now) => shown.refresh?.(now);
  room = box;
  go(0);
  return box;
}

function who(state) {
  const fields = ABOUT.map((key) => field(settingOf("rider", "rider", key), state.settings.rider.rider[key]));
  const box = part("div", {}, part("p", { class: "quiet" }, say("guideWho")), sentence(), ...fields);
  box.refresh = (now) => fields.forEach((each, i) => each.refresh(now.settings.rider.rider[ABOUT[i]]));
  return box;
}

function kitchen(state) {
  const list = kitchenPanel(state);
  list.querySelector("h2").remove();
  const box = part("div", {}, part("p", { class: "quiet" }, say("guideKitchen")), list);
  box.refresh = (now) => list.refresh(now);
  return box;
}

function plan(state, show) {
  const figures = part("dl", { class: "figures" });
  const broken = part("p", { class: "wrong" });
  const box = part("div", {}, part("p", {}, say("guidePlan")), broken, figures, button(say("panel.along"), () => show("along")), part("p", { class: "quiet" }, say("guideCaution")));
  box.refresh = () => {
    const { totals = [], violations = [], broken: said } = ride.shown?.plan ?? {};
    broken.hidden = !violations.length;
    broken.replaceChildren(part("b", {}, said ?? ""), part("ul", {}, ...violations.filter((each) => each !== said).map((each) => part("li", {}, each))));
    figures.replaceChildren(...totals.map(([word, value]) => part("div", {}, part("dt", {}, word), part("dd", {}, value))));
  };
  box.refresh();
  return box;
}
