/**
 * The gas of a release in the section at a time: plume, layer and front, to scale.
 * @import {Cut} from "./section.js"
 */

import { concentration, heightText } from "../core/quantity.js";
import { short, svg } from "./svg.js";

/** @type {Record<string, string>} */
const HUES = { rises: "high", falls: "low", mixes: "breathing" };

/** Hue and hatch of what moves so. @param {string} motion */
export const hueOf = (motion) => HUES[motion] ?? "breathing";

/**
 * @param {{motion: string, source: any, gas: any}} shown what `gasAt` says, and of which source
 * @param {Cut} cut
 * @param {{x1: number, x2: number, toPx: (height: number) => number, along: (at: any) => number,
 *   units: string}} place
 */
export function gasMarks({ motion, source, gas }, cut, { x1, x2, toPx, along, units }) {
  const hue = hueOf(motion);
  if (gas.mixed !== null) {
    const words = ["mixed through the room", concentration(gas.mixed, "%vol")];
    return [
      ...filled(hue, { x: x1, y: toPx(cut.ceiling), width: x2 - x1, to: cut.floor_px }),
      frontText(x2, toPx(cut.ceiling) + 12, words),
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
    const words = [
      `front ${heightText(front, units)}`,
      `${concentration(gas.layer.gas, "%vol")} in the layer`,
    ];
    marks.push(
      svg("path", {
        class: "gas-front",
        d: `M${short(x1)} ${short(toPx(front))}H${short(x2)}`,
        "data-front": short(front),
      }),
      frontText(x2, clear(toPx(front), toPx(1.5)), words),
    );
  }
  return marks;
}

/** Beside the front, clear of the words of the breathing band. @param {number} y */
function clear(y, /** @type {number} */ breathing) {
  if (y > breathing - 26 && y <= breathing + 4) return breathing - 26;
  if (y > breathing && y < breathing + 22) return breathing + 22;
  return y;
}

/** @param {number} x2 @param {number} y @param {string[]} words */
const frontText = (x2, y, [first, second]) =>
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
