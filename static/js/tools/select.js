/**
 * Selects, drags things and their corners, nudges and removes. The tool in hand when none is.
 * @import {Key, Point} from "../core/types.js"
 * @import {ToolEvent} from "./tool.js"
 */

import { find } from "../core/drawing.js";
import { add, subtract } from "../core/geometry.js";
import { standing } from "../core/words.js";
import { cornersOf, moved, withCorner, withNewCorner } from "../core/transforms.js";
import * as items from "../commands/items.js";
import { changeTag, withTagAt } from "../commands/tags.js";
import { Tool } from "./tool.js";

/** Kinds that are one place and move at the first drag. */
const POINTS = ["source", "terminal", "detector", "device", "panel", "riser"];

/** Two presses on a corner within this time take it out, ms. */
const TWICE_MS = 350;

export class SelectTool extends Tool {
  /** @type {?{key: Key, from: Point, item: any, handle: ?string, idx: number, tag: ?Point}} */
  held = null;

  lastCorner = { at: 0, idx: -1, id: -1 };

  /** @param {ToolEvent} event */
  down(event) {
    const { target } = event;
    if (!target) {
      this.clear = true;
      return false;
    }
    this.clear = false;
    const key = /** @type {Key} */ ({ kind: target.kind, id: target.id });
    const item = find(this.desk.project, key);
    if (!item) return false;
    const was = this.desk.selection;
    const selectedBefore = was !== null && was.kind === key.kind && was.id === key.id;
    this.desk.select(key);
    if (key.kind === "segment") return true;
    const movable = target.handle !== null || POINTS.includes(key.kind) || selectedBefore;
    if (!movable) return false;
    const words = target.handle === "tag" ? this.desk.wordsOf(item) : null;
    const tag = words && standing(words, item);
    this.held = { key, from: event.at, item, handle: target.handle, idx: target.idx, tag };
    return true;
  }

  /** @param {ToolEvent} event */
  drag(event) {
    if (!this.held) return;
    const { key } = this.held;
    this.desk.showLocal(
      { do: "change", item: { kind: key.kind, value: this.changed(event) } },
      key.kind === "detector" && this.held.handle !== "tag",
    );
  }

  /** The held thing as it would be. @param {ToolEvent} event */
  changed(event) {
    const { key, from, item, handle, idx, tag } = /** @type {NonNullable<typeof this.held>} */ (
      this.held
    );
    if (tag) return withTagAt(item, add(tag, subtract(event.at, from)));
    if (handle === "corner" || handle === "middle") {
      const points = cornersOf(key.kind, item);
      const before = points[(idx - 1 + points.length) % points.length];
      const { at } = this.desk.snapAt(event, {
        from: handle === "corner" ? before : null,
        except: key,
      });
      return handle === "corner"
        ? withCorner(key.kind, item, idx, at)
        : withNewCorner(key.kind, item, idx, at);
    }
    const by = subtract(event.at, from);
    return moved(key.kind, item, key.kind === "room" ? this.roomSnap(item, by, event, key) : by);
  }

  /** A room dragged near another takes its corner. */
  roomSnap(
    /** @type {any} */ item,
    /** @type {Point} */ by,
    /** @type {ToolEvent} */ event,
    /** @type {Key} */ key,
  ) {
    let best = by;
    let least = this.desk.metres(10);
    for (const corner of /** @type {Point[]} */ (item.outline)) {
      const at = /** @type {Point} */ ([corner[0] + by[0], corner[1] + by[1]]);
      const found = this.desk.snapAt({ at, shift: event.shift }, { except: key });
      const far = Math.hypot(found.at[0] - at[0], found.at[1] - at[1]);
      if (found.kind === "corner" && far < least) {
        least = far;
        best = subtract(found.at, corner);
      }
    }
    return best;
  }

  /** @param {ToolEvent} event @param {boolean} movedFar */
  up(event, movedFar) {
    const { held } = this;
    this.held = null;
    if (!held) {
      if (this.clear && !movedFar) this.desk.select(null);
      return;
    }
    if (!movedFar) {
      this.desk.endLocal();
      if (held.handle === "corner") this.pressCorner(held);
      return;
    }
    this.held = held;
    const value = this.changed(event);
    this.held = null;
    this.desk.commit(this.command(held, value));
  }

  /** @param {NonNullable<typeof this.held>} held @param {any} value */
  command(held, value) {
    const { project } = this.desk.session;
    if (held.tag) return changeTag(value, add(value.at, value.tag_offset));
    if (held.handle === "corner") {
      return items.change(
        held.key.kind,
        value,
        items.moveCorner(project, held.key, held.idx, held.from).label,
      );
    }
    if (held.handle === "middle") {
      return items.change(held.key.kind, value, items.addCorner(project, held.key, held.idx).label);
    }
    const points = value.at
      ? [value.at, held.item.at]
      : [
          (value.outline ?? value.line ?? [value.a])[0],
          (held.item.outline ?? held.item.line ?? [held.item.a])[0],
        ];
    const words = items.move(project, held.key, subtract(points[0], points[1])).label;
    return items.change(held.key.kind, value, words);
  }

  /** A second press on the same corner takes it out. @param {any} held */
  pressCorner({ key, idx }) {
    const now = performance.now();
    const twice =
      now - this.lastCorner.at < TWICE_MS &&
      this.lastCorner.idx === idx &&
      this.lastCorner.id === key.id;
    this.lastCorner = { at: now, idx, id: key.id };
    if (!twice) return;
    const command = items.removeCorner(this.desk.project, key, idx);
    if (command) this.desk.commit(command);
    else this.desk.say("An outline keeps at least three corners, a line two.", "wrong");
  }

  abort() {
    this.held = null;
    this.desk.endLocal();
  }

  back() {
    if (!this.held) return false;
    this.abort();
    return true;
  }
}
