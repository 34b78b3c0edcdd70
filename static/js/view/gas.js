/**
 * Sources, detectors with their reach, and what nobody watches. Metres.
 * @import {Part} from "./svg.js"
 * @import {Point} from "../core/types.js"
 */

import { on, sameKey } from "../core/drawing.js";
import { lengthText } from "../core/quantity.js";
import { isCounted } from "./counts.js";
import { fixedAt, itemAttributes, pathData, svg, symbolAt } from "./svg.js";
import { instrument, sourceTriangle } from "./symbols.js";
import { asideOf, setAside } from "./words.js";

/** What each detector watches. @param {any} scene @returns {Part[]} */
export function reachParts(scene) {
  const { project, floor, results, stage } = scene;
  if (stage === "measure") return [];
  return on(project, "detector", floor).flatMap((detector) => {
    const found = results.detectors?.[detector.id];
    return found ? [reachPart(detector, found, scene)] : [];
  });
}

/**
 * While the floor is shaded by numbers, only the line round what is counted.
 * @param {any} detector @param {any} found @param {any} scene
 * @param {?Point} at the place it was computed for, while it is dragged
 * @returns {Part}
 */
export function reachPart(detector, found, { counting }, at = null) {
  const left_out = Boolean(counting) && !isCounted(detector, found, counting);
  return {
    key: `reach-${detector.id}`,
    shows: [detector.band, found.coverage, Boolean(counting), left_out],
    attributes: { "data-reach": detector.id, "data-reach-at": at && at.join(" ") },
    build: () => [
      !left_out && svg("path", {
        class: `reach ${detector.band}${counting ? " bare" : ""}`,
        "fill-rule": "evenodd",
        d: found.coverage.map((/** @type {Point[]} */ ring) => pathData(ring, true)).join(""),
      }),
    ],
  };
}

/** Lines of equal distance round a detector, each with its metres. @param {any} scene @returns {Part[]} */
export function distanceParts({ distances, units, project, floor }) {
  if (!distances) return [];
  const kinds = /** @type {const} */ (["source", "detector", "device", "panel"]);
  const symbols = kinds.flatMap((kind) => on(project, kind, floor).map(({ at }) => at));
  return distances.lines.map((/** @type {any} */ { metres, rings }) => ({
    key: `distance-${metres}`,
    shows: [rings, units],
    attributes: { "data-distance": metres },
    build: () => [
      svg("path", {
        class: "distance-line",
        d: rings.map((/** @type {Point[]} */ ring) => pathData(ring, true)).join(""),
      }),
      ...rings.slice(0, 1).map((/** @type {Point[]} */ ring) =>
        svg(
          "text",
          { class: "distance-text", ...fixedAt(clearest(ring, symbols)), y: 4 },
          lengthText(metres, units, Number.isInteger(metres) && units !== "us_customary" ? 0 : 1),
        ),
      ),
    ],
  }));
}

/** Where the metres of a line stand: farthest from any symbol. @param {Point[]} ring @param {Point[]} symbols */
function clearest(ring, symbols) {
  const room = (/** @type {Point} */ at) =>
    Math.min(...symbols.map(([x, y]) => Math.hypot(at[0] - x, at[1] - y)));
  return ring.reduce((best, at) => (room(at) > room(best) ? at : best));
}

/** Places that nobody watches, ringed. @param {any} scene @returns {Part[]} */
export function unwatchedParts({ floor, results }) {
  const unmet = (results.demands ?? []).filter(
    (/** @type {any} */ demand) =>
      demand.floor === floor && !demand.met && demand.kind.kind !== "area",
  );
  const name = (/** @type {any} */ { kind }) =>
    kind.kind === "source" ? kind.id : `${kind.kind}-${kind.id}`;
  const places = new Map(unmet.map((/** @type {any} */ demand) => [name(demand), demand.at]));
  return [...places].map(([id, at]) => ({
    key: `unmet-${id}`,
    shows: [id],
    attributes: { ...symbolAt(at), class: "unmet", "data-unmet": id },
    build: () => [svg("circle", { class: "unwatched-ring", r: 17 })],
  }));
}

/** The pipe runs and areas gas can get out of. @param {any} scene @returns {Part[]} */
export function extentParts({ project, floor, selection }) {
  const drawn = on(project, "source", floor).filter(({ extent }) => extent);
  return drawn.map(({ id, name, extent }) => {
    const selected = sameKey({ kind: "source", id }, selection);
    const d = pathData(extent.points, extent.kind === "area");
    return {
      key: `extent-${id}`,
      shows: [extent],
      attributes: {
        class: "extent",
        ...itemAttributes("source", id, `Extent of release source ${name}`, selected),
      },
      build: () => [
        svg("path", { class: "line-target", d }),
        svg("path", { class: "extent-line", d }),
      ],
    };
  });
}

/** @param {any} scene @returns {Part[]} */
export function sourceParts(scene) {
  const { project, floor, results, selection, hazards } = scene;
  return on(project, "source", floor).map((source) => {
    const key = /** @type {const} */ ({ kind: "source", id: source.id });
    const selected = sameKey(key, selection);
    const aside = asideOf(scene, "source", source.id);
    const letters = (results.sources?.[source.id]?.watches ?? []).map(
      (/** @type {any} */ watch) => watch.hazard,
    );
    const marks = letters.length > 0 ? letters : (hazards?.[source.substance] ?? []);
    return {
      key: `source-${source.id}`,
      shows: [source.name, marks, aside],
      attributes: {
        class: "source",
        ...symbolAt(source.at),
        ...itemAttributes("source", source.id, `Release source ${source.name}`, selected),
      },
      build: () => setAside(aside, sourceTriangle(marks, "")),
    };
  });
}

/** @param {any} scene @returns {Part[]} */
export function detectorParts(scene) {
  return on(scene.project, "detector", scene.floor).map((detector) =>
    detectorPart(detector, scene),
  );
}

/** @param {any} detector @param {any} scene @returns {Part} */
export function detectorPart(detector, scene) {
  const { results, selection } = scene;
  const aside = asideOf(scene, "detector", detector.id);
  const selected = sameKey({ kind: "detector", id: detector.id }, selection);
  const what = results.detectors?.[detector.id]?.substance ?? "";
  return {
    key: `detector-${detector.id}`,
    shows: [detector.tag, detector.origin, aside],
    attributes: {
      class: `device detector ${detector.band}`,
      ...symbolAt(detector.at),
      ...itemAttributes("detector", detector.id, `${detector.tag} ${what}`, selected),
    },
    build: () => setAside(aside, [...instrument(detector.tag), originMark(detector.origin)]),
  };
}

/** By hand: an ink dot; already on site: a filled square. @param {string} origin */
function originMark(origin) {
  if (origin === "by_hand") return svg("circle", { class: "pin", cx: 11, cy: -11, r: 2.6 });
  if (origin === "existing") {
    return svg("rect", { class: "pin", x: 8.4, y: -13.6, width: 5.2, height: 5.2 });
  }
  return null;
}
