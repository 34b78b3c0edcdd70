/**
 * Tags and names of things: the server says where each stands; here it follows its thing while that
 * is moved, until the server has placed it anew. Pure.
 * @import {Key, Point} from "./types.js"
 */

import { add, distance, subtract } from "./geometry.js";
import { heightText } from "./quantity.js";

/**
 * @typedef {{about: Key, lines: string[], bold: boolean, at: Point, width: number, height: number,
 *   anchor: "start"|"middle"|"end", leader: boolean, home: ?Point, then: any}} Words `at` is the
 *   middle of the block in m, `width` and `height` are px; `home` and `then` are its thing's place
 *   and the thing as they were when it was placed
 */

/** A tag nearer to its symbol than this has no leader line, px: as on the server. */
const NEAR_PX = 6.3;

/** The place that a thing's words go with. @param {any} item @returns {?Point} */
export const anchorOf = (item) => item?.at ?? item?.outline?.[0] ?? null;

/** Where words stand now, m. @param {Words} words @param {any} item the thing now @returns {Point} */
export function standing(words, item) {
  const now = anchorOf(item);
  if (!now || !words.home) return words.at;
  if (isMovedByHand(words, item)) return add(item.at, item.tag_offset);
  return add(words.at, subtract(now, words.home));
}

/** Whether the tag is at a place of its own that the server has not seen. @param {Words} words */
export const isMovedByHand = (words, /** @type {any} */ item) =>
  Boolean(item.tag_offset) && String(item.tag_offset) !== String(words.then?.tag_offset ?? null);

/** The lines now: a height that is being changed is shown at once. @param {Words} words */
export function linesNow(words, /** @type {any} */ item, /** @type {string} */ units) {
  const { then } = words;
  if (!then || typeof item?.height !== "number" || item.height === then.height) return words.lines;
  const before = heightText(then.height, units);
  return words.lines.map((line) =>
    line.endsWith(before)
      ? line.slice(0, -before.length) + heightText(item.height, units)
      : line,
  );
}

/**
 * The leader line from a symbol to a block of words, m; `null` where they are close.
 * @param {{symbol: Point, radius: number, at: Point, width: number, height: number,
 *   scale: number}} options sizes in px, places in m
 * @returns {?[Point, Point]}
 */
export function leader({ symbol, radius, at, width, height, scale }) {
  const clamp = (/** @type {number} */ value, /** @type {number} */ middle, /** @type {number} */ half) =>
    Math.min(middle + half, Math.max(middle - half, value));
  const end = /** @type {Point} */ ([
    clamp(symbol[0], at[0], width / 2 / scale),
    clamp(symbol[1], at[1], height / 2 / scale),
  ]);
  const far = distance(symbol, end);
  if (far * scale - radius <= NEAR_PX) return null;
  const [dx, dy] = subtract(end, symbol);
  const part = radius / scale / far;
  return [[symbol[0] + dx * part, symbol[1] + dy * part], end];
}
