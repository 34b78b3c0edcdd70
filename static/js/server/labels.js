/**
 * Where the words of the floor stand, as the server answers it for a version and a scale. What was
 * answered is kept for the version; a change of zoom or version asks again when it has settled.
 * @import {Point, Project} from "../core/types.js"
 */

import { anchorOf } from "../core/words.js";
import { difference, preview } from "../core/difference.js";
import { find, keyText } from "../core/drawing.js";
import { ApiError } from "./api.js";

/**
 * @typedef {import("../core/words.js").Words} Words
 * @typedef {{about: any, home: Point, by: Point, half: number, findings: string[]}} Blocker
 * @typedef {{version: number, job: ?string, pixels_per_metre: number, words: Map<string, Words>,
 *   asides: Map<string, Point>, blockers: Blocker[], size: number}} Placed `job` made the
 *   suggestion for which they hold, if one is offered; `size` is that of symbols beside closer up
 */

/** @type {Placed} */
export const NONE = {
  version: -1,
  job: null,
  pixels_per_metre: 1,
  words: new Map(),
  asides: new Map(),
  blockers: [],
  size: 1,
};

/** Words placed for a scale hold until it is so much larger. */
const HOLDS = 1.061;

/** A zoom has settled after this time, ms. */
const SETTLED_MS = 90;

export class LabelStore {
  /**
   * @param {(scale: number, job: ?string) => Promise<any>} ask
   * @param {() => {version: number, project: Project}} state what the server holds
   */
  constructor(ask, state) {
    this.ask = ask;
    this.state = state;
    this.kept = /** @type {Placed[]} */ ([]);
    this.shown = NONE;
    /** What is offered, drawn as it will stand. */
    this.offered = /** @type {any} */ (null);
    this.asking = new Set();
    this.timer = 0;
    this.onChange = () => {};
  }

  /**
   * The best there is for a scale; asks for better where there is none that fits.
   * @param {number} scale pixels for a metre @param {boolean} [moving] whether something is dragged
   * @param {any} [suggestion] what is offered
   * @returns {Placed}
   */
  at(scale, moving = false, suggestion = null) {
    const { version } = this.state();
    this.offered = suggestion?.job && suggestion.version === version ? suggestion : null;
    if (this.kept[0] && this.kept[0].version !== version) this.kept = [];
    const fitting = this.kept.find((one) => this.fits(one, scale));
    if (fitting) {
      clearTimeout(this.timer);
      this.shown = fitting;
    } else if (!moving) this.askSoon(scale, this.shown.version === version ? SETTLED_MS : 0);
    return this.shown;
  }

  /** @param {number} scale */
  isSettled(scale) {
    return this.shown.version === this.state().version && this.fits(this.shown, scale);
  }

  /** @param {Placed} one @param {number} scale */
  fits({ job, pixels_per_metre: own }, scale) {
    return (
      job === (this.offered?.job ?? null) && own <= scale * 1.0001 && scale < own * HOLDS
    );
  }

  /** @param {number} scale @param {number} wait_ms */
  askSoon(scale, wait_ms) {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.fetch(scale), wait_ms);
  }

  /** Asks now, as before printing; a scale that is known already is not asked again. */
  async fetch(/** @type {number} */ scale) {
    const { version } = this.state();
    const job = this.offered?.job ?? null;
    const key = `${version}/${job}/${scale}`;
    if (this.asking.has(key)) return;
    if (this.kept.some((one) => one.version === version && this.fits(one, scale))) return;
    this.asking.add(key);
    try {
      this.take(await this.ask(scale, job), job);
    } catch (error) {
      // Without an answer the drawing keeps the words it has; the next edit or zoom asks again.
      if (!(error instanceof ApiError)) throw error;
    } finally {
      this.asking.delete(key);
    }
  }

  /** @param {any} answer @param {?string} job */
  take(answer, job = null) {
    const { version, project } = this.state();
    if (answer.version !== version || job !== (this.offered?.job ?? null)) return;
    this.kept = this.kept.filter((one) => one.version === version);
    const before = this.kept.find((one) => one.job === null);
    const after = job === null ? project : preview(project, this.offered.edit);
    const found = placed(answer, job, after);
    if (before) keepDropped(found, before, difference(project, after).removed);
    this.kept.push(found);
    this.onChange();
  }
}

/** What a suggestion drops is crossed out where it stood. @param {Placed} after @param {Placed} before */
function keepDropped(after, before, /** @type {any[]} */ removed) {
  for (const key of removed.map(keyText)) {
    const aside = before.asides.get(key);
    if (aside) after.asides.set(key, aside);
  }
}

/** @param {any} answer @param {?string} job @param {Project} project @returns {Placed} */
function placed(answer, job, project) {
  const { version, pixels_per_metre, symbol_size, labels, asides, blockers = [] } = answer;
  return {
    size: symbol_size,
    version,
    job,
    blockers,
    pixels_per_metre,
    words: new Map(
      labels.map((/** @type {any} */ label) => {
        const item = find(project, label.about);
        return [keyText(label.about), { ...label, home: anchorOf(item), then: item }];
      }),
    ),
    asides: new Map(
      asides.map((/** @type {any} */ aside) => [keyText(aside.about), aside.by]),
    ),
  };
}
