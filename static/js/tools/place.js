/**
 * Places one thing at a press: a source, a detector, a panel, a field device, a riser. A press on a
 * thing that is already there selects and moves it instead.
 * @import {Command, Point} from "../core/types.js"
 * @import {ToolEvent} from "./tool.js"
 */

import { SelectTool } from "./select.js";
import { Tool } from "./tool.js";

const THINGS = ["source", "detector", "device", "panel", "riser"];

export class PlaceTool extends Tool {
  /**
   * @param {import("../desk.js").Desk} desk
   * @param {{symbol: (at: Point) => any, command: (at: Point) => Command|string,
   *   place?: (event: ToolEvent) => Point}} options `command` is the edit, or why there is none
   */
  constructor(desk, { symbol, command, place }) {
    super(desk);
    this.symbol = symbol;
    this.command = command;
    this.place = place ?? ((event) => this.desk.snapAt(event).at);
    this.hand = new SelectTool(desk);
    this.moving = false;
  }

  /** @param {ToolEvent} event */
  hover(event) {
    const taken = event.target && THINGS.includes(event.target.kind);
    const at = this.place(event);
    this.desk.setDraft(
      taken ? null : { symbol: this.symbol(at), cursor: event.keyboard ? at : null },
    );
  }

  /** @param {ToolEvent} event */
  down(event) {
    this.moving = Boolean(event.target && THINGS.includes(event.target.kind));
    if (!this.moving) return true;
    this.desk.setDraft(null);
    return this.hand.down(event);
  }

  /** @param {ToolEvent} event */
  drag(event) {
    if (this.moving) this.hand.drag(event);
    else this.hover(event);
  }

  /** @param {ToolEvent} event @param {boolean} moved */
  up(event, moved) {
    if (this.moving) {
      this.moving = false;
      this.hand.up(event, moved);
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
    this.desk.setDraft(null);
  }
}
