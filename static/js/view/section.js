/**
 * The section strip: a cut through a room, to scale, with what hangs and stands in it. Heights are
 * metres above finished floor; the cut runs along the room's longer side.
 * @import {Point} from "../core/types.js"
 */

import { on } from "../core/drawing.js";
import { bounds, contains, middleOf } from "../core/geometry.js";
import { heightText } from "../core/quantity.js";
import { gasMarks } from "./section_gas.js";
import { thingsMarks } from "./section_things.js";
import { svg } from "./svg.js";
import { hatches } from "./symbols.js";

const MARGIN_PX = { left: 76, right: 130, top: 20, bottom: 20 };

/** Breathing band, m: the height of the noses of people who stand or sit. Common practice. */
const BREATHING_M = /** @type {const} */ ([1.2, 1.8]);

/**
 * @typedef {{axis: 0|1, from: number, to: number, ceiling: number, scale: number, left_px: number,
 *   floor_px: number, pits: {outline: Point[], depth: number}[]}} Cut
 */

/**
 * How a room is cut and scaled into a strip.
 * @param {any} room @param {any} results @param {{width: number, height: number}} size
 * @param {Point[]} things @param {Cut["pits"]} pits
 */
export function cutThrough(room, results, size, things, pits) {
  const box = bounds(room.outline) ?? { x: 0, y: 0, width: 1, height: 1 };
  const axis = bestAxis(box, things);
  const from = axis === 0 ? box.x : box.y;
  const long = axis === 0 ? box.width : box.height;
  const ceiling = room.ceiling ?? results.rooms?.[room.id]?.ceiling?.value ?? 3;
  const wide = size.width - MARGIN_PX.left - MARGIN_PX.right;
  const high = size.height - MARGIN_PX.top - MARGIN_PX.bottom;
  const deepest = Math.max(0, ...pits.map(({ depth }) => depth));
  const scale = Math.max(2, Math.min(wide / long, high / (ceiling + deepest)));
  const left_px = MARGIN_PX.left + Math.max(0, (wide - long * scale) / 2);
  const below = Math.max(0, (high - (ceiling + deepest) * scale) / 2);
  const floor_px = MARGIN_PX.top + high - below - deepest * scale;
  const to = from + long;
  return /** @type {Cut} */ ({ axis, from, to, ceiling, scale, left_px, floor_px, pits });
}

/** The pits in a room with their depths, m. @param {any} scene @param {any} room @returns {Cut["pits"]} */
export function pitsIn({ project, basis }, room) {
  const unknown = { ...basis, ...project.basis }.pit_depth_unknown ?? 1;
  const pits = on(project, "marked", room.floor).filter(({ kind }) => kind === "pit");
  return pits
    .filter(({ outline }) => contains(room.outline, /** @type {Point} */ (middleOf(outline))))
    .map(({ outline, level }) => ({ outline, depth: level ?? unknown }));
}

/** The sides and floor of a pit as it lies behind the cut; it ends at the walls. */
function pitSides(/** @type {Cut} */ cut, /** @type {Cut["pits"][0]} */ { outline, depth }) {
  const [from, to] = [cut.left_px, cut.left_px + (cut.to - cut.from) * cut.scale];
  const xs = outline.map((at) => Math.min(to, Math.max(from, alongToPx(cut, at))));
  return { left: Math.min(...xs), right: Math.max(...xs), foot: heightToPx(cut, -depth) };
}

/** @param {Cut} cut */
function pitMarks(cut) {
  return cut.pits.map((pit) => {
    const { left, right, foot } = pitSides(cut, pit);
    const d = `M${left} ${cut.floor_px}V${foot}H${right}V${cut.floor_px}`;
    return svg("path", { class: "section-pit", d });
  });
}

/** What words keep off besides symbols: the floor where there is a pit, and the pit's sides. */
function pitLines(/** @type {Cut} */ cut) {
  return cut.pits.flatMap((pit) => {
    const { left, right, foot } = pitSides(cut, pit);
    const side = (/** @type {number} */ x) => ({ x1: x - 3, x2: x + 3, y1: cut.floor_px, y2: foot });
    const level = (/** @type {number} */ y) => ({ x1: left, x2: right, y1: y - 3, y2: y + 3 });
    return [side(left), side(right), level(foot), level(cut.floor_px)];
  });
}

/** A room this much longer than wide is cut along its length whatever stands in it. */
const LONG_ROOM = 1.5;

/**
 * Along the longer side; in a room about square, so that what stands in it lies least behind one
 * another.
 * @param {{width: number, height: number}} box @param {Point[]} things
 * @returns {0|1}
 */
function bestAxis({ width, height }, things) {
  const long = width >= height ? 0 : 1;
  if (Math.max(width, height) > LONG_ROOM * Math.min(width, height)) return long;
  const gap = (/** @type {0|1} */ axis) => {
    const along = things.map((at) => at[axis]).sort((a, b) => a - b);
    return Math.min(...along.slice(1).map((value, idx) => value - along[idx]));
  };
  const [across, down] = [gap(0), gap(1)];
  if (Math.abs(across - down) < 0.2 || things.length < 2) return long;
  return across > down ? 0 : 1;
}

/** @param {Cut} cut @param {number} height m */
const heightToPx = (cut, height) => cut.floor_px - height * cut.scale;

/** The height at a pixel of the strip, m. @param {Cut} cut @param {number} y_px */
export const pxToHeight = (cut, y_px) => (cut.floor_px - y_px) / cut.scale;

/** @param {Cut} cut @param {Point} at */
const alongToPx = (cut, at) => cut.left_px + (at[cut.axis] - cut.from) * cut.scale;

/** From where one looks. North is not assumed. @param {Cut} cut */
export const looking = (cut) =>
  cut.axis === 0 ? "seen from the foot of the sheet" : "seen from the left of the sheet";

/**
 * The whole strip. @param {any} scene @param {any} room @param {Cut} cut
 * @param {any} [shown] the gas of a release: motion, source, gas
 */
export function sectionMarks(scene, room, cut, shown = null) {
  const x1 = cut.left_px;
  const x2 = cut.left_px + (cut.to - cut.from) * cut.scale;
  const open = room.enclosure === "outdoor";
  const roof = heightToPx(cut, cut.ceiling);
  const walls =
    room.enclosure === "enclosed"
      ? `M${x1} ${roof}V${cut.floor_px}M${x2} ${roof}` + `V${cut.floor_px}`
      : "";
  const place = {
    x1,
    x2,
    floor: cut.floor_px,
    toPx: (/** @type {number} */ height) => heightToPx(cut, height),
    along: (/** @type {Point} */ at) => alongToPx(cut, at),
    units: scene.units,
    lines: pitLines(cut),
  };
  return [
    hatches(""),
    svg("g", { class: shown ? "faint-bands" : "" }, ...bands(scene, room, cut, x1, x2)),
    ...(shown
      ? gasMarks(shown, cut, place)
      : []),
    svg("path", { class: "ground", d: `M${x1 - 14} ${cut.floor_px}H${x2 + 14}` }),
    svg("path", {
      class: open ? "section-open" : "slab",
      d: open ? `M${x1} ${roof}H${x2}` : `M${x1 - 14} ${roof}H${x2 + 14}${walls}`,
    }),
    ...pitMarks(cut),
    heightDimension(scene, room, cut, x1),
    ...thingsMarks(scene, room, place),
  ];
}

/** The band each detector of the room belongs to, and the breathing band always. */
function bands(
  /** @type {any} */ { project, results, basis },
  /** @type {any} */ room,
  /** @type {Cut} */ cut,
  /** @type {number} */ x1,
  /** @type {number} */ x2,
) {
  const covers = results.rooms?.[room.id]?.covers ?? [];
  const has = (/** @type {string} */ band) =>
    covers.some((/** @type {any} */ cover) => cover.band === band);
  const value = (/** @type {string} */ key, /** @type {number} */ otherwise) =>
    project.basis?.[key] ?? basis?.[key] ?? otherwise;
  const rect = (
    /** @type {string} */ band,
    /** @type {number} */ low,
    /** @type {number} */ high,
  ) =>
    svg("rect", {
      class: `section-band ${band}`,
      x: x1,
      width: x2 - x1,
      y: heightToPx(cut, high),
      height: Math.max(0, (high - low) * cut.scale),
    });
  const marks = [];
  if (has("high")) {
    marks.push(rect("high", cut.ceiling - value("below_ceiling", 0.3), cut.ceiling));
  }
  if (has("low")) marks.push(rect("low", 0, 2 * value("above_floor", 0.3)));
  if (BREATHING_M[1] < cut.ceiling) {
    marks.push(
      svg(
        "g",
        { class: has("breathing") ? "" : "quiet-band" },
        rect("breathing", BREATHING_M[0], BREATHING_M[1]),
      ),
      svg(
        "text",
        { class: "chart-text", x: x2 + 18, y: heightToPx(cut, 1.5) + 4 },
        "breathing 1.2–1.8\u202fm",
      ),
    );
  }
  return marks;
}

/** @param {any} scene @param {any} room @param {Cut} cut @param {number} x1 */
function heightDimension({ units }, room, cut, x1) {
  const [x, roof] = [x1 - 36, heightToPx(cut, cut.ceiling)];
  const text = heightText(cut.ceiling, units);
  return svg(
    "g",
    { class: "dimension" },
    svg("path", {
      class: "dimension",
      d: `M${x} ${roof}V${cut.floor_px}M${x - 5} ${roof}h10` + `M${x - 5} ${cut.floor_px}h10`,
    }),
    svg(
      "text",
      {
        class: "dimension",
        transform: `translate(${x - 6} ` + `${(roof + cut.floor_px) / 2}) rotate(-90)`,
        "text-anchor": "middle",
      },
      room.ceiling === null ? `${text} assumed` : text,
    ),
  );
}
