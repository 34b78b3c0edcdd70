/**
 * Sources, detectors with their reach and tags, and what nobody watches. Metres.
 * @import {Part} from "./svg.js"
 * @import {Point} from "../core/types.js"
 */

import { on, sameKey } from "../core/drawing.js";
import { distance } from "../core/geometry.js";
import { heightText } from "../core/quantity.js";
import { fixedAt, itemAttributes, pathData, svg } from "./svg.js";
import { RING_PX, instrument, sourceTriangle } from "./symbols.js";

/** What each detector watches. @param {any} scene @returns {Part[]} */
export function reachParts({ project, floor, results, stage }) {
  if (stage === "measure") return [];
  return on(project, "detector", floor).flatMap((detector) => {
    const found = results.detectors?.[detector.id];
    return found ? [reachPart(detector, found)] : [];
  });
}

/** @param {any} detector @param {any} found @returns {Part} */
export function reachPart(detector, found) {
  return {
    key: `reach-${detector.id}`,
    shows: [detector.band, found.coverage],
    attributes: { "data-reach": detector.id },
    build: () => [
      svg("path", {
        class: `reach ${detector.band}`,
        "fill-rule": "evenodd",
        d: found.coverage.map((/** @type {Point[]} */ ring) => pathData(ring, true)).join(""),
      }),
    ],
  };
}

/** Places that nobody watches, ringed. @param {any} scene @returns {Part[]} */
export function unwatchedParts({ floor, results }) {
  const unmet = (results.demands ?? []).filter(
    (/** @type {any} */ demand) =>
      demand.floor === floor && !demand.met && demand.kind.kind === "source",
  );
  const places = new Map(unmet.map((/** @type {any} */ demand) => [demand.kind.id, demand.at]));
  return [...places].map(([id, at]) => ({
    key: `unmet-${id}`,
    shows: [id],
    attributes: { ...fixedAt(at), class: "unmet", "data-unmet": id },
    build: () => [svg("circle", { class: "unwatched-ring", r: 17 })],
  }));
}

/** @param {any} scene @returns {Part[]} */
export function sourceParts({ project, floor, results, selection, hazards, labels }) {
  return on(project, "source", floor).map((source) => {
    const key = /** @type {const} */ ({ kind: "source", id: source.id });
    const selected = sameKey(key, selection);
    const place = labels?.names.get(`source-${source.id}`) ?? null;
    const letters = (results.sources?.[source.id]?.watches ?? []).map(
      (/** @type {any} */ watch) => watch.hazard,
    );
    const marks = letters.length > 0 ? letters : (hazards?.[source.substance] ?? []);
    return {
      key: `source-${source.id}`,
      shows: [source.name, marks, place],
      attributes: {
        class: "source",
        ...fixedAt(source.at),
        ...itemAttributes("source", source.id, `Release source ${source.name}`, selected),
      },
      build: () => [...sourceTriangle(marks, ""), place && nameMark(source.name, place)],
    };
  });
}

/** @param {string} name @param {{x: number, y: number, anchor: string}} place */
export const nameMark = (name, { x, y, anchor }) =>
  svg("text", { class: "name", x, y, style: `text-anchor: ${anchor}` }, name);

/** @param {any} scene @returns {Part[]} */
export function detectorParts(scene) {
  return on(scene.project, "detector", scene.floor).map((detector) =>
    detectorPart(detector, scene),
  );
}

/** @param {any} detector @param {any} scene @returns {Part} */
export function detectorPart(detector, { project, results, selection }) {
  const aside_px = asideOf(detector, project);
  const selected = sameKey({ kind: "detector", id: detector.id }, selection);
  const what = results.detectors?.[detector.id]?.substance ?? "";
  return {
    key: `detector-${detector.id}`,
    shows: [detector.tag, detector.origin, aside_px],
    attributes: {
      class: `device detector ${detector.band}`,
      ...fixedAt(detector.at),
      ...itemAttributes("detector", detector.id, `${detector.tag} ${what}`, selected),
    },
    build: () => [
      svg(
        "g",
        { transform: `translate(${aside_px} 0)` },
        ...instrument(detector.tag),
        originMark(detector.origin),
      ),
    ],
  };
}

/** Nearer than this on plan, one detector would hide another. */
const STACKED_M = 0.3;

/**
 * Detectors one above the other stand side by side on the drawing: so many pixels to the right.
 * @param {any} detector @param {any} project
 */
function asideOf(detector, project) {
  const below = on(project, "detector", detector.floor).filter(
    ({ id, at }) => id < detector.id && distance(at, detector.at) < STACKED_M,
  );
  return below.length * 2 * RING_PX;
}

/** By hand: an ink dot; already on site: a filled square. @param {string} origin */
function originMark(origin) {
  if (origin === "by_hand") return svg("circle", { class: "pin", cx: 11, cy: -11, r: 2.6 });
  if (origin === "existing") {
    return svg("rect", { class: "pin", x: 8.4, y: -13.6, width: 5.2, height: 5.2 });
  }
  return null;
}

/** @param {any} scene @returns {Part[]} */
export function tagParts(scene) {
  return on(scene.project, "detector", scene.floor).flatMap((detector) => {
    const found = scene.results.detectors?.[detector.id];
    const at = scene.labels.tags.get(detector.id);
    return found && at ? [tagPart(detector, found, at, scene)] : [];
  });
}

/**
 * Substance and height beside a detector, with a leader where it stands off.
 * @param {any} detector @param {any} found @param {Point} at @param {any} scene
 * @returns {Part}
 */
export function tagPart(detector, found, at, { units, viewport }) {
  const letter = detector.band[0].toUpperCase();
  const height = heightText(detector.height, units);
  const half_px = (found.substance.length + 2) * 2.9;
  const far_px = distance(at, detector.at) * viewport.scale;
  return {
    key: `tag-${detector.id}`,
    shows: [found.substance, letter, height, at, viewport.scale, detector.at],
    attributes: { class: "tag-group", "data-tag": detector.id },
    build: () => [
      far_px > half_px + 26 && leader(detector.at, at, viewport.scale),
      svg("g", fixedAt(at), tagText(found.substance, letter, height)),
    ],
  };
}

/** @param {string} name @param {string} letter @param {string} height */
const tagText = (name, letter, height) =>
  svg(
    "text",
    { class: "tag", y: -2, "text-anchor": "middle" },
    svg("tspan", { class: "tag-name", x: 0 }, `${name} ${letter}`),
    svg("tspan", { class: "tag-line", x: 0, dy: 13 }, height),
  );

/** From the ring to the text, touching neither. @param {Point} from @param {Point} to */
function leader(from, to, /** @type {number} */ scale) {
  const far = distance(from, to);
  const point = (/** @type {number} */ s) =>
    /** @type {Point} */ ([
      from[0] + ((to[0] - from[0]) * s) / far,
      from[1] + ((to[1] - from[1]) * s) / far,
    ]);
  return svg("path", {
    class: "leader",
    d: pathData([point(RING_PX / scale), point(far - 17 / scale)]),
  });
}
