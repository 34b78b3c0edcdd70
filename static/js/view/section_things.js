/**
 * What hangs and stands in a room, in its section: panels, air terminals, sources and detectors, each
 * at its height.
 * Symbols that would cover one another stand apart along the room, with a line to their true place.
 * @import {Point} from "../core/types.js"
 */

import { apartAlong } from "../core/apart.js";
import { nameOf, on, sameKey } from "../core/drawing.js";
import { contains } from "../core/geometry.js";
import { heightText } from "../core/quantity.js";
import { itemAttributes, short, svg } from "./svg.js";
import {
  TERMINAL_HALF,
  instrument,
  panelBox,
  panelHalf,
  sourceTriangle,
  terminalMark,
} from "./symbols.js";
import { setAside } from "./words.js";

/**
 * Where a section stands in its strip, px.
 * @typedef {{x1: number, x2: number, floor: number, toPx: (height: number) => number,
 *   along: (at: Point) => number, units: any, lines: Box[]}} Place `lines`: what words keep off
 * @typedef {{x1: number, x2: number, y1: number, y2: number}} Box
 * @typedef {{item: any, kind: string, name: string, x: number, y: number, half: [number, number],
 *   marks: any[], class: string, text: string, selected: boolean}} Thing
 */

/** @param {any} scene @param {any} room @param {Place} place @returns {SVGElement[]} */
export function thingsMarks(scene, room, place) {
  const things = [
    ...panelThings(scene, room, place),
    ...terminalThings(scene, room, place),
    ...sourceThings(scene, room, place),
    ...detectorThings(scene, room, place),
  ];
  const stands = apartAlong(things, { from: place.x1, to: place.x2 });
  const words = wordsBeside(scene, place, things, stands);
  return things.map((thing, idx) => symbol(thing, stands[idx] - thing.x, words[idx]));
}

/** @param {Thing} thing @param {number} aside px @param {?SVGElement} word */
function symbol(thing, aside, word) {
  const { item, kind, name, x, y, marks } = thing;
  return svg(
    "g",
    {
      class: thing.class,
      "data-section": kind,
      ...itemAttributes(kind, item.id, name, thing.selected),
      transform: `translate(${short(x)} ${short(y)})`,
    },
    ...setAside(aside === 0 ? null : [aside, 0], [...marks, word]),
  );
}

/**
 * What each says beside its symbol, where no other mark is.
 * @param {any} scene @param {Place} place @param {Thing[]} things @param {number[]} stands
 */
function wordsBeside(scene, { x1, x2, floor, toPx, lines }, things, stands) {
  /** @type {Box[]} */
  const taken = things.map(({ y, half: [wide, high] }, idx) => ({
    x1: stands[idx] - wide,
    x2: stands[idx] + wide,
    y1: y - high + 2,
    y2: y + high - 2,
  }));
  // Over the line to the true place of one that stands aside.
  for (const [idx, { x, y }] of things.entries()) {
    const ends = [x, stands[idx]].sort((a, b) => a - b);
    if (x !== stands[idx]) taken.push({ x1: ends[0] - 3, x2: ends[1] + 3, y1: y - 3, y2: y + 3 });
  }
  taken.push(...lines);
  // Above the strip.
  taken.push({ x1: -Infinity, x2: Infinity, y1: -Infinity, y2: 1 });
  const breathing = toPx(1.5);
  taken.push({ x1: x1 - 54, x2: x1 - 30, y1: 0, y2: floor });
  for (const wall of [x1, x2]) taken.push({ x1: wall - 4, x2: wall + 4, y1: 0, y2: floor });
  taken.push({ x1: x2 + 8, x2: x2 + 130, y1: breathing - 8, y2: breathing + 8 });
  return things.map(({ y, text, selected }, idx) => {
    if (!text) return null;
    const x = stands[idx];
    const wide = scene.ruler.measure(text);
    const sides = [x + 18 + wide < x2 - 2 ? 1 : -1, x + 18 + wide < x2 - 2 ? -1 : 1];
    const beside = sides.flatMap((side) => [0, 15, -15, 28, -28].map((down) => ({ side, down })));
    const above = [-22, 22, -36, 36, -50].map((down) => ({ side: 0, down }));
    const offers = [...beside, ...above];
    const left = (/** @type {number} */ side) =>
      side === 0 ? x - wide / 2 : side > 0 ? x + 18 : x - 18 - wide;
    const box = (/** @type {any} */ { side, down }) => ({
      x1: left(side),
      x2: left(side) + wide,
      y1: y + down - 7,
      y2: y + down + 6,
    });
    const free = offers.find((one) => !taken.some((other) => overlap(box(one), other)));
    const chosen = free ?? (selected ? offers[0] : null);
    if (!chosen) return null;
    taken.push(box(chosen));
    return svg(
      "text",
      {
        class: "tag",
        x: chosen.side * 18,
        y: chosen.down + 4,
        "text-anchor": chosen.side === 0 ? "middle" : chosen.side > 0 ? "start" : "end",
      },
      text,
    );
  });
}

/** @param {any} a @param {any} b */
const overlap = (a, b) => a.x1 < b.x2 && b.x1 < a.x2 && a.y1 < b.y2 && b.y1 < a.y2;

/** Things of one kind in the room. @param {string} kind @param {any} scene @param {any} room */
const inRoom = (kind, { project, floor }, room) =>
  on(project, /** @type {any} */ (kind), floor).filter((item) => contains(room.outline, item.at));

/** @returns {Thing[]} */
function panelThings(
  /** @type {any} */ scene,
  /** @type {any} */ room,
  /** @type {Place} */ { along, toPx },
) {
  return inRoom("panel", scene, room).map((panel) => ({
    item: panel,
    kind: "panel",
    class: "panel",
    name: `Control panel ${panel.tag}`,
    selected: sameKey({ kind: "panel", id: panel.id }, scene.selection),
    x: along(panel.at),
    y: toPx(panel.height),
    half: [panelHalf(panel.tag), 10],
    marks: panelBox(panel.tag),
    text: "",
  }));
}

/** Air terminals whose height is known. @returns {Thing[]} */
function terminalThings(
  /** @type {any} */ scene,
  /** @type {any} */ room,
  /** @type {Place} */ { along, toPx },
) {
  const known = inRoom("terminal", scene, room).filter(({ height }) => height !== null);
  return known.map((terminal) => {
    const key = /** @type {any} */ ({ kind: "terminal", id: terminal.id });
    return {
      item: terminal,
      kind: "terminal",
      class: "air-terminal",
      name: nameOf(scene.project, key),
      selected: sameKey(key, scene.selection),
      x: along(terminal.at),
      y: toPx(terminal.height),
      half: [TERMINAL_HALF, 9],
      marks: terminalMark(terminal.kind),
      text: "",
    };
  });
}

/** @returns {Thing[]} */
function sourceThings(
  /** @type {any} */ scene,
  /** @type {any} */ room,
  /** @type {Place} */ { along, toPx },
) {
  const { results, selection, basis, units, project } = scene;
  const assumed = project.basis?.source_height_unknown ?? basis?.source_height_unknown ?? 1;
  return inRoom("source", scene, room).map((source) => {
    const height = source.height ?? assumed;
    const watches = results.sources?.[source.id]?.watches ?? [];
    const unknown = source.height === null ? " assumed" : "";
    return {
      item: source,
      kind: "source",
      class: "source",
      name: `Release source ${source.name}`,
      selected: sameKey({ kind: "source", id: source.id }, selection),
      x: along(source.at),
      y: toPx(height),
      half: [12, 11],
      marks: sourceTriangle(
        watches.map((/** @type {any} */ watch) => watch.hazard),
        "",
      ),
      text: `${source.name}, ${heightText(height, units)}${unknown}`,
    };
  });
}

/** @returns {Thing[]} */
function detectorThings(
  /** @type {any} */ scene,
  /** @type {any} */ room,
  /** @type {Place} */ { along, toPx },
) {
  return inRoom("detector", scene, room).map((detector) => {
    const what = scene.results.detectors?.[detector.id]?.substance ?? "";
    const text = heightText(detector.height, scene.units);
    return {
      item: detector,
      kind: "detector",
      class: `device detector ${detector.band}`,
      name: `${detector.tag} ${what}, ${text} high`,
      selected: sameKey({ kind: "detector", id: detector.id }, scene.selection),
      x: along(detector.at),
      y: toPx(detector.height),
      half: [14, 14],
      marks: instrument(detector.tag),
      text,
    };
  });
}
