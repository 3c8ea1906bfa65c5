// The ride on the table: its state, its plan, and changing it. Every part of the page listens, none knows the others.
import { ask, tell } from "./talk.js";

export const ride = { key: "", state: null, shown: null, relief: undefined };
const listeners = { state: [], plan: [], told: [], news: [], lost: [] };
// So often it is looked whether a ride that went, or its server, is there again.
const LOOK_AGAIN_MS = 3000;
let watching = null;
let turn = Promise.resolve();
let waiting = [];
// The plan that is being fetched: news that say nothing else of it fetch it no second time.
let taking = "";

export function onState(listener) {
  listeners.state.push(listener);
}
export function onPlan(listener) {
  listeners.plan.push(listener);
}
// What is told beside the points of a plan that is shown already.
export function onTold(listener) {
  listeners.told.push(listener);
}
export function onNews(listener) {
  listeners.news.push(listener);
}

// What is said where the ride, or the server, is no longer there; news come again when it is.
export function onLost(listener) {
  listeners.lost.push(listener);
}

function takeState(state) {
  if (ride.state && state.change < ride.state.change) return;
  ride.state = state;
  for (const listener of listeners.state) listener(state);
}

export async function openRide(key) {
  closeRide();
  ride.key = key;
  takeState(await ask(`/rides/${key}`));
  watch(key);
}

function watch(key) {
  watching = new EventSource(`/rides/${key}/watch`);
  watching.onmessage = (event) => takeNews(key, JSON.parse(event.data));
  watching.onerror = () => look(key);
}

async function look(key) {
  if (ride.key !== key) return;
  watching.close();
  try {
    takeState(await ask(`/rides/${key}`));
  } catch (fault) {
    if (ride.key !== key) return;
    for (const listener of listeners.lost) listener(fault);
    setTimeout(look, LOOK_AGAIN_MS, key);
    return;
  }
  if (ride.key === key) watch(key);
}

export function closeRide() {
  if (watching) watching.close();
  if (ride.shown) window.ridePage.choose(""); // what is chosen on one ride is nothing on another
  Object.assign(ride, { key: "", state: null, shown: null, relief: undefined });
  kept = null;
  taking = "";
}

async function takeNews(key, news) {
  for (const listener of listeners.news) listener(news);
  const isBehind = () => ride.key === key && ride.state && news.change > ride.state.change;
  if (isBehind()) await turn; // the answer to a change of one's own brings it
  if (isBehind()) takeState(await ask(`/rides/${key}`));
  if (ride.key !== key) return;
  const asked = `${key} ${news.planned} ${news.turn}`;
  if (!news.planned || asked === taking || !isNewer({ change: news.planned, turn: news.turn })) return;
  taking = asked;
  try {
    if (ride.shown?.change === news.planned && ride.shown.turn >= news.placed) await takeTold(key);
    else await takePlan(key);
  } finally {
    if (taking === asked) taking = "";
  }
}

// Of one change there are several plans: a first one where the best is long in coming, the points as they stand,
// then with how good it is and what would help.
function isNewer(plan) {
  const seen = ride.shown;
  return !seen || plan.change > seen.change || (plan.change === seen.change && plan.turn > seen.turn);
}

async function takePlan(key) {
  const shown = await ask(`/rides/${key}/plan`);
  if (ride.key !== key || !isNewer(shown)) return;
  if (ride.relief === undefined) ride.relief = await ask(`/rides/${key}/relief`);
  if (ride.key === key) showPlan(shown);
}

async function takeTold(key) {
  const { plan, ...told } = await ask(`/rides/${key}/told`);
  if (ride.key !== key || told.change !== ride.shown.change || !isNewer(told)) return;
  Object.assign(ride.shown, told);
  Object.assign(ride.shown.plan, plan);
  window.ridePage.tell(plan);
  for (const listener of listeners.told) listener(ride.shown);
}

// While a mark is held nothing is drawn anew: the finger would lose it.
let isHeld = false;
let kept = null;

export function holdPlans(held) {
  isHeld = held;
  if (!held && kept) showPlan(kept);
}

function showPlan(shown) {
  kept = isHeld ? shown : null;
  if (isHeld || !isNewer(shown)) return;
  ride.shown = shown;
  window.ridePage.show({ ...shown.plan, relief: ride.relief });
  for (const listener of listeners.plan) listener(shown);
}

// Edits wait for the change before them; of two of the same value the later one goes.
export function change(edits) {
  const same = (one, other) => ["do", "file", "table", "key", "at"].every((key) => one[key] === other[key]);
  const replaces = (old) => edits.some((edit) => edit.do === "set" && same(old, edit));
  const last = waiting.at(-1);
  if (last && last.edits.every((edit) => edit.do === "set")) {
    last.edits = [...last.edits.filter((old) => !replaces(old)), ...edits];
    return last.done;
  }
  const batch = { edits };
  batch.done = turn.then(async () => {
    waiting = waiting.filter((each) => each !== batch);
    const asked = { change: ride.state.change, edits: batch.edits };
    try {
      takeState(await tell(`/rides/${ride.key}/change`, asked));
    } catch (fault) {
      takeState(await ask(`/rides/${ride.key}`));
      throw fault;
    }
  });
  waiting.push(batch);
  turn = batch.done.catch(() => {});
  return batch.done;
}

export function set(file, table, key, value, at) {
  return change([{ do: "set", file, table, key, value, at }]);
}

// Something else than edits that changes the ride, in its turn.
export function followed(path, value = {}) {
  const done = turn.then(async () => takeState(await tell(`/rides/${ride.key}/${path}`, { ...value, change: ride.state.change })));
  turn = done.catch(() => {});
  return done;
}

export function step(way) {
  turn = turn.then(async () => takeState(await tell(`/rides/${ride.key}/${way}`))).catch(() => {});
  return turn;
}
