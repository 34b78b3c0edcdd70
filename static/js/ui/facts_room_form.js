/** What of a room's form and air bears on the height of detectors. */

import * as quantity from "../core/quantity.js";
import { h } from "./dom.js";
import { choiceRow, maybeRow, row } from "./fields.js";

/** @type {[string, string, string][]} field, label, what is said of a room without it */
const SIZES = [
  ["pit", "pit in the floor", "No pit, sump or channel."],
  ["raised_floor", "void under floor", "No raised floor."],
  ["ceiling_void", "void over ceiling", "No false ceiling."],
];

/** Vents of a pair: field, label, unit. @type {[string, string, string][]} */
const VENTS = [
  ["low_vent", "low vents, free area", "m2"],
  ["high_vent", "high vents, free area", "m2"],
  ["vent_rise", "height between vents", "m"],
];

/** @type {[string, string][]} */
const MARKS = [
  ["warm_ceiling", "warm layer under the ceiling"],
  ["extract_duct", "extract duct"],
  ["air_intake", "air intake"],
  ["fast_supply", "strong supply air jet"],
];

/** @type {[string, string][]} */
const YES_NO = [
  ["no", "no"],
  ["yes", "yes"],
];

/**
 * @param {any} room @param {any} context
 * @param {(field: string, value: any, words: string) => void} set
 */
export function roomForm(room, { system }, set) {
  const features = room.features ?? {};
  const put = (/** @type {string} */ field, /** @type {any} */ value, /** @type {string} */ words) =>
    set("features", { ...features, [field]: value }, words);
  const sizes = SIZES.map(([field, label, none]) =>
    maybeRow({
      label,
      name: field,
      value: features[field] ?? null,
      unit: "m",
      decimals: 2,
      units: system.units,
      assumed: none,
      blank: "none",
      set: (value) =>
        put(
          field,
          value,
          value === null ? `no ${label}` : `${label} ${quantity.heightText(value, system.units)}`,
        ),
    }),
  );
  const marks = MARKS.map(([field, label]) =>
    choiceRow({
      label,
      name: field,
      value: features[field] ? "yes" : "no",
      choices: YES_NO,
      set: (value) => put(field, value === "yes", `${label}: ${value}`),
    }),
  );
  const said = "Taken as none and no until you say otherwise; they are not asked of the client.";
  const heading = row("form and air", h("span", { class: "quiet" }, said));
  return [heading, ...sizes, ...vents(features, system.units, put), ...marks];
}

/** The pair of vents that gas drives air through by its weight. @param {any} features */
function vents(features, /** @type {string} */ units, /** @type {any} */ put) {
  const pair = features.low_vent != null && features.high_vent != null;
  const rows = VENTS.filter(([field]) => field !== "vent_rise" || pair);
  return rows.map(([field, label, unit]) =>
    maybeRow({
      label,
      name: field,
      value: features[field] ?? null,
      unit,
      decimals: unit === "m" ? 2 : null,
      units,
      assumed:
        field === "vent_rise"
          ? "Not known: the share of the room's height in the basis of design is taken."
          : "Without a low and a high one the air changes alone count.",
      blank: field === "vent_rise" ? "not known" : "none",
      set: (value) => put(field, value, value === null ? `${label}: none` : `${label} stated`),
    }),
  );
}
