/**
 * What is being drawn, the handles of what is selected, and a suggestion as ghosts. Metres.
 * @import {Point} from "../core/types.js"
 * @import {Part} from "./svg.js"
 */

import { find } from "../core/drawing.js";
import { difference, preview } from "../core/difference.js";
import { lerp } from "../core/geometry.js";
import { cornersOf, isOutline } from "../core/transforms.js";
import { openingMarks } from "./building.js";
import { fixedAt, pathData, svg, symbolAt } from "./svg.js";
import { instrument, panelBox, sourceTriangle, terminalMark } from "./symbols.js";
import { runsOn } from "./wiring.js";
import { asideOf, setAside } from "./words.js";

/**
 * @typedef {{points?: Point[], closed?: boolean, snap?: ?{at: Point, kind: string,
 *   guides: [Point, Point][]}, length?: ?{at: Point, text: string, typed: boolean},
 *   opening?: [Point, Point, string], symbol?: {kind: string, at: Point, text: string,
 *   band?: string, hazards?: string[]}, measure?: boolean, cursor?: ?Point}} Draft
 */

/** @param {?Draft} draft @returns {Part[]} */
export function draftParts(draft) {
  if (!draft) return [];
  return [
    {
      key: "draft",
      shows: draft,
      build: () => [
        ...(draft.points && draft.points.length > 0 ? draftLine(draft) : []),
        ...(draft.opening ? openingMarks(...draft.opening) : []),
        draft.symbol && symbolMark(draft.symbol),
        ...(draft.snap?.guides ?? []).map((guide) =>
          svg("path", { class: "guide", d: pathData(guide) }),
        ),
        draft.snap && snapMark(draft.snap),
        draft.cursor &&
          svg(
            "g",
            fixedAt(draft.cursor),
            svg("path", { class: "snap", d: "M-14 0H-4M4 0H14M0-14V-4M0 4V14" }),
          ),
        draft.length && lengthMark(draft.length),
      ],
    },
  ];
}

/** @param {Draft} draft */
function draftLine({ points = [], closed = false, measure = false }) {
  return [
    svg("path", { class: measure ? "measure" : "draft", d: pathData(points, closed) }),
    ...points.map((at) =>
      svg(
        "g",
        fixedAt(at),
        measure
          ? svg("path", { class: "measure", d: "M-4 4 4-4" })
          : svg("rect", { class: "draft-corner", x: -3, y: -3, width: 6, height: 6 }),
      ),
    ),
  ];
}

/** @type {Record<string, string>} */
const DRAFT_CLASS = { source: "source", panel: "panel", terminal: "air-terminal" };

/** @param {NonNullable<Draft["symbol"]>} symbol */
function symbolMark({ kind, at, text, band = "", hazards = [] }) {
  const marks =
    kind === "source"
      ? sourceTriangle(hazards, text)
      : kind === "panel"
        ? panelBox(text)
        : kind === "terminal"
          ? terminalMark(text)
          : instrument(text);
  const name = DRAFT_CLASS[kind] ?? `device ${band}`;
  return svg(
    "g",
    { class: `${name} ghost-added`, ...symbolAt(at) },
    ...marks.filter((mark) => mark instanceof Node),
  );
}

/**
 * A square at a corner, a cross on a line, a right angle.
 * @param {{at: Point, kind: string}} snap
 */
function snapMark({ at, kind }) {
  const shape = {
    corner: "M-6-6H6V6H-6z",
    line: "M-6-6 6 6M-6 6 6-6",
    angle: "M-8 0H0V8",
    align: "M-6 0H6M0-6V6",
    free: "",
  }[kind];
  return shape
    ? svg("g", { ...fixedAt(at), "data-snap": kind }, svg("path", { class: "snap", d: shape }))
    : null;
}

/** The length at the pointer, on paper so that it stays readable. */
function lengthMark(/** @type {{at: Point, text: string, typed: boolean}} */ { at, text, typed }) {
  const wide = text.length * 6.6 + 14;
  return svg(
    "g",
    { ...fixedAt(at), class: "length-mark" },
    svg("rect", { x: 14, y: 10, width: wide, height: 20, class: typed ? "typed" : "" }),
    svg("text", { x: 21, y: 24 }, text),
  );
}

/** Corners to pull and, between them, places for new ones. @param {any} scene @returns {Part[]} */
export function handleParts({ project, floor, selection }) {
  const item = find(project, selection);
  if (!item || selection.kind === "floor" || item.floor !== floor) return [];
  const points = cornersOf(selection.kind, item);
  const corners = points.map((at, idx) => ({
    key: `corner-${idx}`,
    shows: [idx],
    attributes: {
      ...fixedAt(at),
      "data-handle": "corner",
      "data-idx": idx,
      "data-kind": selection.kind,
      "data-id": selection.id,
    },
    build: () => [
      svg("circle", { class: "target", r: 16 }),
      svg("rect", { class: "handle", x: -5, y: -5, width: 10, height: 10 }),
    ],
  }));
  if (selection.kind === "opening") return corners;
  const count = isOutline(selection.kind, item) ? points.length : points.length - 1;
  const middles = points.slice(0, count).map((at, idx) => ({
    key: `middle-${idx}`,
    shows: [idx],
    attributes: {
      ...fixedAt(lerp(at, points[(idx + 1) % points.length], 0.5)),
      "data-handle": "middle",
      "data-idx": idx,
      "data-kind": selection.kind,
      "data-id": selection.id,
    },
    build: () => [
      svg("circle", { class: "target", r: 12 }),
      svg("circle", { class: "handle", r: 3.5 }),
    ],
  }));
  return [...middles, ...corners];
}

/** What a suggestion adds, drops and moves. @param {any} scene @returns {Part[]} */
export function ghostParts(scene) {
  const { project, floor, ghost } = scene;
  if (!ghost) return [];
  const after = preview(project, ghost.edit);
  const { added, changed, removed } = difference(project, after);
  const place = (/** @type {any} */ p, /** @type {any} */ key) => {
    const item = find(p, key);
    return item?.at && item.floor === floor && !(key.kind === "device" && item.detectors.length > 0)
      ? item
      : null;
  };
  return [
    ...added.flatMap((key) => ghostPart(place(after, key), key, "added", scene)),
    ...removed.flatMap((key) => ghostPart(place(project, key), key, "dropped", scene)),
    ...changed.flatMap((key) => {
      const [from, to] = [place(project, key), place(after, key)];
      const still = from && to && from.at[0] === to.at[0] && from.at[1] === to.at[1];
      if (!from || !to || still) return [];
      return [
        {
          key: `way-${key.kind}-${key.id}`,
          shows: [from.at, to.at],
          attributes: { class: "ghost-moved" },
          build: () => [svg("path", { d: pathData([from.at, to.at]) })],
        },
        ...ghostPart(to, key, "added", scene),
      ];
    }),
  ];
}

/** A symbol where it will stand once the suggestion is taken. @returns {Part[]} */
function ghostPart(
  /** @type {any} */ item,
  /** @type {any} */ key,
  /** @type {string} */ how,
  /** @type {any} */ scene,
) {
  if (!item) return [];
  const aside = asideOf(scene, key.kind, key.id);
  return [
    {
      key: `${how}-${key.kind}-${key.id}`,
      shows: [item.tag, item.band, aside],
      attributes: {
        class: `device ${item.band ?? ""} ghost-${how}`,
        ...symbolAt(item.at),
        "data-ghost": how,
      },
      build: () =>
        setAside(aside, [
          ...(key.kind === "panel" ? panelBox(item.tag) : instrument(item.tag)),
          how === "dropped" && svg("path", { class: "cross", d: "M-15-15 15 15M-15 15 15-15" }),
        ]),
    },
  ];
}

/** New or changed segments as they will run, below the symbols. @param {any} scene @returns {Part[]} */
export function ghostCableParts({ project, floor, ghost }) {
  if (!ghost?.routes) return [];
  const { added, changed } = difference(project, preview(project, ghost.edit));
  return added
    .concat(changed)
    .filter(({ kind }) => kind === "segment")
    .flatMap((key) => {
      const runs = runsOn(ghost.routes[key.id] ?? [], floor);
      return runs.length === 0
        ? []
        : [
            {
              key: `segment-${key.id}`,
              shows: runs,
              attributes: { class: "ghost-segment", "data-ghost": "segment" },
              build: () =>
                runs.map((run) =>
                  svg("path", { class: "cable ghost-added", d: pathData(run) }),
                ),
            },
          ];
    });
}
