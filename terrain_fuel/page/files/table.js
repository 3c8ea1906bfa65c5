// The page: first the rides, then one of them with its panels.
import { ask } from "./talk.js";
import { setWords } from "./parts.js";
import { setBook } from "./fields.js";
import { setFoods } from "./weighed.js";
import { showFirst } from "./first.js";
import { closeRide, openRide } from "./ride.js";
import { startBar } from "./bar.js";
import "./moved.js";
import "./hand.js";

async function arrive() {
  const key = location.hash.slice(1);
  document.body.classList.toggle("at-first", !key);
  if (!key) {
    closeRide();
    await showFirst(await ask("/start"));
    return;
  }
  try {
    await openRide(key);
  } catch {
    location.hash = "";
  }
}

const start = await ask("/start");
setWords(start.words);
setBook(start.fields);
setFoods(start.foods);
// One ride that the address names was just put there by the command.
startBar(start.rides.length <= (location.hash ? 1 : 0));
addEventListener("hashchange", arrive);
await arrive();
document.body.dataset.ready = "yes";
