/**
 * Pointer and wheel on the sheet: hands presses to the tool in hand, pans and pinches otherwise.
 * @import {Point} from "../core/types.js"
 * @import {ToolEvent} from "../tools/tool.js"
 */

import { toMetres } from "../view/viewport.js";

/** A press that went less far is a click, px. */
const SLIP_PX = 4;

/** A notch of a mouse wheel moves at least this much; a touch pad sends less. */
const NOTCH = 60;

/**
 * @param {Element} element @param {import("../desk.js").Desk} desk
 * @returns {() => void} takes it off again
 */
export function installPointers(element, desk) {
  const state = {
    /** @type {Map<number, Point>} */ down: new Map(),
    mode: /** @type {""|"tool"|"pan"|"pinch"} */ (""),
    /** @type {Point} */ start: [0, 0],
    moved: false,
    target: /** @type {any} */ (null),
    pinch: /** @type {?{far: number, at: Point}} */ (null),
  };
  const listeners = /** @type {const} */ ({
    pointerdown: (/** @type {PointerEvent} */ event) => press(element, desk, state, event),
    pointermove: (/** @type {PointerEvent} */ event) => move(element, desk, state, event),
    pointerup: (/** @type {PointerEvent} */ event) => release(element, desk, state, event),
    pointercancel: (/** @type {PointerEvent} */ event) => cancel(desk, state, event),
    wheel: (/** @type {WheelEvent} */ event) => wheel(element, desk, event),
    contextmenu: (/** @type {Event} */ event) => event.preventDefault(),
  });
  for (const [name, listener] of Object.entries(listeners)) {
    element.addEventListener(name, /** @type {any} */ (listener), { passive: false });
  }
  return () => {
    for (const [name, listener] of Object.entries(listeners)) {
      element.removeEventListener(name, /** @type {any} */ (listener));
    }
  };
}

/** @param {Element} element @param {{clientX: number, clientY: number}} event @returns {Point} */
export function pxOf(element, { clientX, clientY }) {
  const box = element.getBoundingClientRect();
  return [clientX - box.left, clientY - box.top];
}

/** @param {any} element what lies under the pointer */
export function targetOf(element) {
  const handle = element?.closest?.("[data-handle]");
  const item = handle ?? element?.closest?.("[data-kind]");
  if (!item) return null;
  return {
    kind: item.dataset.kind,
    id: Number(item.dataset.id),
    handle: item.dataset.handle ?? null,
    idx: Number(item.dataset.idx ?? -1),
  };
}

/** @returns {ToolEvent} */
function toolEvent(
  /** @type {Element} */ element,
  /** @type {any} */ desk,
  /** @type {PointerEvent} */ event,
  /** @type {any} */ target,
) {
  const px = pxOf(element, event);
  return { px, at: toMetres(desk.viewport, px), shift: event.shiftKey, keyboard: false, target };
}

function press(
  /** @type {Element} */ element,
  /** @type {any} */ desk,
  /** @type {any} */ state,
  /** @type {PointerEvent} */ event,
) {
  const onPaper = /** @type {Element} */ (event.target).closest(".sheet-band, .sheet-frame");
  if (event.button > 1 || onPaper) return;
  element.setPointerCapture(event.pointerId);
  state.down.set(event.pointerId, pxOf(element, event));
  if (state.down.size === 2) {
    if (state.mode === "tool") desk.tool.abort();
    state.mode = "pinch";
    state.pinch = pinchOf(state);
    return;
  }
  state.start = pxOf(element, event);
  state.moved = false;
  state.target = targetOf(event.target);
  if (event.button === 1) {
    event.preventDefault();
    state.mode = "pan";
    return;
  }
  const taken = desk.tool.down(toolEvent(element, desk, event, state.target));
  state.mode = taken ? "tool" : "pan";
  state.asked = true;
}

function move(
  /** @type {Element} */ element,
  /** @type {any} */ desk,
  /** @type {any} */ state,
  /** @type {PointerEvent} */ event,
) {
  const px = pxOf(element, event);
  if (!state.down.has(event.pointerId)) {
    if (event.pointerType !== "touch") {
      desk.tool.hover(toolEvent(element, desk, event, targetOf(event.target)));
    }
    return;
  }
  const last = state.down.get(event.pointerId);
  state.down.set(event.pointerId, px);
  if (state.mode === "pinch") return pinch(desk, state);
  if (!state.moved && Math.hypot(px[0] - state.start[0], px[1] - state.start[1]) < SLIP_PX) return;
  state.moved = true;
  if (state.mode === "pan") desk.pan(px[0] - last[0], px[1] - last[1]);
  else if (state.mode === "tool") desk.tool.drag(toolEvent(element, desk, event, state.target));
}

function release(
  /** @type {Element} */ element,
  /** @type {any} */ desk,
  /** @type {any} */ state,
  /** @type {PointerEvent} */ event,
) {
  if (!state.down.delete(event.pointerId)) return;
  if (state.mode === "pinch") {
    if (state.down.size === 0) state.mode = "";
    return;
  }
  const { mode } = state;
  state.mode = "";
  if (mode === "" || !state.asked) return;
  state.asked = false;
  desk.tool.up(toolEvent(element, desk, event, state.target), state.moved);
}

function cancel(
  /** @type {any} */ desk,
  /** @type {any} */ state,
  /** @type {PointerEvent} */ event,
) {
  state.down.delete(event.pointerId);
  if (state.mode === "tool") desk.tool.abort();
  state.mode = "";
}

/** @returns {{far: number, at: Point}} */
function pinchOf(/** @type {any} */ state) {
  const [a, b] = [...state.down.values()];
  return { far: Math.hypot(a[0] - b[0], a[1] - b[1]), at: [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2] };
}

/** Two fingers pan and zoom at once. */
function pinch(/** @type {any} */ desk, /** @type {any} */ state) {
  if (state.down.size < 2) return;
  const now = pinchOf(state);
  const before = state.pinch;
  state.pinch = now;
  desk.pan(now.at[0] - before.at[0], now.at[1] - before.at[1]);
  if (before.far > 0) desk.zoom(now.far / before.far, now.at);
}

/** A mouse wheel zooms at the pointer; two fingers on a touch pad pan, and pinch to zoom. */
function wheel(
  /** @type {Element} */ element,
  /** @type {any} */ desk,
  /** @type {WheelEvent} */ event,
) {
  event.preventDefault();
  const mouse = event.deltaMode !== 0 || (event.deltaX === 0 && Math.abs(event.deltaY) >= NOTCH);
  if (event.ctrlKey || (mouse && !event.shiftKey)) {
    const rate = event.ctrlKey && !mouse ? 0.01 : 0.0015;
    const lines = event.deltaMode === 0 ? event.deltaY : event.deltaY * 30;
    desk.zoom(Math.exp(-lines * rate), pxOf(element, event));
  } else if (event.shiftKey && mouse) desk.pan(-event.deltaY, 0);
  else desk.pan(-event.deltaX, -event.deltaY);
}
