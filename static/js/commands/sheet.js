/**
 * Intent for the plan sheet of a floor -> edits.
 * @import {Command, Floor, Point, Project} from "../core/types.js"
 */

import { toPicture } from "../core/sheet.js";
import { change } from "./items.js";

/** Two points nearer than this on the picture give no scale, px. */
const LEAST_SCALE_PX = 5;

/** @param {Project} project @param {number} floor @returns {Floor} */
const floorOf = (project, floor) => {
  const found = project.floors.find(({ id }) => id === floor);
  if (!found) throw new Error(`the page shows floor ${floor}, which the project has`);
  return found;
};

/**
 * The scale from two points on the floor as it is shown now, and the true length between them. The
 * first point stays where it is. `null` where the points are too near each other.
 * @param {Project} project @param {number} floor @param {Point} a @param {Point} b
 * @param {number} length m
 * @returns {?Command}
 */
export function setScale(project, floor, a, b, length) {
  const value = floorOf(project, floor);
  if (!value.sheet || !(length > 0)) return null;
  const [from, to] = [toPicture(value.sheet, a), toPicture(value.sheet, b)];
  if (Math.hypot(from[0] - to[0], from[1] - to[1]) < LEAST_SCALE_PX) return null;
  const scale = { a: round(from), b: round(to), length };
  return change(
    "floor",
    { ...value, sheet: { ...value.sheet, scale } },
    `Scale set: ${length}\u202fm between two points`,
  );
}

/** @param {Point} p @returns {Point} */
const round = (p) => [Math.round(p[0] * 100) / 100, Math.round(p[1] * 100) / 100];

/** @param {Project} project @param {number} floor @param {number} degrees clockwise */
export function rotateSheet(project, floor, degrees) {
  const value = floorOf(project, floor);
  if (!value.sheet) return null;
  const rotation = ((degrees % 360) + 360) % 360;
  return change(
    "floor",
    { ...value, sheet: { ...value.sheet, rotation } },
    `Sheet turned to ${Math.round(rotation * 100) / 100}°`,
  );
}

/** @param {Project} project @param {number} floor @param {number} fade 0 as it is, 1 gone */
export function fadeSheet(project, floor, fade) {
  const value = floorOf(project, floor);
  if (!value.sheet) return null;
  return change(
    "floor",
    { ...value, sheet: { ...value.sheet, fade } },
    `Sheet faded to ${Math.round(fade * 100)}\u202f%`,
  );
}

/** @param {Project} project @param {number} floor @returns {?Command} */
export function removeSheet(project, floor) {
  const value = floorOf(project, floor);
  return value.sheet && change("floor", { ...value, sheet: null }, "Sheet taken away");
}
