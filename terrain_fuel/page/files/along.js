// What is taken along: every output drawn as it prints, one by one or all in an archive.
import { onNews, ride } from "./ride.js";
import { button, part, say } from "./parts.js";
import { ask, tell } from "./talk.js";

const PRINTED = ["sticker.pdf", "sheet.pdf"];
const FILES = ["map.html", "fuel-points.gpx", "plan.json", "plan.geojson"];
let news = { drawn: 0, drawing: false };
let room = null;
onNews((now) => {
  news = now;
  room?.refresh();
});

// What to buy: for this ride, or for all that start within seven days.
function shopping() {
  const list = part("div", { role: "status" });
  const look = async (rest) => {
    try {
      let found = await ask(`/rides/${ride.key}/${rest}`);
      while (found.wait) {
        list.replaceChildren(part("p", { class: "quiet" }, say("planning")));
        await new Promise((done) => setTimeout(done, 500));
        found = await ask(`/rides/${ride.key}/${rest}`);
      }
      list.replaceChildren(part("p", { class: "quiet", dir: "auto" }, found.rides.join(" · ")), tableOf(found.lines));
    } catch (fault) {
      list.replaceChildren(part("p", { class: "wrong" }, fault.message));
    }
  };
  const choices = [["shopOne", "shopping"], ["shopWeek", "shopping/week"]];
  return part("div", { class: "shopping" }, part("h3", {}, say("shopping")), part("div", { class: "row-of" }, ...choices.map(([word, rest]) => button(say(word), () => look(rest)))), list);
}

function tableOf(lines) {
  const head = ["shopItem", "shopWanted", "shopHome", "shopBuy"].map((word) => part("th", { scope: "col" }, say(word)));
  const rows = lines.map(({ item, wanted, home, buy }) =>
    part("tr", {}, part("th", { scope: "row", dir: "auto" }, item), part("td", {}, wanted), part("td", {}, home), part("td", {}, buy ? part("b", {}, buy) : "–")));
  return part("table", { class: "beside" }, part("thead", {}, part("tr", {}, ...head)), part("tbody", {}, ...rows));
}

export function alongPanel() {
  const wrong = part("p", { class: "wrong", role: "alert", hidden: true });
  const said = part("p", { class: "quiet", role: "status" });
  const draw = button(say("drawOutputs"), async () => {
    wrong.hidden = true;
    try {
      news = await tell(`/rides/${ride.key}/outputs`);
      room.refresh();
    } catch (fault) {
      wrong.textContent = fault.message;
      wrong.hidden = false;
    }
  }, { class: "chief" });
  const links = part("ul", { class: "items" });
  const printed = part("div", { class: "printed" });
  const at = (rest) => `/rides/${ride.key}/${rest}`;
  const line = (name, ...more) => part("li", {}, part("span", {}, say(`output.${name}`), part("small", { class: "quiet" }, ` ${name}`)), part("span", { class: "row-of" }, ...more));
  const save = (name) => part("a", { class: "as-button", href: at(`outputs/${name}`), download: name, "aria-label": `${say("save")}: ${say(`output.${name}`)}` }, say("save"));
  const show = (name) => part("a", { class: "as-button", href: at(`print/${name}`), target: "_blank", rel: "noopener", "aria-label": `${say("print")}: ${say(`output.${name}`)}` }, say("print"));
  // Every side of paper as it prints.
  const asItPrints = async (name) => {
    const { pages } = await ask(at(`pages/${name}`));
    return [...Array(pages).keys()].map((number) => part("img", { src: at(`pages/${name}/${number}?${news.drawn}`), loading: "lazy", alt: say("asItPrints", { name: say(`output.${name}`), number: number + 1, count: pages }) }));
  };
  const box = part("div", {}, part("h2", { tabindex: "-1" }, say("panel.along")), part("p", { class: "quiet" }, say("alongLead")), draw, said, wrong, links, printed, shopping());
  box.refresh = () => {
    const fresh = ride.state && news.drawn === ride.state.change;
    draw.disabled = fresh || news.drawing;
    said.textContent = news.drawing ? say("drawingThem") : fresh ? say("drawnNow") : news.drawn ? say("drawnOld") : "";
    links.hidden = !fresh;
    printed.hidden = !fresh;
    if (fresh && !links.children.length) {
      links.append(
        ...PRINTED.map((name) => line(name, show(name), save(name))),
        ...FILES.map((name) => line(name, save(name))),
        part("li", {}, part("span", {}, say("output.all")), part("a", { class: "as-button", href: at("ride.zip"), download: "ride.zip" }, say("save"))),
      );
      Promise.all(PRINTED.map(asItPrints)).then((sheets) => printed.replaceChildren(...sheets.flat()));
    }
  };
  room = box;
  box.refresh();
  return box;
}
