// What is asked for in one of the rooms: said beside it, with a way out. A panel that covers the room makes way until then.
import { button, part, say } from "./parts.js";

const box = document.getElementById("asking");
const side = document.getElementById("side");
let stop = null;

// leave() is called when it is no longer wanted; the function that is returned says that it was done.
export function askIn(name, text, leave) {
  stop?.(true);
  const asker = document.activeElement;
  const makesWay = document.body.classList.contains("panel-open") && !document.getElementById(name).checkVisibility();
  const role = side.getAttribute("role");
  const openPanel = (isOpen) => {
    if (!makesWay) return;
    document.body.classList.toggle("panel-open", isOpen);
    side.setAttribute("role", isOpen ? role : "complementary"); // the rooms are the main thing again
  };
  openPanel(false);
  window.ridePage.showRoom(name);
  const out = button(say("neverMind"), () => stop?.(true));
  box.replaceChildren(part("p", {}, text), part("div", { class: "row-of" }, out));
  box.hidden = false;
  out.focus({ preventScroll: true });
  stop = (isLeft) => {
    stop = null;
    const wasIn = box.contains(document.activeElement) || document.activeElement === document.body;
    box.hidden = true;
    openPanel(true);
    if (wasIn) asker.focus({ preventScroll: true });
    if (isLeft) leave();
  };
  return () => stop?.(false);
}

addEventListener("keydown", (event) => event.key === "Escape" && stop?.(true));
// Who goes on elsewhere has left it.
for (const id of ["panel-buttons", "to-first"]) document.getElementById(id).addEventListener("click", () => stop?.(true), true);
