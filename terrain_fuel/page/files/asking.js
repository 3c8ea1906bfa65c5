// What is asked for in one of the rooms: said beside it, with a way out. A panel that covers the room makes way until then.
import { button, part, say } from "./parts.js";

const box = document.getElementById("asking");
let stop = null;

// leave() is called when it is no longer wanted; the function that is returned says that it was done.
export function askIn(name, text, leave) {
  stop?.(true);
  const asker = document.activeElement;
  const makesWay = document.body.classList.contains("panel-open") && !document.getElementById(name).checkVisibility();
  if (makesWay) document.body.classList.remove("panel-open");
  window.ridePage.showRoom(name);
  const out = button(say("neverMind"), () => stop?.(true));
  box.replaceChildren(part("p", {}, text), part("div", { class: "row-of" }, out));
  box.hidden = false;
  out.focus({ preventScroll: true });
  stop = (isLeft) => {
    stop = null;
    const wasIn = box.contains(document.activeElement) || document.activeElement === document.body;
    box.hidden = true;
    if (makesWay) document.body.classList.add("panel-open");
    if (wasIn) asker.focus({ preventScroll: true });
    if (isLeft) leave();
  };
  return () => stop?.(false);
}

addEventListener("keydown", (event) => event.key === "Escape" && stop?.(true));
// Who goes on elsewhere has left it.
for (const id of ["panel-buttons", "to-first"]) document.getElementById(id).addEventListener("click", () => stop?.(true), true);
