/**
 * The steps of the job on one floor, and which of them wait. Reads project and results only.
 * @import {Project} from "./types.js"
 */

import { on } from "./drawing.js";
import { contains, edges, lerp, nearestOnSegment } from "./geometry.js";

/**
 * @typedef {{id: string, title: string, say: string, done: boolean, stage: string, state: string,
 *   act?: string, none?: string, rooms?: number[], passed?: boolean, optional?: boolean}} Step
 *   `state`: how far it is, in a few words; `none`: words for "there is none here", where that may
 *   be, about `rooms` where it is asked of each; `passed`: begun, and somebody has gone on to a
 *   later step; `optional`: offered beside the others, never the one to do next
 */

/** An opening is in the wall of a room when its middle is this near to it, m. */
const AT_WALL_M = 0.35;

/**
 * @param {Project} project @param {any} results @param {number} floor
 * @param {string[]} settled of what somebody has said that there is none: steps, and
 *   "step:room" of single rooms
 * @returns {Step[]}
 */
export function jobSteps(project, results, floor, settled = []) {
  return [
    ...drawingSteps(project, floor),
    ...gasSteps(project, results, floor, settled),
    ...wiringSteps(project, floor, settled),
  ];
}

/** The step to do next; `undefined` where the job is through. @param {Step[]} steps */
export const nextOf = (steps) => steps.find((step) => !step.done && !step.passed && !step.optional);

/** @param {Project} project @param {number} floor @returns {Step[]} */
function drawingSteps(project, floor) {
  const sheet = project.floors.find(({ id }) => id === floor)?.sheet ?? null;
  const rooms = on(project, "room", floor);
  const openings = on(project, "opening", floor);
  const onWall = (/** @type {any} */ room) =>
    openings.some(({ a, b }) =>
      edges(room.outline).some(
        ([from, to]) => nearestOnSegment(lerp(a, b, 0.5), from, to).distance < AT_WALL_M,
      ),
    );
  return [
    {
      ...step("sheet", "Lay the plan sheet", "Choose the client's plan of this floor.", "sheet"),
      done: sheet !== null || rooms.length > 0,
      state: sheet ? "laid" : "without one",
      act: "upload",
    },
    {
      ...step(
        "scale",
        "Set the scale",
        "Click two points of known distance, then type the length.",
        "sheet",
      ),
      done: sheet === null ? rooms.length > 0 : sheet.scale !== null,
      state: sheet ? "set" : "by lengths",
      act: "scale",
    },
    {
      ...step("rooms", "Draw the rooms", "Trace each room on the plan.", "rooms"),
      done: rooms.length > 0,
      state: counted(rooms.length, "room"),
    },
    {
      ...step(
        "openings",
        "Mark doors and openings",
        "Gas travels through them; without any, a wall is taken as closed.",
        "rooms",
      ),
      act: "door",
      optional: true,
      done: rooms.length > 0 && rooms.every(onWall),
      state: inRoomsText(rooms.length, rooms.filter(onWall).length, 0),
    },
  ];
}

/** @returns {Step[]} */
function gasSteps(
  /** @type {Project} */ project,
  /** @type {any} */ results,
  /** @type {number} */ floor,
  /** @type {string[]} */ settled,
) {
  const sources = on(project, "source", floor);
  const detectors = on(project, "detector", floor);
  const unmet = (results.demands ?? []).filter(
    (/** @type {any} */ demand) => demand.floor === floor && !demand.met,
  ).length;
  const withSource = (/** @type {any} */ room) =>
    sources.some(({ at }) => contains(room.outline, at));
  return [
    {
      ...step("sources", "Place the release sources", "Click where gas can get out.", "sources"),
      ...inRooms("sources", on(project, "room", floor), withSource, settled),
      passed: sources.length > 0 && detectors.length > 0,
    },
    {
      ...step(
        "detectors",
        "Suggest the detectors",
        unmet === 0
          ? "Every source is watched."
          : `${unmet} ${unmet === 1 ? "place is" : "places are"} not watched yet.`,
        "detectors",
      ),
      done: sources.length > 0 && unmet === 0 && detectors.length > 0,
      state: detectors.length > 0 ? counted(detectors.length, "detector") : "",
      act: "suggest",
    },
  ];
}

/** @param {Project} project @param {number} floor @param {string[]} settled @returns {Step[]} */
function wiringSteps(project, floor, settled) {
  const detectors = on(project, "detector", floor).length;
  const loose = looseDetectors(project, floor);
  const sounders = soundersOn(project, floor);
  return [
    {
      ...step("panel", "Place a control panel", "The bus starts from it.", "cables"),
      done: project.panels.length > 0,
      state: project.panels.length > 0 ? counted(project.panels.length, "panel") : "",
      act: "panel",
    },
    {
      ...step("sounders", "Place the sounders", "Nothing sounds an alarm here yet.", "cables"),
      done: sounders > 0 || settled.includes("sounders"),
      state: sounders > 0 ? counted(sounders, "sounder") : "something else sounds",
      act: "sounder",
      none: "something else sounds",
    },
    {
      ...step(
        "wiring",
        "Suggest the wiring",
        loose === 0
          ? "Every detector is on a segment."
          : `${loose} ${loose === 1 ? "detector is" : "detectors are"} on no segment yet.`,
        "cables",
      ),
      done: detectors > 0 && loose === 0,
      state: detectors > 0 ? `${detectors - loose} of ${counted(detectors, "detector")}` : "",
      act: "wire",
    },
  ];
}

/**
 * A step that is asked of every room: done when each has something or somebody has said that it has
 * none. @param {string} id @param {any[]} rooms @param {(room: any) => boolean} has
 * @param {string[]} settled
 */
function inRooms(id, rooms, has, settled) {
  const without = rooms.filter((room) => !has(room));
  const open = without.filter((room) => !settled.includes(`${id}:${room.id}`));
  const n_with = rooms.length - without.length;
  return {
    done: rooms.length > 0 && open.length === 0,
    state: inRoomsText(rooms.length, n_with, open.length),
    none: noneWords(rooms.length, open),
    rooms: open.map((/** @type {any} */ room) => room.id),
  };
}

/** "2 of 3 rooms"; "none" where somebody said so of all. */
function inRoomsText(
  /** @type {number} */ n_rooms,
  /** @type {number} */ n_with,
  /** @type {number} */ n_open,
) {
  if (n_rooms === 0) return "";
  return n_with + n_open === 0 ? "none" : `${n_with} of ${counted(n_rooms, "room")}`;
}

/** @param {number} n_rooms @param {any[]} open */
function noneWords(n_rooms, open) {
  if (open.length === 0) return "";
  if (open.length === n_rooms) return "there are none";
  return open.length === 1 ? `${open[0].number || "the other"} has none` : "the others have none";
}

/** @param {number} n @param {string} noun */
const counted = (n, noun) => `${n} ${noun}${n === 1 ? "" : "s"}`;

/** @returns {Step} */
const step = (
  /** @type {string} */ id,
  /** @type {string} */ title,
  /** @type {string} */ say,
  /** @type {string} */ stage,
) => ({ id, title, say, stage, done: false, state: "" });

/** By the part; one that the catalogue lacks by its letters. @param {Project} project */
function soundersOn(project, /** @type {number} */ floor) {
  const kinds = new Map(
    (project.catalogue?.items ?? []).map((/** @type {any} */ item) => [item.part, item.kind.is]),
  );
  return on(project, "device", floor).filter(({ part, tag }) =>
    kinds.has(part) ? kinds.get(part) === "sounder" : (tag ?? "").startsWith("XA"),
  ).length;
}

/** Detectors of a floor whose field device is on no segment. @param {Project} project */
function looseDetectors(project, /** @type {number} */ floor) {
  const wired = new Set(project.segments.flatMap(({ devices }) => devices));
  const carried = new Set(
    project.devices.filter(({ id }) => wired.has(id)).flatMap(({ detectors }) => detectors),
  );
  return on(project, "detector", floor).filter(({ id }) => !carried.has(id)).length;
}
