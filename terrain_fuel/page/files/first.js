// The first page: a route dropped or chosen, what is to be chosen of it, routes on offer, and the rides kept.
import { send, tell } from "./talk.js";
import { button, part, say } from "./parts.js";

const drop = document.getElementById("drop");
const picker = document.getElementById("route-file");
const wrong = document.getElementById("first-wrong");
const choice = document.getElementById("choice");
const doing = document.getElementById("doing");

function complain(fault) {
  wrong.textContent = fault.message;
  wrong.hidden = false;
}

async function take(asked, file, rest = "") {
  wrong.hidden = true;
  doing.textContent = say("reading");
  try {
    const said = await asked();
    if (said.tracks) chooseTrack(said.tracks, file);
    else if (said.heights) offerHeights(said.heights, file, rest);
    else location.hash = said.ride;
  } catch (fault) {
    complain(fault);
  } finally {
    doing.textContent = "";
    picker.value = "";
  }
}

picker.addEventListener("change", () => {
  const [file] = picker.files;
  if (file) takeFile(file);
});

const takeFile = (file) => take(() => send("/rides", file), file);

// A file of several tracks: one of them is the ride, or all in a row.
function chooseTrack(tracks, file) {
  const of = (number) => () => take(() => send(`/rides/track/${number}`, file), file, `/track/${number}`);
  const lines = tracks.map(([name, length], at) => button(`${at + 1} ${name} · ${(length / 1000).toFixed(1)} km`, of(at + 1), { dir: "auto" }));
  choose(say("whichTrack", { count: tracks.length }), part("ul", {}, ...[...lines, button(say("allTracks"), of(0))].map((each) => part("li", {}, each))));
}

// A route without heights: they are fetched, which tells a server where; or the route is dropped once more with them.
function offerHeights(lacking, file, rest) {
  const fetched = button(say("fetchHeights"), () => take(() => send(`/rides/heights${rest}`, file), file, rest), { class: "chief" });
  choose(lacking, part("p", {}, say("heightsLead")), part("div", { class: "row-of" }, fetched), part("p", { class: "quiet" }, say("heightsElse")));
}

function choose(heading, ...parts) {
  choice.replaceChildren(part("h2", { tabindex: "-1" }, heading), ...parts);
  choice.hidden = false;
  choice.querySelector("h2").focus();
}

for (const kind of ["dragover", "drop"]) {
  document.addEventListener(kind, (event) => {
    if (!document.body.classList.contains("at-first")) return;
    event.preventDefault();
    drop.classList.toggle("over", kind === "dragover");
    const file = kind === "drop" && event.dataTransfer.files[0];
    if (file) takeFile(file);
  });
}

function fillList(id, items) {
  const room = document.getElementById(id);
  room.hidden = !items.length;
  room.querySelector("ul").replaceChildren(...items.map((item) => part("li", {}, ...item)));
}

// Who has no ride yet has no rider whose language this page could speak: it is the browser's, or the one chosen here.
function offerLanguages(codes) {
  const room = document.getElementById("languages");
  const choose = async (language) => {
    await tell("/language", { language });
    location.reload();
  };
  room.hidden = codes.length < 2;
  room.replaceChildren(
    ...codes.map((code) => button(say(`word.${code}`), () => choose(code).catch(complain), { lang: code, "aria-pressed": String(code === document.documentElement.lang) })),
  );
}

const takeOff = async (ride) => showFirst(await tell(`/rides/${ride}/take-off`));

// A day as it is written in the page's language, in the reader's own country's way where that speaks it.
function dayText(day) {
  const { lang } = document.documentElement;
  const own = navigator.languages.find((each) => each.split("-")[0] === lang) ?? lang;
  return new Date(`${day}T00:00`).toLocaleDateString(own, { dateStyle: "medium" });
}

export async function showFirst(start) {
  choice.hidden = true;
  offerLanguages(start.languages);
  fillList(
    "offered",
    start.offered.map((name, number) => [button(name, () => take(() => tell(`/offered/${number}`)))]),
  );
  fillList(
    "kept",
    start.rides.map(({ ride, name, folder, day, undo }) => [
      part("a", { href: `#${ride}`, dir: "auto" }, name),
      part("span", { class: "quiet" }, [day && dayText(day), folder, undo && say("lastChange", { what: undo })].filter(Boolean).join(" · ")),
      button(say("takeOff"), () => takeOff(ride).catch(complain), { "aria-label": `${say("takeOff")}: ${name}` }),
    ]),
  );
  fillList(
    "gone",
    start.gone.map(({ number, name }) => [part("span", { dir: "auto" }, name), button(say("putBack"), () => take(() => tell(`/gone/${number}`)), { "aria-label": `${say("putBack")}: ${name}` })]),
  );
}
