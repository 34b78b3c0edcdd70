/**
 * Takes a pointer's place to what the hand most likely means: a corner, a wall, a right angle.
 * Pure; the caller says how near is near.
 * @import {Point} from "./types.js"
 */

import { distance, lerp, nearestOnSegment, subtract } from "./geometry.js";

/**
 * @typedef {{corners: Point[], lines: [Point, Point][]}} Targets
 * @typedef {{at: Point, kind: "corner"|"line"|"angle"|"align"|"free",
 *   guides: [Point, Point][]}} Snap
 */

/**
 * @param {Point} at
 * @param {Targets} targets
 * @param {{near: number, from?: ?Point, before?: ?Point, free?: boolean}} options `near` in metres;
 *   `from` the corner before, for right angles; `before` the one before that
 * @returns {Snap}
 */
export function snap(at, targets, { near, from = null, before = null, free = false }) {
  if (free) return { at, kind: "free", guides: [] };
  const corner = nearestCorner(at, targets.corners, near);
  if (corner) return { at: corner, kind: "corner", guides: [] };
  const axes = from ? axisSnap(at, from, before, near) : null;
  if (axes) return withAlignment(axes, targets, near);
  const line = nearestLine(at, targets.lines, near);
  if (line) return { at: line, kind: "line", guides: [] };
  return from ? { at, kind: "free", guides: [] } : aligned(at, targets.corners, near);
}

/** @param {Point} at @param {Point[]} corners @param {number} near */
function nearestCorner(at, corners, near) {
  let best = null;
  let least = near;
  for (const corner of corners) {
    const far = distance(at, corner);
    if (far <= least) [best, least] = [corner, far];
  }
  return best;
}

/** @param {Point} at @param {[Point, Point][]} lines @param {number} near */
function nearestLine(at, lines, near) {
  let best = null;
  let least = near;
  for (const [a, b] of lines) {
    const found = nearestOnSegment(at, a, b);
    if (found.distance <= least) [best, least] = [found.at, found.distance];
  }
  return best;
}

/**
 * On the sheet's axes through `from`, or square to the stretch that ends there.
 * @param {Point} at @param {Point} from @param {?Point} before @param {number} near
 * @returns {?Snap}
 */
function axisSnap(at, from, before, near) {
  const directions = /** @type {Point[]} */ ([
    [1, 0],
    [0, 1],
  ]);
  if (before && distance(before, from) > 0) {
    const [x, y] = subtract(from, before);
    const long = Math.hypot(x, y);
    directions.push([-y / long, x / long], [x / long, y / long]);
  }
  let best = /** @type {?Snap} */ (null);
  let least = near;
  for (const [dx, dy] of directions) {
    const along = (at[0] - from[0]) * dx + (at[1] - from[1]) * dy;
    const foot = /** @type {Point} */ ([from[0] + along * dx, from[1] + along * dy]);
    const far = distance(at, foot);
    if (far <= least) {
      [best, least] = [{ at: foot, kind: "angle", guides: [[from, foot]] }, far];
    }
  }
  return best;
}

/** On a right angle, stops where a corner lies straight across. @param {Snap} found */
function withAlignment(found, /** @type {Targets} */ targets, /** @type {number} */ near) {
  const [[from]] = found.guides;
  const level = Math.abs(found.at[1] - from[1]) < 1e-9;
  const upright = Math.abs(found.at[0] - from[0]) < 1e-9;
  const across = level ? 0 : upright ? 1 : null;
  if (across === null) return found;
  let best = found;
  let least = near;
  for (const corner of targets.corners) {
    const far = Math.abs(corner[across] - found.at[across]);
    if (far > least || distance(corner, from) < 1e-9) continue;
    const at = /** @type {Point} */ ([...found.at]);
    at[across] = corner[across];
    least = far;
    best = {
      at,
      kind: "angle",
      guides: [
        [from, at],
        [corner, at],
      ],
    };
  }
  return best;
}

/** Level with one corner and upright over another. @param {Point} at @param {Point[]} corners */
function aligned(at, corners, /** @type {number} */ near) {
  const result = /** @type {Point} */ ([...at]);
  const guides = /** @type {[Point, Point][]} */ ([]);
  for (const axis of [0, 1]) {
    let least = near;
    let by = /** @type {?Point} */ (null);
    for (const corner of corners) {
      const far = Math.abs(corner[axis] - at[axis]);
      if (far <= least) [by, least] = [corner, far];
    }
    if (by) {
      result[axis] = by[axis];
      guides.push([by, result]);
    }
  }
  return /** @type {Snap} */ ({ at: result, kind: guides.length ? "align" : "free", guides });
}

/** Middle of a stretch. @param {Point} a @param {Point} b */
export const middle = (a, b) => lerp(a, b, 0.5);
