/**
 * Plane geometry in metres. Pure: knows no drawing, no screen, no domain words.
 * @import {Point} from "./types.js"
 */

/** @param {Point} a @param {Point} b @returns {Point} */
export const add = (a, b) => [a[0] + b[0], a[1] + b[1]];

/** @param {Point} a @param {Point} b @returns {Point} */
export const subtract = (a, b) => [a[0] - b[0], a[1] - b[1]];

/** @param {Point} a @param {Point} b */
export const distance = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]);

/** @param {Point} a @param {Point} b @param {number} t @returns {Point} */
export const lerp = (a, b, t) => [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t];

/** Rounds to whole millimetres, so that what is stored is what is shown. @param {Point} p */
export const toMillimetres = (p) => /** @type {Point} */ ([millimetre(p[0]), millimetre(p[1])]);

/** @param {number} m */
export function millimetre(m) {
  const rounded = Math.round(m * 1000) / 1000;
  return rounded === 0 ? 0 : rounded;
}

/**
 * The point of the stretch from `a` to `b` that is nearest to `p`.
 * @param {Point} p @param {Point} a @param {Point} b
 */
export function nearestOnSegment(p, a, b) {
  const along = subtract(b, a);
  const squared = along[0] ** 2 + along[1] ** 2;
  const from = subtract(p, a);
  const raw = squared === 0 ? 0 : (from[0] * along[0] + from[1] * along[1]) / squared;
  const t = Math.min(1, Math.max(0, raw));
  const at = lerp(a, b, t);
  return { at, t, distance: distance(p, at) };
}

/** Area of a polygon, m2; never negative. @param {Point[]} outline */
export function area(outline) {
  return Math.abs(signedArea(outline));
}

/** @param {Point[]} outline */
function signedArea(outline) {
  let twice = 0;
  for (let idx = 0; idx < outline.length; idx += 1) {
    const [ax, ay] = outline[idx];
    const [bx, by] = outline[(idx + 1) % outline.length];
    twice += ax * by - bx * ay;
  }
  return twice / 2;
}

/** Whether `p` lies inside (even-odd rule). @param {Point} p @param {Point[]} outline */
export function contains(outline, p) {
  let inside = false;
  for (let idx = 0, last = outline.length - 1; idx < outline.length; last = idx, idx += 1) {
    const [ax, ay] = outline[idx];
    const [bx, by] = outline[last];
    if (ay > p[1] !== by > p[1] && p[0] < ((bx - ax) * (p[1] - ay)) / (by - ay) + ax) {
      inside = !inside;
    }
  }
  return inside;
}

/** The edges of a closed outline. @param {Point[]} outline @returns {[Point, Point][]} */
export const edges = (outline) =>
  outline.map((corner, idx) => [corner, outline[(idx + 1) % outline.length]]);

/** The stretches of an open line. @param {Point[]} line @returns {[Point, Point][]} */
export const stretches = (line) => line.slice(1).map((corner, idx) => [line[idx], corner]);

/** Length of an open line, m. @param {Point[]} line */
export const lineLength = (line) =>
  stretches(line).reduce((sum, [a, b]) => sum + distance(a, b), 0);

/**
 * The box round the points; `null` without any.
 * @param {Iterable<Point>} points
 * @returns {?{x: number, y: number, width: number, height: number}}
 */
export function bounds(points) {
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [x, y] of points) {
    left = Math.min(left, x);
    right = Math.max(right, x);
    top = Math.min(top, y);
    bottom = Math.max(bottom, y);
  }
  return left > right ? null : { x: left, y: top, width: right - left, height: bottom - top };
}

/** The middle of the bounds of `points`; `null` where there are none. @param {?Point[]} [points] */
export function middleOf(points) {
  const box = points ? bounds(points) : null;
  return box && /** @type {Point} */ ([box.x + box.width / 2, box.y + box.height / 2]);
}

/** @param {Point} a @param {Point} b @returns {Point[]} four corners of the upright rectangle */
export const rectangle = (a, b) => [a, [b[0], a[1]], b, [a[0], b[1]]];

/** Whether two stretches cross in their inner points. */
function cross(
  /** @type {Point} */ a,
  /** @type {Point} */ b,
  /** @type {Point} */ c,
  /** @type {Point} */ d,
) {
  const side = (/** @type {Point} */ p, /** @type {Point} */ q, /** @type {Point} */ r) =>
    Math.sign((q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]));
  return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
}

/** Whether an outline crosses itself. @param {Point[]} outline */
export function crossesItself(outline) {
  const sides = edges(outline);
  for (let i = 0; i < sides.length; i += 1) {
    for (let j = i + 2; j < sides.length; j += 1) {
      const neighbours = i === 0 && j === sides.length - 1;
      if (!neighbours && cross(...sides[i], ...sides[j])) return true;
    }
  }
  return false;
}

/** A point `length` from `from` towards `towards`. */
export function towards(
  /** @type {Point} */ from,
  /** @type {Point} */ to,
  /** @type {number} */ length,
) {
  const far = distance(from, to);
  return far === 0 ? add(from, [length, 0]) : lerp(from, to, length / far);
}
