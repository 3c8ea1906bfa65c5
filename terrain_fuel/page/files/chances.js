// Bad luck: the plan ridden a thousand times, and what would help, done by a button and undone like any change.
import { onNews, onPlan, ride, followed } from "./ride.js";
import { redraw } from "./kept.js";
import { button, part, say } from "./parts.js";
import { tell } from "./talk.js";

let known = null;
let room = null;
onPlan(() => room?.refresh());
onNews(({ ridden }) => room?.told(ridden));

export function chancesPanel() {
  const wrong = part("p", { class: "wrong", role: "alert", hidden: true });
  const result = part("div", { role: "status" });
  const progress = part("progress", { "aria-label": say("riding"), max: "1", hidden: true });
  const attempt = async (work) => {
    wrong.hidden = true;
    progress.hidden = false;
    try {
      await work();
    } catch (fault) {
      wrong.textContent = fault.message;
      wrong.hidden = false;
    } finally {
      progress.hidden = true;
      box.refresh();
    }
  };
  const go = button(say("rideIt"), () => attempt(async () => {
    const { key } = ride;
    known = { key, ...(await tell(`/rides/${key}/luck`)) };
  }), { class: "chief" });
  const box = part("div", {}, part("h2", { tabindex: "-1" }, say("panel.chances")), part("p", { class: "quiet" }, say("chancesLead")), go, progress, wrong, result);
  const adviceLine = (text, number) =>
    part("li", {}, part("span", { dir: "auto" }, text), button(say("follow"), () => attempt(() => followed(`advice/${number}`)), { "aria-label": `${say("follow")}: ${text}` }));
  box.refresh = () => {
    if (known?.key !== ride.key) return redraw(result);
    if (known.change !== ride.shown?.change) return redraw(result, part("p", { class: "quiet" }, say("chancesOld")));
    redraw(
      result,
      part("p", {}, part("b", {}, say("wellIn", known))),
      part("ul", {}, ...known.chances.map((text) => part("li", {}, text))),
      known.advice.length ? part("ul", { class: "items" }, ...known.advice.map(adviceLine)) : part("p", { class: "quiet" }, say("noAdvice")),
    );
  };
  box.told = (share) => {
    if (share) progress.value = share;
    else progress.removeAttribute("value");
  };
  room = box;
  box.refresh();
  return box;
}
