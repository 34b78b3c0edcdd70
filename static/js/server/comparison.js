/**
 * The comparison of one cover: asked for when somebody wants it, shown until the project changes.
 */

import { ApiError } from "./api.js";

export class ComparisonStore {
  /**
   * @param {any} session
   * @param {() => void} onChange
   */
  constructor(session, onChange) {
    this.session = session;
    this.onChange = onChange;
    /** @type {?{key: string, version: number, waits: AbortController|null, found: any, wrong: string}} */
    this.held = null;
  }

  /** What is asked or known of a cover, as the project stands. @param {number} room */
  of(room, /** @type {any} */ cover) {
    const { held, session } = this;
    const same = held && held.key === keyOf(room, cover) && held.version === session.state.version;
    return same ? held : null;
  }

  /** Asks for the comparison of a cover; a second time it goes, and what is not done is stopped. */
  async toggle(/** @type {number} */ room, /** @type {any} */ cover) {
    const shown = this.of(room, cover);
    this.held?.waits?.abort();
    this.held = null;
    if (!shown) await this.ask(room, cover);
    this.onChange();
  }

  /** @param {number} room @param {any} cover */
  async ask(room, cover) {
    const waits = new AbortController();
    const { api, state } = this.session;
    const held = { key: keyOf(room, cover), version: state.version, waits, found: null, wrong: "" };
    this.held = /** @type {any} */ (held);
    this.onChange();
    try {
      held.found = await api.comparison(room, cover, waits.signal);
      held.version = /** @type {any} */ (held.found).version;
    } catch (error) {
      if (!(error instanceof ApiError)) throw error;
      held.wrong = error.message;
    }
    /** @type {any} */ (held).waits = null;
  }
}

/** @param {number} room @param {any} cover */
const keyOf = (room, { measures, band }) => `${room}|${measures}|${band}`;
