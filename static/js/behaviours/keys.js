/**
 * Keys on the desk: escape, undo, delete, nudge, the keyboard's own pointer, typed lengths.
 * @import {Point} from "../core/types.js"
 */

import * as items from "../commands/items.js";
import { find } from "../core/drawing.js";
import { moved } from "../core/transforms.js";
import { STAGES } from "../stages.js";

/** A press of an arrow moves this far, m; with Shift ten times. */
const NUDGE_M = 0.1;

/** Presses of an arrow within this time are one edit, ms. */
const TOGETHER_MS = 400;

/** @type {Record<string, Point>} */
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/**
 * @param {import("../desk.js").Desk} desk
 * @param {{dialogOpen: () => boolean}} options
 */
export function installKeys(desk, { dialogOpen }) {
  const state = {
    pending: /** @type {any} */ (null),
    timer: 0,
    pointer: /** @type {?Point} */ (null),
  };
  document.addEventListener("keydown", (event) => {
    if (dialogOpen() || event.defaultPrevented) return;
    if (isTyping(event.target)) {
      if (event.key === "Escape") /** @type {HTMLElement} */ (event.target).blur();
      return;
    }
    if (use(desk, state, event)) event.preventDefault();
  });
  document.addEventListener("pointermove", () => {
    state.pointer = null;
  });
}

/** @param {any} target */
function isTyping(target) {
  if (!target?.matches?.("input, select, textarea, [contenteditable]")) return false;
  return !["checkbox", "radio", "range", "button", "file"].includes(target.type);
}

/** @returns {boolean} whether the key was used */
function use(
  /** @type {any} */ desk,
  /** @type {any} */ state,
  /** @type {KeyboardEvent} */ event,
) {
  const { key } = event;
  if (event.ctrlKey || event.metaKey) return withControl(desk, event);
  if (event.altKey) return false;
  const onControl = /** @type {any} */ (event.target).closest?.(
    "button, a, summary, input, select",
  );
  if (key === "Escape") {
    desk.escape();
    return true;
  }
  if (key in ARROWS && !onControl) return arrow(desk, state, ARROWS[key], event.shiftKey);
  if (onControl && (key === "Enter" || key === " ")) return false;
  if ((key === " " || key === "Enter") && press(desk, state, key)) return true;
  if (desk.tool.key(key)) return true;
  if ((key === "Delete" || key === "Backspace") && desk.selection) {
    removeSelected(desk);
    return true;
  }
  if (key === "+" || key === "=") desk.zoom(1.25);
  else if (key === "-") desk.zoom(0.8);
  else if (key === "0") desk.fit();
  else return stageKey(desk, key);
  return true;
}

/** Alt is the browser's; the first letter of a stage takes its first tool, T a detector's tag. */
function stageKey(/** @type {any} */ desk, /** @type {string} */ key) {
  if (key.toLowerCase() === "t" && desk.selection?.kind === "detector") {
    desk.use("tag");
    return true;
  }
  const stage =
    key.length === 1 &&
    STAGES.find(({ word }) => word[word === "Sheet" ? 2 : 0].toLowerCase() === key.toLowerCase());
  if (!stage) return false;
  desk.use(stage.variants[0].id);
  return true;
}

function withControl(/** @type {any} */ desk, /** @type {KeyboardEvent} */ event) {
  const key = event.key.toLowerCase();
  if (key === "z") desk.session.step(event.shiftKey ? "redo" : "undo");
  else if (key === "y") desk.session.step("redo");
  else return false;
  return true;
}

/** @param {any} desk */
export function removeSelected(desk) {
  const key = desk.selection;
  if (!key || key.kind === "floor") return;
  desk.commit(items.remove(desk.session.project, key));
}

/** Arrows nudge what is selected, or steer the keyboard's pointer of the tool in hand. */
function arrow(
  /** @type {any} */ desk,
  /** @type {any} */ state,
  /** @type {Point} */ way,
  /** @type {boolean} */ far,
) {
  if (desk.tool.arrow) return desk.tool.arrow(way, far);
  const step = far ? 10 * NUDGE_M : NUDGE_M;
  if (desk.toolName !== "select" && desk.toolName !== "sheet") {
    const at = state.pointer ?? desk.centre();
    state.pointer = [at[0] + way[0] * step, at[1] + way[1] * step];
    desk.tool.hover(pointerEvent(state.pointer));
    return true;
  }
  if (!desk.selection || desk.selection.kind === "segment") return false;
  nudge(desk, state, [way[0] * step, way[1] * step]);
  return true;
}

/** Shift is not free here: the keyboard places exactly where it stands. @param {Point} at */
const pointerEvent = (at) => ({
  at,
  px: /** @type {Point} */ ([0, 0]),
  shift: true,
  keyboard: true,
  target: null,
});

function nudge(/** @type {any} */ desk, /** @type {any} */ state, /** @type {Point} */ by) {
  const key = desk.selection;
  const { pending } = state;
  const same = pending && pending.key.kind === key.kind && pending.key.id === key.id;
  const total = /** @type {Point} */ (same ? [pending.by[0] + by[0], pending.by[1] + by[1]] : by);
  state.pending = { key, by: total };
  const item = find(desk.session.project, key);
  if (!item) return;
  const value = moved(key.kind, item, total);
  desk.showLocal({ do: "change", item: { kind: key.kind, value } }, key.kind === "detector");
  clearTimeout(state.timer);
  state.timer = setTimeout(() => {
    state.pending = null;
    desk.commit(items.move(desk.session.project, key, total));
  }, TOGETHER_MS);
}

/** Space sets a point, Enter too where the keyboard's pointer has none left to finish. */
function press(/** @type {any} */ desk, /** @type {any} */ state, /** @type {string} */ key) {
  const { tool } = desk;
  const typing = Boolean(tool.typed);
  const drawing = Boolean(tool.points?.length);
  if (!state.pointer || typing || (key === "Enter" && drawing)) return false;
  const event = pointerEvent(state.pointer);
  tool.down(event);
  tool.up(event, false);
  return true;
}
