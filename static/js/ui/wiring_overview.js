/** Nothing is selected on the wiring page: the panels with their segments. */

import * as quantity from "../core/quantity.js";
import { h } from "./dom.js";

/** @param {any} context */
export function wiringOverview(context) {
  const { desk } = context;
  const { panels, segments } = desk.project;
  const n_devices = segments.reduce(
    (/** @type {number} */ sum, /** @type {any} */ one) => sum + one.devices.length,
    0,
  );
  return [
    h(
      "div",
      { class: "facts-head" },
      h("h1", {}, "Wiring"),
      h(
        "p",
        { class: "sub" },
        `${counted(segments.length, "segment")}, ${counted(n_devices, "field device")} on them`,
      ),
    ),
    h("p", {}, "Press a panel, a segment or a device: its facts are read and changed here."),
    panels.map((/** @type {any} */ panel) => panelPart(panel, context)),
  ];
}

/** @param {number} n @param {string} noun */
const counted = (n, noun) => `${n === 0 ? "no" : n} ${noun}${n === 1 ? "" : "s"}`;

/** @param {any} panel @param {any} context */
function panelPart(panel, { desk, system }) {
  const own = desk.project.segments.filter((/** @type {any} */ one) => one.panel === panel.id);
  const line = (
    /** @type {any} */ key,
    /** @type {any} */ words,
    /** @type {string} */ figure,
  ) =>
    h(
      "li",
      {},
      h(
        "button",
        {
          type: "button",
          onclick: () => {
            desk.select(key);
            desk.show(key);
          },
        },
        h("span", {}, words),
        h("span", { class: "num" }, figure),
      ),
    );
  const metres = (/** @type {any} */ segment) => {
    const found = desk.results.segments?.[segment.id];
    return found ? quantity.text(found.length, system) : "";
  };
  return h(
    "ul",
    { class: "list" },
    line({ kind: "panel", id: panel.id }, [h("b", {}, panel.tag), "control panel"], ""),
    own.map((/** @type {any} */ segment) =>
      line(
        { kind: "segment", id: segment.id },
        [h("b", {}, segment.tag), counted(segment.devices.length, "device")],
        metres(segment),
      ),
    ),
  );
}
