/**
 * Rooms, walls, barriers, openings, air terminals, marked areas and the plan sheet, as parts of layers. Metres.
 * @import {Point} from "../core/types.js"
 * @import {Part} from "./svg.js"
 */

import { nameOf, on, sameKey } from "../core/drawing.js";
import { distance, lerp } from "../core/geometry.js";
import { extent, metresPerPx } from "../core/sheet.js";
import { itemAttributes, pathData, short, svg, symbolAt } from "./svg.js";
import { terminalMark } from "./symbols.js";
import { asideOf, setAside } from "./words.js";

/** The plan sheet, faded. @param {any} scene @returns {Part[]} */
export function planParts({ project, floor, projectId, fade }) {
  const sheet = project.floors.find((/** @type {any} */ f) => f.id === floor)?.sheet;
  if (!sheet) return [];
  const scale = metresPerPx(sheet);
  const box = extent(sheet);
  const [cx, cy] = [sheet.origin[0] + box.width / 2, sheet.origin[1] + box.height / 2];
  const transform =
    `translate(${short(cx)} ${short(cy)}) rotate(${sheet.rotation}) ` +
    `scale(${scale}) translate(${-sheet.width_px / 2} ${-sheet.height_px / 2})`;
  const shown = fade ?? sheet.fade;
  return [
    {
      key: "plan",
      shows: [sheet.image, transform],
      attributes: { class: "plan-sheet", style: `opacity: ${short(1 - shown)}` },
      build: () => [
        svg("image", {
          href: `/projects/${projectId}/sheets/${sheet.image}`,
          width: sheet.width_px,
          height: sheet.height_px,
          transform,
          preserveAspectRatio: "none",
        }),
      ],
    },
  ];
}

/** Floor areas: what a room is picked by. @param {any} scene @returns {Part[]} */
export function roomParts({ project, floor, selection }) {
  return on(project, "room", floor).map((room) => {
    const key = { kind: /** @type {const} */ ("room"), id: room.id };
    const selected = sameKey(key, selection);
    const form = room.enclosure === "enclosed" ? "" : room.enclosure.replace("_", "-");
    return {
      key: `room-${room.id}`,
      shows: [room.outline, form, selected],
      attributes: itemAttributes("room", room.id, `Room ${room.number} ${room.name}`, selected),
      build: () => [
        svg("path", {
          class: `room ${form}`,
          d: pathData(room.outline, true),
          "aria-selected": selected ? "true" : null,
        }),
      ],
    };
  });
}

/** Heavy lines of the walls. @param {any} scene @returns {Part[]} */
export function wallParts({ project, floor }) {
  return on(project, "room", floor)
    .filter((room) => room.enclosure !== "outdoor")
    .map((room) => ({
      key: `walls-${room.id}`,
      shows: [room.outline, room.enclosure],
      build: () => [
        svg("path", {
          class: room.enclosure === "enclosed" ? "wall" : "wall open-sided",
          d: pathData(room.outline, true),
        }),
      ],
    }));
}

/** @param {any} scene @returns {Part[]} */
export function barrierParts({ project, floor, selection }) {
  return on(project, "barrier", floor).map((barrier) => {
    const selected = sameKey({ kind: "barrier", id: barrier.id }, selection);
    return {
      key: `barrier-${barrier.id}`,
      shows: [barrier.line, barrier.height === null],
      attributes: {
        class: "barrier",
        ...itemAttributes("barrier", barrier.id, "Barrier", selected),
      },
      build: () =>
        lineWithTarget(barrier.line, barrier.height === null ? "wall barrier-line" : "partition"),
    };
  });
}

/** A line with a wide unseen one to be picked by. @param {Point[]} line @param {string} name */
export const lineWithTarget = (line, name) => [
  svg("path", { class: "line-target", d: pathData(line) }),
  svg("path", { class: name, d: pathData(line) }),
];

/** Gaps in the walls, with the arc of a door. @param {any} scene @returns {Part[]} */
export function openingParts({ project, floor, selection }) {
  return on(project, "opening", floor).map((opening) => {
    const selected = sameKey({ kind: "opening", id: opening.id }, selection);
    const word =
      opening.form === "door" ? "Door" : opening.form === "window" ? "Window" : "Open way";
    return {
      key: `opening-${opening.id}`,
      shows: [opening.a, opening.b, opening.form],
      attributes: {
        class: `way ${opening.form}`,
        ...itemAttributes("opening", opening.id, word, selected),
      },
      build: () => openingMarks(opening.a, opening.b, opening.form),
    };
  });
}

/** Where air leaves rooms and enters them. @param {any} scene @returns {Part[]} */
export function terminalParts(scene) {
  const { project, floor, selection } = scene;
  return on(project, "terminal", floor).map((terminal) => {
    const key = { kind: /** @type {const} */ ("terminal"), id: terminal.id };
    const aside = asideOf(scene, "terminal", terminal.id);
    return {
      key: `terminal-${terminal.id}`,
      shows: [terminal.kind, aside],
      attributes: {
        class: `air-terminal ${terminal.kind}`,
        ...symbolAt(terminal.at),
        ...itemAttributes(
          "terminal",
          terminal.id,
          nameOf(project, key),
          sameKey(key, selection),
        ),
      },
      build: () => setAside(aside, terminalMark(terminal.kind)),
    };
  });
}

/** Pits, and places that are bad for a detector or hard to reach. @param {any} scene @returns {Part[]} */
export function markedParts({ project, floor, selection }) {
  return on(project, "marked", floor).map((area) => {
    const key = { kind: /** @type {const} */ ("marked"), id: area.id };
    const d = pathData(area.outline, true);
    return {
      key: `marked-${area.id}`,
      shows: [area.outline, area.kind],
      attributes: {
        class: `marked-area ${area.kind.replace("_", "-")}`,
        ...itemAttributes("marked", area.id, nameOf(project, key), sameKey(key, selection)),
      },
      build: () => [
        svg("path", { class: "line-target", d }),
        svg("path", { class: "marked-line", d }),
      ],
    };
  });
}

/** A door wider than this has two leaves, m. Common practice. */
const WIDEST_LEAF_M = 1.25;

/** A leaf hung at `hinge` that closes to `stop`, with its arc. @param {Point} hinge */
function leaf(
  hinge,
  /** @type {Point} */ stop,
  /** @type {Point} */ across,
  /** @type {0|1} */ sweep,
) {
  const wide = distance(hinge, stop);
  const open = [hinge[0] + across[0] * wide, hinge[1] + across[1] * wide];
  return svg("path", {
    class: "door",
    d:
      `M${short(hinge[0])} ${short(hinge[1])}` +
      `L${short(open[0])} ${short(open[1])}A${short(wide)} ${short(wide)} 0 0 ${sweep} ` +
      `${short(stop[0])} ${short(stop[1])}`,
  });
}

/** @param {Point} a @param {Point} b @param {string} form */
export function openingMarks(a, b, form) {
  const wide = distance(a, b);
  const across = /** @type {Point} */ ([(b[1] - a[1]) / wide, -(b[0] - a[0]) / wide]);
  const marks = [
    svg("path", { class: "line-target", d: pathData([a, b]) }),
    svg("path", { class: "opening", d: pathData([a, b]) }),
  ];
  if (form === "door") {
    const middle = lerp(a, b, 0.5);
    marks.push(
      ...(wide <= WIDEST_LEAF_M
        ? [leaf(a, b, across, 1)]
        : [leaf(a, middle, across, 1), leaf(b, middle, across, 0)]),
    );
  }
  if (form === "window") {
    marks.push(svg("path", { class: "window-glass", d: pathData([a, b]) }));
  }
  marks.push(
    ...[a, b].map((jamb) =>
      svg("path", {
        class: "jamb",
        d: pathData([
          [jamb[0] - across[0] * 0.08, jamb[1] - across[1] * 0.08],
          [jamb[0] + across[0] * 0.08, jamb[1] + across[1] * 0.08],
        ]),
      }),
    ),
  );
  return marks;
}
