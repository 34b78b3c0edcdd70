/**
 * Moves the tag of the selected detector with the arrow keys, and lets the program place it again.
 * @import {Point} from "../core/types.js"
 * @import {ToolEvent} from "./tool.js"
 */

import { changeTag } from "../commands/tags.js";
import { find } from "../core/drawing.js";
import { add } from "../core/geometry.js";
import { standing } from "../core/words.js";
import { Tool } from "./tool.js";

/** A press of an arrow moves the tag this far, px; with Shift ten times. */
const STEP_PX = 4;

/** Where a tag that is not shown begins, px from the symbol. */
const UNSHOWN_PX = 34;

export class TagTool extends Tool {
  /** The tag's new place, m; `null` while it has not been moved. @type {?Point} */
  place = null;

  /** The detector whose tag is moved, as the server has it. @returns {any} */
  get detector() {
    const { selection, session } = this.desk;
    return selection?.kind === "detector" ? find(session.project, selection) : null;
  }

  enter() {
    this.place = null;
  }

  exit() {
    this.finish();
  }

  /** @param {Point} way @param {boolean} far @returns {boolean} */
  arrow(way, far) {
    const { detector } = this;
    if (!detector) return false;
    const step = this.desk.metres(far ? 10 * STEP_PX : STEP_PX);
    const words = this.desk.wordsOf(detector);
    const from =
      this.place ??
      (words
        ? standing(words, detector)
        : add(detector.at, [0, -this.desk.metres(UNSHOWN_PX)]));
    this.place = add(from, [way[0] * step, way[1] * step]);
    this.desk.showLocal(changeTag(detector, this.place).edit);
    return true;
  }

  finish() {
    const { detector, place } = this;
    this.place = null;
    if (detector && place) this.desk.commit(changeTag(detector, place));
  }

  /** @param {string} key */
  key(key) {
    if (key === "Enter" || key === " ") this.desk.use("select");
    else if (key === "Delete" || key === "Backspace") {
      const { detector } = this;
      this.place = null;
      if (detector?.tag_offset) this.desk.commit(changeTag(detector, null));
      else this.desk.endLocal();
      this.desk.use("select");
    } else return false;
    return true;
  }

  back() {
    this.place = null;
    this.desk.endLocal();
    this.desk.use("select");
    return true;
  }

  /** A press goes on as a selection. @param {ToolEvent} event */
  down(event) {
    this.desk.use("select");
    return this.desk.tool.down(event);
  }
}
