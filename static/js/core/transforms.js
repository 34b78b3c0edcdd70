/**
 * Moved and reshaped copies of things. Pure: the thing given is not touched.
 * @import {Kind, Point} from "./types.js"
 */

import { add, bounds, distance, lerp, lineLength, toMillimetres } from "./geometry.js";

/** A copy moved by `by`, m. @template T @param {Kind} kind @param {T} item @returns {T} */
export function moved(kind, item, /** @type {Point} */ by) {
  const shift = (/** @type {Point} */ p) => toMillimetres(add(p, by));
  const any = /** @type {any} */ (item);
  if (any.outline) return { ...any, outline: any.outline.map(shift) };
  if (kind === "barrier" || kind === "containment") return { ...any, line: any.line.map(shift) };
  if (kind === "opening") return { ...any, a: shift(any.a), b: shift(any.b) };
  if (!any.at) return item;
  const extent = any.extent && { ...any.extent, points: any.extent.points.map(shift) };
  return byHand(kind, { ...any, at: shift(any.at), ...(extent ? { extent } : {}) });
}

/** Whether the corners of a thing make an outline. @param {Kind} kind @param {any} item */
export const isOutline = (kind, item) =>
  kind === "room" || kind === "marked" || item.extent?.kind === "area";

/** The corners of a thing. @param {Kind} kind @param {any} item @returns {Point[]} */
export function cornersOf(kind, item) {
  if (item.outline) return item.outline;
  if (kind === "opening") return [item.a, item.b];
  return item.extent?.points ?? item.line ?? [];
}

/** A copy with other corners. @param {Kind} kind @param {any} item @param {Point[]} points */
function withCorners(kind, item, points) {
  if (item.outline) return { ...item, outline: points };
  if (kind !== "source") return { ...item, line: points };
  const extent = { ...item.extent, points };
  return { ...item, extent, at: standsAt(extent) };
}

/**
 * Where the symbol of a source with an extent stands: halfway along a run, in the middle of an area.
 * @param {{kind: string, points: Point[]}} extent @returns {Point}
 */
export function standsAt({ kind, points }) {
  const box = bounds(points);
  if (kind === "area" && box) {
    return toMillimetres([box.x + box.width / 2, box.y + box.height / 2]);
  }
  let left = lineLength(points) / 2;
  for (let n = 1; n < points.length; n += 1) {
    const length = distance(points[n - 1], points[n]);
    if (length >= left) return toMillimetres(lerp(points[n - 1], points[n], left / length));
    left -= length;
  }
  return points[0];
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
  return withCorners(
    kind,
    any,
    cornersOf(kind, any).map((p, n) => (n === idx ? to : p)),
  );
}

/** A copy with a new corner in the middle of the stretch after corner `idx`. */
export function withNewCorner(
  /** @type {Kind} */ kind,
  /** @type {any} */ item,
  /** @type {number} */ idx,
  /** @type {?Point} */ at = null,
) {
  const points = cornersOf(kind, item);
  const to = toMillimetres(at ?? lerp(points[idx], points[(idx + 1) % points.length], 0.5));
  return withCorners(kind, item, [...points.slice(0, idx + 1), to, ...points.slice(idx + 1)]);
}

/** A copy without corner `idx`; `null` where too few would be left. */
export function withoutCorner(
  /** @type {Kind} */ kind,
  /** @type {any} */ item,
  /** @type {number} */ idx,
) {
  const least = isOutline(kind, item) ? 3 : 2;
  const points = cornersOf(kind, item).filter((_, n) => n !== idx);
  return points.length < least ? null : withCorners(kind, item, points);
}
