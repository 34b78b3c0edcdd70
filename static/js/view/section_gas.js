/**
 * The gas of a release in the section at a time: plume, layer and front, to scale.
 * @import {Cut} from "./section.js"
 * @import {Quantity} from "../core/types.js"
 */

import { areaText, concentration, frontText } from "../core/quantity.js";
import { short, svg } from "./svg.js";

/** @type {Record<string, string>} */
const HUES = { rises: "high", falls: "low", mixes: "breathing" };

/** Hue and hatch of what moves so. @param {string} motion */
export const hueOf = (motion) => HUES[motion] ?? "breathing";

/**
 * @param {{motion: string, source: any, gas: any, pool: ?Quantity}} shown what `gasAt` says, and
 *   of which source
 * @param {Cut} cut
 * @param {{x1: number, x2: number, toPx: (height: number) => number, along: (at: any) => number,
 *   units: string}} place
 */
export function gasMarks({ motion, source, gas, pool }, cut, { x1, x2, toPx, along, units }) {
  const hue = hueOf(motion);
  if (gas.mixed !== null) {
    const words = ["mixed through the room", concentration(gas.mixed, "%vol")];
    return [
      ...filled(hue, { x: x1, y: toPx(cut.ceiling), width: x2 - x1, to: cut.floor_px }),
      wordsBeside(x2, toPx(cut.ceiling) + 12, words),
    ];
  }
  const marks = [];
  if (gas.layer) {
    const { low, high } = gas.layer;
    marks.push(...filled(hue, { x: x1, y: toPx(high), width: x2 - x1, to: toPx(low) }));
  }
  if (gas.cone) marks.push(cone(gas.cone, hue, along(source.at), toPx, cut));
  if (gas.layer) {
    const front = motion === "rises" ? gas.layer.low : gas.layer.high;
    // The words of a pool stand at the floor.
    const lowest = pool ? cut.floor_px - 26 : Infinity;
    const words = [
      `front ${frontText(front, units)}`,
      `${concentration(gas.layer.gas, "%vol")} in the layer`,
    ];
    marks.push(
      svg("path", {
        class: "gas-front",
        d: `M${short(x1)} ${short(toPx(front))}H${short(x2)}`,
        "data-front": short(front),
      }),
      wordsBeside(x2, clear(Math.min(toPx(front), lowest), toPx(1.5)), words),
    );
  }
  if (pool) marks.push(...poolMarks(pool.value, along(source.at), cut, { x1, x2, units }));
  return marks;
}

/** How thick a pool is drawn, px: its depth would not be seen to scale. */
const POOL_PX = 4;

/** A round pool, its width to scale, no wider than the room. @param {number} area m2 */
function poolMarks(
  area,
  /** @type {number} */ x,
  /** @type {Cut} */ cut,
  /** @type {{x1: number, x2: number, units: string}} */ { x1, x2, units },
) {
  const half = Math.sqrt(area / Math.PI) * cut.scale;
  const [left, right] = [Math.max(x1, x - half), Math.min(x2, x + half)];
  return [
    svg("rect", {
      class: "pool",
      x: short(left),
      y: short(cut.floor_px - POOL_PX),
      width: short(right - left),
      height: POOL_PX,
    }),
    svg("text", { class: "chart-text", x: x2 + 18, y: cut.floor_px + 4 }, `pool ${areaText(area, units)}`),
  ];
}

/** Beside the front, clear of the words of the breathing band. @param {number} y */
function clear(y, /** @type {number} */ breathing) {
  if (y > breathing - 26 && y <= breathing + 4) return breathing - 26;
  if (y > breathing && y < breathing + 22) return breathing + 22;
  return y;
}

/** @param {number} x2 @param {number} y @param {string[]} words */
const wordsBeside = (x2, y, [first, second]) =>
  svg(
    "text",
    { class: "chart-text front-text", y },
    svg("tspan", { class: "tag-name", x: x2 + 18 }, first),
    svg("tspan", { x: x2 + 18, dy: 13 }, second),
  );

/** @param {string} hue @param {{x: number, y: number, width: number, to: number}} box */
function filled(hue, { x, y, width, to }) {
  const box = { x: short(x), y: short(y), width: short(width), height: short(Math.max(0, to - y)) };
  return [
    svg("rect", { class: `gas ${hue}`, ...box }),
    svg("rect", { class: `section-band ${hue}`, ...box }),
  ];
}

/** A plume is as wide as its top-hat radius, as far as the front. */
function cone(
  /** @type {{from: number, to: number, radius: number}} */ { from, to, radius },
  /** @type {string} */ hue,
  /** @type {number} */ x,
  /** @type {(height: number) => number} */ toPx,
  /** @type {Cut} */ cut,
) {
  const half = radius * cut.scale;
  const [y, end] = [toPx(from), toPx(to)];
  return svg("path", {
    class: `gas plume ${hue}`,
    "data-plume": hue,
    d: `M${short(x - 1.5)} ${short(y)}L${short(x - half)} ${short(end)}H${short(x + half)}L${short(x + 1.5)} ${short(y)}Z`,
  });
}
