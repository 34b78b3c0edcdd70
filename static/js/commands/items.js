/**
 * Intent for things that are already there: change, move, take away.
 * @import {Command, Key, Kind, Point, Project} from "../core/types.js"
 */

import { find, nameOf } from "../core/drawing.js";
import { distance } from "../core/geometry.js";
import { heightText } from "../core/quantity.js";
import { byHand, moved, withCorner, withNewCorner, withoutCorner } from "../core/transforms.js";

/** @param {Kind} kind @param {any} value @param {string} label @returns {Command} */
export const change = (kind, value, label) => ({
  edit: { do: "change", item: { kind, value } },
  label,
});

/** Sets one field. @param {Project} project @param {Key} key @returns {Command} */
export function setField(
  project,
  key,
  /** @type {string} */ field,
  /** @type {any} */ value,
  /** @type {string} */ words,
) {
  const item = find(project, key);
  return change(key.kind, { ...item, [field]: value }, `${nameOf(project, key)}: ${words}`);
}

/** Sets a height, in the words of the trade. @param {Project} project @param {Key} key */
export function setHeight(project, key, /** @type {number} */ height) {
  const item = find(project, key);
  const word =
    item.height === null || height === item.height
      ? "set"
      : height > item.height
        ? "raised"
        : "lowered";
  const name = nameOf(project, key);
  return change(
    key.kind,
    byHand(key.kind, { ...item, height }),
    `${name} ${word} to ${plainHeight(project, height)}`,
  );
}

/** @param {Project} project @param {number} height */
const plainHeight = (project, height) => heightText(height, project.head.units ?? "metric");

/** Moves a thing by `by`, m. @param {Project} project @param {Key} key @returns {Command} */
export function move(project, key, /** @type {Point} */ by) {
  const item = find(project, key);
  const far = distance([0, 0], by);
  return change(
    key.kind,
    moved(key.kind, item, by),
    `${nameOf(project, key)} moved ${far.toFixed(2)}\u202fm`,
  );
}

/** Moves a thing to a place. @param {Project} project @param {Key} key @returns {Command} */
export function moveTo(project, key, /** @type {Point} */ at) {
  const item = find(project, key);
  return move(project, key, [at[0] - item.at[0], at[1] - item.at[1]]);
}

/** @param {Project} project @param {Key} key @returns {Command} */
export function moveCorner(project, key, /** @type {number} */ idx, /** @type {Point} */ at) {
  const item = find(project, key);
  return change(
    key.kind,
    withCorner(key.kind, item, idx, at),
    `Corner of ${nameOf(project, key)} moved`,
  );
}

/** @param {Project} project @param {Key} key @returns {Command} */
export function addCorner(
  project,
  key,
  /** @type {number} */ idx,
  /** @type {?Point} */ at = null,
) {
  return change(
    key.kind,
    withNewCorner(key.kind, find(project, key), idx, at),
    `Corner added to ${nameOf(project, key)}`,
  );
}

/** @param {Project} project @param {Key} key @returns {?Command} */
export function removeCorner(project, key, /** @type {number} */ idx) {
  const item = withoutCorner(key.kind, find(project, key), idx);
  return item && change(key.kind, item, `Corner of ${nameOf(project, key)} removed`);
}

/** Takes a thing away. @param {Project} project @param {Key} key @returns {Command} */
export const remove = (project, key) => ({
  edit: { do: "remove", key },
  label: `${nameOf(project, key)} removed`,
});
