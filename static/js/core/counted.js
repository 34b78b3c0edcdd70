/**
 * How many detectors have each place in reach, from the rings the server gives. Detectors closer
 * than they must stand apart count as one: the rule of `coverage/voting.rs`, held to it by
 * `tests/data/coverage/counting_cases.json`.
 *
 * The floor is cut into rows; along a row every change is exact. Metres.
 * @import {Point} from "./types.js"
 * @typedef {{at: Point, rings: Point[][]}} Reaching
 * @typedef {{row: number, from: number, to: number, count: number}} Run a stretch of one row with
 *   one count
 * @typedef {{top: number, step: number, runs: Run[]}} Counted rows begin at `top`, each `step` high
 */

/** More than this need not be told apart: three vote and survive a failure. */
export const MOST = 3;

/** Distances are met to this much, m. */
const TOLERANCE_M = 1e-6;

/** How many of these places stand `apart` metres or more from each other, at most three. */
export function counting(/** @type {Point[]} */ places, /** @type {number} */ apart) {
  const far = (/** @type {Point} */ a, /** @type {Point} */ b) =>
    Math.hypot(a[0] - b[0], a[1] - b[1]) >= apart - TOLERANCE_M;
  let most = Math.min(places.length, 1);
  for (let a = 0; a < places.length; a += 1) {
    for (let b = a + 1; b < places.length; b += 1) {
      if (!far(places[a], places[b])) continue;
      most = 2;
      for (let c = b + 1; c < places.length; c += 1) {
        if (far(places[a], places[c]) && far(places[b], places[c])) return MOST;
      }
    }
  }
  return most;
}

/**
 * The stretches of the floor with one, two, and three or more in reach.
 * @param {Reaching[]} detectors @param {{apart: number, step: number}} how @returns {Counted}
 */
export function countedFloor(detectors, { apart, step }) {
  const ys = detectors.flatMap(({ rings }) => rings.flatMap((ring) => ring.map(([, y]) => y)));
  const runs = /** @type {Run[]} */ ([]);
  if (ys.length === 0) return { top: 0, step, runs };
  const [top, foot] = [ys.reduce((a, b) => Math.min(a, b)), ys.reduce((a, b) => Math.max(a, b))];
  /** @type {Map<string, number>} */
  const known = new Map();
  const countOf = (/** @type {Set<number>} */ inside) => {
    if (inside.size < 2) return inside.size;
    const all = [...inside].sort((a, b) => a - b);
    const key = all.join(" ");
    let count = known.get(key);
    if (count === undefined) {
      count = counting(all.map((idx) => detectors[idx].at), apart);
      known.set(key, count);
    }
    return count;
  };
  for (let row = 0; top + row * step < foot; row += 1) {
    runs.push(...runsOf(row, crossings(detectors, top + (row + 0.5) * step), countOf));
  }
  return { top, step, runs };
}

/** Where the reaches begin and end along a row, from left to right. @param {Reaching[]} detectors */
function crossings(detectors, /** @type {number} */ y) {
  const found = /** @type {{x: number, idx: number}[]} */ ([]);
  detectors.forEach(({ rings }, idx) => {
    for (const ring of rings) {
      ring.forEach(([x0, y0], n) => {
        const [x1, y1] = ring[(n + 1) % ring.length];
        if (y0 > y !== y1 > y) found.push({ x: x0 + ((y - y0) / (y1 - y0)) * (x1 - x0), idx });
      });
    }
  });
  return found.sort((a, b) => a.x - b.x);
}

/** @returns {Run[]} */
function runsOf(
  /** @type {number} */ row,
  /** @type {{x: number, idx: number}[]} */ ends,
  /** @type {(inside: Set<number>) => number} */ countOf,
) {
  const runs = /** @type {Run[]} */ ([]);
  const inside = /** @type {Set<number>} */ (new Set());
  ends.forEach(({ x, idx }, n) => {
    if (!inside.delete(idx)) inside.add(idx);
    const to = ends[n + 1]?.x ?? x;
    const count = countOf(inside);
    if (count === 0 || to - x < 1e-9) return;
    const last = runs.at(-1);
    if (last && last.count === count && x - last.to < 1e-9) last.to = to;
    else runs.push({ row, from: x, to, count });
  });
  return runs;
}

/** Area of the stretches with so many in reach, m². @param {Counted} counted @param {number} count */
export const areaOf = ({ step, runs }, count) =>
  runs.reduce((sum, run) => sum + (run.count === count ? (run.to - run.from) * step : 0), 0);

/**
 * For each connected piece of one count the place that lies deepest in it and farthest from what is
 * to be kept clear, with how deep, m. Pieces with less than `least` are left out.
 * @param {Counted} counted
 * @param {{least: number, clear: {at: Point, half: Point}[]}} how `clear`: boxes by their middle and
 *   half their width and height
 * @returns {{count: number, at: Point}[]}
 */
export function placesOf({ top, step, runs }, { least, clear }) {
  const rows = /** @type {Run[][]} */ ([]);
  for (const run of runs) (rows[run.row] ??= []).push(run);
  const piece = pieces(rows, runs);
  /** @type {Map<Run, {count: number, at: Point, depth: number}>} */
  const best = new Map();
  for (const run of runs) {
    for (const share of [0.5, 0.25, 0.75]) {
      const x = run.from + share * (run.to - run.from);
      const at = /** @type {Point} */ ([x, top + (run.row + 0.5) * step]);
      const side = Math.min(x - run.from, run.to - x);
      const free = clear.map((one) => away(at, one));
      const room = Math.min(side, ...free);
      const first = piece(run);
      const so_far = best.get(first)?.depth ?? least;
      if (room <= so_far) continue;
      const depth = Math.min(room, height(rows, run, x) * step);
      if (depth > so_far) best.set(first, { count: run.count, at, depth });
    }
  }
  return [...best.values()].map(({ count, at }) => ({ count, at }));
}

/** How far a place is from a box, m; 0 within it. @param {Point} at */
const away = (at, /** @type {{at: Point, half: Point}} */ box) =>
  Math.hypot(
    Math.max(Math.abs(at[0] - box.at[0]) - box.half[0], 0),
    Math.max(Math.abs(at[1] - box.at[1]) - box.half[1], 0),
  );

/** Rows of the same count above and below a place, whichever are fewer. */
function height(
  /** @type {Run[][]} */ rows,
  /** @type {Run} */ { row, count },
  /** @type {number} */ x,
) {
  const holds = (/** @type {number} */ n) =>
    (rows[n] ?? []).some((run) => run.count === count && run.from <= x && x <= run.to);
  let far = 0;
  while (holds(row - far - 1) && holds(row + far + 1)) far += 1;
  return far + 0.5;
}

/** Which piece a run belongs to, named by one of its runs. @param {Run[][]} rows @param {Run[]} runs */
function pieces(rows, runs) {
  /** @type {Map<Run, Run>} */
  const above = new Map();
  const first = (/** @type {Run} */ run) => {
    let at = run;
    for (let next = above.get(at); next; next = above.get(at)) at = next;
    return at;
  };
  for (const run of runs) {
    for (const other of rows[run.row - 1] ?? []) {
      if (other.count !== run.count || other.to <= run.from || other.from >= run.to) continue;
      const [a, b] = [first(run), first(other)];
      if (a !== b) above.set(a, b);
    }
  }
  return first;
}
