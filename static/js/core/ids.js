/**
 * New numbers and tags.
 * @import {Project} from "./types.js"
 */

/** An id above every id in use. @param {{id: number}[]} items */
export const nextId = (items) => items.reduce((most, { id }) => Math.max(most, id), 0) + 1;

/** Every tag of a project. @param {Project} project */
const tags = (project) =>
  [project.detectors, project.devices, project.panels, project.segments]
    .flatMap((items) => /** @type {{tag: string}[]} */ (items))
    .map(({ tag }) => tag);

/**
 * The next free tag, such as "AT-103": one above the highest with that prefix.
 * @param {Project} project @param {string} prefix such as "AT-"
 * @param {number} first the number where there is none yet
 * @param {number} width digits, filled with zeros
 */
export function nextTag(project, prefix, first, width = 1) {
  const used = tags(project)
    .filter((tag) => tag.startsWith(prefix) && /^\d+$/.test(tag.slice(prefix.length)))
    .map((tag) => Number(tag.slice(prefix.length)));
  const number = used.length === 0 ? first : Math.max(...used) + 1;
  return prefix + String(number).padStart(width, "0");
}

/**
 * The next free number of a room, such as "0.03": after the highest with the floor's prefix.
 * @param {Project} project @param {number} floor
 */
export function nextRoomNumber(project, floor) {
  const letter = floorLetter(project, floor);
  const used = project.rooms
    .map(({ number }) => new RegExp(`^${letter}\\.(\\d+)$`).exec(number))
    .map((match) => (match ? Number(match[1]) : 0));
  return `${letter}.${String(Math.max(0, ...used) + 1).padStart(2, "0")}`;
}

/** G for the ground floor and 1, 2, ... above it, B1, B2, ... below. @param {Project} project */
function floorLetter(project, /** @type {number} */ floor) {
  const level = (/** @type {number} */ id) =>
    project.floors.find((other) => other.id === id)?.elevation ?? 0;
  const here = level(floor);
  if (here === 0) return "G";
  const between = project.floors.filter(({ elevation }) =>
    here > 0 ? elevation > 0 && elevation <= here : elevation < 0 && elevation >= here,
  );
  return here > 0 ? String(between.length) : `B${between.length}`;
}
