/**
 * The floor sheet: composes the layers and keeps them in step with the scene.
 *
 * A scene is a plain value: {project, results, floor, projectId, selection, stage, viewport, size,
 * units, currency, draft, ghost, hazards, fade, labels, counting}. The drawing lies in metres under one
 * transform; what keeps its size on the screen is scaled back by `--metre`.
 * @import {Viewport} from "./viewport.js"
 */

import {
  barrierParts,
  markedParts,
  openingParts,
  planParts,
  roomParts,
  terminalParts,
  wallParts,
} from "./building.js";
import { blockerParts } from "./blockers.js";
import { countParts } from "./counts.js";
import { draftParts, ghostCableParts, ghostParts, handleParts } from "./draft.js";
import { bandMarks, frameMarks, setClip } from "./frame.js";
import {
  detectorParts,
  distanceParts,
  extentParts,
  reachParts,
  sourceParts,
  unwatchedParts,
} from "./gas.js";
import { makeRuler } from "./ruler.js";
import { Layer, setAll, svg } from "./svg.js";
import { hatches } from "./symbols.js";
import { cableParts, containmentParts, deviceParts, panelParts, riserParts } from "./wiring.js";
import { wordsParts } from "./words.js";

/** Layers from the paper up, each with what fills it. */
const LAYERS = /** @type {const} */ ([
  ["plan", planParts],
  ["rooms", roomParts],
  ["counts", countParts],
  ["reaches", reachParts],
  // A pit is picked by its fill: what runs beneath one lies over that.
  ["marked-areas", markedParts],
  ["containments", containmentParts],
  ["extents", extentParts],
  ["walls", wallParts],
  ["barriers", barrierParts],
  ["openings", openingParts],
  ["cables", cableParts],
  ["ghost-cables", ghostCableParts],
  ["unwatched-places", unwatchedParts],
  ["risers", riserParts],
  ["terminals", terminalParts],
  ["sources", sourceParts],
  ["panels", panelParts],
  ["devices", deviceParts],
  ["detectors", detectorParts],
  ["distances", distanceParts],
  ["all-words", wordsParts],
  ["ghosts", ghostParts],
  ["blockers", blockerParts],
  ["handles", handleParts],
  ["drafts", (/** @type {any} */ scene) => draftParts(scene.draft)],
]);

export class SheetView {
  /** @param {HTMLElement} host */
  constructor(host) {
    this.host = host;
    this.ruler = makeRuler();
    this.root = svg("svg", { class: "drawing plan-drawing", role: "group" });
    this.clip = svg("rect");
    const clip = svg("clipPath", { id: "drawing-area" }, this.clip);
    // Hatches of the floor keep their spacing on the screen; those of the legend have it anyway.
    const [plain, scaled] = [hatches(""), hatches("-floor")];
    this.floorHatches = [...scaled.querySelectorAll("pattern")];
    this.world = svg("g", { class: "world", "clip-path": "url(#drawing-area)" });
    this.floor = svg("g", { class: "floor" });
    this.world.append(this.floor);
    this.frame = svg("g", { class: "sheet-frame" });
    this.band = svg("g", { class: "sheet-band" });
    this.root.append(svg("defs", {}, clip), plain, scaled, this.world, this.band, this.frame);
    /** @type {Map<string, Layer>} */
    this.layers = new Map(LAYERS.map(([name]) => [name, new Layer(this.floor, name)]));
    host.append(this.root);
    this.shownSize = "";
    this.shownScale = 0;
  }

  /** Draws everything that has changed. @param {any} scene */
  show(scene) {
    this.place(scene);
    for (const [name, parts] of LAYERS) this.layer(name).show(parts(scene));
  }

  /** Draws only the named layers. @param {any} scene @param {string[]} names */
  showOnly(scene, names) {
    for (const [name, parts] of LAYERS) {
      if (names.includes(name)) this.layer(name).show(parts(scene));
    }
  }

  /** Puts single parts into a layer, the others untouched. */
  put(/** @type {string} */ name, /** @type {any} */ part) {
    this.layer(name).put(part);
  }

  /** @param {string} name @returns {Layer} */
  layer(name) {
    return /** @type {Layer} */ (this.layers.get(name));
  }

  /** Frame, title block and the transform of the floor. @param {any} scene */
  place(scene) {
    const { viewport, size } = scene;
    setAll(this.root, {
      viewBox: `0 0 ${size.width} ${size.height}`,
      "aria-label": `${scene.floorName}, drawing`,
    });
    this.moveTo(viewport);
    const { size: symbol } = scene.labels;
    this.floor.style.setProperty("--symbol", String(symbol));
    this.floor.classList.toggle("overview", symbol < 1);
    const sizeText = JSON.stringify(size);
    if (sizeText !== this.shownSize) {
      this.shownSize = sizeText;
      this.frame.replaceChildren(...frameMarks(size));
      setClip(this.clip, size);
    }
    this.showBand(bandMarks(scene));
  }

  /** A figure of the title block that has the focus keeps it. @param {SVGElement[]} marks */
  showBand(marks) {
    const { activeElement } = document;
    const held = this.band.contains(activeElement)
      ? activeElement?.querySelector("[data-total]")?.getAttribute("data-total")
      : null;
    this.band.replaceChildren(...marks);
    if (held) {
      const again = this.band.querySelector(`.opener:has([data-total="${held}"])`);
      /** @type {?SVGElement} */ (again)?.focus();
    }
  }

  /** @param {Viewport} viewport */
  moveTo({ scale, x_px, y_px }) {
    this.floor.setAttribute("transform", `matrix(${scale} 0 0 ${scale} ${x_px} ${y_px})`);
    this.floor.style.setProperty("--metre", String(1 / scale));
    if (this.shownScale === scale) return;
    this.shownScale = scale;
    for (const pattern of this.floorHatches) {
      pattern.setAttribute("patternTransform", `scale(${1 / scale})`);
    }
  }
}
