/**
 * The set-points of a detector, edited where they stand: those of the rule until the designer types
 * others, which then say so, with the reason and the way back.
 */

import {
  RANKS,
  asStated,
  blank,
  stateReason,
  stateSetPoint,
  takeBack,
} from "../commands/set_points.js";
import * as quantity from "../core/quantity.js";
import { h, link } from "./dom.js";
import { numberInput, row, textRow } from "./fields.js";

/** @type {string[]} */
const UNITS = ["%LFL", "ppm", "%vol"];

/** @param {any} detector @param {any} context */
export function setPointFacts(detector, context) {
  const { desk } = context;
  const found = desk.results.detectors?.[detector.id];
  if (!found) return null;
  const own = detector.set_points.length > 0;
  const rules = own ? found.rule_set_points : found.set_points;
  const n_shown = found.set_points.length;
  const n_rows = Math.max(n_shown, rules.length || Math.min(n_shown + 1, 2));
  const rows = RANKS.slice(0, n_rows).map((_, idx) => pointRow(detector, idx, rules, context));
  return [
    h("h3", {}, "Set-points"),
    h(
      "dl",
      { class: "facts-list" },
      rows,
      own &&
        textRow({
          label: "reason",
          name: "set-points-reason",
          value: detector.set_points_reason ?? "",
          placeholder: "why not the rule's",
          set: (value) => desk.commit(stateReason(detector, value)),
        }),
    ),
    own ? ofTheDesigner(detector, rules, context) : ofTheRule(rules),
  ];
}

/** @param {any[]} rules */
const ofTheRule = (rules) =>
  h(
    "p",
    { class: "quiet" },
    rules.length > 0
      ? "By the rule. Type another value to depart from it."
      : "No table has a limit: state them, from the safety data sheet or the client.",
  );

/** @param {any} detector @param {any[]} rules @param {any} context */
function ofTheDesigner(detector, rules, { desk, system }) {
  const due = rules.map((rule) => quantity.text(rule.value, system)).join(" and ");
  return h(
    "p",
    { "data-own": "" },
    "Stated by the designer. ",
    due ? `The rule: ${due}. ` : "No rule has any. ",
    link("take back", () => desk.commit(takeBack(detector)), { "data-act": "take-back" }),
  );
}

/** @param {any} detector @param {number} idx @param {any[]} rules @param {any} context */
function pointRow(detector, idx, rules, { desk, why }) {
  const found = desk.results.detectors[detector.id];
  const shown = found.set_points.map(asStated);
  const standing = shown[idx];
  const rule = rules[idx] && asStated(rules[idx]);
  const before = standing ?? rule ?? blank(detector);
  const name = `set-point-${idx + 1}`;
  const label = `${RANKS[idx]} set-point`;
  const filled = [...shown, ...rules.slice(shown.length).map(asStated)];
  const state = (/** @type {any} */ next) =>
    desk.commit(stateSetPoint(detector, filled, idx, { ...before, ...next }));
  const unit = picker(`unit of the ${label}`, `${name}-unit`, UNITS, before.unit, () => {
    if (standing) state({ unit: unit.value });
  });
  const way = picker(`way of the ${label}`, `${name}-way`, ["rising", "falling"], way_of(before), () => {
    if (standing) state({ rising: way.value === "rising" });
  });
  const { input, wrong } = numberInput({
    id: `facts-${name}`,
    name,
    value: standing ? standing.value : null,
    unit: before.unit,
    decimals: standing ? decimalsOf(standing.value) : 0,
    set: (/** @type {number} */ value) =>
      state({ value, unit: unit.value, rising: way.value === "rising" }),
  });
  input.setAttribute("aria-label", label);
  if (!standing) input.placeholder = "?";
  return row(
    RANKS[idx],
    h("span", { class: "stated", title: found.set_points[idx]?.reason }, input, unit, way, wrong),
    why.opener(found.set_points[idx]?.value, label),
    `facts-${name}`,
  );
}

/** @param {any} point */
const way_of = ({ rising }) => (rising ? "rising" : "falling");

/** As many as it was set with. @param {number} value */
const decimalsOf = (value) => (String(value).split(".")[1] ?? "").length;

function picker(
  /** @type {string} */ label,
  /** @type {string} */ name,
  /** @type {string[]} */ choices,
  /** @type {string} */ value,
  /** @type {() => void} */ set,
) {
  const all = choices.includes(value) ? choices : [...choices, value];
  return h(
    "select",
    { class: "in-place short", "aria-label": label, "data-field": name, value, onchange: set },
    all.map((one) => h("option", { value: one }, one)),
  );
}
