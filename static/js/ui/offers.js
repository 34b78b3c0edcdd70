/**
 * Long work beside the drawing: progress with cancel, then the result as a difference to accept or
 * drop.
 */

import { find, roomAt } from "../core/drawing.js";
import { figure } from "../core/quantity.js";
import { ApiError } from "../server/api.js";
import { button, h } from "./dom.js";

/** @param {HTMLElement} host @param {any} desk */
export function makeOffers(host, desk) {
  let running = /** @type {any} */ (null);

  /** @param {any} wish @param {string} words */
  async function start(wish, words) {
    if (running) return;
    drop();
    const line = progressLine(words, () => running?.cancel());
    host.replaceChildren(line.node);
    running = desk.session.suggest(wish, line.show);
    try {
      end(await running.done, words, wish);
    } catch (error) {
      if (!(error instanceof ApiError)) throw error;
      host.replaceChildren();
      if (error.status === 409) await desk.session.reload();
      desk.say(error.message, "wrong");
    } finally {
      running = null;
    }
  }

  /** @param {any} answer @param {string} words @param {any} wish */
  function end(answer, words, wish) {
    host.replaceChildren();
    if (answer.state === "cancelled") desk.say("Stopped; nothing was changed.", "said");
    else if (answer.state === "failed") desk.say(answer.message, "wrong");
    else offer(answer.suggestion, words, wish);
  }

  /** @param {any} suggestion @param {string} words @param {any} wish */
  function offer(suggestion, words, wish) {
    const nothing = (suggestion.edit.edits ?? []).length === 0;
    if (!nothing) {
      desk.suggestion = suggestion;
      desk.redraw();
    }
    host.replaceChildren(differenceBox(suggestion, words, wish, nothing, { accept, drop }));
  }

  async function accept() {
    const { suggestion } = desk;
    drop();
    if (suggestion) {
      await desk.commit({
        edit: suggestion.edit,
        label: suggestion.edit.label ?? "Suggestion taken",
      });
    }
  }

  function drop() {
    host.replaceChildren();
    if (desk.suggestion) {
      desk.suggestion = null;
      desk.redraw();
    }
  }

  return {
    /** @param {{floor: ?number, room: ?number}} scope */
    detectors: (scope) => start({ what: "detectors", ...scope }, scopeWords(desk, scope)),
    wiring: () => start({ what: "wiring", floor: null, room: null }, "Wiring"),
    roomInHand: () => roomInHand(desk),
    accept,
    drop,
  };
}

/** The room that is selected, or that holds what is. @param {any} desk */
export function roomInHand(desk) {
  const item = find(desk.project, desk.selection);
  if (!item) return null;
  if (desk.selection.kind === "room") return item.floor === desk.floor ? item : null;
  const at = item.at ?? item.a ?? item.line?.[0];
  return at && (item.floor ?? desk.floor) === desk.floor
    ? roomAt(desk.project, desk.floor, at)
    : null;
}

/** @param {any} desk @param {{floor: ?number, room: ?number}} scope */
function scopeWords(desk, { floor, room }) {
  if (room !== null) {
    return `Detectors for ${find(desk.project, { kind: "room", id: room })?.number ?? "the room"}`;
  }
  return floor === null ? "Detectors for the project" : "Detectors for this floor";
}

/** @param {string} words @param {() => void} cancel */
function progressLine(words, cancel) {
  const doing = h("p", { class: "doing" }, `${words}: starting`);
  const bar = h("progress", {});
  const node = h(
    "div",
    { class: "progress", role: "status", "data-progress": "" },
    doing,
    bar,
    button("Cancel", cancel),
  );
  /** @param {any} report */
  const show = ({ step, done, of, bound }) => {
    const least = bound === null || bound === undefined ? "" : `, at least ${bound} needed`;
    doing.textContent = `${words}: ${step}${of > 0 ? `, ${done} of ${of}` : ""}${least}`;
    if (of > 0) {
      bar.max = of;
      bar.value = done;
    }
  };
  return { node, show };
}

function differenceBox(
  /** @type {any} */ suggestion,
  /** @type {string} */ words,
  /** @type {any} */ wish,
  /** @type {boolean} */ nothing,
  /** @type {any} */ { accept, drop },
) {
  const cable = suggestion.cable_change_m;
  const parts = [h("b", {}, words), ": "];
  if (nothing) parts.push("nothing to change. ");
  parts.push(suggestion.summary);
  if (wish.what === "wiring" && typeof cable === "number" && !/cable/.test(suggestion.summary)) {
    parts.push(`, ${cable < 0 ? "" : "+"}${figure(cable, 1)}\u202fm cable`);
  }
  const remarks = suggestion.remarks ?? [];
  return h(
    "div",
    { class: "difference", role: "status", "data-difference": "" },
    h(
      "div",
      { class: "changes" },
      h("p", {}, parts),
      remarks.length > 0 &&
        h(
          "details",
          {},
          h("summary", {}, suggestion.proven ? "proven; what was found" : "what was found"),
          h(
            "ul",
            {},
            remarks.map((/** @type {string} */ text) => h("li", {}, text)),
          ),
        ),
    ),
    h(
      "div",
      { class: "acts" },
      nothing
        ? button("Close", drop)
        : [
            button("Accept", accept, "do", { "data-act": "accept" }),
            button("Drop", drop, "alt", { "data-act": "drop" }),
          ],
    ),
  );
}
