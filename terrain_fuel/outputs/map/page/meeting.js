// Where the road meets itself: a way back stands to the right of the way out, a later crossing leads over.
const MEETS_PX = 6;
const APART_PX = 40;
const ASIDE_PX = 4;
function meetOneself(w) {
  const grid = new Map();
  const cell = (x, y) => cellAt(Math.round(x / MEETS_PX), Math.round(y / MEETS_PX));
  const sampled = [];
  for (let i = 0, last = -Infinity; i < w.count; i++) {
    if (!once[i] || w.s[i] - last < 2) continue;
    last = w.s[i];
    sampled.push(i);
    const key = cell(w.x[i], w.y[i]);
    if (!grid.has(key)) grid.set(key, []);
    grid.get(key).push(i);
  }
  const back = new Float64Array(w.count);
  for (const i of sampled) {
    for (let column = -1; column <= 1; column++) {
      for (let line = -1; line <= 1; line++) {
        for (const j of grid.get(cell(w.x[i] + column * MEETS_PX, w.y[i] + line * MEETS_PX)) || []) {
          if (Math.abs(w.s[i] - w.s[j]) < APART_PX) continue;
          if (Math.hypot(w.x[i] - w.x[j], w.y[i] - w.y[j]) > MEETS_PX) continue;
          const together = w.dx[i] * w.dx[j] + w.dy[i] * w.dy[j];
          if (together < -0.6) back[i] = 1;
          else if (Math.abs(together) < 0.8 && i > j) markOver(w, i);
        }
      }
    }
  }
  stepAside(w, back);
}
function markOver(w, i) {
  for (let j = i; j >= 0 && w.s[i] - w.s[j] < 9; j--) w.over[j] = 1;
  for (let j = i; j < w.count && w.s[j] - w.s[i] < 9; j++) w.over[j] = 1;
}
function stepAside(w, back) {
  const reach = 16;
  let low = 0;
  let high = 0;
  let sum = 0;
  const [x, y] = [w.x.slice(), w.y.slice()];
  // between sampled places the last one counts
  for (let i = 1; i < w.count; i++) if (!back[i] && back[i - 1] && w.s[i] - w.s[i - 1] < 2) back[i] = back[i - 1];
  for (let i = 0; i < w.count; i++) {
    while (high < w.count && w.s[high] - w.s[i] <= reach) sum += back[high++];
    while (w.s[i] - w.s[low] > reach) sum -= back[low++];
    w.beside[i] = Math.min(1, (1.5 * sum) / (high - low));
    if (!w.beside[i]) continue;
    w.x[i] = x[i] - ASIDE_PX * w.beside[i] * w.dy[i];
    w.y[i] = y[i] + ASIDE_PX * w.beside[i] * w.dx[i];
  }
}
