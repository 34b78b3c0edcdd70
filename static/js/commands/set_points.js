/**
 * Intent for the set-points of a detector: another value, a reason for it, back to the rule's.
 * @import {Command, Detector, SetPoint} from "../core/types.js"
 */

import { change } from "./items.js";

/** The unit in which a set-point is first stated where no rule has one. @type {Record<string, string>} */
const UNIT_OF = {
  flammable: "%LFL",
  toxic: "ppm",
  oxygen_depletion: "%vol",
  oxygen_enrichment: "%vol",
};

export const RANKS = ["first", "second", "third"];

/** A set-point as the designer states it, of one as the engine shows it. @param {any} point */
export const asStated = ({ value, rising }) => ({
  value: value.value,
  unit: value.unit,
  rising,
});

/** What a row starts from where nothing stands yet. @param {Detector} detector @returns {SetPoint} */
export const blank = (detector) => ({
  value: 0,
  unit: UNIT_OF[detector.hazard] ?? "ppm",
  rising: detector.hazard !== "oxygen_depletion",
});

/**
 * States one set-point; the others stay as they are shown.
 * @param {Detector} detector @param {SetPoint[]} shown the set-points that hold now
 * @param {number} idx @param {SetPoint} point
 * @returns {Command}
 */
export function stateSetPoint(detector, shown, idx, point) {
  const points = shown.slice();
  points[idx] = point;
  const way = point.rising ? "rising" : "falling";
  return change(
    "detector",
    { ...detector, set_points: points },
    `${detector.tag}: ${RANKS[idx]} set-point ${point.value}\u202f${point.unit} ${way}`,
  );
}

/** @param {Detector} detector @param {string} reason @returns {Command} */
export const stateReason = (detector, reason) =>
  change(
    "detector",
    { ...detector, set_points_reason: reason },
    `${detector.tag}: reason for its set-points ${reason ? "stated" : "taken away"}`,
  );

/** Back to what the rule says. @param {Detector} detector @returns {Command} */
export const takeBack = (detector) =>
  change("detector", withoutOwn(detector), `${detector.tag}: set-points of the rule`);

/** A detector without set-points of its own. @param {Detector} detector @returns {Detector} */
export function withoutOwn(detector) {
  const { set_points_reason: _, ...rest } = detector;
  return { ...rest, set_points: [] };
}
