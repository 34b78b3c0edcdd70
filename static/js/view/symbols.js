/**
 * The symbols, in pixels round their own origin: ISA-5.1 circle with letters over number, triangle
 * of a release source, IEC 60617 box of a panel. The same on plan, section and legend.
 */

import { svg } from "./svg.js";

/** Radius of the instrument circle, px. */
export const RING_PX = 13;

/** @param {string} tag such as "AT-101" */
export function splitTag(tag) {
  const match = /^([A-Za-z]+)[-\s]?(.*)$/.exec(tag);
  return match ? [match[1], match[2]] : ["", tag];
}

/** @param {string} tag */
export function instrument(tag) {
  const [letters, number] = splitTag(tag);
  return [
    svg("circle", { class: "target", r: 22 }),
    svg("circle", { class: "halo", r: 18 }),
    svg("circle", { class: "ring", r: RING_PX }),
    svg("path", { class: "divider", d: `M${-RING_PX} 0H${RING_PX}` }),
    svg("text", { class: "letters", y: -2.2 }, letters),
    svg("text", { class: "number", y: 8.8 }, number),
  ];
}

/** Letter of a hazard in the triangle, as on paper, and what it means. @type {Record<string, string>} */
const HAZARD_LETTERS = {
  flammable: "F",
  toxic: "T",
  oxygen_depletion: "D",
  oxygen_enrichment: "E",
};

/** @param {string[]} hazards @returns {string} such as "F flammable, D oxygen depletion" */
export const hazardWords = (hazards) =>
  Object.keys(HAZARD_LETTERS)
    .filter((hazard) => hazards.includes(hazard))
    .map((hazard) => `${HAZARD_LETTERS[hazard]} ${hazard.replace("_", " ")}`)
    .join(", ");

/** @param {string[]} hazards */
export function hazardLetters(hazards) {
  return [...new Set(hazards.map((hazard) => HAZARD_LETTERS[hazard] ?? "?"))].join("");
}

/** @param {string[]} hazards @param {string} name */
export function sourceTriangle(hazards, name) {
  const letters = hazardLetters(hazards);
  return [
    svg("circle", { class: "target", r: 22 }),
    svg("path", { class: "symbol", d: "M0-11 11 8H-11z" }),
    letters &&
      svg("text", { class: "hazard", y: 6, "font-size": letters.length > 1 ? 8.5 : 9 }, letters),
    name && svg("text", { class: "name", y: 20, "text-anchor": "middle" }, name),
  ];
}

/** Letter of each kind of air terminal, as on paper. @type {Record<string, string>} */
export const TERMINAL_LETTERS = {
  extract: "E",
  supply: "S",
  return_air: "R",
  intake: "I",
  cupboard: "C",
};

/** Half the width of an air terminal's symbol, px. */
export const TERMINAL_HALF = 12.6;

/** A square, and an arrow that leads air of the room into it or air into the room. @param {string} kind */
export const terminalMark = (kind) => [
  svg("circle", { class: "target", r: 22 }),
  svg("rect", { class: "terminal-box", x: -TERMINAL_HALF, y: -9, width: 18, height: 18 }),
  svg("path", {
    class: "terminal-arrow",
    d: kind === "supply" ? "M12.6 0 5.4-5.4V5.4z" : "M5.4 0 12.6-5.4V5.4z",
  }),
  svg("text", { class: "terminal-letter", x: -3.6, y: 4 }, TERMINAL_LETTERS[kind] ?? "?"),
];

/** Half the width of a panel's box, px. @param {string} tag */
export const panelHalf = (tag) => Math.max(17, tag.length * 3.6 + 4);

/** @param {string} tag */
export function panelBox(tag) {
  const half = panelHalf(tag);
  return [
    svg("rect", { class: "target", x: -half - 4, y: -22, width: 2 * half + 8, height: 44 }),
    svg("rect", { class: "box", x: -half, y: -10, width: 2 * half, height: 20 }),
    svg("text", { y: 4 }, tag),
  ];
}

export const riserMark = () => [
  svg("circle", { class: "target", r: 22 }),
  svg("rect", { class: "riser", x: -8, y: -8, width: 16, height: 16 }),
  svg("path", { class: "riser", d: "M-8-8 8 8M-8 8 8-8" }),
];

/**
 * @param {string} kind
 * @param {string} suffix
 * @param {{width: number, height: number, lines: string}} hatch
 */
const pattern = (kind, suffix, { width, height, lines }) =>
  svg(
    "pattern",
    { id: `hatch-${kind}${suffix}`, width, height, patternUnits: "userSpaceOnUse" },
    svg("rect", { class: `hatch-ground ${kind}`, width, height }),
    svg("path", { class: `hatch-line ${kind}`, d: lines }),
  );

/** The hatches: a direction for each band, so that greyscale print loses nothing. */
export const hatches = (/** @type {string} */ suffix) =>
  svg(
    "defs",
    {},
    pattern("high", suffix, { width: 8, height: 8, lines: "M-2 2 2-2M0 8 8 0M6 10l4-4" }),
    pattern("breathing", suffix, { width: 8, height: 7, lines: "M0 3.5h8" }),
    pattern("low", suffix, { width: 8, height: 8, lines: "M-2 6 2 10M0 0 8 8M6-2l4 4" }),
    pattern("unwatched", suffix, { width: 7, height: 7, lines: "M0 0 7 7M0 7 7 0" }),
  );

/** Line pattern of a segment: further ones repeat. @param {number} idx from 0 */
export const segmentClass = (idx) => `s${(idx % 4) + 1}`;
