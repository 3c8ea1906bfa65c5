// Two versions of a ride side by side: totals, what is not kept, and what differs.
import { ride } from "./ride.js";
import { button, fresh, part, say } from "./parts.js";
import { ask, tell } from "./talk.js";

const AGAIN_MS = 400;

export function besidePanel() {
  const wrong = part("p", { class: "wrong", role: "alert", hidden: true });
  const id = fresh("beside");
  const select = part("select", { id, onchange: () => compare(select.value) }, part("option", { value: "" }, say("choose")));
  const result = part("div", { role: "status" });
  const tellWrong = (fault) => {
    wrong.textContent = fault.message;
    wrong.hidden = false;
  };
  // Versions of one ride are called alike: they are told apart by their folder and by what was changed last.
  const called = ({ name, folder, undo }, own) => [name === own ? folder : `${name} (${folder})`, undo].filter(Boolean).join(" · ");
  const list = async (chosen) => {
    const { rides } = await ask("/start");
    const own = rides.find((each) => each.ride === ride.key)?.name;
    select.replaceChildren(
      part("option", { value: "" }, say("choose")),
      ...rides.filter((each) => each.ride !== ride.key).map((each) => part("option", { value: each.ride }, called(each, own))),
    );
    if (chosen) select.value = chosen;
  };
  const compare = async (other) => {
    wrong.hidden = true;
    result.replaceChildren();
    if (!other) return;
    try {
      let found = await ask(`/rides/${ride.key}/beside/${other}`);
      while (found.wait) {
        await new Promise((done) => setTimeout(done, AGAIN_MS));
        found = await ask(`/rides/${ride.key}/beside/${other}`);
      }
      if (found.say) throw new Error(found.say);
      result.replaceChildren(...told(found), button(say("openOther"), () => (location.hash = other)));
    } catch (fault) {
      tellWrong(fault);
    }
  };
  const put = button(say("putBeside"), async () => {
    try {
      const { ride: other } = await tell(`/rides/${ride.key}/beside`);
      await list(other);
      await compare(other);
    } catch (fault) {
      tellWrong(fault);
    }
  });
  list().catch(tellWrong);
  const box = part(
    "div",
    {},
    part("h2", { tabindex: "-1" }, say("panel.beside")),
    part("p", { class: "quiet" }, say("besideLead")),
    part("div", { class: "row-of" }, put),
    part("div", { class: "field whole" }, part("label", { for: id }, say("compareWith")), select),
    wrong,
    result,
  );
  box.refresh = () => {};
  return box;
}

function told({ totals, lines, broken }) {
  const head = part("tr", {}, part("td", {}), part("th", { scope: "col" }, say("thisOne")), part("th", { scope: "col" }, say("otherOne")));
  const table = part("table", { class: "beside" }, part("thead", {}, head));
  for (const [name, one, other] of totals) table.append(part("tr", {}, part("th", { scope: "row" }, name), part("td", {}, one), part("td", {}, other)));
  const count = ([one, other]) => part("tr", {}, part("th", { scope: "row" }, say("notKept")), part("td", {}, String(one.length)), part("td", {}, String(other.length)));
  table.append(count(broken));
  return [table, part("ul", {}, ...lines.map((text) => part("li", { dir: "auto" }, text)))];
}
