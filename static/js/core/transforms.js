/**
 * Moved and reshaped copies of things. Pure: the thing given is not touched.
 * @import {Kind, Point} from "./types.js"
 */

import { add, lerp, toMillimetres } from "./geometry.js";

/** A copy moved by `by`, m. @template T @param {Kind} kind @param {T} item @returns {T} */
export function moved(kind, item, /** @type {Point} */ by) {
  const shift = (/** @type {Point} */ p) => toMillimetres(add(p, by));
  const any = /** @type {any} */ (item);
  if (kind === "room") return { ...any, outline: any.outline.map(shift) };
  if (kind === "barrier" || kind === "containment") return { ...any, line: any.line.map(shift) };
  if (kind === "opening") return { ...any, a: shift(any.a), b: shift(any.b) };
  return any.at ? byHand(kind, { ...any, at: shift(any.at) }) : item;
}

/** What a person moves is no longer the engine's to take away. @template T @param {T} item */
export function byHand(/** @type {Kind} */ kind, item) {
  const any = /** @type {any} */ (item);
  return kind === "detector" && any.origin === "suggested" ? { ...any, origin: "by_hand" } : item;
}

/** A copy with corner `idx` at `at`. @template T @param {Kind} kind @param {T} item @returns {T} */
export function withCorner(kind, item, /** @type {number} */ idx, /** @type {Point} */ at) {
  const any = /** @type {any} */ (item);
  const to = toMillimetres(at);
  if (kind === "opening") return idx === 0 ? { ...any, a: to } : { ...any, b: to };
  const field = kind === "room" ? "outline" : "line";
  return {
    ...any,
    [field]: any[field].map((/** @type {Point} */ p, /** @type {number} */ n) =>
      n === idx ? to : p,
    ),
  };
}

/** A copy with a new corner in the middle of the stretch after corner `idx`. */
export function withNewCorner(
  /** @type {Kind} */ kind,
  /** @type {any} */ item,
  /** @type {number} */ idx,
  /** @type {?Point} */ at = null,
) {
  const field = kind === "room" ? "outline" : "line";
  const points = item[field];
  const to = toMillimetres(at ?? lerp(points[idx], points[(idx + 1) % points.length], 0.5));
  return { ...item, [field]: [...points.slice(0, idx + 1), to, ...points.slice(idx + 1)] };
}

/** A copy without corner `idx`; `null` where too few would be left. */
export function withoutCorner(
  /** @type {Kind} */ kind,
  /** @type {any} */ item,
  /** @type {number} */ idx,
) {
  const field = kind === "room" ? "outline" : "line";
  const least = kind === "room" ? 3 : 2;
  const points = item[field].filter((/** @type {Point} */ _, /** @type {number} */ n) => n !== idx);
  return points.length < least ? null : { ...item, [field]: points };
}
