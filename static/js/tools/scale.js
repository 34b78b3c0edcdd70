/**
 * Sets the sheet's scale: two points, then the true length between them.
 * @import {Point} from "../core/types.js"
 * @import {ToolEvent} from "./tool.js"
 */

import { setScale } from "../commands/sheet.js";
import { distance } from "../core/geometry.js";
import { isLengthKey, parseLength } from "../core/length.js";
import { Tool } from "./tool.js";

export class ScaleTool extends Tool {
  /** @type {Point[]} */
  points = [];

  /** @type {?Point} */
  pointer = null;

  typed = "";

  enter() {
    this.points = [];
    this.typed = "";
    this.pointer = null;
    if (!this.desk.floorItem?.sheet) {
      this.desk.say("There is no plan sheet on this floor yet; upload one first.", "wrong");
    }
  }

  /** @param {ToolEvent} event */
  hover(event) {
    this.point(event);
    this.show();
  }

  /** @param {ToolEvent} event */
  point({ at, shift, keyboard }) {
    const from = this.points[0];
    this.pointer = at;
    if (from && !shift) {
      const near = this.desk.metres(8);
      if (Math.abs(at[0] - from[0]) < near) this.pointer = [from[0], at[1]];
      else if (Math.abs(at[1] - from[1]) < near) this.pointer = [at[0], from[1]];
    }
    this.cursor = keyboard ? this.pointer : null;
  }

  /** @param {ToolEvent} event */
  drag(event) {
    this.hover(event);
  }

  /** @param {ToolEvent} event */
  up(event) {
    this.point(event);
    if (this.points.length === 2) this.points = [];
    const at = /** @type {Point} */ (this.pointer);
    if (this.points[0] && distance(this.points[0], at) * this.desk.viewport.scale < 6) return;
    this.points.push(at);
    this.show();
    this.desk.tell("scale");
  }

  /** @param {string} key */
  key(key) {
    if (this.points.length === 0) return false;
    if (key === "Enter") this.set(this.typed);
    else if (key === "Backspace") this.typed = this.typed.slice(0, -1);
    else if (isLengthKey(key)) this.typed += key;
    else return false;
    this.show();
    return true;
  }

  /** Sets the scale by the length somebody typed. @param {string} text */
  set(text) {
    const length = parseLength(text, this.desk.units);
    const [a, b] = [this.points[0], this.points[1] ?? this.pointer];
    if (!a || !b) return;
    if (length === null || length <= 0) {
      this.desk.say("Type the true length between the two points, such as 12.50.", "wrong");
      return;
    }
    const command = setScale(this.desk.session.project, this.desk.floor, a, b, length);
    if (!command) {
      this.desk.say("The two points are too near each other, or there is no sheet.", "wrong");
      return;
    }
    this.points = [];
    this.typed = "";
    const before = this.desk.floorItem?.sheet;
    const taking = this.desk.commit(command);
    const after = this.desk.floorItem?.sheet;
    if (before && after) this.desk.keepSheetInView(before, after);
    taking.then((taken) => {
      if (taken) this.desk.use("sheet");
      else if (before && after) this.desk.keepSheetInView(after, before);
    });
  }

  back() {
    if (this.points.length === 0) return false;
    this.points.pop();
    this.typed = "";
    this.show();
    this.desk.tell("scale");
    return true;
  }

  show() {
    const two = this.points.length === 2;
    const points = two || !this.pointer ? this.points : [...this.points, this.pointer];
    const end = points[points.length - 1];
    const text = this.typed !== "" ? `${this.typed}▏` : "type the length, Enter";
    this.desk.setDraft({
      points,
      measure: true,
      cursor: this.cursor,
      length: points.length > 1 ? { at: end, text, typed: this.typed !== "" } : null,
    });
  }
}
