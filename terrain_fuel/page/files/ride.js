// The ride on the table: its state, its plan, and changing it. Every part of the page listens, none knows the others.
import { ask, tell } from "./talk.js";

export const ride = { key: "", state: null, shown: null, relief: undefined, news: null };
const listeners = { state: [], plan: [], told: [], news: [], lost: [], coming: [] };
// So often it is looked whether a ride that went, or its server, is there again.
const LOOK_AGAIN_MS = 3000;
let watching = null;
let turn = Promise.resolve();
let waiting = [];
let unanswered = 0;
// Fields with something typed that is not sent yet.
const unsent = new Set();
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

// Whether anything is on its way: told whenever that may have changed.
export function onComing(listener) {
  listeners.coming.push(listener);
}

// What is said where the ride, or the server, is no longer there; news come again when it is.
export function onLost(listener) {
  listeners.lost.push(listener);
}

// Until all that was typed here is sent and answered, and all that is known of its plan is shown.
export function isComing() {
  const { key, state, news } = ride;
  if (!key) return false;
  if (unsent.size || unanswered || !state || news?.change !== state.change || news.busy) return true;
  return news.planned === news.change ? isNewer({ change: news.planned, turn: news.turn }) : !news.fault;
}

function tellComing() {
  for (const listener of listeners.coming) listener(isComing());
}

// A field says that something is typed in it, and that it is sent.
export function typedIn(field, isUnsent) {
  if (isUnsent) unsent.add(field);
  else unsent.delete(field);
  tellComing();
}

function takeState(state) {
  if (ride.state && state.change < ride.state.change) return;
  ride.state = state;
  for (const listener of listeners.state) listener(state);
  tellComing();
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
  Object.assign(ride, { key: "", state: null, shown: null, relief: undefined, news: null });
  kept = null;
  taking = "";
  tellComing();
}

async function takeNews(key, news) {
  ride.news = news;
  for (const listener of listeners.news) listener(news);
  tellComing();
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
  tellComing();
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
  tellComing();
}

// What changes the ride, one after the other.
function inTurn(work) {
  unanswered += 1;
  tellComing();
  const done = turn.then(work).finally(() => {
    unanswered -= 1;
    tellComing();
  });
  turn = done.catch(() => {});
  return done;
}

const isSet = ({ do: what }) => what === "set";
const isSame = (one, other) => ["do", "file", "table", "key", "at"].every((key) => one[key] === other[key]);

// Edits wait for the change before them and go together; of two of the same value the later one goes.
export function change(edits) {
  const asked = { edits };
  const done = new Promise((resolve, reject) => Object.assign(asked, { resolve, reject }));
  const last = waiting.at(-1);
  if (last?.every((each) => each.edits.every(isSet))) {
    for (const each of last) each.edits = each.edits.filter((old) => !edits.some((edit) => isSet(edit) && isSame(old, edit)));
    last.push(asked);
    return done;
  }
  const together = [asked];
  waiting.push(together);
  inTurn(() => {
    waiting = waiting.filter((each) => each !== together);
    return keep(together);
  }).catch((fault) => refuse(together, fault));
  return done;
}

function refuse(together, fault) {
  for (const { reject } of together) reject(fault);
}

// What went together and is refused goes one by one: each is told its own fault, and what can be is kept.
async function keep(together) {
  const edits = together.flatMap((each) => each.edits);
  const from = ride.state.change;
  try {
    if (edits.length) takeState(await tell(`/rides/${ride.key}/change`, { change: from, edits }));
  } catch (fault) {
    takeState(await ask(`/rides/${ride.key}`));
    // what was changed elsewhere meanwhile is to be looked at first
    if (together.length === 1 || ride.state.change !== from) return refuse(together, fault);
    for (const each of together) await keep([each]);
    return;
  }
  for (const { resolve } of together) resolve();
}

export function set(file, table, key, value, at) {
  return change([{ do: "set", file, table, key, value, at }]);
}

// Something else than edits that changes the ride, in its turn.
export function followed(path, value = {}) {
  return inTurn(async () => takeState(await tell(`/rides/${ride.key}/${path}`, { ...value, change: ride.state.change })));
}

export function step(way) {
  return inTurn(async () => takeState(await tell(`/rides/${ride.key}/${way}`))).catch(() => {});
}
