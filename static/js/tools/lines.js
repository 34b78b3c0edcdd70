/**
 * Draws by corners: a room, a barrier, containment, a measured way. Typed lengths go in the
 * direction of the pointer.
 * @import {Point} from "../core/types.js"
 * @import {ToolEvent} from "./tool.js"
 */

import { distance, lineLength, towards } from "../core/geometry.js";
import { isLengthKey, parseLength } from "../core/length.js";
import { lengthText } from "../core/quantity.js";
import { Tool } from "./tool.js";

/** A press this near to the first corner closes the outline, px. */
const CLOSE_PX = 12;

/** A press this near to the last corner ends the line, for those who have no Enter, px. */
const END_PX = 10;

export class LineTool extends Tool {
  /**
   * @param {import("../desk.js").Desk} desk
   * @param {{closed?: boolean, measure?: boolean, finish: (points: Point[]) => ?string}} options
   *   `finish` makes the command, or says what is wrong
   */
  constructor(desk, { closed = false, measure = false, finish }) {
    super(desk);
    this.closed = closed;
    this.measure = measure;
    this.finish = finish;
    /** @type {Point[]} */
    this.points = [];
    /** @type {?Point} */
    this.pointer = null;
    /** @type {?Point} */
    this.cursor = null;
    /** @type {any} */
    this.snap = null;
    this.typed = "";
    this.ended = false;
    /** Whether what was drawn was refused, and waits for what was missing. */
    this.refused = false;
  }

  reset() {
    this.points = [];
    this.pointer = null;
    this.snap = null;
    this.typed = "";
    this.ended = false;
    this.refused = false;
  }

  enter() {
    this.reset();
  }

  /** @param {ToolEvent} event */
  hover(event) {
    if (this.ended) return;
    this.point(event);
    this.show();
  }

  /** @param {ToolEvent} event */
  point(event) {
    const from = this.points[this.points.length - 1] ?? null;
    const before = this.points[this.points.length - 2] ?? null;
    this.snap = this.desk.snapAt(event, { from, before, extra: this.points.slice(0, -1) });
    this.pointer = this.snap.at;
    this.cursor = event.keyboard ? this.pointer : null;
  }

  /** @param {ToolEvent} event */
  drag(event) {
    this.hover(event);
  }

  /** @param {ToolEvent} event */
  up(event) {
    if (this.ended) this.reset();
    this.point(event);
    const at = /** @type {Point} */ (this.pointer);
    const n = this.points.length;
    const near = (/** @type {number} */ idx) =>
      distance(this.points[idx], at) * this.desk.viewport.scale;
    const closes = this.closed && n >= 3 && near(0) <= CLOSE_PX;
    const ends = n >= (this.closed ? 3 : 2) && near(n - 1) <= END_PX;
    if (closes || ends) this.end();
    else this.addCorner(at);
  }

  /** @param {Point} at */
  addCorner(at) {
    const last = this.points[this.points.length - 1];
    if (last && distance(last, at) < 0.01) return;
    this.points.push(at);
    this.typed = "";
    this.show();
  }

  /** @param {string} key */
  key(key) {
    if (key === "Enter") return this.enterKey();
    if (key === "Backspace") return this.backspace();
    if (!isLengthKey(key) || this.points.length === 0 || this.ended) return false;
    this.typed += key;
    this.show();
    return true;
  }

  enterKey() {
    if (this.typed === "") return this.end();
    const length = parseLength(this.typed, this.desk.units);
    const last = this.points[this.points.length - 1];
    if (length === null || length <= 0) {
      this.desk.say(`"${this.typed}" is no length; type one such as 4.2.`, "wrong");
    } else this.addCorner(towards(last, this.pointer ?? last, length));
    this.typed = "";
    this.show();
    return true;
  }

  backspace() {
    if (this.typed !== "") this.typed = this.typed.slice(0, -1);
    else if (!this.back()) return false;
    this.show();
    return true;
  }

  end() {
    if (this.points.length === 0) return false;
    if (this.points.length < 2) {
      this.desk.say("Click at least two points.", "wrong");
      return true;
    }
    const wrong = this.finish(this.points);
    this.refused = wrong !== null;
    if (wrong) this.desk.say(wrong, "wrong");
    else if (this.measure) this.ended = true;
    else {
      this.reset();
      this.desk.setDraft(null);
    }
    if (this.measure) this.show();
    return true;
  }

  back() {
    if (this.ended) {
      this.reset();
      this.desk.setDraft(null);
      return true;
    }
    if (this.points.length === 0) return false;
    this.points.pop();
    this.typed = "";
    this.show();
    return true;
  }

  show() {
    const moving = this.pointer && !this.ended ? [...this.points, this.pointer] : this.points;
    const last = this.points[this.points.length - 1];
    this.desk.setDraft({
      points: moving,
      closed: this.closed && moving.length > 2,
      measure: this.measure,
      snap: this.ended ? null : this.snap,
      cursor: this.cursor,
      length: this.lengthMark(last, moving),
    });
  }

  /** @param {?Point} last @param {Point[]} moving */
  lengthMark(last, moving) {
    if (!last || moving.length < 2) return null;
    const end = moving[moving.length - 1];
    if (this.typed !== "") return { at: end, text: `${this.typed}▏`, typed: true };
    const part = lengthText(distance(moving[moving.length - 2], end), this.desk.units, 2);
    const whole = lengthText(lineLength(moving), this.desk.units, 2);
    const text = this.measure && moving.length > 2 ? `${part}, in all ${whole}` : part;
    return { at: end, text, typed: false };
  }
}
