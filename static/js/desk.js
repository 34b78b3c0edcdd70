/**
 * The desk: what is shown and selected now, and the way tools and panels act on it. It knows no DOM
 * but the two views it is given; it makes no decision of engineering.
 * @import {Command, Edit, Key, PlanSheet, Point, Project} from "./core/types.js"
 */

import { preview } from "./core/difference.js";
import { find, isOn, keyText, on, pointsOf, sameKey, snapTargets } from "./core/drawing.js";
import { bounds } from "./core/geometry.js";
import { box as sheetBox, metresPerPx } from "./core/sheet.js";
import { snap } from "./core/snap.js";
import { ApiError } from "./server/api.js";
import { ComparisonStore } from "./server/comparison.js";
import { stageOf } from "./stages.js";
import { drawingArea } from "./view/frame.js";
import { detectorPart, reachPart } from "./view/gas.js";
import { centred, fitted, fittedForPaper, holding, toMetres, toPx, zoomed } from "./view/viewport.js";
import { wordsPart } from "./view/words.js";

/** A pointer this near to a corner or wall means it, px. */
const SNAP_PX = 10;

/** What is brought into view keeps this far from the edge of the sheet, px. */
const CLEAR_PX = 20;

/** @param {{x: number, y: number, width: number, height: number}} box @returns {Point[]} */
const cornersOf = ({ x, y, width, height }) => [
  [x, y],
  [x + width, y + height],
];

/** What is shown while the floor is empty, m. */
const EMPTY_BOX = { x: 0, y: 0, width: 30, height: 20 };

export class Desk {
  /**
   * @param {{session: any, view: any, labels: any, floor: number, projectId: string}} parts
   */
  constructor({ session, view, labels, floor, projectId }) {
    this.session = session;
    this.labels = labels;
    this.view = view;
    this.floor = floor;
    this.projectId = projectId;
    this.selection = /** @type {?Key} */ (null);
    this.toolName = "select";
    /** @type {any} */
    this.tool = null;
    /** @type {Record<string, any>} */
    this.tools = {};
    this.viewport = { scale: 20, x_px: 0, y_px: 0 };
    this.size = { width: 800, height: 500 };
    /** Whether the whole floor is shown: nobody has zoomed or moved it since. */
    this.whole = false;
    this.draft = /** @type {any} */ (null);
    this.local = /** @type {?Edit} */ (null);
    this.previewed = /** @type {any} */ (null);
    this.previewedAt = /** @type {?Point} */ (null);
    /** The distance field that is shown. @type {?{detector: number, version: number, lines: any[]}} */
    this.distances = null;
    /** The gas and band of which is shown how many watch each place. */
    this.counting = /** @type {?{name: string, band: string}} */ (null);
    this.comparisons = new ComparisonStore(session, () => this.tell("state"));
    this.suggestion = /** @type {any} */ (null);
    /** What the source tool places: nothing until somebody chooses it. */
    this.substance = /** @type {?{key: string, name: string, called?: ?string}} */ (null);
    this.hazards = /** @type {Record<string, string[]>} */ ({});
    this.basis = /** @type {?Record<string, number>} */ (null);
    this.fade = /** @type {?number} */ (null);
    /** Where the view stood before it was panned to hold what is selected in view. */
    this.heldIn = /** @type {?{own: any, panned: any}} */ (null);
    this.printing = /** @type {?number} */ (null);
    this.sectionRoom = /** @type {?number} */ (null);
    /** Whether the findings are listed while nothing is selected. */
    this.listing = false;
    /** Findings, by id, that the last edits brought and nobody has looked at. */
    this.fresh = /** @type {Set<string>} */ (new Set());
    this.knownFindings = /** @type {?Set<string>} */ (null);
    /** What panels must be told: "selection", "tool", "state", "suggestion", "local". */
    this.listeners = /** @type {((what: string) => void)[]} */ ([]);
    /** @type {(text: string, kind?: "wrong"|"said") => void} */
    this.say = () => {};
    /** Takes away what was said: it is solved. */
    this.hush = () => {};
  }

  /** @param {(what: string) => void} listener */
  listen(listener) {
    this.listeners.push(listener);
  }

  /** @param {string} what */
  tell(what) {
    for (const listener of this.listeners) listener(what);
  }

  /** The project with what is being dragged. @returns {Project} */
  get project() {
    return this.local ? preview(this.session.project, this.local) : this.session.project;
  }

  get results() {
    const { results } = this.session;
    if (!this.previewed) return results;
    const touched = new Set(this.previewed.demands.map((/** @type {any} */ d) => d.id));
    return {
      ...results,
      detectors: { ...results.detectors, ...this.previewed.detectors },
      demands: [
        ...results.demands.filter((/** @type {any} */ d) => !touched.has(d.id)),
        ...this.previewed.demands,
      ],
    };
  }

  get units() {
    return this.project.head.units ?? "metric";
  }

  get system() {
    return { units: this.units, currency: this.project.catalogue.currency ?? "" };
  }

  get stage() {
    return stageOf(this.toolName)?.id ?? "select";
  }

  get floorItem() {
    return this.project.floors.find(({ id }) => id === this.floor) ?? null;
  }

  scene() {
    return {
      project: this.project,
      results: this.results,
      floor: this.floor,
      floorName: this.floorItem?.name ?? "",
      projectId: this.projectId,
      selection: this.selection,
      stage: this.stage,
      viewport: this.viewport,
      size: this.size,
      ...this.system,
      draft: this.draft,
      ghost: this.suggestion,
      hazards: this.hazards,
      fade: this.fade,
      basis: this.basis,
      totals: this.session.state.totals,
      fresh: this.fresh,
      print_n: this.printing,
      ruler: this.view.ruler,
      distances: this.distancesShown,
      counting: this.counting,
      labels: this.labels.at(this.viewport.scale, this.local !== null, this.suggestion),
    };
  }

  /** Of the detector that is selected and as it stands. */
  get distancesShown() {
    const { distances, selection } = this;
    if (!distances || this.local || distances.version !== this.session.state.version) return null;
    const key = /** @type {Key} */ ({ kind: "detector", id: distances.detector });
    return sameKey(key, selection) ? distances : null;
  }

  /** Shows how far it is from a detector, or no longer. @param {number} detector */
  async toggleDistances(detector) {
    if (this.distancesShown) this.distances = null;
    else {
      try {
        this.distances = { detector, ...(await this.session.api.distances(detector)) };
      } catch (error) {
        if (!(error instanceof ApiError)) throw error;
        this.say(error.message, "wrong");
      }
    }
    this.redraw();
    this.tell("state");
  }

  /** Shades the floor by how many watch each place, or no longer. */
  count(/** @type {?{name: string, band: string}} */ counting) {
    this.counting = counting;
    this.redraw();
    this.tell("state");
  }

  redraw() {
    this.view.show(this.scene());
    const settled = this.labels.isSettled(this.viewport.scale);
    this.view.root.dataset.labels = settled ? String(this.session.state.version) : "";
  }

  /** What the source tool places from now on. @param {any} found */
  chooseSubstance(found) {
    this.substance = { key: found.key, name: found.name, called: found.called };
    this.hazards[found.key] = found.hazards;
  }

  /** @param {?any} draft */
  setDraft(draft) {
    this.draft = draft;
    this.view.showOnly(this.scene(), ["drafts"]);
  }

  /** @param {?Key} key */
  select(key) {
    if (key === this.selection || (key && sameKey(key, this.selection))) return;
    this.selection = key;
    this.redraw();
    this.tell("selection");
  }

  /** @param {string} name */
  use(name) {
    this.tool?.exit();
    this.toolName = name in this.tools ? name : "select";
    this.tool = this.tools[this.toolName];
    this.draft = null;
    this.tool.enter();
    this.redraw();
    this.tell("tool");
  }

  /** One step back: the tool's own, then the tool, then the selection. */
  escape() {
    if (this.tool.back()) return;
    if (this.toolName !== "select") this.use("select");
    else if (this.selection) this.select(null);
    else if (this.listing) this.list(false);
  }

  /** Opens or closes the list of findings; once it is closed nothing of it is new. */
  list(/** @type {boolean} */ open) {
    this.listing = open;
    if (!open) this.fresh = new Set();
    this.selection = null;
    this.redraw();
    this.tell(open ? "findings" : "selection");
  }

  /** Notes which findings the last edit brought. */
  noteFindings() {
    const now = new Set(
      (this.session.results.findings ?? []).map((/** @type {any} */ one) => one.id),
    );
    const known = this.knownFindings ?? now;
    const come = [...now].filter((id) => !known.has(id));
    this.fresh = new Set([...[...this.fresh].filter((id) => now.has(id)), ...come]);
    this.knownFindings = now;
  }

  /** @param {?Command} command */
  async commit(command) {
    if (!command) return false;
    this.endLocal(false);
    const before = this.selection;
    if (command.select) this.selection = command.select;
    const taken = await this.session.commit(command);
    if (!taken && command.select && sameKey(command.select, this.selection)) this.select(before);
    return taken;
  }

  /** Shows an edit that is not made yet, such as a drag. @param {Edit} edit */
  showLocal(edit, ask = false) {
    this.local = edit;
    const key = edit.item && { kind: edit.item.kind, id: edit.item.value.id };
    if (key?.kind === "detector") this.showDetector(edit.item?.value);
    else this.redraw();
    this.tell("local");
    if (ask)
      this.session.preview(edit, (/** @type {any} */ answer) => this.takePreview(edit, answer));
  }

  /** @param {Edit} edit @param {any} answer */
  takePreview(edit, answer) {
    if (!this.local || this.local.item?.value.id !== edit.item?.value.id) return;
    this.previewed = answer;
    this.previewedAt = edit.item?.value.at ?? null;
    this.showDetector(this.local.item?.value);
    this.view.showOnly(this.scene(), ["counts", "unwatched-places"]);
    this.tell("preview");
  }

  /** Repaints one detector with its reach and tag, nothing else. @param {any} detector */
  showDetector(detector) {
    const scene = this.scene();
    this.view.put("detectors", detectorPart(detector, scene));
    const found = scene.results.detectors?.[detector.id];
    if (found) {
      const at = this.previewed && this.previewedAt;
      this.view.put("reaches", reachPart(detector, found, scene, at));
    }
    const words = this.wordsOf(detector);
    if (words) this.view.put("all-words", wordsPart(words, detector, scene));
  }

  /** The words of a detector as the server placed them. @param {{id: number}} detector */
  wordsOf({ id }) {
    return this.labels.shown.words.get(keyText({ kind: "detector", id })) ?? null;
  }

  endLocal(redraw = true) {
    if (!this.local) return;
    this.local = null;
    this.session.dropPreview();
    if (redraw) {
      this.previewed = null;
      this.redraw();
      this.tell("local");
    }
  }

  /** After the server's answer nothing of a preview is left. */
  settle() {
    if (this.session.waiting.length > 0) return;
    this.previewed = null;
    if (this.selection && !find(this.project, this.selection)) this.selection = null;
  }

  /**
   * @param {{at: Point, shift: boolean}} event
   * @param {{from?: ?Point, before?: ?Point, except?: ?Key, extra?: Point[]}} options
   */
  snapAt(event, { from = null, before = null, except = null, extra = [] } = {}) {
    const targets = snapTargets(this.project, this.floor, except);
    targets.corners.push(...extra);
    return snap(event.at, targets, {
      near: SNAP_PX / this.viewport.scale,
      from,
      before,
      free: event.shift,
    });
  }

  /** @param {number} px */
  metres(px) {
    return px / this.viewport.scale;
  }

  /** Everything on the floor, m. */
  contentBox() {
    const kinds = /** @type {const} */ ([
      "room",
      "barrier",
      "source",
      "terminal",
      "marked",
      "detector",
      "device",
      "panel",
      "containment",
    ]);
    const points = kinds.flatMap((kind) =>
      on(this.project, kind, this.floor).flatMap((item) => pointsOf(kind, item)),
    );
    const sheet = this.floorItem?.sheet;
    const drawn = bounds(points);
    const enough = drawn && (drawn.width > 2 || drawn.height > 2);
    if (!enough) return sheet ? sheetBox(sheet) : EMPTY_BOX;
    const tracing = sheet && ["sheet", "rooms"].includes(this.stage);
    return tracing ? (bounds([...points, ...cornersOf(sheetBox(sheet))]) ?? drawn) : drawn;
  }

  fit() {
    this.whole = true;
    this.viewport = fitted(this.contentBox(), drawingArea(this.size), 36);
    this.redraw();
  }

  /**
   * After the sheet has changed its size, as when a pane opens: the scale stays, and so does what
   * lies in the middle; what is selected and was in view is not left under the pane, and the view
   * goes back where the pane closes.
   * @param {{width: number, height: number}} before its size
   */
  keepInView(before) {
    const selected = this.selection && this.boxOf(this.selection);
    const seen = selected && this.inView(selected, before) ? selected : null;
    const own = this.heldIn?.panned === this.viewport ? this.heldIn.own : this.viewport;
    const was = drawingArea(before);
    const middle = toMetres(own, [was.x + was.width / 2, was.y + was.height / 2]);
    const area = drawingArea(this.size);
    this.viewport = centred(own, middle, area);
    if (seen) {
      const held = holding(this.viewport, seen, area, CLEAR_PX);
      this.heldIn = { own: this.viewport, panned: held };
      this.viewport = held;
    }
    this.redraw();
  }

  /** The bounds of a thing of this floor, m. @param {Key} key */
  boxOf(key) {
    const item = find(this.project, key);
    return item && isOn(this.project, key.kind, item, this.floor)
      ? bounds(pointsOf(key.kind, item))
      : null;
  }

  /**
   * After the plan sheet was set to scale: metres are longer or shorter now, the picture stays where
   * it is on the screen. @param {PlanSheet} before @param {PlanSheet} after
   */
  keepSheetInView(before, after) {
    const scale = (this.viewport.scale * metresPerPx(before)) / metresPerPx(after);
    const corner = toPx(this.viewport, before.origin);
    this.viewport = {
      scale,
      x_px: corner[0] - after.origin[0] * scale,
      y_px: corner[1] - after.origin[1] * scale,
    };
    this.redraw();
  }

  /** @param {number} factor @param {?Point} px */
  zoom(factor, px = null) {
    this.whole = false;
    const area = drawingArea(this.size);
    const centre = /** @type {Point} */ (px ?? [area.x + area.width / 2, area.y + area.height / 2]);
    this.viewport = zoomed(this.viewport, centre, factor);
    this.redraw();
  }

  /** @param {number} dx @param {number} dy px */
  pan(dx, dy) {
    this.whole = false;
    this.viewport = {
      ...this.viewport,
      x_px: this.viewport.x_px + dx,
      y_px: this.viewport.y_px + dy,
    };
    this.view.moveTo(this.viewport);
  }

  /** Brings a thing into view; a thing on another floor is left to the caller. @param {Key} key */
  show(key) {
    const box = this.boxOf(key);
    if (!box) return false;
    if (this.inView(box)) return true;
    this.whole = false;
    this.viewport = centred(
      this.viewport,
      [box.x + box.width / 2, box.y + box.height / 2],
      drawingArea(this.size),
    );
    this.redraw();
    return true;
  }

  /** Brings a place into the middle, where it is not in view. @param {Point} at */
  lookAt(at) {
    if (this.inView({ x: at[0], y: at[1], width: 0, height: 0 })) return;
    this.viewport = centred(this.viewport, at, drawingArea(this.size));
    this.redraw();
  }

  /** Whether all of it lies on the sheet, clear of its edge. @param {any} box m */
  inView({ x, y, width, height }, size = this.size) {
    const area = drawingArea(size);
    const [left, top] = toMetres(this.viewport, [area.x + CLEAR_PX, area.y + CLEAR_PX]);
    const [right, bottom] = toMetres(this.viewport, [
      area.x + area.width - CLEAR_PX,
      area.y + area.height - CLEAR_PX,
    ]);
    return left <= x && top <= y && x + width <= right && y + height <= bottom;
  }

  /** Lays the sheet out for paper of this many pixels, at a recommended scale. */
  layOutForPaper(/** @type {{width: number, height: number}} */ size) {
    this.kept = { size: this.size, viewport: this.viewport };
    this.size = size;
    this.viewport = this.paperViewport(size);
    this.printing = Math.round(96 / 0.0254 / this.viewport.scale);
    this.redraw();
  }

  /** How the floor lies on paper of this many pixels. */
  paperViewport(/** @type {{width: number, height: number}} */ size) {
    return fittedForPaper(this.contentBox(), drawingArea(size));
  }

  layOutForScreen() {
    if (!this.kept) return;
    Object.assign(this, this.kept);
    this.kept = null;
    this.printing = null;
    this.redraw();
  }

  /** Middle of what is in view, m. */
  centre() {
    const area = drawingArea(this.size);
    return toMetres(this.viewport, [area.x + area.width / 2, area.y + area.height / 2]);
  }
}
