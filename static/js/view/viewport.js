/**
 * From metres on the floor to pixels in the sheet and back. Values only; each function gives a new
 * viewport.
 * @import {Point} from "../core/types.js"
 */

/**
 * @typedef {{scale: number, x_px: number, y_px: number}} Viewport pixels a metre, and where the
 *   floor's origin lies in the sheet
 * @typedef {{x: number, y: number, width: number, height: number}} Box
 */

/** From one pixel a metre (a site) to 1000 (a hand's breadth fills the window). */
const LEAST_SCALE = 1;
const MOST_SCALE = 1000;

/** @param {Viewport} v @param {Point} at @returns {Point} px */
export const toPx = (v, at) => [at[0] * v.scale + v.x_px, at[1] * v.scale + v.y_px];

/** @param {Viewport} v @param {Point} px @returns {Point} m */
export const toMetres = (v, px) => [(px[0] - v.x_px) / v.scale, (px[1] - v.y_px) / v.scale];

/** @param {Viewport} v @param {number} dx @param {number} dy @returns {Viewport} */
export const panned = (v, dx, dy) => ({ ...v, x_px: v.x_px + dx, y_px: v.y_px + dy });

/** Zoomed so that what lies under `px` stays there. @param {Viewport} v @returns {Viewport} */
export function zoomed(v, /** @type {Point} */ px, /** @type {number} */ factor) {
  const scale = Math.min(MOST_SCALE, Math.max(LEAST_SCALE, v.scale * factor));
  const held = toMetres(v, px);
  return { scale, x_px: px[0] - held[0] * scale, y_px: px[1] - held[1] * scale };
}

/**
 * The viewport that shows `box` (m) whole inside `room` (px).
 * @param {Box} box @param {Box} room @param {number} margin px
 * @returns {Viewport}
 */
export function fitted(box, room, margin = 24) {
  const wide = Math.max(1, room.width - 2 * margin) / Math.max(box.width, 0.5);
  const high = Math.max(1, room.height - 2 * margin) / Math.max(box.height, 0.5);
  const scale = Math.min(MOST_SCALE, Math.max(LEAST_SCALE, Math.min(wide, high)));
  return centred(
    { scale, x_px: 0, y_px: 0 },
    [box.x + box.width / 2, box.y + box.height / 2],
    room,
  );
}

/** Puts a place in the middle of `room` (px). @param {Viewport} v @returns {Viewport} */
export function centred(v, /** @type {Point} */ at, /** @type {Box} */ room) {
  return {
    scale: v.scale,
    x_px: room.x + room.width / 2 - at[0] * v.scale,
    y_px: room.y + room.height / 2 - at[1] * v.scale,
  };
}

/**
 * Panned no further than it takes for `box` (m) to lie in `room` (px), clear of its edge; one that
 * is too large shows its upper left corner.
 * @param {Viewport} v @param {Box} box @param {Box} room @param {number} margin px
 * @returns {Viewport}
 */
export function holding(v, box, room, margin) {
  const [left, top] = toPx(v, [box.x, box.y]);
  const [right, bottom] = toPx(v, [box.x + box.width, box.y + box.height]);
  const dx = Math.max(Math.min(0, room.x + room.width - margin - right), room.x + margin - left);
  const dy = Math.max(Math.min(0, room.y + room.height - margin - bottom), room.y + margin - top);
  return panned(v, dx, dy);
}

/** CSS pixels are 1/96 inch, so this many are one metre of paper. */
const PX_PER_PAPER_METRE = 96 / 0.0254;

/** The denominator of the scale 1 : n, to two figures. @param {Viewport} v */
export function denominator(v) {
  const exact = PX_PER_PAPER_METRE / v.scale;
  const step = 10 ** (Math.floor(Math.log10(exact)) - 1);
  return Math.round(exact / step) * step;
}

/** Recommended scales of ISO 5455 for reduction, with the usual 1 : 250 between. */
const PAPER_SCALES = [1, 2, 5, 10, 20, 25, 50, 100, 200, 250, 500, 1000, 2000, 5000];

/** The largest recommended scale at which `box` fits into `room`, for print. */
export function fittedForPaper(/** @type {Box} */ box, /** @type {Box} */ room) {
  const free = fitted(box, room, 8);
  const n =
    PAPER_SCALES.find((n) => PX_PER_PAPER_METRE / n <= free.scale) ??
    PX_PER_PAPER_METRE / free.scale;
  return centred(
    { ...free, scale: PX_PER_PAPER_METRE / n },
    [box.x + box.width / 2, box.y + box.height / 2],
    room,
  );
}
