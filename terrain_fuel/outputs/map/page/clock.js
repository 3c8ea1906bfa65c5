// The ride by the clock: where the rider is now, and when each place comes, put right by "I am here".
const MUCH_LATER_S = 6 * 3600;
const HALF_MINUTE_S = 30;

// What the page keeps over a reload; without a store it forgets, and all else works.
const memory = {
  read(name) {
    try {
      return JSON.parse(localStorage.getItem(name));
    } catch {
      return null;
    }
  },
  write(name, value) {
    try {
      localStorage.setItem(name, JSON.stringify(value));
    } catch {
      // a browser that keeps nothing for pages from files
    }
  },
};

// Seconds by which the rider is later than planned; null while nothing but the plan's clock is known.
let late = null;
const clockListeners = [];
function onClock(listener) {
  clockListeners.push(listener);
}
function tellClock() {
  if (plan) for (const listener of clockListeners) listener();
}

const rideName = () => `ride ${plan.name} ${plan.start} ${plan.length}`;
const sinceStart = () => (Date.now() - Date.parse(plan.start)) / 1000;
const lastOf = (column) => column[column.length - 1];

// Value of one column of the clock at a value of another; of a halt, the time of coming.
function along(from, to, value) {
  let low = 0;
  let high = from.length - 1;
  if (value <= from[0]) return to[0];
  if (value >= from[high]) return to[high];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (from[middle] < value) low = middle;
    else high = middle;
  }
  return to[low] + ((value - from[low]) / (from[high] - from[low])) * (to[high] - to[low]);
}
const timeAt = (metres) => along(plan.clock.at, plan.clock.time, metres);
const placeAtTime = (seconds) => along(plan.clock.time, plan.clock.at, seconds);

// Where the rider is: before the start, riding, or done; in the plan's own seconds and metres.
function rideNow() {
  const time = sinceStart() - (late || 0);
  const end = lastOf(plan.clock.time);
  const otherDay = time < 0 || time > end + MUCH_LATER_S;
  if (otherDay) return { state: "before", time: 0, at: 0 };
  return { state: time > end ? "over" : "riding", time, at: placeAtTime(time) };
}

function iAmHere(metres) {
  late = sinceStart() - timeAt(metres);
  memory.write(rideName(), late);
  tellClock();
}
function byPlan() {
  late = null;
  memory.write(rideName(), null);
  tellClock();
}

// Local time of day of the ride's start, so many seconds of the plan later.
function clockText(seconds) {
  const [, sign, hours, minutes] = /([+-])(\d\d)(\d\d)/.exec(plan.zone);
  const zone_s = (sign === "-" ? -1 : 1) * (3600 * hours + 60 * minutes);
  const moment = new Date(Date.parse(plan.start) + 1000 * (seconds + (late || 0) + zone_s + HALF_MINUTE_S));
  return moment.toISOString().slice(11, 16);
}
function waitText(seconds) {
  const minutes = Math.round(seconds / 60);
  if (minutes < 60) return `${minutes} min`;
  return `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, "0")} min`;
}
const distanceText = (metres) => (metres / plan.units.roadM).toFixed(1).replace(".", plan.units.mark);
const lengthText = (metres) => `${distanceText(metres)} ${plan.units.road}`;
const placeText = (metres) => `${plan.units.before} ${distanceText(metres)}`;

// A text with {names} in it, filled in.
function filled(text, values) {
  return text.replace(/\{(\w+)\}/g, (_, name) => values[name]);
}

onShow(() => {
  late = memory.read(rideName());
  tellClock();
});
setInterval(tellClock, 5000);
document.addEventListener("visibilitychange", () => document.hidden || tellClock());
