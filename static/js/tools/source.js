/**
 * Places a release source. What can get out is chosen first; a click before that keeps its place
 * and asks.
 * @import {Point} from "../core/types.js"
 */

import { addSource } from "../commands/places.js";
import { PlaceTool } from "./place.js";

export const ASKS = "What can get out here? Type its name in the line above and choose it.";

export class SourceTool extends PlaceTool {
  /** @param {import("../desk.js").Desk} desk */
  constructor(desk) {
    super(desk, {
      kind: "source",
      place: (event) => event.at,
      symbol: (at) => ({
        kind: "source",
        at,
        text: desk.substance?.name ?? "?",
        hazards: desk.hazards[desk.substance?.key ?? ""] ?? [],
      }),
      command: (at) => {
        if (desk.substance) return addSource(desk.project, desk.floor, at, desk.substance);
        this.asked = at;
        desk.tell("substance");
        desk.say(ASKS);
        return null;
      },
    });
    /** Where a source was clicked before its substance was chosen. */
    this.asked = /** @type {?Point} */ (null);
  }

  /** @param {import("./tool.js").ToolEvent} event */
  hover(event) {
    if (!this.asked) super.hover(event);
  }

  /** @param {import("./tool.js").ToolEvent} event @param {boolean} moved */
  up(event, moved) {
    super.up(event, moved);
    if (this.asked) this.desk.setDraft({ symbol: this.symbol(this.asked) });
  }

  /** The substance from now on; a source whose place was kept is placed. @param {any} found */
  choose(found) {
    const { desk, asked } = this;
    desk.chooseSubstance(found);
    desk.hush();
    this.forget();
    if (asked) desk.commit(addSource(desk.session.project, desk.floor, asked, found));
  }

  forget() {
    this.asked = null;
    this.desk.setDraft(null);
  }

  exit() {
    this.forget();
    super.exit();
  }

  back() {
    if (!this.asked) return super.back();
    this.forget();
    this.desk.hush();
    return true;
  }
}
