/**
 * Panels, field devices without detectors, cables, containment and risers. Metres.
 * @import {Part} from "./svg.js"
 */

import { on, sameKey } from "../core/drawing.js";
import { lineWithTarget } from "./building.js";
import { fixedAt, itemAttributes, pathData, svg, symbolAt } from "./svg.js";
import { instrument, panelBox, riserMark, segmentClass } from "./symbols.js";
import { asideOf, setAside } from "./words.js";

/** @param {any} scene @returns {Part[]} */
export function containmentParts({ project, floor, selection }) {
  return on(project, "containment", floor).map((item) => ({
    key: `containment-${item.id}`,
    shows: [item.line],
    attributes: {
      class: "containment-group",
      ...itemAttributes(
        "containment",
        item.id,
        `Containment: ${item.kind}`,
        sameKey({ kind: "containment", id: item.id }, selection),
      ),
    },
    build: () => lineWithTarget(item.line, "containment"),
  }));
}

/** @param {any} scene @returns {Part[]} */
export function riserParts(scene) {
  const { project, floor, selection } = scene;
  return on(project, "riser", floor).map((item) => ({
    key: `riser-${item.id}`,
    shows: [asideOf(scene, "riser", item.id)],
    attributes: {
      class: "riser-group",
      ...symbolAt(item.at),
      ...itemAttributes(
        "riser",
        item.id,
        item.name,
        sameKey({ kind: "riser", id: item.id }, selection),
      ),
    },
    build: () => setAside(asideOf(scene, "riser", item.id), riserMark()),
  }));
}

/** @param {any} scene @returns {Part[]} */
export function panelParts(scene) {
  const { project, floor, selection } = scene;
  return on(project, "panel", floor).map((item) => ({
    key: `panel-${item.id}`,
    shows: [item.tag, asideOf(scene, "panel", item.id)],
    attributes: {
      class: "panel",
      ...symbolAt(item.at),
      ...itemAttributes(
        "panel",
        item.id,
        `Control panel ${item.tag}`,
        sameKey({ kind: "panel", id: item.id }, selection),
      ),
    },
    build: () => setAside(asideOf(scene, "panel", item.id), panelBox(item.tag)),
  }));
}

/** Field devices that carry no detector; one that does is shown by its detector. */
export function deviceParts(/** @type {any} */ scene) {
  const { project, floor, selection } = scene;
  return on(project, "device", floor)
    .filter((item) => item.detectors.length === 0)
    .map((item) => ({
      key: `device-${item.id}`,
      shows: [item.tag, asideOf(scene, "device", item.id)],
      attributes: {
        class: "device field-device",
        ...symbolAt(item.at),
        ...itemAttributes(
          "device",
          item.id,
          `Field device ${item.tag}`,
          sameKey({ kind: "device", id: item.id }, selection),
        ),
      },
      build: () => setAside(asideOf(scene, "device", item.id), instrument(item.tag)),
    }));
}

/** Routes of the segments on this floor, with a tick at every crossing. */
export function cableParts(/** @type {any} */ { project, floor, results, selection }) {
  return project.segments.flatMap((/** @type {any} */ segment, /** @type {number} */ idx) => {
    const found = results.segments?.[segment.id];
    if (!found) return [];
    const runs = runsOn(found.cables, floor);
    if (runs.length === 0) return [];
    const crossings = found.cables
      .flatMap((/** @type {any} */ cable) => cable.crossings)
      .filter((/** @type {any} */ crossing) => crossing.floor === floor);
    const selected = sameKey({ kind: "segment", id: segment.id }, selection);
    return [
      {
        key: `segment-${segment.id}`,
        shows: [runs, crossings, idx, selected],
        attributes: {
          class: "segment-group",
          ...itemAttributes("segment", segment.id, `Segment ${segment.tag}`, selected),
        },
        build: () => [
          ...runs.flatMap((run) => [
            svg("path", { class: "line-target", d: pathData(run) }),
            svg("path", {
              class: `cable ${segmentClass(idx)}`,
              d: pathData(run),
              "aria-selected": selected ? "true" : null,
            }),
          ]),
          ...crossings.map((/** @type {any} */ crossing) => crossingMark(crossing)),
        ],
      },
    ];
  });
}

/**
 * The stretches of the cables that lie on one floor.
 * @param {any[]} cables
 * @param {number} floor
 */
export function runsOn(cables, floor) {
  const runs = /** @type {any[][]} */ ([]);
  for (const cable of cables) {
    let run = /** @type {any[]} */ ([]);
    for (const corner of cable.path) {
      if (corner.floor === floor) {
        const last = run[run.length - 1];
        if (!last || last[0] !== corner.at[0] || last[1] !== corner.at[1]) run.push(corner.at);
      } else if (run.length > 0) {
        runs.push(run);
        run = [];
      }
    }
    runs.push(run);
  }
  return runs.filter((run) => run.length > 1);
}

/** @param {any} crossing */
const crossingMark = (crossing) =>
  svg(
    "g",
    { ...fixedAt(crossing.at), class: "crossing" },
    svg("path", {
      class: "crossing-tick",
      d: crossing.through === "slab" ? "M-5-5 5 5M-5 5 5-5" : "M-4 4 4-4M-1 5 5-1",
    }),
  );
