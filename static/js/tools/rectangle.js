/**
 * Draws a room by two opposite corners; "4.2 x 3.1" or one length after the other may be typed.
 * @import {Point} from "../core/types.js"
 * @import {ToolEvent} from "./tool.js"
 */

import { addRoom, wrongWithOutline } from "../commands/rooms.js";
import { rectangle } from "../core/geometry.js";
import { isLengthKey, parseLength, parseTwoLengths } from "../core/length.js";
import { lengthText } from "../core/quantity.js";
import { Tool } from "./tool.js";

export class RectangleTool extends Tool {
  /** @type {?Point} */
  first = null;

  /** @type {?Point} */
  pointer = null;

  /** @type {any} */
  snap = null;

  typed = "";

  /** The width, once it has been typed alone. @type {?number} */
  width = null;

  enter() {
    this.reset();
  }

  reset() {
    this.first = null;
    this.typed = "";
    this.width = null;
    this.snap = null;
  }

  /** @param {ToolEvent} event */
  hover(event) {
    this.point(event);
    this.show();
  }

  /** @param {ToolEvent} event */
  point(event) {
    this.snap = this.desk.snapAt(event);
    this.cursor = event.keyboard ? this.snap.at : null;
    this.pointer = this.snap.at;
    if (this.first && this.width !== null) {
      const side = this.snap.at[0] < this.first[0] ? -1 : 1;
      this.pointer = [this.first[0] + side * this.width, this.snap.at[1]];
    }
  }

  /** @param {ToolEvent} event */
  down(event) {
    this.startedHere = this.first === null;
    this.point(event);
    if (this.first === null) this.first = this.pointer;
    this.show();
    return true;
  }

  /** @param {ToolEvent} event */
  drag(event) {
    this.hover(event);
  }

  /**
   * Two presses, or one drag from corner to corner.
   * @param {ToolEvent} event
   * @param {boolean} moved
   */
  up(event, moved) {
    this.point(event);
    if (!this.startedHere || moved) this.finish();
    else this.show();
  }

  finish() {
    if (!this.first || !this.pointer) return;
    const outline = rectangle(this.first, this.pointer);
    const wrong = wrongWithOutline(outline);
    if (wrong) {
      this.desk.say(wrong, "wrong");
      return;
    }
    this.reset();
    this.desk.setDraft(null);
    this.desk.commit(addRoom(this.desk.session.project, this.desk.floor, outline));
  }

  /** @param {string} key */
  key(key) {
    if (!this.first) return false;
    if (key === "Enter") {
      this.enterKey();
      return true;
    }
    if (key === "Backspace" && this.typed !== "") this.typed = this.typed.slice(0, -1);
    else if (isLengthKey(key) || (key === " " && this.typed !== "")) this.typed += key;
    else return false;
    this.show();
    return true;
  }

  enterKey() {
    if (this.typed === "") return this.finish();
    const first = /** @type {Point} */ (this.first);
    const pointer = this.pointer ?? first;
    const [right, down] = [pointer[0] < first[0] ? -1 : 1, pointer[1] < first[1] ? -1 : 1];
    const both = parseTwoLengths(this.typed, this.desk.units);
    const one = parseLength(this.typed, this.desk.units);
    this.typed = "";
    if (both || (one !== null && this.width !== null)) {
      const [w, h] = both ?? [/** @type {number} */ (this.width), /** @type {number} */ (one)];
      this.pointer = [first[0] + right * w, first[1] + down * h];
      return this.finish();
    }
    if (one === null) this.desk.say("Type a length such as 4.2, or two: 4.2 x 3.1.", "wrong");
    else {
      this.width = one;
      this.pointer = [first[0] + right * one, pointer[1]];
    }
    return this.show();
  }

  back() {
    if (!this.first) return false;
    this.reset();
    this.show();
    return true;
  }

  show() {
    const { first, pointer } = this;
    const length =
      first && pointer
        ? {
            at: pointer,
            typed: this.typed !== "",
            text: this.typed !== "" ? `${this.typed}▏` : this.sizeText(first, pointer),
          }
        : null;
    this.desk.setDraft({
      points: first && pointer ? rectangle(first, pointer) : [],
      closed: true,
      snap: this.snap,
      cursor: this.cursor,
      length,
    });
  }

  /** @param {Point} a @param {Point} b */
  sizeText(a, b) {
    const text = (/** @type {number} */ m) => lengthText(Math.abs(m), this.desk.units, 2);
    return `${text(b[0] - a[0])} × ${text(b[1] - a[1])}`;
  }
}
