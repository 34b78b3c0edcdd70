/**
 * Where words stand at this zoom, so that none lies on another or on a symbol. Detectors' tags keep
 * the place the server gave them as long as it is free; every other word takes the first free place
 * of a few. What finds none is not shown: closer up it will be. Pixels round the floor's origin.
 * @import {Point} from "../core/types.js"
 */

import { on, roomAt, sameKey, walls } from "../core/drawing.js";
import { bounds, contains, distance } from "../core/geometry.js";
import { heightText } from "../core/quantity.js";

/**
 * @typedef {{x1: number, y1: number, x2: number, y2: number}} Box
 * @typedef {{measure: (text: string, bold?: boolean) => number}} Ruler widths at 12 px
 * @typedef {{tags: Map<number, Point>, rooms: Map<number, {at: Point, anchor: string,
 *   lines: string[]}>, names: Map<string, {x: number, y: number, anchor: string}>}} Places
 */

/** @param {any} scene @param {Ruler} ruler @returns {Places} */
export function labelPlaces(scene, ruler) {
  const taken = symbolBoxes(scene);
  const lines = walls(scene.project, scene.floor).map(
    ([a, b]) => /** @type {[Point, Point]} */ ([px(scene, a), px(scene, b)]),
  );
  const sheet = { scene, ruler, taken, lines, within: /** @type {?Box} */ (null) };
  sheet.within = boundsWithin(scene);
  return { tags: tagPlaces(sheet), rooms: roomPlaces(sheet), names: namePlaces(sheet) };
}

/** @param {any} scene @param {Point} at @returns {Point} */
const px = ({ viewport }, at) => [at[0] * viewport.scale, at[1] * viewport.scale];

/** @param {Point} at @param {number} half_w @param {number} half_h @returns {Box} */
const around = ([x, y], half_w, half_h) => ({
  x1: x - half_w,
  y1: y - half_h,
  x2: x + half_w,
  y2: y + half_h,
});

/** @param {Box} a @param {Box} b */
const overlap = (a, b) => a.x1 < b.x2 && b.x1 < a.x2 && a.y1 < b.y2 && b.y1 < a.y2;

/** Whether a stretch passes through a box (Liang and Barsky's clipping, 1984). */
function passes(/** @type {Box} */ box, /** @type {[Point, Point]} */ [a, b]) {
  let [enter, leave] = [0, 1];
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const sides = [
    [-dx, a[0] - box.x1],
    [dx, box.x2 - a[0]],
    [-dy, a[1] - box.y1],
    [dy, box.y2 - a[1]],
  ];
  for (const [p, q] of sides) {
    if (p === 0 && q < 0) return false;
    if (p < 0) enter = Math.max(enter, q / p);
    if (p > 0) leave = Math.min(leave, q / p);
  }
  return enter < leave;
}

/** Words stay this near to the building, so that fitting the floor shows them, px. */
const EDGE_PX = 34;

/** @param {any} scene @returns {?Box} */
function boundsWithin(scene) {
  const box = bounds(on(scene.project, "room", scene.floor).flatMap((room) => room.outline));
  if (!box) return null;
  const [x, y] = px(scene, [box.x, box.y]);
  const { scale } = scene.viewport;
  return {
    x1: x - EDGE_PX,
    y1: y - EDGE_PX,
    x2: x + box.width * scale + EDGE_PX,
    y2: y + box.height * scale + EDGE_PX,
  };
}

/** @param {any} scene @returns {Box[]} */
function symbolBoxes(scene) {
  const { project, floor } = scene;
  const boxes = (/** @type {any} */ kind, /** @type {number} */ w, /** @type {number} */ h) =>
    on(project, kind, floor).map((item) => around(px(scene, item.at), w, h));
  return [
    ...boxes("detector", 15, 15),
    ...boxes("source", 12, 11),
    ...boxes("panel", 22, 12),
    ...boxes("riser", 10, 10),
    ...on(project, "device", floor)
      .filter((item) => item.detectors.length === 0)
      .map((item) => around(px(scene, item.at), 15, 15)),
  ];
}

/** @param {any} sheet @param {Box} box */
const isFree = ({ taken }, box) => !taken.some((/** @type {Box} */ other) => overlap(box, other));

/** @param {any} sheet @param {Box} box */
const overWall = ({ lines }, box) =>
  lines.some((/** @type {[Point, Point]} */ line) => passes(box, line));

/** @param {any} sheet @param {Box} box */
const isOutside = ({ within }, box) =>
  within !== null &&
  (box.x1 < within.x1 || box.y1 < within.y1 || box.x2 > within.x2 || box.y2 > within.y2);

/** Directions a tag may stand in, the usual ones first. */
const AROUND = /** @type {Point[]} */ ([
  [1, 0],
  [-1, 0],
  [0, -1],
  [0, 1],
  [0.8, -0.8],
  [0.8, 0.8],
  [-0.8, -0.8],
  [-0.8, 0.8],
]);

/** @param {any} sheet @returns {Map<number, Point>} */
function tagPlaces(sheet) {
  const { scene, ruler, taken } = sheet;
  const places = new Map();
  for (const detector of on(scene.project, "detector", scene.floor)) {
    const found = scene.results.detectors?.[detector.id];
    if (!found) continue;
    const name = `${found.substance} ${detector.band[0].toUpperCase()}`;
    const half =
      Math.max(ruler.measure(name, true), ruler.measure(heightText(detector.height, scene.units))) /
        2 +
      1;
    const centre = px(scene, detector.at);
    const wished = px(scene, found.tag_at);
    const offers = [
      clearOfRing(centre, wished, half),
      ...AROUND.flatMap(([x, y]) =>
        [0, 26, 56].map(
          (far) =>
            /** @type {Point} */ ([centre[0] + x * (22 + half + far), centre[1] + y * (32 + far)]),
        ),
      ),
    ];
    const box = (/** @type {Point} */ at) => around(at, half, 13);
    const room = roomAt(scene.project, scene.floor, detector.at);
    const cost = (/** @type {Point} */ at, /** @type {number} */ idx) =>
      idx * 0.02 +
      Math.hypot(at[0] - centre[0], at[1] - centre[1]) * 0.008 +
      (overWall(sheet, box(at)) ? 1 : 0) +
      (room && !contains(room.outline, metres(scene.viewport.scale, ...at)) ? 1.5 : 0);
    const free = offers
      .map((at, idx) => ({ at, cost: cost(at, idx) }))
      .filter(({ at }) => isFree(sheet, box(at)) && !isOutside(sheet, box(at)))
      .sort((a, b) => a.cost - b.cost);
    const best =
      free[0]?.at ??
      (sameKey({ kind: "detector", id: detector.id }, scene.selection) ? offers[0] : null);
    if (!best) continue;
    taken.push(box(best));
    places.set(detector.id, [best[0] / scene.viewport.scale, best[1] / scene.viewport.scale]);
  }
  return places;
}

/**
 * The server places tags for a sheet on paper; on a small screen the same metres may bring the text
 * under the ring, so it goes out the same way until it is clear.
 * @param {Point} centre @param {Point} tag @param {number} half
 * @returns {Point}
 */
export function clearOfRing(centre, tag, half) {
  const [dx, dy] = [tag[0] - centre[0], tag[1] - centre[1]];
  if (Math.hypot(dx, dy) < 1) return [centre[0] + half + 22, centre[1]];
  const aside = (half + 20) / Math.max(Math.abs(dx), 1e-6);
  const above = 31 / Math.max(Math.abs(dy), 1e-6);
  const out = Math.max(1, Math.min(aside, above));
  return [centre[0] + dx * out, centre[1] + dy * out];
}

/** @param {any} sheet */
function roomPlaces(sheet) {
  const { scene, taken } = sheet;
  const places = new Map();
  for (const room of on(scene.project, "room", scene.floor)) {
    const box = bounds(room.outline);
    if (!box) continue;
    const found = roomPlace(sheet, room, box);
    if (!found) continue;
    taken.push(found.box);
    places.set(room.id, found);
  }
  return places;
}

/** Number and name in the first corner where they fit; then in two lines, then the number alone. */
function roomPlace(/** @type {any} */ sheet, /** @type {any} */ room, /** @type {any} */ extent) {
  const { scene, ruler } = sheet;
  const { scale } = scene.viewport;
  const corners = squareCorners(room, extent);
  for (const lines of forms(room)) {
    const wide = Math.max(...lines.map((text, idx) => ruler.measure(text, idx === 0)));
    const high = lines.length * 13 + 2;
    if (wide + 14 > extent.width * scale || high + 8 > extent.height * scale) continue;
    for (const [corner, right, down] of corners) {
      const [x, y] = px(scene, corner);
      const left = right > 0 ? x + 7 : x - 7 - wide;
      const top = down > 0 ? y + 7 : y - 6 - high;
      const box = { x1: left, y1: top, x2: left + wide, y2: top + high };
      if (isFree(sheet, box)) return { box, lines, anchor: "start", at: metres(scale, left, top) };
    }
    if (corners.length === 0) {
      const at = px(
        scene,
        scene.results.rooms?.[room.id]?.label_at ?? [
          extent.x + extent.width / 2,
          extent.y + extent.height / 2,
        ],
      );
      const box = around(at, wide / 2, high / 2);
      if (isFree(sheet, box)) {
        return { box, lines, anchor: "middle", at: metres(scale, at[0], box.y1) };
      }
    }
  }
  return null;
}

/** @param {number} scale @param {number} x @param {number} y @returns {Point} */
const metres = (scale, x, y) => [x / scale, y / scale];

/** @param {any} room @returns {string[][]} */
function forms({ number, name }) {
  const words = name.split(" ");
  const half = Math.ceil(words.length / 2);
  const broken =
    words.length > 1 ? [[number, words.slice(0, half).join(" "), words.slice(half).join(" ")]] : [];
  return name === "" ? [[number]] : [[number, name], ...broken, [number]];
}

/** Corners of the box that are corners of the room, lower left first. @returns {any[]} */
function squareCorners(/** @type {any} */ room, /** @type {any} */ { x, y, width, height }) {
  const all = [
    [[x, y + height], 1, -1],
    [[x, y], 1, 1],
    [[x + width, y + height], -1, -1],
    [[x + width, y], -1, 1],
  ];
  return all.filter(([corner]) =>
    room.outline.some(
      (/** @type {Point} */ other) => distance(other, /** @type {Point} */ (corner)) < 0.05,
    ),
  );
}

/** Names beside sources and risers. @param {any} sheet */
function namePlaces(sheet) {
  const { scene, ruler, taken } = sheet;
  const places = new Map();
  for (const kind of /** @type {const} */ (["source", "riser"])) {
    for (const item of on(scene.project, kind, scene.floor)) {
      const wide = ruler.measure(item.name) * (11 / 12);
      const [x, y] = px(scene, item.at);
      const offers = [
        { x: 0, y: 20, anchor: "middle", left: -wide / 2 },
        { x: 0, y: -14, anchor: "middle", left: -wide / 2 },
        { x: 15, y: 4, anchor: "start", left: 15 },
        { x: -15, y: 4, anchor: "end", left: -15 - wide },
      ];
      const box = (/** @type {any} */ one) => ({
        x1: x + one.left,
        x2: x + one.left + wide,
        y1: y + one.y - 9,
        y2: y + one.y + 3,
      });
      const free = offers.filter((one) => isFree(sheet, box(one)));
      const held = sameKey({ kind, id: item.id }, scene.selection);
      const best =
        free.find((one) => !overWall(sheet, box(one))) ?? free[0] ?? (held ? offers[0] : null);
      if (!best) continue;
      taken.push(box(best));
      places.set(`${kind}-${item.id}`, { x: best.x, y: best.y, anchor: best.anchor });
    }
  }
  return places;
}

/** Widths of words in the drawing's own type. @returns {Ruler} */
export function makeRuler() {
  const context = document.createElement("canvas").getContext("2d");
  const known = new Map();
  return {
    measure: (text, bold = false) => {
      const key = `${bold}${text}`;
      if (!known.has(key) && context) {
        context.font = `${bold ? 600 : 400} 12px "Barlow Semi Condensed", sans-serif`;
        known.set(key, context.measureText(text).width + 1);
      }
      return known.get(key) ?? text.length * 6;
    },
  };
}
