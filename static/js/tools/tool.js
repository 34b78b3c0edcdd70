/**
 * What every tool has. A tool turns pointer and key events, in metres, into drafts and commands.
 * @import {Point} from "../core/types.js"
 */

/**
 * @typedef {{at: Point, px: Point, shift: boolean, keyboard: boolean,
 *   target: ?{kind: string, id: number, handle: ?string, idx: number}}} ToolEvent
 */

export class Tool {
  /** @param {import("../desk.js").Desk} desk */
  constructor(desk) {
    this.desk = desk;
  }

  enter() {}

  exit() {}

  /** The pointer is over the sheet, not pressed. @param {ToolEvent} _event */
  hover(_event) {}

  /** Pressed; `false` leaves the press to panning. @param {ToolEvent} _event @returns {boolean} */
  down(_event) {
    return true;
  }

  /** @param {ToolEvent} _event */
  drag(_event) {}

  /** @param {ToolEvent} _event @param {boolean} _moved whether it went farther than a slip */
  up(_event, _moved) {}

  /** A press that ended otherwise, as by a second finger. */
  abort() {}

  /** A key without a modifier; `true` where it was used. @param {string} _key @returns {boolean} */
  key(_key) {
    return false;
  }

  /** One step back; `false` where there was none. @returns {boolean} */
  back() {
    return false;
  }
}
