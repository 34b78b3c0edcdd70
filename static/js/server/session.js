/**
 * The project as the server holds it, and the way to change it: one edit at a time, in order, each
 * against the version before. What is still on its way is shown already.
 * @import {Command, Edit, Project} from "../core/types.js"
 */

import { preview } from "../core/difference.js";
import { ApiError } from "./api.js";

/** Between two looks at a job, ms. */
const JOB_EVERY_MS = 250;

export class Session {
  /** @param {ReturnType<typeof import("./api.js").projectApi>} api */
  constructor(api) {
    this.api = api;
    /** @type {any} */
    this.state = null;
    /** @type {Command[]} */
    this.waiting = [];
    this.work = Promise.resolve();
    /** @type {(why: string) => void} */
    this.onChange = () => {};
    /** @type {(text: string, kind: "wrong"|"said") => void} */
    this.onMessage = () => {};
    this.previewBusy = false;
    /** @type {?{edit: Edit, done: (answer: any) => void}} */
    this.previewNext = null;
  }

  async load() {
    this.take(await this.api.state(), "load");
  }

  /** @param {any} state @param {string} why */
  take(state, why) {
    this.state = state;
    this.shown = null;
    this.onChange(why);
  }

  /** The project with the edits that are still on their way. @returns {Project} */
  get project() {
    if (!this.shown) {
      this.shown = this.waiting.reduce(
        (project, { edit }) => preview(project, edit),
        this.state.project,
      );
    }
    return this.shown;
  }

  get results() {
    return this.state.results;
  }

  /** Makes an edit; says whether the server took it. @param {Command} command */
  commit(command) {
    this.waiting.push(command);
    this.shown = null;
    const done = this.work.then(() => this.send(command));
    this.work = done.then(
      () => {},
      () => {},
    );
    this.onChange("waiting");
    return done;
  }

  /** @param {Command} command */
  async send(command) {
    return this.attempt(async () => {
      const state = await this.api.edit(this.state.version, command.edit, command.label);
      this.forget(command);
      this.take(state, "edit");
    }, command);
  }

  /** @param {Command} command */
  forget(command) {
    this.waiting = this.waiting.filter((other) => other !== command);
    this.shown = null;
  }

  /** @param {"undo"|"redo"} way */
  step(way) {
    const done = this.work.then(() =>
      this.attempt(async () => {
        this.take(await this.api[way](this.state.version), way);
      }),
    );
    this.work = done.then(
      () => {},
      () => {},
    );
    return done;
  }

  /** @param {number} floor @param {File} file @param {number} page */
  upload(floor, file, page) {
    return this.attempt(async () => {
      this.take(await this.api.uploadSheet(floor, file, page), "sheet");
    });
  }

  /**
   * Runs something that may be refused; then nothing is lost and the reason is said in words.
   * @param {() => Promise<void>} what @param {?Command} command
   */
  async attempt(what, command = null) {
    try {
      await what();
      return true;
    } catch (error) {
      if (command) this.forget(command);
      if (!(error instanceof ApiError)) throw error;
      if (error.status === 409) await this.reload();
      else this.onChange("refused");
      this.onMessage(
        error.status === 409
          ? "The project was changed elsewhere meanwhile. It is shown as it is now; " +
              "please make your change again."
          : sentence(error),
        "wrong",
      );
      return false;
    }
  }

  async reload() {
    this.waiting = [];
    try {
      this.take(await this.api.state(), "reload");
    } catch (error) {
      if (!(error instanceof ApiError)) throw error;
    }
  }

  /**
   * What an edit would change, while something is dragged: one question under way at a time, and
   * only the newest waits.
   * @param {Edit} edit @param {(answer: any) => void} done
   */
  preview(edit, done) {
    this.previewNext = { edit, done };
    if (!this.previewBusy) this.previewSoon();
  }

  async previewSoon() {
    this.previewBusy = true;
    while (this.previewNext) {
      const { edit, done } = this.previewNext;
      this.previewNext = null;
      try {
        done(await this.api.preview(this.state.version, edit));
      } catch (error) {
        if (!(error instanceof ApiError)) throw error;
      }
    }
    this.previewBusy = false;
  }

  /** Forgets a preview that has not been asked yet. */
  dropPreview() {
    this.previewNext = null;
  }

  /**
   * Starts long work and follows it to its end.
   * @param {{what: "detectors"|"wiring", floor: ?number, room: ?number}} wish
   * @param {(progress: any) => void} onProgress
   * @returns {{done: Promise<any>, cancel: () => Promise<any>}} `done` is the job's last answer
   */
  suggest(wish, onProgress) {
    let job = /** @type {?string} */ (null);
    let cancelled = false;
    const follow = async () => {
      await this.work;
      job = (await this.api.suggest(this.state.version, wish)).job;
      for (;;) {
        const answer = await this.api.job(/** @type {string} */ (job));
        if (answer.state !== "running") return withDrawing(answer, /** @type {string} */ (job));
        onProgress(answer);
        if (cancelled) await this.api.cancel(/** @type {string} */ (job));
        await new Promise((resolve) => {
          setTimeout(resolve, JOB_EVERY_MS);
        });
      }
    };
    const cancel = async () => {
      cancelled = true;
      if (job) await this.api.cancel(job);
    };
    return { done: follow(), cancel };
  }
}

/**
 * A suggestion with what it takes to draw it as it will be: the routes of its cables, and where the
 * server is asked for its words.
 * @param {any} answer @param {string} job
 */
function withDrawing({ suggestion, ...answer }, job) {
  const { routes, version } = answer;
  return { ...answer, suggestion: suggestion && { ...suggestion, routes, version, job } };
}

/** @param {ApiError} error */
function sentence({ message, remedy }) {
  return remedy && !message.includes(remedy) ? `${message} ${remedy}` : message;
}
