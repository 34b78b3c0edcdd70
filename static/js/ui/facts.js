/**
 * The facts beside the sheet: of what is selected, of the plan sheet, or of the floor.
 */

import { find, nameOf } from "../core/drawing.js";
import { BESIDE_A_DRAG, calmly } from "../behaviours/calm.js";
import { removeSelected } from "../behaviours/keys.js";
import { button, fill, h, link } from "./dom.js";
import { detectorFacts } from "./facts_detector.js";
import { barrierFacts, markedFacts, openingFacts, roomFacts, terminalFacts } from "./facts_building.js";
import { sourceFacts } from "./facts_source.js";
import {
  containmentFacts,
  deviceFacts,
  panelFacts,
  riserFacts,
  segmentFacts,
} from "./facts_wiring.js";
import { findingBox, findingsAbout } from "./findings.js";

/** @type {Record<string, (item: any, context: any) => any>} */
const FACTS = {
  room: roomFacts,
  barrier: barrierFacts,
  opening: openingFacts,
  source: sourceFacts,
  terminal: terminalFacts,
  marked: markedFacts,
  detector: detectorFacts,
  device: deviceFacts,
  panel: panelFacts,
  containment: containmentFacts,
  riser: riserFacts,
  segment: segmentFacts,
};

/** @type {Record<string, string>} */
const REMOVE = {
  room: "Delete this room",
  detector: "Delete this detector",
  source: "Delete this source",
  terminal: "Delete this air terminal",
  marked: "Delete this marked area",
};

/**
 * @param {HTMLElement} host @param {any} desk
 * @param {{why: any, offers: any, nothing: (context: any) => any,
 *   elsewhere?: (key: any) => ?string}} parts `nothing`: what is shown while nothing is selected;
 *   `elsewhere`: the address of the sheet on which a thing stands, where that is another page
 */
export function installFacts(host, desk, { why, offers, nothing, elsewhere }) {
  const context = {
    desk,
    why,
    offers,
    nothing,
    elsewhere,
    get system() {
      return desk.system;
    },
  };
  let shown = "";
  const grip = h(
    "button",
    {
      type: "button",
      class: "facts-grip",
      "aria-expanded": "false",
      onclick: () => setOpen(!host.classList.contains("open")),
    },
    "Show the facts",
  );
  const setOpen = (/** @type {boolean} */ open) => {
    host.classList.toggle("open", open);
    grip.setAttribute("aria-expanded", String(open));
    grip.textContent = open ? "Hide the facts" : "Show the facts";
  };
  const show = () => {
    const now = JSON.stringify([desk.selection, desk.toolName === "sheet", desk.listing]);
    const other = now !== shown;
    const top = host.scrollTop;
    shown = now;
    fill(host, grip, content(context));
    // Only where it has to move: setting it lays the page out at once.
    if (top > 0) host.scrollTop = other ? 0 : top;
  };
  const calm = calmly(show, BESIDE_A_DRAG);
  desk.listen((/** @type {string} */ what) => {
    if (["selection", "state", "tool"].includes(what)) calm.now();
    else if (what === "findings") {
      setOpen(true);
      calm.now();
      /** @type {?HTMLElement} */ (host.querySelector("[data-act=close-findings]"))?.focus();
    }
    else if (what === "local" || what === "preview") calm.soon();
  });
  show();
}

/** @param {any} context */
function content(context) {
  const { desk } = context;
  const item = find(desk.project, desk.selection);
  if (!item) return context.nothing(context);
  const { kind } = desk.selection;
  const facts = FACTS[kind](item, context);
  const findings = findingsAbout(desk.results, desk.selection);
  const floor = context.elsewhere?.(desk.selection);
  return [
    desk.listing &&
      h("p", {}, link("Back to the findings", () => desk.select(null), { "data-act": "back" })),
    h(
      "div",
      { class: "facts-head" },
      h("h1", {}, facts.title ?? nameOf(desk.project, desk.selection)),
      facts.sub && h("p", { class: "sub" }, facts.sub),
    ),
    facts.parts,
    findings.map((finding) => findingBox(finding, context)),
    h(
      "div",
      { class: "acts" },
      floor && h("a", { class: "alt small", href: floor }, "Show it on the floor"),
      button(REMOVE[kind] ?? "Delete", () => removeSelected(desk), "alt small", {
        "data-act": "delete",
        title: floor ? null : "Delete key",
      }),
    ),
  ];
}
