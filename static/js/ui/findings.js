/**
 * Findings as boxes: what, the remedy, and a button where the remedy can be carried out.
 */

import { sameKey } from "../core/drawing.js";
import { button, h } from "./dom.js";

const WORDS = /** @type {Record<string, string>} */ ({
  blocker: "Blocker",
  warning: "Warning",
  note: "Note",
});
const WEIGHT = /** @type {Record<string, number>} */ ({ blocker: 0, warning: 1, note: 2 });

/** The findings about a thing, the heaviest first. @param {any} results @param {any} key */
export const findingsAbout = (results, key) =>
  sorted(
    (results.findings ?? []).filter(
      (/** @type {any} */ finding) => finding.about && sameKey(finding.about, key),
    ),
  );

/** The findings of a floor and those of no place. @param {any} results @param {number} floor */
export const findingsOn = (results, floor) =>
  sorted(
    (results.findings ?? []).filter(
      (/** @type {any} */ finding) =>
        finding.floor === undefined || finding.floor === null || finding.floor === floor,
    ),
  );

/** @param {any[]} findings */
const sorted = (findings) => [...findings].sort((a, b) => WEIGHT[a.severity] - WEIGHT[b.severity]);

/**
 * @param {any} finding
 * @param {{desk: any, why: any, place?: boolean}} parts `place`: offer to go there
 */
export function findingBox(finding, { desk, why, place = false }) {
  const acts = [];
  if (finding.fix) {
    acts.push(
      button(
        finding.fix.label,
        () => desk.commit({ edit: finding.fix.edit, label: finding.fix.label }),
        "do",
      ),
    );
  }
  if (place && finding.about && finding.about.kind !== "floor") {
    acts.push(
      button("Show it", () => {
        desk.select(finding.about);
        desk.show(finding.about);
      }),
    );
  }
  return h(
    "div",
    { class: `note-box ${finding.severity}`, "data-finding": finding.id },
    h(
      "p",
      {},
      h("span", { class: `mark ${finding.severity}` }),
      h("b", {}, `${WORDS[finding.severity]}. `),
      finding.message,
      " ",
      why.opener(finding.value ?? finding.limit ?? null, finding.message.slice(0, 40)),
    ),
    finding.remedy && !finding.message.includes(finding.remedy) && h("p", {}, finding.remedy),
    acts.length > 0 && h("div", { class: "acts" }, acts),
  );
}
