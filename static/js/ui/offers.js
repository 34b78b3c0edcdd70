/**
 * Long work beside the drawing: progress with cancel, then the result as a difference to accept or
 * drop.
 */

import { find, roomAt } from "../core/drawing.js";
import { middleOf } from "../core/geometry.js";
import { lengthText, money } from "../core/quantity.js";
import { ApiError } from "../server/api.js";
import { button, h } from "./dom.js";

/** Less than half a digit of what is printed is no change: m, and units of money. */
const LEAST_CABLE_M = 0.05;
const LEAST_PRICE = 0.5;

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
      end(await running.done, words);
    } catch (error) {
      if (!(error instanceof ApiError)) throw error;
      host.replaceChildren();
      if (error.status === 409) await desk.session.reload();
      desk.say(error.message, "wrong");
    } finally {
      running = null;
    }
  }

  /** @param {any} answer @param {string} words */
  function end(answer, words) {
    host.replaceChildren();
    if (answer.state === "cancelled") desk.say("Stopped; nothing was changed.", "said");
    else if (answer.state === "failed") desk.say(answer.message, "wrong");
    else offer(answer.suggestion, words);
  }

  /** @param {any} suggestion @param {string} words */
  function offer(suggestion, words) {
    const nothing = (suggestion.edit.edits ?? []).length === 0;
    if (!nothing) {
      desk.suggestion = suggestion;
      desk.redraw();
    }
    host.replaceChildren(differenceBox(suggestion, words, nothing, desk, { accept, drop }));
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
  const at = item.at ?? item.a ?? item.line?.[0] ?? middleOf(item.outline);
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

/** What it changes of cable and price: "+88.0 m cable", "price +€ 1230". @returns {string[]} */
function changes(/** @type {any} */ { cable_change_m, price_change }, /** @type {any} */ desk) {
  const { system, project } = desk;
  const signed = (/** @type {number} */ by, /** @type {string} */ text) =>
    `${by < 0 ? "\u2212" : "+"}${text}`;
  const said = [];
  if (Math.abs(cable_change_m ?? 0) >= LEAST_CABLE_M) {
    const length = lengthText(Math.abs(cable_change_m), system.units);
    said.push(signed(cable_change_m, `${length} cable`));
  }
  if (Math.abs(price_change ?? 0) >= LEAST_PRICE) {
    const invented = project.catalogue.sample ? " (invented)" : "";
    const price = money(Math.abs(price_change), system.currency);
    said.push(`price ${signed(price_change, price)}${invented}`);
  }
  return said;
}

function differenceBox(
  /** @type {any} */ suggestion,
  /** @type {string} */ words,
  /** @type {boolean} */ nothing,
  /** @type {any} */ desk,
  /** @type {any} */ { accept, drop },
) {
  const parts = [h("b", {}, words), ": "];
  parts.push([suggestion.summary, ...changes(suggestion, desk)].join(", "));
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
