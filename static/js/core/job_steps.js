/**
 * The steps of the job on one floor, and which of them wait. Reads project and results only.
 * @import {Project} from "./types.js"
 */

import { on } from "./drawing.js";

/**
 * @typedef {{id: string, title: string, say: string, done: boolean, stage: string,
 *   act?: string, none?: string}} Step `none`: words for "there is none here", where that may be
 */

/**
 * @param {Project} project @param {any} results @param {number} floor
 * @param {string[]} settled steps of which somebody has said that there is nothing to do
 * @returns {Step[]}
 */
export function jobSteps(project, results, floor, settled = []) {
  const sheet = project.floors.find(({ id }) => id === floor)?.sheet ?? null;
  const count = (/** @type {any} */ kind) => on(project, kind, floor).length;
  const unmet = (results.demands ?? []).filter(
    (/** @type {any} */ demand) => demand.floor === floor && !demand.met,
  ).length;
  const loose = looseDetectors(project, floor);
  const steps = [
    step(
      "sheet",
      "Lay the plan sheet",
      "Upload the client's plan of this floor.",
      sheet !== null || count("room") > 0,
      "sheet",
      "upload",
    ),
    step(
      "scale",
      "Set the scale",
      "Click two points of known distance, then type the length.",
      sheet === null ? count("room") > 0 : sheet.scale !== null,
      "sheet",
      "scale",
    ),
    step("rooms", "Draw the rooms", "Trace each room on the plan.", count("room") > 0, "rooms"),
    {
      ...step(
        "openings",
        "Mark doors and openings",
        "Gas travels through them; without any, a wall is taken as closed.",
        count("opening") > 0 || settled.includes("openings"),
        "rooms",
        "door",
      ),
      none: "there are none",
    },
    step(
      "sources",
      "Place the release sources",
      "Click where gas can get out.",
      count("source") > 0,
      "sources",
    ),
    step(
      "detectors",
      "Suggest the detectors",
      unmet === 0
        ? "Every source is watched."
        : `${unmet} ${unmet === 1 ? "place is" : "places are"} not watched yet.`,
      count("source") > 0 && unmet === 0 && count("detector") > 0,
      "detectors",
      "suggest",
    ),
    step(
      "panel",
      "Place a control panel",
      "The bus starts from it.",
      project.panels.length > 0,
      "cables",
      "panel",
    ),
    {
      ...step(
        "sounders",
        "Place the sounders",
        "Nothing sounds an alarm here yet.",
        soundersOn(project, floor) > 0 || settled.includes("sounders"),
        "cables",
        "sounder",
      ),
      none: "something else sounds",
    },
    step(
      "wiring",
      "Suggest the wiring",
      loose === 0
        ? "Every detector is on a segment."
        : `${loose} ${loose === 1 ? "detector is" : "detectors are"} on no segment yet.`,
      count("detector") > 0 && loose === 0,
      "cables",
      "wire",
    ),
  ];
  return steps;
}

/** @returns {Step} */
function step(
  /** @type {string} */ id,
  /** @type {string} */ title,
  /** @type {string} */ say,
  /** @type {boolean} */ done,
  /** @type {string} */ stage,
  /** @type {string} */ act = "",
) {
  return { id, title, say, done, stage, act };
}

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
