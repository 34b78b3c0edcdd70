/**
 * How a plan sheet lies on the floor: the same rules as `PlanSheet` of the Rust model.
 * @import {PlanSheet, Point} from "./types.js"
 */

import { distance } from "./geometry.js";

/** The long side of a sheet without a scale is shown as this many metres. */
const UNSCALED_LONG_SIDE_M = 40;

/** @param {PlanSheet} sheet */
export function metresPerPx(sheet) {
  if (sheet.scale) return sheet.scale.length / distance(sheet.scale.a, sheet.scale.b);
  return UNSCALED_LONG_SIDE_M / Math.max(sheet.width_px, sheet.height_px, 1);
}

/** Width and height of the turned picture's bounding box, m. @param {PlanSheet} sheet */
export function extent(sheet) {
  const turn = (sheet.rotation * Math.PI) / 180;
  const w = sheet.width_px * metresPerPx(sheet);
  const h = sheet.height_px * metresPerPx(sheet);
  const [sin, cos] = [Math.abs(Math.sin(turn)), Math.abs(Math.cos(turn))];
  return { width: w * cos + h * sin, height: w * sin + h * cos };
}

/** The place on the floor of a point of the picture. @param {PlanSheet} sheet @param {Point} px */
export function toFloor(sheet, px) {
  const m = metresPerPx(sheet);
  const turn = (sheet.rotation * Math.PI) / 180;
  const x = (px[0] - sheet.width_px / 2) * m;
  const y = (px[1] - sheet.height_px / 2) * m;
  const box = extent(sheet);
  return /** @type {Point} */ ([
    sheet.origin[0] + box.width / 2 + x * Math.cos(turn) - y * Math.sin(turn),
    sheet.origin[1] + box.height / 2 + x * Math.sin(turn) + y * Math.cos(turn),
  ]);
}

/** The point of the picture at a place on the floor. @param {PlanSheet} sheet @param {Point} at */
export function toPicture(sheet, at) {
  const m = metresPerPx(sheet);
  const turn = (sheet.rotation * Math.PI) / 180;
  const box = extent(sheet);
  const x = at[0] - sheet.origin[0] - box.width / 2;
  const y = at[1] - sheet.origin[1] - box.height / 2;
  return /** @type {Point} */ ([
    (x * Math.cos(turn) + y * Math.sin(turn)) / m + sheet.width_px / 2,
    (-x * Math.sin(turn) + y * Math.cos(turn)) / m + sheet.height_px / 2,
  ]);
}

/** The turned picture's bounding box on the floor, m. @param {PlanSheet} sheet */
export function box(sheet) {
  return { x: sheet.origin[0], y: sheet.origin[1], ...extent(sheet) };
}
