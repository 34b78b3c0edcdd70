/**
 * Places one thing at a click: a source, an air terminal, a detector, a panel, a field device, a
 * riser. A drag of a thing that is already there moves it; a click on one of the same kind selects it
 * and says so. Tags and names are no targets: a click on one places like a click beside it.
 * @import {Command, Kind, Point} from "../core/types.js"
 * @import {ToolEvent} from "./tool.js"
 */

import { nameOf } from "../core/drawing.js";
import { SelectTool } from "./select.js";
import { Tool } from "./tool.js";

const THINGS = ["source", "terminal", "detector", "device", "panel", "riser"];

/** The thing whose symbol is under the pointer. @param {ToolEvent} event */
const thingUnder = ({ target }) =>
  target && THINGS.includes(target.kind) && target.handle === null ? target : null;

export class PlaceTool extends Tool {
  /**
   * @param {import("../desk.js").Desk} desk
   * @param {{symbol: (at: Point) => any, command: (at: Point) => Command|string|null,
   *   kind: Kind, place?: (event: ToolEvent) => Point}} options `command` is the edit, or why there
   *   is none, or `null` where that is said already
   */
  constructor(desk, { kind, symbol, command, place }) {
    super(desk);
    this.kind = kind;
    this.symbol = symbol;
    this.command = command;
    this.place = place ?? ((event) => this.desk.snapAt(event).at);
    this.hand = new SelectTool(desk);
    /** The press on a thing, which moves it once it goes farther than a slip. */
    this.pressed = /** @type {?ToolEvent} */ (null);
    this.moving = false;
  }

  /** @param {ToolEvent} event */
  hover(event) {
    const taken = thingUnder(event)?.kind === this.kind;
    const at = this.place(event);
    this.desk.setDraft(
      taken ? null : { symbol: this.symbol(at), cursor: event.keyboard ? at : null },
    );
  }

  /** @param {ToolEvent} event */
  down(event) {
    this.pressed = thingUnder(event) ? event : null;
    this.moving = false;
    return true;
  }

  /** @param {ToolEvent} event */
  drag(event) {
    if (!this.pressed) return this.hover(event);
    if (!this.moving) {
      this.moving = true;
      this.desk.setDraft(null);
      this.hand.down(this.pressed);
    }
    this.hand.drag(event);
  }

  /** @param {ToolEvent} event @param {boolean} moved */
  up(event, moved) {
    const { pressed } = this;
    this.pressed = null;
    if (this.moving) {
      this.moving = false;
      this.hand.up(event, moved);
      return;
    }
    const under = pressed && thingUnder(pressed);
    if (under?.kind === this.kind) {
      const key = { kind: this.kind, id: under.id };
      this.desk.setDraft(null);
      this.desk.select(key);
      this.desk.say(`${nameOf(this.desk.project, key)} stands here. Click beside it for another.`);
      return;
    }
    const command = this.command(this.place(event));
    this.desk.setDraft(null);
    if (typeof command === "string") this.desk.say(command, "wrong");
    else this.desk.commit(command);
  }

  abort() {
    if (this.moving) this.hand.abort();
    this.moving = false;
    this.pressed = null;
    this.desk.setDraft(null);
  }
}
