/**
 * Where blockers are: a filled diamond at the thing each is about, with what is the matter. Where
 * it stands the server says, as for words. Metres.
 * @import {Part} from "./svg.js"
 */

import { find, keyText } from "../core/drawing.js";
import { add } from "../core/geometry.js";
import { fixedAt, svg } from "./svg.js";

/** Lines of what is the matter are no longer than this, px; their distance; the frame round them. */
const WIDE_PX = 250;
const LINE_PX = 14;
const MARGIN_PX = 6;

/** @param {any} scene @returns {Part[]} */
export function blockerParts(scene) {
  const open = new Map(
    (scene.results.findings ?? []).map((/** @type {any} */ one) => [one.id, one]),
  );
  return (scene.labels.blockers ?? []).flatMap((/** @type {any} */ mark) => {
    const messages = mark.findings.flatMap((/** @type {string} */ id) => open.get(id)?.message ?? []);
    return messages.length > 0 ? [blockerPart(mark, messages, scene)] : [];
  });
}

/** @param {any} mark @param {string[]} messages @param {any} scene @returns {Part} */
function blockerPart(mark, messages, scene) {
  const { viewport, size, ruler } = scene;
  const { about } = mark;
  const at = find(scene.project, about)?.at ?? mark.home;
  const [x, y] = add([at[0] * viewport.scale, at[1] * viewport.scale], [viewport.x_px, viewport.y_px]);
  const side = [x > size.width / 2, y > size.height / 2];
  const several = messages.length > 1;
  const lines = messages.flatMap((message, idx) =>
    wrapped(several ? `${idx + 1}. ${message}` : message, ruler),
  );
  return {
    key: keyText(about),
    shows: [mark.by, mark.half, lines, side],
    attributes: {
      class: "blocker",
      ...fixedAt(at),
      "data-blocker": keyText(about),
      "data-kind": about.kind,
      "data-id": about.id,
      tabindex: 0,
      role: "img",
      "aria-label": `${messages.length === 1 ? "Blocker" : `${messages.length} blockers`}: ${messages.join(" ")}`,
    },
    build: () => [
      svg(
        "g",
        { transform: `translate(${mark.by[0]} ${mark.by[1]})` },
        svg("circle", { class: "target", r: 11 }),
        ...diamond(mark.half, messages.length),
        matter(lines, side, mark.half, ruler),
      ),
    ],
  };
}

/** @param {number} half @param {number} count a figure says how many there are, if more than one */
export const diamond = (half, count) => [
  svg("path", { class: "blocker-mark", d: `M0${-half} ${half} 0 0 ${half} ${-half} 0z` }),
  count > 1 && svg("text", { class: "blocker-count", y: 3.2 }, String(count)),
];

/** What is the matter, on paper, shown while one points at the mark or has stepped to it. */
function matter(
  /** @type {string[]} */ lines,
  /** @type {boolean[]} */ [left, above],
  /** @type {number} */ half,
  /** @type {any} */ ruler,
) {
  const wide = Math.max(...lines.map((line) => ruler.measure(line))) + 2 * MARGIN_PX;
  const high = lines.length * LINE_PX + 2 * MARGIN_PX - 2;
  const x = left ? -half - 4 - wide : half + 4;
  const y = above ? -high - half : half;
  return svg(
    "g",
    { class: "matter", transform: `translate(${x} ${y})`, "aria-hidden": "true" },
    svg("rect", { width: wide, height: high }),
    ...lines.map((line, idx) =>
      svg("text", { x: MARGIN_PX, y: MARGIN_PX + 9 + LINE_PX * idx }, line),
    ),
  );
}

/** @param {string} text @param {any} ruler */
export function wrapped(text, ruler) {
  const lines = /** @type {string[]} */ ([]);
  for (const word of text.split(" ")) {
    const last = lines[lines.length - 1];
    if (last !== undefined && ruler.measure(`${last} ${word}`) <= WIDE_PX) {
      lines[lines.length - 1] = `${last} ${word}`;
    } else lines.push(word);
  }
  return lines;
}
