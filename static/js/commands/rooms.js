/**
 * Drawing intent for rooms, barriers and openings -> edits.
 * @import {Command, Point, Project} from "../core/types.js"
 */

import { nearestWall } from "../core/drawing.js";
import { area, crossesItself, distance, subtract, toMillimetres } from "../core/geometry.js";
import { nextId, nextRoomNumber } from "../core/ids.js";

/** A room smaller than this is a slip of the hand, m2. */
const LEAST_ROOM_M2 = 0.25;

/**
 * What is wrong with an outline, with the remedy; `null` where nothing is.
 * @param {Point[]} outline
 */
export function wrongWithOutline(outline) {
  if (outline.length < 3) return "An outline needs at least three corners; click another one.";
  if (area(outline) < LEAST_ROOM_M2) return "That is smaller than 0.25 m²; draw it larger.";
  if (crossesItself(outline)) {
    return "The outline crosses itself; step back with Backspace and go round it.";
  }
  return null;
}

/** @param {Project} project @param {number} floor @param {Point[]} outline @returns {Command} */
export function addRoom(project, floor, outline) {
  const id = nextId(project.rooms);
  const number = nextRoomNumber(project, floor);
  const value = {
    id,
    floor,
    number,
    name: "",
    room_use: "other",
    enclosure: "enclosed",
    outline: outline.map(toMillimetres),
    ceiling: null,
    air_changes: null,
  };
  return {
    edit: { do: "add", item: { kind: "room", value } },
    label: `${number} drawn`,
    select: { kind: "room", id },
  };
}

/** @param {Project} project @param {number} floor @param {Point[]} line @returns {Command} */
export function addBarrier(project, floor, line) {
  const id = nextId(project.barriers);
  const value = { id, floor, line: line.map(toMillimetres), height: null };
  return {
    edit: { do: "add", item: { kind: "barrier", value } },
    label: "Barrier drawn",
    select: { kind: "barrier", id },
  };
}

/**
 * An opening on the wall nearest to both points; `null` where no wall is within `near`.
 * @param {Project} project @param {number} floor @param {Point} from @param {Point} to
 * @param {"door"|"window"|"open_way"} form
 * @returns {?Command}
 */
export function addOpening(project, floor, from, to, form, near = 0.5) {
  const jambs = openingOnWall(project, floor, from, to, near);
  if (!jambs) return null;
  const id = nextId(project.openings);
  const value = { id, floor, a: jambs[0], b: jambs[1], form, head: null };
  const word = { door: "Door", window: "Window", open_way: "Open way" }[form];
  return {
    edit: { do: "add", item: { kind: "opening", value } },
    label: `${word} drawn`,
    select: { kind: "opening", id },
  };
}

/** Widths taken where somebody only clicks, m: a single door leaf, a window, an open way. */
export const USUAL_WIDTH_M = { door: 0.9, window: 1.2, open_way: 1.5 };

/**
 * Both jambs of an opening on the wall nearest to `from`, at least 0.3 m apart.
 * @param {Project} project @param {number} floor @param {Point} from @param {Point} to
 * @returns {?[Point, Point]}
 */
export function openingOnWall(project, floor, from, to, near = 0.5) {
  const wall = nearestWall(project, floor, from);
  if (!wall || wall.distance > near) return null;
  const long = distance(wall.a, wall.b);
  const [dx, dy] = subtract(wall.b, wall.a).map((part) => part / long);
  const along = (/** @type {Point} */ p) =>
    Math.min(long, Math.max(0, (p[0] - wall.a[0]) * dx + (p[1] - wall.a[1]) * dy));
  const [start, end] = [along(from), along(to)];
  if (Math.abs(end - start) < 0.3) return null;
  const at = (/** @type {number} */ s) => toMillimetres([wall.a[0] + dx * s, wall.a[1] + dy * s]);
  return [at(start), at(end)];
}

/** The second point of an opening of usual width whose middle was clicked. */
export function usualOpening(
  /** @type {Project} */ project,
  /** @type {number} */ floor,
  /** @type {Point} */ at,
  /** @type {"door"|"window"|"open_way"} */ form,
) {
  const wall = nearestWall(project, floor, at);
  if (!wall) return null;
  const long = distance(wall.a, wall.b);
  const half = Math.min(USUAL_WIDTH_M[form], long) / 2;
  const centre = Math.min(long - half, Math.max(half, wall.t * long));
  const point = (/** @type {number} */ s) =>
    /** @type {Point} */ ([
      wall.a[0] + ((wall.b[0] - wall.a[0]) * s) / long,
      wall.a[1] + ((wall.b[1] - wall.a[1]) * s) / long,
    ]);
  return /** @type {[Point, Point]} */ ([point(centre - half), point(centre + half)]);
}
