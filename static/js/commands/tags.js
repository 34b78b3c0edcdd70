/**
 * Intent for tags: to stand where the designer puts them, or where the program does.
 * @import {Command, Point} from "../core/types.js"
 */

import { subtract, toMillimetres } from "../core/geometry.js";
import { change } from "./items.js";

/** A detector with its tag at a place, m; `null`: the program places it. */
export const withTagAt = (/** @type {any} */ detector, /** @type {?Point} */ at) => ({
  ...detector,
  tag_offset: at && toMillimetres(subtract(at, detector.at)),
});

/** @param {any} detector @param {?Point} at @returns {Command} */
export const changeTag = (detector, at) =>
  change(
    "detector",
    withTagAt(detector, at),
    at ? `Tag of ${detector.tag} moved` : `Tag of ${detector.tag} placed by the program`,
  );
