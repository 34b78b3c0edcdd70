/**
 * Draws a door, window or open way on a wall: a press takes the usual width, a drag the drawn one.
 * @import {Point} from "../core/types.js"
 * @import {ToolEvent} from "./tool.js"
 */

import { addOpening, openingOnWall, usualOpening } from "../commands/rooms.js";
import { Tool } from "./tool.js";

/** A wall farther from the pointer than this is not meant, px. */
const WALL_PX = 24;

export class OpeningTool extends Tool {
  /** @param {import("../desk.js").Desk} desk @param {"door"|"window"|"open_way"} form */
  constructor(desk, form) {
    super(desk);
    this.form = form;
    this.from = /** @type {?Point} */ (null);
  }

  /** @param {ToolEvent} event */
  hover(event) {
    const usual = usualOpening(this.desk.project, this.desk.floor, event.at, this.form);
    this.show(usual && this.onWall(usual[0], usual[1], event.at), event);
  }

  /** @param {Point} a @param {Point} b @param {Point} at */
  onWall(a, b, at) {
    const near = this.desk.metres(WALL_PX);
    const wall = openingOnWall(this.desk.project, this.desk.floor, a, b, 0.01);
    const dx = wall ? Math.min(...wall.map((p) => Math.hypot(p[0] - at[0], p[1] - at[1]))) : 0;
    return wall && dx <= near + Math.hypot(a[0] - b[0], a[1] - b[1]) ? wall : null;
  }

  /** @param {ToolEvent} event */
  down(event) {
    this.from = event.at;
    return true;
  }

  /** @param {ToolEvent} event */
  drag(event) {
    const { project, floor } = this.desk;
    this.show(
      this.from && openingOnWall(project, floor, this.from, event.at, this.desk.metres(WALL_PX)),
      event,
    );
  }

  /** @param {ToolEvent} event @param {boolean} moved */
  up(event, moved) {
    const { project } = this.desk.session;
    const { floor } = this.desk;
    const near = this.desk.metres(WALL_PX);
    const usual = usualOpening(project, floor, event.at, this.form);
    const [a, b] = moved && this.from ? [this.from, event.at] : (usual ?? [event.at, event.at]);
    const near_enough = moved || (usual && this.onWall(a, b, event.at));
    const command = near_enough ? addOpening(project, floor, a, b, this.form, near) : null;
    this.from = null;
    this.desk.setDraft(null);
    if (command) this.desk.commit(command);
    else this.desk.say("No wall is here: an opening lies on the wall of a room.", "wrong");
  }

  /** @param {?[Point, Point]} jambs @param {ToolEvent} event */
  show(jambs, event) {
    this.desk.setDraft({
      opening: jambs ? [...jambs, this.form] : undefined,
      cursor: event.keyboard ? event.at : null,
    });
  }

  abort() {
    this.from = null;
    this.desk.setDraft(null);
  }
}
