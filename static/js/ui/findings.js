/**
 * Findings as boxes: what, the remedy, and a button where the remedy can be carried out.
 */

import { find, isOn, sameKey } from "../core/drawing.js";
import { button, h, link } from "./dom.js";

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
  if (place) acts.push(showIt(finding, desk));
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
    acts.some(Boolean) && h("div", { class: "acts" }, acts),
  );
}

/** Selects the thing, or goes to its place; on another floor that is a link. @param {any} finding */
function showIt(finding, /** @type {any} */ desk) {
  const { about, at } = finding;
  const item = about && about.kind !== "floor" ? find(desk.project, about) : null;
  if (item && isOn(desk.project, about.kind, item, desk.floor)) {
    return button("Show it", () => {
      desk.select(about);
      desk.show(about);
    });
  }
  const floor = item?.floor ?? finding.floor ?? null;
  if (floor !== null && floor !== desk.floor) {
    const name = desk.project.floors.find((/** @type {any} */ one) => one.id === floor)?.name;
    const query = item ? `?select=${about.kind}-${about.id}` : "";
    const href = `/projects/${desk.projectId}/floors/${floor}${query}`;
    return h("a", { class: "alt", href }, `Show it on ${name ?? "its floor"}`);
  }
  return at ? button("Show it", () => desk.lookAt(at)) : null;
}

/** All blockers and warnings of the project, the new ones first. @param {any} context */
export function findingsList(context) {
  const { desk } = context;
  const open = sorted(
    (desk.results.findings ?? []).filter((/** @type {any} */ one) => one.severity !== "note"),
  );
  const isNew = (/** @type {any} */ finding) => desk.fresh.has(finding.id);
  const [fresh, rest] = [open.filter(isNew), open.filter((one) => !isNew(one))];
  const boxes = (/** @type {any[]} */ list) =>
    list.map((finding) => findingBox(finding, { ...context, place: true }));
  const number = (/** @type {string} */ severity) =>
    counted(open.filter((one) => one.severity === severity).length, severity);
  return [
    h(
      "div",
      { class: "facts-head" },
      h("h1", {}, "Findings"),
      h("p", { class: "sub" }, `${number("blocker")}, ${number("warning")}`),
    ),
    h("p", {}, link("Close the list", () => desk.list(false), { "data-act": "close-findings" })),
    fresh.length > 0 && h("h3", {}, "New"),
    boxes(fresh),
    fresh.length > 0 && rest.length > 0 && h("h3", {}, "Before"),
    boxes(rest),
    open.length === 0 && h("p", {}, "Every check is met."),
  ];
}

/** @param {number} n @param {string} noun */
const counted = (n, noun) => `${n === 0 ? "no" : n} ${noun}${n === 1 ? "" : "s"}`;
