/**
 * Tags and names where the server placed them, and symbols that stand aside from their true places.
 * @import {Part} from "./svg.js"
 * @import {Kind, Point} from "../core/types.js"
 */

import { preview } from "../core/difference.js";
import { find, keyText } from "../core/drawing.js";
import { add, bounds, middleOf } from "../core/geometry.js";
import { isMovedByHand, leader, linesNow, standing } from "../core/words.js";
import { fixedAt, pathData, svg } from "./svg.js";

/** Size of the type and distance of its lines, px: the server reckons with the same. */
const TEXT_PX = 11.5;
const LINE_PX = 1.2 * TEXT_PX;

/** From a symbol's middle to where its leader line begins, px. @type {Record<string, number>} */
const RADIUS = { detector: 14, source: 10.5, riser: 9 };

/** All words of the floor. @param {any} scene @returns {Part[]} */
export function wordsParts(scene) {
  const { project, ghost } = scene;
  const shown = ghost ? preview(project, ghost.edit) : project;
  return [...scene.labels.words.values()].flatMap((words) => {
    const item = find(shown, words.about);
    return item ? [wordsPart(words, item, scene)] : [];
  });
}

/** The words of one thing. @param {any} words @param {any} item @param {any} scene @returns {Part} */
export function wordsPart(words, item, scene) {
  const { kind, id } = words.about;
  const { scale } = scene.viewport;
  const at = standing(words, item);
  const lines = linesNow(words, item, scene.units);
  const line = leaderOf(words, item, at, scene);
  return {
    key: keyText(words.about),
    shows: [lines, words.bold, words.anchor, words.width, line],
    attributes: {
      class: `words ${kind}-words`,
      ...(kind === "detector"
        ? { "data-tag": id, "data-kind": kind, "data-id": id, "data-handle": "tag" }
        : { "data-words": keyText(words.about) }),
    },
    build: () => [
      line && svg("path", { class: "leader", d: pathData(line) }),
      svg("g", {}, ...textOf(words, lines)),
    ],
    after: (/** @type {SVGElement} */ node) => setPlace(node, at),
  };
}

/** The block moves without being built again. @param {SVGElement} node @param {Point} at */
function setPlace(node, at) {
  const block = /** @type {any} */ (node.lastElementChild);
  const { style } = fixedAt(at);
  if (block.heldStyle === style) return;
  block.heldStyle = style;
  block.style.cssText = style;
}

/** @returns {?[Point, Point]} */
function leaderOf(
  /** @type {any} */ words,
  /** @type {any} */ item,
  /** @type {Point} */ at,
  /** @type {any} */ scene,
) {
  const { scale } = scene.viewport;
  const home = words.leader || isMovedByHand(words, item) ? homeOf(words, item, scene) : null;
  return home && leader({ ...home, at, width: words.width, height: words.height, scale });
}

/**
 * The middle of what a leader line leads to, m, and how far from it the line ends, px.
 * @returns {?{symbol: Point, radius: number}}
 */
function homeOf(
  /** @type {any} */ words,
  /** @type {any} */ item,
  /** @type {any} */ { labels, viewport: { scale } },
) {
  const box = words.about.kind === "marked" ? bounds(item.outline) : null;
  if (box) {
    const symbol = /** @type {Point} */ (middleOf(item.outline));
    return { symbol, radius: (Math.min(box.width, box.height) / 2) * scale };
  }
  const radius = RADIUS[words.about.kind] * labels.size;
  if (!radius) return null;
  const [right, down] = labels.asides.get(keyText(words.about)) ?? [0, 0];
  return { symbol: add(item.at, [right / scale, down / scale]), radius };
}

/** @param {any} words @param {string[]} lines */
function textOf({ width, height, anchor, bold }, lines) {
  const x = anchor === "middle" ? 0 : ((anchor === "end" ? 1 : -1) * width) / 2;
  const top = -height / 2;
  return [
    svg("rect", { class: "words-ground", x: -width / 2 - 1, y: top - 1, width: width + 2, height: height + 2 }),
    svg("rect", { class: "target", x: -width / 2 - 2, y: top - 2, width: width + 4, height: height + 4 }),
    ...lines.map((line, idx) =>
      svg(
        "text",
        {
          class: idx === 0 && bold ? "word-first" : "word-line",
          x,
          y: top + 0.75 * TEXT_PX + LINE_PX * idx,
          "text-anchor": anchor,
        },
        line,
      ),
    ),
  ];
}

/**
 * How far a symbol stands from its true place, px of a symbol at its full size.
 * @param {any} scene @param {Kind} kind @param {number} id @returns {?Point}
 */
export function asideOf({ labels }, kind, id) {
  const aside = labels?.asides.get(keyText({ kind, id }));
  return aside ? [aside[0] / labels.size, aside[1] / labels.size] : null;
}

/**
 * A symbol's marks; those of one that stands aside have a line to their true place, which is a dot.
 * @param {?Point} aside @param {any[]} marks
 */
export const setAside = (aside, marks) =>
  aside === null
    ? marks
    : [
        svg("path", { class: "leader", d: `M0 0L${aside[0]} ${aside[1]}` }),
        svg("circle", { class: "true-place", r: 2.2 }),
        svg("g", { transform: `translate(${aside[0]} ${aside[1]})` }, ...marks.filter(Boolean)),
      ];
