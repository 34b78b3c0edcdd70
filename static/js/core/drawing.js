/**
 * Looks things up in a project. Pure; changes nothing.
 * @import {Key, Kind, Point, Project, Room} from "./types.js"
 */

import { area, contains, distance, edges, nearestOnSegment, stretches } from "./geometry.js";

/** @type {Record<Kind, keyof Project>} */
export const REGISTER = {
  floor: "floors",
  room: "rooms",
  barrier: "barriers",
  opening: "openings",
  source: "sources",
  terminal: "terminals",
  marked: "marked",
  detector: "detectors",
  device: "devices",
  panel: "panels",
  containment: "containments",
  riser: "risers",
  segment: "segments",
};

/** @param {Project} project @param {?Key} key */
export function find(project, key) {
  if (!key) return null;
  return /** @type {any[]} */ (project[REGISTER[key.kind]]).find(({ id }) => id === key.id) ?? null;
}

/** @param {Key} a @param {?Key} b */
export const sameKey = (a, b) => b !== null && a.kind === b.kind && a.id === b.id;

/** @param {Key} key */
export const keyText = (key) => `${key.kind}-${key.id}`;

/** @param {string} text @returns {?Key} */
export function parseKey(text) {
  const match = /^([a-z]+)-(\d+)$/.exec(text);
  if (!match || !(match[1] in REGISTER)) return null;
  return { kind: /** @type {Kind} */ (match[1]), id: Number(match[2]) };
}

/** Whether a thing shows on a floor. @param {Project} project */
export function isOn(
  project,
  /** @type {Kind} */ kind,
  /** @type {any} */ item,
  /** @type {number} */ floor,
) {
  if (kind === "riser") {
    const level = elevation(project, floor);
    return elevation(project, item.lowest) <= level && level <= elevation(project, item.highest);
  }
  if (kind === "segment") return true;
  return kind === "floor" ? item.id === floor : item.floor === floor;
}

/** @param {Project} project @param {number} floor */
const elevation = (project, floor) => project.floors.find(({ id }) => id === floor)?.elevation ?? 0;

/** The things of a kind on a floor. @param {Project} project @returns {any[]} */
export function on(project, /** @type {Kind} */ kind, /** @type {number} */ floor) {
  const all = /** @type {any[]} */ (project[REGISTER[kind]]);
  return all.filter((item) => isOn(project, kind, item, floor));
}

/** The smallest room that holds a place. @param {Project} project @returns {?Room} */
export function roomAt(project, /** @type {number} */ floor, /** @type {Point} */ at) {
  const rooms = on(project, "room", floor).filter((room) => contains(room.outline, at));
  return rooms.sort((a, b) => span(a.outline) - span(b.outline))[0] ?? null;
}

/** @param {Point[]} outline */
const span = (outline) => edges(outline).reduce((sum, [a, b]) => sum + distance(a, b), 0);

/** The smallest pit that holds a place in a room, as the server has it. @param {Project} project */
export function pitAt(project, /** @type {number} */ floor, /** @type {Point} */ at) {
  if (!roomAt(project, floor, at)) return null;
  const pits = on(project, "marked", floor).filter(
    ({ kind, outline }) => kind === "pit" && contains(outline, at),
  );
  return pits.sort((a, b) => area(a.outline) - area(b.outline) || a.id - b.id)[0] ?? null;
}

/** The walls of a floor: edges of rooms that are not outdoors. @param {Project} project */
export function walls(project, /** @type {number} */ floor) {
  return on(project, "room", floor)
    .filter((room) => room.enclosure !== "outdoor")
    .flatMap((room) => edges(room.outline));
}

/** The nearest place on a wall; `null` without any. @param {Project} project */
export function nearestWall(project, /** @type {number} */ floor, /** @type {Point} */ at) {
  let best = null;
  for (const [a, b] of walls(project, floor)) {
    const found = nearestOnSegment(at, a, b);
    if (!best || found.distance < best.distance) best = { ...found, a, b };
  }
  return best;
}

/** The field device that carries a detector. @param {Project} project @param {number} detector */
export const deviceOf = (project, detector) =>
  project.devices.find((device) => device.detectors.includes(detector)) ?? null;

/** The segment a field device is on. @param {Project} project @param {number} device */
export const segmentOf = (project, device) =>
  project.segments.find((segment) => segment.devices.includes(device)) ?? null;

/** Every point of a thing, to fit a view or to snap to. @returns {Point[]} */
export function pointsOf(/** @type {Kind} */ kind, /** @type {any} */ item) {
  if (kind === "room" || kind === "marked") return item.outline;
  if (kind === "barrier" || kind === "containment") return item.line;
  if (kind === "opening") return [item.a, item.b];
  if (item.extent) return item.extent.points;
  return item.at ? [item.at] : [];
}

/** Corners and lines that a new point may snap to. @param {Project} project */
export function snapTargets(
  project,
  /** @type {number} */ floor,
  /** @type {?Key} */ except = null,
) {
  const corners = /** @type {Point[]} */ ([]);
  const lines = /** @type {[Point, Point][]} */ ([]);
  for (const kind of /** @type {Kind[]} */ (["room", "barrier", "containment"])) {
    for (const item of on(project, kind, floor)) {
      if (except && sameKey({ kind, id: item.id }, except)) continue;
      const points = pointsOf(kind, item);
      corners.push(...points);
      lines.push(...(kind === "room" ? edges(points) : stretches(points)));
    }
  }
  return { corners, lines };
}

/** What a thing is called on the screen. @param {Project} project @param {Key} key */
export function nameOf(project, key) {
  const item = find(project, key);
  if (!item) return key.kind;
  if (key.kind === "room") return [item.number, item.name].filter(Boolean).join(" ") || "room";
  if (item.tag) return item.tag;
  if (item.name) return item.name;
  if (key.kind === "opening") return OPENING_NAMES[item.form] ?? "opening";
  if (key.kind === "terminal") return `${TERMINAL_NAMES[item.kind] ?? "air terminal"} ${item.id}`;
  if (key.kind === "marked") return `${MARKED_NAMES[item.kind] ?? "marked area"} ${item.id}`;
  return key.kind === "containment" ? item.kind : key.kind;
}

/** What the kinds of air terminals are called, as on paper. @type {Record<string, string>} */
export const TERMINAL_NAMES = {
  extract: "extract grille",
  supply: "supply air terminal",
  return_air: "return grille",
  intake: "air intake",
  cupboard: "cupboard extract",
};

/** What the kinds of marked areas are called, as on paper. @type {Record<string, string>} */
export const MARKED_NAMES = {
  pit: "pit",
  heat: "hot area",
  water: "wet area",
  keep_out: "area without detectors",
  obstructed: "obstructed area",
  platform: "platform",
};

/** @type {Record<string, string>} */
const OPENING_NAMES = { door: "door", window: "window", open_way: "open way" };
