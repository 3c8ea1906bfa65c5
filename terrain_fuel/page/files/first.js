// The first page: a route dropped or chosen, routes on offer, and the rides kept.
import { send, tell } from "./talk.js";
import { button, part, say } from "./parts.js";

const drop = document.getElementById("drop");
const picker = document.getElementById("route-file");
const wrong = document.getElementById("first-wrong");
const doing = document.getElementById("doing");

async function take(asked) {
  wrong.hidden = true;
  doing.textContent = say("reading");
  try {
    location.hash = (await asked()).ride;
  } catch (fault) {
    wrong.textContent = fault.message;
    wrong.hidden = false;
  } finally {
    doing.textContent = "";
    picker.value = "";
  }
}

picker.addEventListener("change", () => {
  const [file] = picker.files;
  if (file) take(() => send("/rides", file));
});

for (const kind of ["dragover", "drop"]) {
  document.addEventListener(kind, (event) => {
    if (!document.body.classList.contains("at-first")) return;
    event.preventDefault();
    drop.classList.toggle("over", kind === "dragover");
    const file = kind === "drop" && event.dataTransfer.files[0];
    if (file) take(() => send("/rides", file));
  });
}

function fillList(id, items) {
  const room = document.getElementById(id);
  room.hidden = !items.length;
  room.querySelector("ul").replaceChildren(...items.map((item) => part("li", {}, ...item)));
}

export async function showFirst(start) {
  fillList(
    "offered",
    start.offered.map((name, number) => [button(name, () => take(() => tell(`/offered/${number}`)))]),
  );
  fillList(
    "kept",
    start.rides.map(({ ride, name, folder, undo }) => [
      part("a", { href: `#${ride}`, dir: "auto" }, name),
      part("span", { class: "quiet" }, [folder, undo].filter(Boolean).join(" · ")),
    ]),
  );
}
