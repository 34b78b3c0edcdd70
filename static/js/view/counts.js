/**
 * The floor shaded by how many detectors of one gas and band have each place in reach, with the
 * number in each piece. Metres.
 * @import {Part} from "./svg.js"
 * @import {Counted} from "../core/counted.js"
 * @import {Point} from "../core/types.js"
 * @typedef {{name: string, band: string}} Counting the gas and band that is shown
 */

import { MOST, countedFloor, placesOf } from "../core/counted.js";
import { keyText, on } from "../core/drawing.js";
import { fixedAt, short, svg } from "./svg.js";

/** Height of a row of the floor, px; no floor is cut into more rows than this. */
const ROW_PX = 1.5;
const MOST_ROWS = 500;

/** A number needs this much room round its middle; symbols reach this far from theirs, px. */
const NUMBER_PX = 7;
const SYMBOL_PX = 13;

/** Gases and bands that have a detector on the floor. @param {any} scene @returns {Counting[]} */
export function countingChoices({ project, floor, results }) {
  const all = on(project, "detector", floor).flatMap(({ id, band }) => {
    const found = results.detectors?.[id];
    return found?.counted ? [{ name: found.substance, band }] : [];
  });
  const first = (/** @type {Counting} */ one, /** @type {number} */ idx) =>
    all.findIndex((other) => isSame(one, other)) === idx;
  return all.filter(first).sort((a, b) => textOf(a).localeCompare(textOf(b), "en"));
}

/** @param {?Counting} a @param {?Counting} b */
export const isSame = (a, b) => a?.name === b?.name && a?.band === b?.band;

/** @param {Counting} counting */
export const textOf = ({ name, band }) => `${name}, ${band}`;

/**
 * Whether a detector counts among those that are shown; one in a pit watches nothing of the floor.
 * @param {any} detector @param {any} found
 */
export const isCounted = (detector, found, /** @type {Counting} */ counting) =>
  Boolean(found?.counted) &&
  detector.height >= 0 && isSame({ name: found.substance, band: detector.band }, counting);

/** From here on detectors count as several, m. @param {any} scene */
export const apartOf = ({ project, basis }) => project.basis.vote_apart ?? basis?.vote_apart ?? 0.5;

/** What a number of detectors in reach is called. @param {number} count */
export const countText = (count) => (count === MOST ? `${MOST} or more` : String(count));

/** @param {any} scene @returns {Part[]} */
export function countParts(scene) {
  const { counting } = scene;
  if (!counting || scene.stage === "measure") return [];
  const counted = countedIn(scene);
  const shades = [1, 2, 3].map((count) => shadePart(counted, count, counting));
  return [...shades, ...numberParts(counted, scene)];
}

/** @param {any} scene @returns {Counted} */
function countedIn(scene) {
  const { project, floor, results, counting, viewport } = scene;
  const detectors = on(project, "detector", floor).flatMap((detector) => {
    const found = results.detectors?.[detector.id];
    return isCounted(detector, found, counting)
      ? [{ at: detector.at, rings: found.coverage }]
      : [];
  });
  const ys = detectors.flatMap(({ rings }) => rings.flat().map((/** @type {any} */ [, y]) => y));
  const tall = ys.length > 0 ? Math.max(...ys) - Math.min(...ys) : 0;
  const step = Math.max(ROW_PX / viewport.scale, tall / MOST_ROWS, 0.01);
  return countedFloor(detectors, { apart: apartOf(scene), step });
}

/** @returns {Part} */
function shadePart(
  /** @type {Counted} */ { top, step, runs },
  /** @type {number} */ count,
  /** @type {Counting} */ counting,
) {
  // Each row laps a little over the next, so that no seam is seen; one path shades no place twice.
  const high = short(step * 1.05);
  const d = runs
    .filter((run) => run.count === count)
    .map(({ row, from, to }) => {
      const wide = short(to - from);
      return `M${short(from)} ${short(top + row * step)}h${wide}v${high}h-${wide}z`;
    })
    .join("");
  return {
    key: `count-${count}`,
    shows: [d, counting.band],
    attributes: { "data-count": count },
    build: () => [svg("path", { class: `count ${counting.band} n${count}`, d })],
  };
}

/** @returns {Part[]} */
function numberParts(/** @type {Counted} */ counted, /** @type {any} */ scene) {
  const least = NUMBER_PX / scene.viewport.scale;
  const places = placesOf(counted, { least, clear: takenBy(scene) });
  return places.map(({ count, at }, idx) => ({
    key: `count-number-${idx}`,
    shows: count,
    attributes: { ...fixedAt(at), "data-count-number": count },
    build: () => [svg("text", { class: "count-number", y: 5 }, numberText(count))],
  }));
}

/** What the symbols and words of the floor take. @param {any} scene @returns {{at: Point, half: Point}[]} */
function takenBy({ project, floor, viewport, labels }) {
  const { scale } = viewport;
  const kinds = /** @type {const} */ (["source", "detector", "device", "panel", "terminal"]);
  const symbols = kinds.flatMap((kind) =>
    on(project, kind, floor).map(({ at, id }) => {
      const [right, down] = labels.asides.get(keyText({ kind, id })) ?? [0, 0];
      const half = (SYMBOL_PX * labels.size) / scale;
      return { at: [at[0] + right / scale, at[1] + down / scale], half: [half, half] };
    }),
  );
  const words = [...labels.words.values()].map(({ at, width, height }) => ({
    at,
    half: [width / 2 / scale, height / 2 / scale],
  }));
  return /** @type {any} */ ([...symbols, ...words]);
}

/** @param {number} count */
const numberText = (count) => (count === MOST ? `${MOST}+` : String(count));

/** The shade of a number with the number in it, for a legend. @param {number} count @param {string} band */
export const countMark = (count, band) =>
  svg(
    "g",
    {},
    svg("rect", { class: `count-ground`, width: 24, height: 16, y: -8 }),
    svg("rect", { class: `count key ${band} n${count}`, width: 24, height: 16, y: -8 }),
    svg("text", { class: "count-number", x: 12, y: 4.5 }, numberText(count)),
  );
